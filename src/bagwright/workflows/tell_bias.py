"""`bagwright bias`: the square that a continuous bias strip takes, and the strips to cut and join instead."""

from __future__ import annotations

from dataclasses import dataclass

from pydantic import Field, model_validator

from bagwright.drafting.bias import bias_joins, bias_strip_length_mm, square_for_bias_mm
from bagwright.errors import FaultyInput, Problem
from bagwright.units import UnitSystem, print_cloth_length, print_length
from bagwright.workflows.contracts import Contract, read_contract


class BiasWords(Contract):
    """What `bagwright bias` reads."""

    length_mm: float = Field(ge=1, le=1_000_000, description="length of strip needed in mm, 1 to 1000000")
    strip_mm: float = Field(ge=1, le=1_000, description="cut width of the strip in mm, 1 to 1000")
    allowance_mm: float = Field(default=6.35, ge=0, le=50, description="seam allowance of each join in mm, 0 to 50")
    width_mm: float = Field(ge=1, le=20_000, description="usable width of the cloth in mm, 1 to 20000")

    @model_validator(mode="after")
    def _cloth_gives_a_strip(self) -> BiasWords:
        if self.width_mm <= 4 * self.allowance_mm:
            problem = Problem(
                place="width_mm",
                value=f"{self.width_mm:g}",
                what="is too narrow to join bias strips from",
                allowed=f"more than {4 * self.allowance_mm:g} mm",
                remedy="Take a wider cloth, or a smaller allowance.",
            )
            raise FaultyInput([problem])
        return self


@dataclass(frozen=True, slots=True)
class ToldBias:
    """`square_mm`: side of the square that gives the strip in one go; `gives_mm`: what it gives.

    `strips`, `joins`: the same out of single strips cut at 45 degrees from edge to edge.
    """

    square_mm: float
    gives_mm: float
    fits_width: bool
    strips: int
    joins: int


def bias_of_file(text: bytes) -> ToldBias:
    """The strip that JSON `text` asks for. Raises `FaultyInput` with every fault."""
    words = read_contract(text, BiasWords)
    return told_bias(words.length_mm, words.strip_mm, cloth_mm=words.width_mm, allowance_mm=words.allowance_mm)


def told_bias(length_mm: float, strip_mm: float, *, cloth_mm: float, allowance_mm: float) -> ToldBias:
    """The square for so much bias strip, and the single strips instead, on cloth `cloth_mm` wide.

    The square is sqrt(length x width) plus one seam allowance, which the tube's seam takes: the trade's formula, with
    the allowance as in a quilter's worked example (22 in square, 3 in strip: 21.75^2 / 3 = 157.7 in).
    """
    square_mm = square_for_bias_mm(length_mm, strip_mm) + allowance_mm
    gives_mm = bias_strip_length_mm((square_mm - allowance_mm) ** 2, strip_mm)
    joins = bias_joins(length_mm, strip_mm, cloth_mm, allowance_mm=allowance_mm)
    return ToldBias(square_mm, gives_mm, square_mm <= cloth_mm, joins + 1, joins)


def bias_as_json(told: ToldBias) -> dict[str, object]:
    """The answer of `bagwright bias`."""
    return {
        "square_mm": told.square_mm,
        "gives_mm": told.gives_mm,
        "fits_width": told.fits_width,
        "strips": told.strips,
        "joins": told.joins,
    }


def bias_in_words(told: ToldBias, units: UnitSystem) -> str:
    """The answer for the maker."""
    square, gives = print_length(told.square_mm, units).text, print_cloth_length(told.gives_mm, units).text
    strips = "1 strip" if told.strips == 1 else f"{told.strips} strips"
    joins = {0: "no join", 1: "one join"}.get(told.joins, f"{told.joins} joins")
    said = [
        f"A square of {square} gives {gives} of continuous bias strip: cut it in two on the slant, sew it to a tube "
        "one strip out of step, and cut round and round.",
        f"Or cut {strips} at 45 degrees from edge to edge of the cloth: {joins}.",
    ]
    if not told.fits_width:
        said.insert(1, "That is wider than your cloth: make two smaller squares.")
    return "\n".join(said)
