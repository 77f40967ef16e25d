"""Small random runs to buy for: cloth, hides, webbing and things, with steps, packs, price breaks, terms and stash."""

from __future__ import annotations

import random
from collections.abc import Callable
from datetime import date
from decimal import Decimal

from bagwright.model.cost import Need
from bagwright.model.material import Offer, OfferByArea, OfferByCount, OfferByLength, OfferByPiece, PriceBreak
from bagwright.model.money import Money
from bagwright.model.run_buying import LaidParts, RunNeed, SellerTerms, StashParts

DAY = date(2026, 3, 1)
WIDTHS_MM = (500.0, 1000.0)
Made = tuple[list[RunNeed], list[Offer]]


def usd(amount: str | float | Decimal) -> Money:
    return Money(Decimal(str(amount)), "USD")


def cents(rng: random.Random, low: int, high: int) -> Money:
    return usd(Decimal(rng.randint(low, high)) / 100)


def random_case(rng: random.Random) -> tuple[list[RunNeed], list[Offer], list[SellerTerms], float]:
    """Needs, offers, terms of sellers, and the share of their price that leftovers are worth."""
    sellers = ["Mill", "Stall"][: rng.randint(1, 2)]
    needs: list[RunNeed] = []
    offers: list[Offer] = []
    for number in range(rng.randint(1, 2)):
        more_needs, more_offers = MAKERS[rng.randrange(len(MAKERS))](rng, f"m{number}", sellers)
        needs += more_needs
        offers += more_offers
    terms = [random_terms(rng, seller) for seller in sellers if rng.random() < 0.5]
    return needs, offers, terms, rng.choice([0.0, 0.0, 0.5, 1.0])


def random_sheet(rng: random.Random, key: str, sellers: list[str]) -> Made:
    """A cloth at two widths: laid whole, and often part by part, at one width or at both."""
    parts = rng.choice([(1,), (2,), (3,), (1, 1), (1, 2)])
    ones = [rng.randint(150, 700) for _ in parts]
    whole = 0.9 * sum(count * one for count, one in zip(parts, ones, strict=True))
    lengths = tuple((width, round(whole * 500 / width, 1)) for width in WIDTHS_MM)
    laid = tuple(
        LaidParts(holds=one_of(parts, part), length_mm=round(ones[part] * 500 / width, 1), width_mm=width)
        for width in WIDTHS_MM[: rng.choice([1, 1, 2])]
        for part in range(len(parts))
    )
    need = RunNeed(
        need=Need(material_id=key, name=key, lengths_mm_by_width=lengths),
        parts=parts,
        laid=laid if rng.random() < 0.7 else (),
        stash=random_stash(rng, key, parts) if rng.random() < 0.4 else (),
    )
    own = f"{key}-other", key, rng.choice(sellers)
    other = random_bolt(rng, *own) if rng.random() < 0.5 else random_cut(rng, *own)
    return [need], [other, random_bolt(rng, f"{key}-sure", key, rng.choice(sellers))]


def random_hides(rng: random.Random, key: str, sellers: list[str]) -> Made:
    """Leather by area, of which whole hides are sold; its pieces may come from different ones."""
    parts = rng.choice([(1,), (2,), (3,), (1, 2)])
    areas = tuple(1000.0 * rng.randint(60, 500) for _ in parts)
    need = RunNeed(
        need=Need(
            material_id=key,
            name=key,
            lengths_mm_by_width=((900.0, 700.0),),
            area_mm2=sum(count * area for count, area in zip(parts, areas, strict=True)),
        ),
        parts=parts,
        part_areas_mm2=areas if rng.random() < 0.7 else (),
        stash=random_stash(rng, key, parts) if rng.random() < 0.4 else (),
    )
    return [need], [
        OfferByArea(
            id=f"{key}-{number}",
            material_id=key,
            seller=rng.choice(sellers),
            price=cents(rng, 300, 900),
            dated=DAY,
            usual_area_m2=rng.choice([0.4, 0.75, 1.2]),
            usual_width_mm=900.0,
            price_breaks=random_breaks(rng, (1, 1.5), 200, 500),
        )
        for number in range(rng.randint(1, 2))
    ]


