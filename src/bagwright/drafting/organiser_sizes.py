"""What an organiser asks for, and what of it fits: rows and columns of pockets, its rim, how it hangs or folds."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import IntEnum

from bagwright.drafting.form_spec import FitRule
from bagwright.drafting.measurements import (
    COMMON_PRACTICE,
    Choice,
    MeasurementSpec,
    Room,
    Sizes,
    count_spec,
    size_spec,
    too_small,
)
from bagwright.errors import Problem

MOST_ROWS = 5
LEAST_ROW_MM = 50.0
LEAST_POCKET_MM = 45.0
"""Narrowest pocket that two fingers reach into (common practice, no source)."""
DEEPEST_SHARE = 0.8
"""Depth of a pocket over its width: the two pleats at its foot must not reach one another."""
LEAST_DEPTH_MM = 4.0
"""Less makes pleats too small to fold: they are half as wide (common practice, no source)."""
HEAD_MM = 12.0
HUNG_HEAD_MM = 45.0
"""Bare cloth above the top row, at the least; more where it hangs, for loops or grommets (common practice)."""
HANG_POINTS_APART_MM = 120.0


class Carried(IntEnum):
    """How it is hung up or put away."""

    LOOPS = 0
    GROMMETS = 1
    HALVES = 2
    THIRDS = 3


HUNG, FOLDED = Choice("carried", (0, 1)), Choice("carried", (2, 3))
BOUND = Choice("edge_finish", (0,))
_NET_KEYS = ("edge_finish", "binding_width_mm")


@dataclass(frozen=True, slots=True)
class OrganiserSizes:
    """The numbers that follow from what is asked."""

    sizes: Sizes

    @property
    def is_bound(self) -> bool:
        """Whether a binding goes round it; if not, it is turned right side out."""
        return BOUND.is_made(self.sizes)

    @property
    def rim_mm(self) -> float:
        """Cloth outside the stitch line round the rim: as much as the binding is wide, if there is one."""
        return self.sizes["binding_width_mm" if self.is_bound else "seam_allowance_mm"]

    @property
    def net_mm(self) -> tuple[float, float]:
        """Width and height between the stitch lines of the rim."""
        inset = 2 * self.sizes["binding_width_mm"] if self.is_bound else 0.0
        return self.sizes["panel_width_mm"] - inset, self.sizes["height_mm"] - inset

    @property
    def columns(self) -> int:
        """Pockets side by side."""
        return int(self.sizes["pocket_columns"])

    @property
    def heights_mm(self) -> list[float]:
        """Of the rows, from the lowest up."""
        return [self.sizes[row_key(number)] for number in range(1, int(self.sizes["pocket_rows"]) + 1)]

    @property
    def head_mm(self) -> float:
        """Least bare cloth above the top row."""
        return HUNG_HEAD_MM if HUNG.is_made(self.sizes) else HEAD_MM

    @property
    def carried(self) -> Carried:
        """How it is hung up or put away."""
        return Carried(int(self.sizes["carried"]))

    @property
    def parts(self) -> int:
        """How many parts it folds into, side by side."""
        return {Carried.HALVES: 2, Carried.THIRDS: 3}.get(self.carried, 1)

    @property
    def folds_mm(self) -> list[float]:
        """Where it folds, across the net width."""
        return [self.net_mm[0] * number / self.parts for number in range(1, self.parts)]


def row_key(number: int) -> str:
    """The measurement of a row's height."""
    return f"row_{number}_height_mm"


def _most_rows(sizes: Sizes) -> tuple[float, float]:
    one = OrganiserSizes(sizes)
    room = one.net_mm[1] - one.head_mm + sizes["row_gap_mm"]
    return 1, room // (LEAST_ROW_MM + sizes["row_gap_mm"])


def _most_columns(sizes: Sizes) -> tuple[float, float]:
    return 1, OrganiserSizes(sizes).net_mm[0] // LEAST_POCKET_MM


