"""`bagwright price`: a whole bag, its shelf and workroom, from measurements to a price."""

from __future__ import annotations

from bagwright.costing.bag_time import minutes_range, pay_range
from bagwright.errors import BrokenPromise
from bagwright.model.body import PanelBody
from bagwright.model.cost import Purchase
from bagwright.model.money import Money, told_rest
from bagwright.model.piece import CutPiece
from bagwright.units import UnitSystem, print_mass, print_minutes
from bagwright.workflows.answer import SheetLayout
from bagwright.workflows.contracts import read_contract
from bagwright.workflows.price_file import PricedFile, PriceWords, priced_file
from bagwright.workflows.purchase_words import bought_in_words


def price_of_file(text: bytes) -> PricedFile:
    """The whole answer for the bag that JSON `text` describes. Raises `FaultyInput` with every fault."""
    return priced_file(read_contract(text, PriceWords))


def price_as_json(file: PricedFile) -> dict[str, object]:
    """The answer of `bagwright price`; money as text to the cent, in the currency of the workroom."""
    answer = file.answer
    if answer.price is None or answer.plan is None:
        raise BrokenPromise("an answer without problems has a plan and a price")
    minutes, pay = minutes_range(answer.steps), pay_range(answer.price, answer.steps)
    paid, used, _ = answer.money_in_all()
    return {
        "currency": answer.price.paid_price.currency,
        "run_count": answer.bag.run_count,
        "minutes": answer.price.minutes,
        "minutes_range": {"low": minutes[0], "high": minutes[1]},
        "mass_g": answer.mass_g,
        "materials": _cents(answer.price.materials),
        "supplies": _cents(answer.price.supplies),
        "small_supplies": [{"name": one.name, "amount": _cents(one.amount)} for one in answer.small_supplies()],
        "not_counted": list(answer.price.not_counted),
        "stale_prices": [problem.sentence() for problem in file.stale_prices],
        "overhead": _cents(answer.price.overhead),
        "pay": _cents(answer.price.pay),
        "pay_range": {"low": _cents(pay[0]), "high": _cents(pay[1])},
        "fees": _cents(answer.price.fees),
        "floor": _cents(answer.price.floor),
        "paid_price": _cents(answer.price.paid_price),
        "paid": _cents(paid),
        "used": _cents(used),
        "left": _cents(told_rest(paid, used)),
        "purchases": [
            _purchase(one) for bought in (answer.plan, answer.supplies) if bought for one in bought.purchases
        ],
        "cuts": [_cut(cut) for cut in answer.cuts],
        "layouts": [_layout(sheet) for sheet in answer.chosen_layouts()],
        "panels": [_panel(panel) for panel in answer.panels],
    }


def _purchase(one: Purchase) -> dict[str, object]:
    return {
        "material_id": one.material_id,
        "offer_id": one.offer_id,
        "quantity": one.quantity,
        "quantity_unit": one.quantity_unit,
        "needed": one.needed,
        "width_mm": one.width_mm,
        "length_each_mm": one.length_each_mm,
        "paid": _cents(one.paid),
        "used": _cents(one.used),
        "left": _cents(told_rest(one.paid, one.used)),
    }


def _cut(cut: CutPiece) -> dict[str, object]:
    return {
        "piece_id": cut.piece_id,
        "name": cut.name,
        "material_id": cut.material_id,
        "extent": cut.extent,
        "zone": cut.zone,
        "count": cut.count,
        "size_mm": [round(side, 6) for side in (cut.region.width_mm, cut.region.height_mm)],
        "area_mm2": cut.region.area_mm2,
    }


def _layout(sheet: SheetLayout) -> dict[str, object]:
    return {
        "material_id": sheet.material.id,
        "width_mm": sheet.shop_width_mm,
        "usable_width_mm": sheet.request.width_mm,
        "length_mm": sheet.layout.length_mm,
        "share_used": sheet.layout.share_used,
        "checked": sheet.layout.verdict.passed,
    }


def _panel(panel: PanelBody) -> dict[str, object]:
    stands = panel.body.standing_height_mm
    return {
        "key": panel.panel_key,
        "height_mm": panel.height_mm,
        "standing_height_mm": {"low": stands.low, "high": stands.high},
        "stance": panel.stance,
    }


def _cents(money: Money) -> str:
    return str(money.for_display())


def price_in_words(file: PricedFile, units: UnitSystem) -> str:
    """The answer for the maker."""
    answer = file.answer
    price, plan = answer.price, answer.plan
    if price is None or plan is None:
        raise BrokenPromise("an answer without problems has a plan and a price")
    bought = [f"  {bought_in_words(purchase, units)}: {purchase.paid.said()}" for purchase in plan.purchases]
    paid, used, _ = answer.money_in_all()
    left = told_rest(paid, used)
    run = "this bag" if answer.bag.run_count == 1 else f"these {answer.bag.run_count} bags"
    return "\n".join(
        [
            f"Buy for {run}:",
            *bought,
            f"Paid {paid.said()}, thread in it; {used.said()} of that goes into {run}, {left.said()} is left over.",
            f"One bag takes {print_minutes(price.minutes)} and weighs {print_mass(answer.mass_g or 0, units).text}.",
            f"Below {price.floor.said()} it costs you money. At {price.paid_price.said()} your hours are paid.",
            *([f"Not counted: {', '.join(price.not_counted)}."] if price.not_counted else []),
            *(problem.sentence() for problem in file.stale_prices),
        ]
    )