def random_webbing(rng: random.Random, key: str, sellers: list[str]) -> Made:
    """Webbing off a roll, and in ready-cut lengths."""
    count, one = rng.randint(1, 3), rng.randint(200, 900)
    need = RunNeed(
        need=Need(material_id=key, name=key, length_mm=float(count * one)),
        parts=(count,),
        laid=(LaidParts(holds=(1,), length_mm=float(one)),) if rng.random() < 0.8 else (),
    )
    lengths = OfferByCount(
        id=f"{key}-cut",
        material_id=key,
        seller=rng.choice(sellers),
        price=cents(rng, 100, 500),
        dated=DAY,
        pack_count=rng.randint(1, 2),
        length_each_m=rng.choice([1.0, 2.0]),
    )
    return [need], [random_bolt(rng, f"{key}-roll", key, rng.choice(sellers), width_mm=0.0), lengths]


def random_things(rng: random.Random, key: str, sellers: list[str]) -> Made:
    """Hardware in packs; now and then two needs share them, and their price breaks."""
    offers: list[Offer] = [
        OfferByCount(
            id=f"{key}-{number}",
            material_id=key,
            seller=rng.choice(sellers),
            price=cents(rng, 100, 400),
            dated=DAY,
            pack_count=rng.randint(1, 4),
            price_breaks=random_breaks(rng, (2,), 100, 300),
        )
        for number in range(rng.randint(1, 2))
    ]
    many = 2 if rng.random() < 0.25 else 1
    needs = [
        RunNeed(need=Need(material_id=key, name=key, count=rng.randint(1, 4 if many == 1 else 2))) for _ in range(many)
    ]
    return needs, offers


MAKERS: tuple[Callable[[random.Random, str, list[str]], Made], ...] = (
    *(random_sheet, random_sheet, random_sheet, random_sheet),
    *(random_things, random_things, random_hides, random_webbing),
)


def one_of(parts: tuple[int, ...], part: int) -> tuple[int, ...]:
    """What holds one of a part and nothing else."""
    return tuple(int(at == part) for at in range(len(parts)))


def random_stash(rng: random.Random, key: str, parts: tuple[int, ...]) -> tuple[StashParts, ...]:
    return tuple(
        StashParts(stash_id=f"{key}-{number}", name="remnant", holds=one_of(parts, 0), worth=usd(rng.randint(0, 3)))
        for number in range(rng.choice([1, 1, 2]))
    )


def random_breaks(rng: random.Random, starts: tuple[float, ...], low: int, high: int) -> tuple[PriceBreak, ...]:
    found = PriceBreak(from_quantity=rng.choice(starts), price=cents(rng, low, high))
    return (found,) if rng.random() < 0.4 else ()


def random_bolt(
    rng: random.Random, key: str, material: str, seller: str, *, width_mm: float | None = None
) -> OfferByLength:
    return OfferByLength(
        id=key,
        material_id=material,
        seller=seller,
        price=cents(rng, 400, 1299),
        dated=DAY,
        width_mm=rng.choice(WIDTHS_MM) if width_mm is None else width_mm,
        priced_per_mm=rng.choice([1000.0, 1000.0, 914.4]),
        step_mm=rng.choice([125.0, 250.0, 250.0, 500.0, 457.2]),
        price_breaks=random_breaks(rng, (1, 1.5), 300, 800),
    )


def random_cut(rng: random.Random, key: str, material: str, seller: str) -> OfferByPiece:
    return OfferByPiece(
        id=key,
        material_id=material,
        seller=seller,
        price=cents(rng, 100, 600),
        dated=DAY,
        width_mm=rng.choice(WIDTHS_MM),
        length_mm=float(rng.choice([300, 600, 900])),
        price_breaks=random_breaks(rng, (2, 3), 80, 400),
    )


def random_terms(rng: random.Random, seller: str) -> SellerTerms:
    """Delivery, mostly free from some sum on; now and then a least order."""
    return SellerTerms(
        seller=seller,
        delivery=usd(rng.choice(["0", "2", "5", "3.45"])),
        free_from=usd(rng.randint(5, 9)) if rng.random() < 0.6 else None,
        least_order=usd(rng.randint(2, 6)) if rng.random() < 0.3 else None,
    )
