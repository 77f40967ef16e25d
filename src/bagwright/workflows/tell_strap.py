"""`bagwright strap`: the pull on the ends of a bag's straps, and whether their stitching bears it."""

from __future__ import annotations

from dataclasses import asdict, dataclass

from pydantic import Field

from bagwright.body.strength import (
    ENOUGH,
    GRAVITY_MPS2,
    JERKS,
    NEWTONS_PER_POUND,
    strap_angle_deg,
    strap_join,
    strap_pull_n,
    thread_strength_n,
)
from bagwright.model.sewing import StrapJoin
from bagwright.units import UnitSystem
from bagwright.workflows.contracts import Contract, read_contract


class StrapWords(Contract):
    """What `bagwright strap` reads."""

    load_g: float = Field(ge=1, le=200_000, description="what hangs on the straps, bag included, in g, 1 to 200000")
    ends: int = Field(default=2, ge=1, le=16, description="how many strap ends carry it, 1 to 16")
    drop_mm: float = Field(default=250, ge=10, le=2_000, description="drop of the strap in mm, 10 to 2000")
    spread_mm: float = Field(
        default=0, ge=0, le=2_000, description="how far apart the ends of one strap are in mm, 0 to 2000"
    )
    stitched_mm: float = Field(
        ge=1, le=2_000, description="length of stitching that holds one end, all rows, in mm, 1 to 2000"
    )
    stitch_length_mm: float = Field(default=3, ge=0.5, le=10, description="stitch length in mm, 0.5 to 10")
    thread_tex: float = Field(default=40, ge=5, le=500, description="size of the thread in tex, 5 to 500")


@dataclass(frozen=True, slots=True)
class ToldStrap:
    """One strap end, and the angle at which it pulls."""

    angle_deg: float
    join: StrapJoin


def strap_of_file(text: bytes) -> ToldStrap:
    """The strap end that JSON `text` describes. Raises `FaultyInput` with every fault."""
    return tell_strap(read_contract(text, StrapWords))


def tell_strap(words: StrapWords) -> ToldStrap:
    """The strap end behind the words."""
    angle = strap_angle_deg(words.drop_mm, words.spread_mm) if words.spread_mm else 0.0
    pull = strap_pull_n(words.load_g / 1000 * GRAVITY_MPS2, angle_deg=angle, ends=words.ends)
    thread = thread_strength_n(words.thread_tex)
    return ToldStrap(angle, strap_join(pull, words.stitched_mm, words.stitch_length_mm, thread))


def strap_as_json(told: ToldStrap) -> dict[str, object]:
    """The answer of `bagwright strap`."""
    join = told.join
    return {
        "angle_deg": told.angle_deg,
        "pull_n": join.pull_n,
        "peak_n": join.peak_n,
        "bears_n": asdict(join.bears_n),
        "safety": asdict(join.safety),
        "word": join.word,
        "cautions": list(join.cautions),
    }


def strap_in_words(told: ToldStrap, units: UnitSystem) -> str:
    """The answer for the maker."""
    return "\n".join([*join_lines(told.join, units), *told.join.cautions])


def join_lines(join: StrapJoin, units: UnitSystem) -> tuple[str, str]:
    """The pull on one end, and what its stitching bears of it."""
    return (
        f"Each end is pulled with {force_said(join.pull_n, units)} at rest; reckon with "
        f"{force_said(join.peak_n, units)}, {JERKS:g} times as much, when the bag is swung.",
        f"The stitching bears about {force_said(join.bears_n.low, units)} to {force_said(join.bears_n.high, units)}: "
        f"{join.safety.low:.1f} to {join.safety.high:.1f} times that. {join.word}",
    )


def holds_well(join: StrapJoin) -> bool:
    """Whether the stitching surely bears enough."""
    return join.safety.low >= ENOUGH


def force_said(newtons: float, units: UnitSystem) -> str:
    """A force as the weight that pulls as hard."""
    if units is UnitSystem.METRIC:
        return f"{newtons / GRAVITY_MPS2:.1f} kg"
    return f"{newtons / NEWTONS_PER_POUND:.1f} lb"
