"""`bagwright zip`: one zip worked out, and every zip of a pattern in the same words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from typing import Annotated

from pydantic import Field

from bagwright.drafting.zip_stock import INCH_STOCK_MM, METRIC_STOCK_MM, TAIL_MM
from bagwright.drafting.zip_work import plan_zip, zip_plans
from bagwright.drafting.zips import LEAST_SHOWING_MM, SLIDER_PARKED_MM, line_for_opening_mm, usual_tape_mm
from bagwright.errors import FaultyInput, Problem
from bagwright.model.pattern import Pattern
from bagwright.model.sewn_zip import SewnZip, ZipEnds
from bagwright.model.zip_plan import Advice, BulkPoint, ZipPlan
from bagwright.units import UnitSystem, print_length
from bagwright.workflows.contracts import Contract, read_contract

StockMm = Annotated[float, Field(ge=20, le=5_000, description="a length in mm, 20 to 5000")]


class ZipWords(Contract):
    """What `bagwright zip` reads."""

    opening_mm: float = Field(ge=20, le=3_000, description="how far the zip must open in mm, 20 to 3000")
    size: int = Field(default=5, ge=3, le=10, description="size number of the zip, 3 to 10")
    ends: ZipEnds = Field(default=ZipEnds.TABS, description="one of: " + ", ".join(ZipEnds))
    tape_width_mm: float | None = Field(
        default=None, ge=15, le=80, description="closed zip, tape edge to tape edge, in mm, 15 to 80; null: as usual"
    )
    zip_allowance_mm: float = Field(
        default=6.35, ge=2, le=20, description="from a tape edge to its stitch line in mm, 2 to 20"
    )
    slider_parked_mm: float = Field(
        default=SLIDER_PARKED_MM, ge=3, le=40, description="teeth that the parked slider takes up in mm, 3 to 40"
    )
    under_mm: float = Field(default=9.525, ge=0, le=60, description="tape that goes on under each end in mm, 0 to 60")
    tab_length_mm: float = Field(default=19.05, ge=5, le=200, description="what shows of each tab in mm, 5 to 200")
    facing_mm: float = Field(
        default=0, ge=0, le=500, description="cloth that shows with the zip on either side in mm, 0 to 500"
    )
    ready_made_mm: list[StockMm] = Field(
        default=[round(length, 1) for length in INCH_STOCK_MM],
        max_length=200,
        description="ready-made lengths on sale in mm, up to 200 of them",
    )
    tail_mm: float = Field(
        default=TAIL_MM, ge=0, le=60, description="tape beyond the stops of a ready-made zip in mm, 0 to 60"
    )


def zip_of_file(text: bytes) -> ZipPlan:
    """The plan of the zip that JSON `text` describes. Raises `FaultyInput` with every fault."""
    words = read_contract(text, ZipWords)
    tape_mm = usual_tape_mm(words.size) if words.tape_width_mm is None else words.tape_width_mm
    least_mm = 2 * words.zip_allowance_mm + LEAST_SHOWING_MM
    if tape_mm < least_mm:
        problem = Problem(
            place="tape_width_mm",
            value=f"{tape_mm:g}",
            what="leaves no room for teeth and foot between the stitch lines",
            allowed=f"at least {least_mm:g} mm with this zip allowance",
            remedy="Give a wider tape or a narrower zip allowance.",
        )
        raise FaultyInput([problem])
    return plan_zip(_zip(words, tape_mm), stock_mm=words.ready_made_mm, tail_mm=words.tail_mm)


def _zip(words: ZipWords, tape_mm: float) -> SewnZip:
    return SewnZip(
        key="zip",
        name="Zip",
        number=words.size,
        line_mm=line_for_opening_mm(words.opening_mm, words.ends, words.slider_parked_mm),
        under_mm=words.under_mm,
        tape_mm=tape_mm,
        allowance_mm=words.zip_allowance_mm,
        parked_mm=words.slider_parked_mm,
        ends=words.ends,
        tab_mm=words.tab_length_mm if words.ends is ZipEnds.TABS else 0.0,
        facing_mm=words.facing_mm,
    )


def stock_for(units: UnitSystem) -> Sequence[float]:
    """Ready-made lengths that shops usually sell where those units are used, in mm."""
    return METRIC_STOCK_MM if units is UnitSystem.METRIC else INCH_STOCK_MM


def zips_of(pattern: Pattern, units: UnitSystem) -> tuple[ZipPlan, ...]:
    """The plan of every zip in a pattern, bought from what is usually on sale where those units are used."""
    return zip_plans(pattern, stock_mm=stock_for(units))


def zip_as_json(plan: ZipPlan) -> dict[str, object]:
    """The answer of `bagwright zip`; sentences give lengths in mm."""
    one, (over, up_to) = plan.zip, plan.mouth_mm
    return {
        "key": one.key,
        "name": one.name,
        "size": one.number,
        "ends": one.ends.value,
        "opening_mm": _mm(one.opening_mm),
        "teeth_mm": _mm(one.teeth_mm),
        "between_ends_mm": _mm(one.line_mm),
        "slider_parked_mm": _mm(one.parked_mm),
        "slider_mouth_mm": {"over": over, "up_to": up_to},
        "tape_width_mm": _mm(one.tape_mm),
        "tape_showing_mm": _mm(one.showing_mm),
        "finished_width_mm": _mm(one.finished_mm),
        "tab_length_mm": _mm(one.tab_mm),
        "roll": {"length_mm": _mm(one.chain_mm), "sliders": plan.sliders, "steps": _sentences(plan.from_roll)},
        "ready_made": _ready_made(plan),
        "steps": _sentences(plan.steps),
        "bulk": [{**asdict(point), "advice": point.advice.said(_in_mm)} for point in plan.bulk],
        "cautions": _sentences(plan.cautions),
    }


def _ready_made(plan: ZipPlan) -> dict[str, object] | None:
    if plan.ready_made is None:
        return None
    lengths = {name: place if place is None else _mm(place) for name, place in asdict(plan.ready_made).items()}
    return {**lengths, "steps": _sentences(plan.from_ready_made)}


def _sentences(advice: Sequence[Advice]) -> list[str]:
    return [one.said(_in_mm) for one in advice]


def _in_mm(length_mm: float) -> str:
    return f"{round(length_mm, 2):g} mm"


def _mm(length_mm: float) -> float:
    return round(length_mm, 6) + 0.0


def headline(plan: ZipPlan, units: UnitSystem, *, fraction: int = 16) -> str:
    """What to buy, in one sentence.

    >>> from bagwright.drafting.forms import draft_bag
    >>> from bagwright.drafting.zip_work import zip_plans
    >>> headline(zip_plans(draft_bag("zip_pouch", {}))[0], UnitSystem.INCH)
    'Buy a ready-made zip 10 in long, or cut 10 1/4 in from the roll and put one slider on.'
    """
    cut = f"cut {print_length(plan.zip.chain_mm, units, fraction=fraction).text} from the roll and put one slider on."
    if plan.ready_made is None:
        return cut.capitalize()
    bought = print_length(plan.ready_made.length_mm, units, fraction=fraction).text
    return f"Buy a ready-made zip {bought} long, or {cut}"


def mouth_said(plan: ZipPlan) -> str:
    """The mouth of the slider that goes with the size number, in mm as it is measured."""
    over, up_to = plan.mouth_mm
    return f"over {over:g} mm" if up_to is None else f"over {over:g} up to {up_to:g} mm"


def bulk_said(point: BulkPoint) -> str:
    """Where it is, how many layers lie there and how many beside it."""
    if not point.layers:
        return point.where
    beside = f", {point.layers_beside} beside them" if point.layers_beside != point.layers else ""
    return f"{point.where}: {point.layers} layers{beside}"


def zip_in_words(plan: ZipPlan, units: UnitSystem) -> str:
    """The answer for the maker."""
    return "\n".join(_lines(plan, units))


def _lines(plan: ZipPlan, units: UnitSystem) -> Iterator[str]:
    def said(length_mm: float) -> str:
        return print_length(length_mm, units).text

    one = plan.zip
    yield f"{one.name}, #{one.number}, opens {said(one.opening_mm)}. {headline(plan, units)}"
    yield f"Teeth {said(one.teeth_mm)}, {said(one.showing_mm)} of tape shows, {said(one.finished_mm)} wide in all."
    yield f"The slider's mouth for #{one.number} is {mouth_said(plan)} (ASTM D3657-03, Table 1)."
    parts = [("From the roll:", plan.from_roll), ("Ready-made:", plan.from_ready_made), ("Then:", plan.steps)]
    for heading, sentences in parts:
        if sentences:
            yield ""
            yield heading
            yield from (f"  {number}. {sentence.said(said)}" for number, sentence in enumerate(sentences, start=1))
    yield ""
    yield "Where the foot meets bulk:"
    yield from (f"  {bulk_said(point)}. {point.advice.said(said)}" for point in plan.bulk)
    yield ""
    yield from (caution.said(said) for caution in plan.cautions)
