"""`bagwright bulk`: layers under the needle at every seam and crossing of a bag, against her machine."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace

from pydantic import Field

from bagwright.body.needle import needle_said, within_machine
from bagwright.errors import FaultyInput
from bagwright.model.bulk import Fit, SeamBulk
from bagwright.model.sewing import SewingAdvice
from bagwright.model.source import Band
from bagwright.units import MM_PER_INCH, UnitSystem
from bagwright.workflows.bag_words import BagWords, drafted_bag, place_in_file
from bagwright.workflows.contracts import read_contract
from bagwright.workflows.seam_bulk import USUAL_TAKES_MM, bag_bulks, bag_sewing_advice


class BulkWords(BagWords):
    """What `bagwright bulk` reads."""

    takes_mm: float = Field(
        default=USUAL_TAKES_MM, ge=0.5, le=50, description="most that her machine sews through in mm, 0.5 to 50"
    )
    thickest_needle_nm: int = Field(
        default=0,
        ge=0,
        le=250,
        description="thickest needle that her machine takes, metric number, 0 to 250 (0: not known)",
    )


@dataclass(frozen=True, slots=True)
class ToldBulk:
    """The seams and crossings of a bag, what to sew them with, and what the machine takes."""

    bulks: tuple[SeamBulk, ...]
    advice: SewingAdvice
    takes_mm: float


def bulk_of_file(text: bytes) -> ToldBulk:
    """Bulk at the seams of the bag that JSON `text` describes. Raises `FaultyInput` with every fault."""
    words = read_contract(text, BulkWords)
    bag = drafted_bag(words)
    try:
        bulks = bag_bulks(bag.pattern, bag.stacks, bag.shelf)
        advice = bag_sewing_advice(bag.pattern, bag.stacks, bag.shelf, bulks)
        advice = within_machine(advice, words.thickest_needle_nm)
    except FaultyInput as fault:
        raise FaultyInput(replace(p, place=place_in_file(p.place, words)) for p in fault.problems) from None
    return ToldBulk(bulks, advice, words.takes_mm)


def bulk_as_json(told: ToldBulk) -> dict[str, object]:
    """The answer of `bagwright bulk`."""
    advice = told.advice
    return {
        "seams": [
            {
                "seam_id": bulk.seam_id,
                "name": bulk.name,
                "order": bulk.order,
                "crosses": list(bulk.crosses),
                "at_mm": bulk.at_mm,
                "layers": bulk.layers,
                "thickness_mm": asdict(bulk.thickness_mm),
                "fit": bulk.fit(told.takes_mm).value,
                "trimmed_layers": bulk.trimmed_layers,
                "trimmed_mm": asdict(bulk.trimmed_mm),
                "trimmed_fit": bulk.fit(told.takes_mm, trimmed=True).value,
            }
            for bulk in told.bulks
        ],
        "needle_nm": asdict(advice.needle_nm),
        "thread_tex": asdict(advice.thread_tex),
        "stitch_mm": asdict(advice.stitch_mm),
        "notes": list(advice.notes),
        "sources": list(advice.sources),
    }


def bulk_in_words(told: ToldBulk, units: UnitSystem) -> str:
    """The answer for the maker: each step at its thickest, and what trimming does there."""
    lines = [bulk_line(bulk, told.takes_mm, units) for bulk in thickest_of_steps(told.bulks)]
    advice = told.advice
    return "\n".join(
        [
            f"At its thickest, each step (your machine takes {thick_said(told.takes_mm, units)}):",
            *lines,
            f"Needle {needles_said(advice.needle_nm)}, thread tex {span_said(advice.thread_tex)}, "
            f"stitches {span_said(advice.stitch_mm)} mm long.",
            *advice.notes,
            "Soft layers squeeze under the foot, so this errs towards thick. Try the thickest place on scraps first.",
        ]
    )


def bulk_line(bulk: SeamBulk, takes_mm: float, units: UnitSystem) -> str:
    """One seam or crossing in a line, with what to do if it does not fit.

    >>> bulk = SeamBulk(seam_id="a", name="Sew the sides", order=1, crosses=(), at_mm=None, layers=8,
    ...                 thickness_mm=Band(7, 7), trimmed_layers=4, trimmed_mm=Band(3, 3))
    >>> bulk_line(bulk, 6, UnitSystem.METRIC)
    'Sew the sides: 8 layers, 7.0 mm. Too thick: trim the inner layers out of the seam allowances, that leaves 3.0 mm.'
    """
    said = f"{place_of(bulk)}: {bulk.layers} layers, {thick_said(bulk.thickness_mm.high, units)}."
    return f"{said} {way_out(bulk, takes_mm, units)}".rstrip()


def place_of(bulk: SeamBulk) -> str:
    """The step, and what it crosses."""
    return f"{bulk.name}, where it crosses {_listed(bulk.crosses)}" if bulk.crosses else bulk.name


def way_out(bulk: SeamBulk, takes_mm: float, units: UnitSystem) -> str:
    """What to do where it does not surely fit; nothing where it does."""
    if bulk.fit(takes_mm) is Fit.FITS:
        return ""
    verdict = "Too thick" if bulk.fit(takes_mm) is Fit.TOO_THICK else "It may be too thick"
    if bulk.fit(takes_mm, trimmed=True) is Fit.FITS:
        left = thick_said(bulk.trimmed_mm.high, units)
        return f"{verdict}: trim the inner layers out of the seam allowances, that leaves {left}."
    return f"{verdict}, even trimmed: leave a layer out there, hammer it flat, or sew it by hand."


def thickest_of_steps(bulks: Sequence[SeamBulk]) -> tuple[SeamBulk, ...]:
    """Each step of work at its thickest place, in the order of work."""
    thickest: dict[tuple[int, str], SeamBulk] = {}
    for bulk in bulks:
        key = (bulk.order, bulk.name)
        if key not in thickest or bulk.thickness_mm.high > thickest[key].thickness_mm.high:
            thickest[key] = bulk
    return tuple(thickest.values())


def _listed(names: tuple[str, ...]) -> str:
    return " and ".join(f'"{name}"' for name in names)


def thick_said(thickness_mm: float, units: UnitSystem) -> str:
    """A thickness at a seam in her units."""
    return f"{thickness_mm:.1f} mm" if units is UnitSystem.METRIC else f"{thickness_mm / MM_PER_INCH:.2f} in"


def needles_said(band: Band) -> str:
    """Needles in the metric number, and the American one where there is one.

    >>> needles_said(Band(100, 110)), needles_said(Band(90, 90))
    ('100/16 to 110/18', '90/14')
    """
    ends = dict.fromkeys((band.low, band.high))
    return " to ".join(needle_said(end) for end in ends)


def span_said(band: Band) -> str:
    """From one number to another."""
    return f"{band.low:g}" if band.low == band.high else f"{band.low:g} to {band.high:g}"
