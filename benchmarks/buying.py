"""How long buying takes for a large run: 12 bags, 20 materials, 80 offers of 5 sellers with delivery, after layouts.

    .venv/bin/python benchmarks/buying.py [--cases 10]

Told for each case: seconds by the clock and of the processor, whether the plan is proven best, and the ratio of its
cost to that of buying each material by itself, from one offer, as `buy_materials` does, with the same delivery added.
"""

from __future__ import annotations

import argparse
import random
import statistics
import time
from datetime import date
from decimal import Decimal

from bagwright.costing.buying import buy_materials
from bagwright.costing.buying_together import buy_together
from bagwright.model.cost import Need
from bagwright.model.material import Offer, OfferByCount, OfferByLength, OfferByPiece, PriceBreak
from bagwright.model.money import Money
from bagwright.model.run_buying import LaidParts, RunNeed, SellerTerms

BAGS, MATERIALS, OFFERS_EACH, SELLERS = 12, 20, 4, 5
YARD_MM = 914.4
DAY = date(2026, 3, 1)


def usd(cents: int) -> Money:
    """So many cents."""
    return Money(Decimal(cents).scaleb(-2), "USD")


def one_sheet(rng: random.Random, number: int) -> tuple[RunNeed, list[Offer]]:
    """A cloth that some of the bags take, each bag laid by itself and all together, at two widths and as cut pieces."""
    key = f"cloth-{number}"
    bags = rng.randint(2, 6)
    parts = tuple(rng.randint(1, 3) for _ in range(bags))
    ones = [rng.uniform(200, 900) for _ in parts]
    widths = rng.sample([914.4, 1117.6, 1371.6, 1473.2], 2)

    def laid(holds: tuple[int, ...], width: float) -> LaidParts:
        length = sum(count * one for count, one in zip(holds, ones, strict=True)) * 1100 / width
        return LaidParts(holds=holds, width_mm=width, length_mm=round(length * rng.uniform(0.9, 1), 1))

    single = [tuple(int(at == part) for at in range(bags)) for part in range(bags)]
    wholes = [laid(parts, width) for width in widths]
    need = RunNeed(
        need=Need(
            material_id=key, name=key, lengths_mm_by_width=tuple((one.width_mm, one.length_mm) for one in wholes)
        ),
        parts=parts,
        laid=tuple(laid(holds, width) for width in widths for holds in single),
    )
    offers: list[Offer] = [bolt(rng, f"{key}-{n}", key, rng.choice(widths)) for n in range(OFFERS_EACH - 1)]
    piece = OfferByPiece(
        id=f"{key}-cut",
        material_id=key,
        seller=seller(rng),
        price=usd(rng.randint(300, 900)),
        dated=DAY,
        width_mm=widths[0],
        length_mm=YARD_MM,
    )
    return need, [*offers, piece]


def bolt(rng: random.Random, key: str, material: str, width: float) -> Offer:
    """Cloth by the yard, in eighths."""
    price = rng.randint(500, 2400)
    breaks = (PriceBreak(from_quantity=rng.choice([3, 5]), price=usd(price * 85 // 100)),)
    return OfferByLength(
        id=key,
        material_id=material,
        seller=seller(rng),
        price=usd(price),
        dated=DAY,
        width_mm=width,
        priced_per_mm=YARD_MM,
        step_mm=YARD_MM / rng.choice([4, 8]),
        price_breaks=breaks if rng.random() < 0.4 else (),
    )


def things(rng: random.Random, number: int) -> tuple[RunNeed, list[Offer]]:
    """Hardware in packs of several sizes."""
    key = f"thing-{number}"
    need = RunNeed(need=Need(material_id=key, name=key, count=rng.randint(6, 40)))
    return need, [
        OfferByCount(
            id=f"{key}-{n}",
            material_id=key,
            seller=seller(rng),
            price=usd(size * rng.randint(60, 120)),
            dated=DAY,
            pack_count=size,
        )
        for n, size in enumerate(rng.sample([1, 2, 4, 10, 25], OFFERS_EACH))
    ]


def seller(rng: random.Random) -> str:
    """One of the invented sellers."""
    return f"seller-{rng.randrange(SELLERS)}"


def one_case(seed: int) -> tuple[list[RunNeed], list[Offer], list[SellerTerms]]:
    """Needs, offers and what the sellers ask for."""
    rng = random.Random(seed)
    made = [(one_sheet if number % 4 else things)(rng, number) for number in range(MATERIALS)]
    terms = [
        SellerTerms(
            seller=f"seller-{n}", delivery=usd(rng.randint(400, 1200)), free_from=usd(rng.choice([5000, 8000, 15000]))
        )
        for n in range(SELLERS)
    ]
    return [need for need, _ in made], [offer for _, own in made for offer in own], terms


def apart(needs: list[RunNeed], offers: list[Offer], terms: list[SellerTerms]) -> Decimal:
    """What each need costs from its cheapest offer, and delivery of every seller that comes about."""
    plan = buy_materials([one.need for one in needs], offers, currency="USD")
    paid = plan.paid.amount
    for one in terms:
        goods = sum((line.paid.amount for line in plan.purchases if line.seller == one.seller), Decimal(0))
        if goods and one.free_from and goods < one.free_from.amount:
            paid += one.delivery.amount
    return paid


def main() -> None:
    """Measure and tell."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cases", type=int, default=10)
    seconds: list[float] = []
    busy: list[float] = []
    ratios: list[float] = []
    proven = 0
    for seed in range(parser.parse_args().cases):
        needs, offers, terms = one_case(seed)
        start, begun = time.perf_counter(), time.process_time()
        plan = buy_together(needs, offers, terms, currency="USD")
        seconds.append(time.perf_counter() - start)
        busy.append(time.process_time() - begun)
        ratios.append(float(plan.paid.amount / apart(needs, offers, terms)))
        proven += plan.is_proven
        gap = "proven" if plan.is_proven else f"gap {plan.gap.said()}"
        print(f"case {seed}: {seconds[-1]:.2f} s ({busy[-1]:.2f} s), {plan.paid.said()}, {gap}, {ratios[-1]:.3f}")
    print(f"{proven} of {len(seconds)} proven best")
    print(f"by the clock: slowest {max(seconds):.2f} s, median {statistics.median(seconds):.2f} s")
    print(f"of the processor: slowest {max(busy):.2f} s, median {statistics.median(busy):.2f} s")
    print(
        f"cost against buying each material by itself: median {statistics.median(ratios):.3f}, most {max(ratios):.3f}"
    )


if __name__ == "__main__":
    main()