def _most_hang_points(sizes: Sizes) -> tuple[float, float]:
    return 1, max(1.0, OrganiserSizes(sizes).net_mm[0] // HANG_POINTS_APART_MM)


def _depth(sizes: Sizes) -> tuple[float, float]:
    one = OrganiserSizes(sizes)
    return 0.0, DEEPEST_SHARE * one.net_mm[0] / one.columns


def _row_spec(number: int) -> MeasurementSpec:
    """Height of one row: what the rows below it, and the least of those above it, leave."""

    def limits(sizes: Sizes) -> tuple[float, float]:
        one, rows = OrganiserSizes(sizes), int(sizes["pocket_rows"])
        below = sum(one.heights_mm[: number - 1])
        above = max(rows - number, 0) * LEAST_ROW_MM
        return 0.0, one.net_mm[1] - one.head_mm - below - above - (rows - 1) * sizes["row_gap_mm"]

    keys = ("height_mm", *_NET_KEYS, "carried", "pocket_rows", "row_gap_mm", *(row_key(n) for n in range(1, number)))
    return size_spec(
        row_key(number),
        f"Height of row {number}",
        "Finished height of the pockets in the lowest row." if number == 1 else "Finished height of its pockets.",
        (LEAST_ROW_MM, 114.3, 600),
        needs=Choice("pocket_rows", tuple(range(number, MOST_ROWS + 1))) if number > 1 else None,
        room=Room(keys, limits, "is too low to be a pocket", "leaves no room for the rows and the cloth above them"),
    )


ORGANISER_SPECS = (
    size_spec("panel_width_mm", "Width", "Finished width lying open, edge to edge.", (150, 406.4, 1000)),
    size_spec("height_mm", "Height", "Finished height, edge to edge.", (160, 508, 1500)),
    count_spec(
        "edge_finish",
        "Edge",
        "Bound all round with a mitred strip, or sewn right sides together and turned.",
        (0, 0, 1),
        choices=("bound", "turned"),
    ),
    size_spec("binding_width_mm", "Binding width", "Width of the binding that shows.", (6, 12.7, 25), needs=BOUND),
    count_spec(
        "carried",
        "Hangs or folds",
        "How it is hung up or put away.",
        (0, 0, 3),
        choices=(
            "loops to hang it by",
            "grommets to hang it by",
            "folds in half, with a tie",
            "folds in three, with a tie",
        ),
    ),
    count_spec(
        "pocket_rows",
        "Rows of pockets",
        "How many rows of pockets lie one above the other.",
        (1, 3, MOST_ROWS),
        room=Room(
            ("height_mm", *_NET_KEYS, "carried", "row_gap_mm"), _most_rows, "", "is more than fit above one another"
        ),
    ),
    count_spec(
        "pocket_columns",
        "Pockets in a row",
        "How many pockets lie side by side.",
        (1, 2, 6),
        room=Room(("panel_width_mm", *_NET_KEYS), _most_columns, "", "makes pockets too narrow to reach into"),
    ),
    size_spec(
        "row_gap_mm",
        "Gap between rows",
        "Bare cloth from the top of one row to the foot of the next.",
        (10, 25.4, 200),
        needs=Choice("pocket_rows", tuple(range(2, MOST_ROWS + 1))),
    ),
    *(_row_spec(number) for number in range(1, MOST_ROWS + 1)),
    size_spec(
        "pocket_depth_mm",
        "Pocket depth",
        "How far each pocket opens; twice as much cloth lies in two pleats at its foot. 0 for flat pockets.",
        (0, 19.05, 100),
        room=Room(
            ("panel_width_mm", *_NET_KEYS, "pocket_columns"),
            _depth,
            "",
            "makes the pleats of a pocket meet at its foot",
        ),
    ),
    count_spec(
        "hang_points",
        "Loops or grommets",
        "How many loops or grommets it hangs by.",
        (1, 2, 6),
        needs=HUNG,
        room=Room(("panel_width_mm", *_NET_KEYS), _most_hang_points, "", "puts them closer together than they need be"),
    ),
    size_spec(
        "loop_width_mm", "Loop width", "Finished width of a loop.", (12.7, 19.05, 38), needs=Choice("carried", (0,))
    ),
    size_spec(
        "loop_length_mm", "Loop length", "How far a loop stands out.", (15, 38.1, 150), needs=Choice("carried", (0,))
    ),
    size_spec("tie_width_mm", "Tie width", "Finished width of the tie.", (6, 12.7, 25.4), needs=FOLDED),
    size_spec("tie_length_mm", "Tie length", "Length of the tie, end to end.", (300, 762, 1500), needs=FOLDED),
    size_spec(
        "seam_allowance_mm",
        "Seam allowance",
        "Cloth outside the stitch line where no binding covers it.",
        (6, 9.525, 20),
        source=COMMON_PRACTICE,
    ),
)


def _fold_between_pockets(sizes: Sizes) -> Problem | None:
    """A fold goes between pockets, so the number of pockets is a multiple of the number of parts."""
    one = OrganiserSizes(sizes)
    if one.columns % one.parts == 0:
        return None
    nearest = max(one.columns // one.parts, 1) * one.parts
    if nearest > _most_columns(sizes)[1]:
        return _said("carried", sizes, "has more parts than pockets fit side by side", 2)
    return _said("pocket_columns", sizes, "puts a fold through the pockets", nearest)


def _said(key: str, sizes: Sizes, what: str, nearest: int) -> Problem:
    return Problem(
        place=key,
        value=f"{sizes[key]:g}",
        what=what,
        allowed=f"{nearest} with the other sizes as they are",
        remedy="Type that number, or change the sizes it has to fit.",
    )


def _deep_or_flat(sizes: Sizes) -> Problem | None:
    if not sizes["pocket_depth_mm"]:
        return None
    problem = too_small(sizes, "pocket_depth_mm", LEAST_DEPTH_MM, "is too little to fold a pleat of")
    return problem and replace(problem, allowed=f"{problem.allowed}; or 0 for flat pockets")


ORGANISER_RULES = (
    FitRule(("carried", "pocket_columns", "panel_width_mm", *_NET_KEYS), _fold_between_pockets),
    FitRule(("pocket_depth_mm",), _deep_or_flat),
)
