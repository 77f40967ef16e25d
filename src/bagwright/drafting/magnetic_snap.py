"""A magnetic snap: one half on either face of the lining, or one under a flap and one on the front below it.

Each half is set through a punched mark, with a square of firm cloth fused or glued behind it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from bagwright.drafting import cautions
from bagwright.drafting.faces import Face
from bagwright.drafting.form_spec import AddOn
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import COMMON_PRACTICE, Choice, MeasurementSpec, Room, Sizes, count_spec, size_spec
from bagwright.drafting.pocket_place import BELOW_TOP_MM, with_note
from bagwright.drafting.pocket_zip_sizes import HUNG
from bagwright.drafting.roles import MAGNETIC_SNAP, REINFORCEMENT
from bagwright.drafting.steps import Handling
from bagwright.geometry.curves import Point
from bagwright.geometry.outline import rectangle_outline
from bagwright.model.pattern import NotionNeed, Stage
from bagwright.model.piece import DrillMark, EdgeUse, Piece

MARGIN_MM = 8.0
"""From the rim of a half to a seam or a fold, so that a foot passes (common practice, no source)."""
AROUND_MM = 12.7
"""By how much the square behind a half reaches beyond it (common practice, no source)."""
_CHOSEN = Choice("magnetic_snap")
_COUNT = count_spec(
    "magnetic_snap", "Magnetic snap", "Whether the bag closes with one.", (0, 0, 1), choices=("none", "one")
)
_WIDTH = size_spec(
    "snap_width_mm",
    "Snap width",
    "Diameter of the magnetic snap; measure yours.",
    (10, 18, 25),
    source=COMMON_PRACTICE,
    needs=_CHOSEN,
)


def lining_snap(face: Face) -> AddOn:
    """Both halves in the middle of the lining, front and back, at the same distance below the top.

    They lie above a pocket there; under one that hangs from the top there is no place for them.
    """

    def below(sizes: Sizes) -> tuple[float, float]:
        radius = sizes["snap_width_mm"] / 2
        return radius + MARGIN_MM, _free_below_top_mm(face, sizes) - radius

    def add(making: Making, sizes: Sizes) -> Making:
        box = face.box(sizes)
        at = box.middle_mm, box.top_mm - sizes["snap_below_top_mm"]
        return _with_snap(making, sizes, [(face.piece_id, at), (face.piece_id, at)])

    spec = size_spec(
        "snap_below_top_mm",
        "Snap below the top",
        "From the top edge of the lining down to the middle of the snap.",
        (10, 25.4, 200),
        needs=_CHOSEN,
        room=Room(
            (*face.keys, "snap_width_mm", "zip_pocket_below_top_mm"),
            below,
            "lies under the top seam",
            "puts the snap on a pocket or off the face",
        ),
    )
    return _add_on((spec,), add)


def _free_below_top_mm(face: Face, sizes: Sizes) -> float:
    """How far below the top of the face the first thing lies that a snap must not be on; none under a hung pocket."""
    if sizes["zip_pocket"] == HUNG:
        return 0.0
    free = [face.box(sizes).height_mm - MARGIN_MM]
    if sizes["inside_pockets"]:
        free.append(BELOW_TOP_MM)
    if sizes["zip_pocket"]:
        free.append(sizes["zip_pocket_below_top_mm"] - MARGIN_MM)
    return min(free)


def flap_snap() -> AddOn:
    """One half under the flap, the other on the front of the outer where it comes to lie.

    The flap runs over the depth of the bag and then down the front; a half `s` above its tip meets the front at
    flap length - depth - s below the top (derived; how thick the bag is packed is left out).
    """

    def above(sizes: Sizes) -> tuple[float, float]:
        least, fall = sizes["snap_width_mm"] / 2 + MARGIN_MM, flap_fall_mm(sizes)
        if not sizes["outside_pockets"]:
            return max(least, fall - sizes["height_mm"] + least), fall - least
        # Between the top of the front and its pocket.
        return max(least, fall - BELOW_TOP_MM + sizes["snap_width_mm"] / 2), fall - least

    def add(making: Making, sizes: Sizes) -> Making:
        under, front = making.piece("lining_flap"), making.piece("outer")
        down = flap_fall_mm(sizes) - sizes["snap_above_tip_mm"]
        top = front.edge("top")
        halves = [
            (under.id, (under.edge("top").length_mm / 2, sizes["snap_above_tip_mm"])),
            (front.id, (top.length_mm / 2, top.start[1] - down)),
        ]
        making = _with_snap(making, sizes, halves)
        noted = with_note(making.piece("outer"), "The snap is for one of the two, the front.")
        return making.with_changed(noted)

    spec = size_spec(
        "snap_above_tip_mm",
        "Snap above the flap's tip",
        "From the lower edge of the flap up to the middle of the snap.",
        (10, 31.75, 300),
        needs=_CHOSEN,
        room=Room(
            ("flap_length_mm", "depth_mm", "height_mm", "snap_width_mm"),
            above,
            "puts the snap off the front or on its pocket, or under the rim of the flap",
            "puts the snap on the fold of the flap or the top of the bag",
        ),
    )
    return _add_on((spec,), add)


def flap_fall_mm(sizes: Sizes) -> float:
    """How far the flap hangs down the front: its length less the depth it runs over."""
    return sizes["flap_length_mm"] - sizes["depth_mm"]


def _add_on(place: tuple[MeasurementSpec, ...], add: Callable[[Making, Sizes], Making]) -> AddOn:
    return AddOn(
        key="magnetic_snap",
        name="Magnetic snap",
        measurements=(_COUNT, _WIDTH, *place),
        add=add,
        roles=(MAGNETIC_SNAP, REINFORCEMENT),
    )


def _with_snap(making: Making, sizes: Sizes, halves: Sequence[tuple[str, Point]]) -> Making:
    """The bag with its marks, the squares behind them, and the snap."""
    for host, at in dict(halves).items():
        piece = making.piece(host)
        making = making.with_changed(replace(piece, drill_marks=(*piece.drill_marks, DrillMark("snap", at))))
    square = _square(sizes["snap_width_mm"] + 2 * AROUND_MM, tuple(host for host, _ in halves))
    behind = "Fuse or glue a square behind each mark for the snap, on the wrong side"
    through = "Cut the two slits at each mark, push the prongs through cloth, square and washer and bend them outwards"
    return making.having(
        pieces=(square,),
        steps=(
            Handling("snap-square", behind, stage=Stage.FUSE, cautions=(cautions.IRON,)),
            Handling("snap", through, stage=Stage.PARTS, cautions=(cautions.MAGNET, cautions.SHEET_TOOLS)),
        ),
        notions=(NotionNeed(role="magnetic_snap", name="Magnetic snap, two halves with washers", count=1),),
        cautions=(cautions.MAGNET, cautions.SHEET_TOOLS),
    )


def _square(side_mm: float, hosts: tuple[str, ...]) -> Piece:
    net = rectangle_outline(side_mm, side_mm)
    names = [edge.name for edge in net.edges]
    return Piece(
        id="snap_square",
        name="Square behind the snap",
        role="reinforcement",
        net=net,
        allowance_mm=dict.fromkeys(names, 0.0),
        edge_use=dict.fromkeys(names, EdgeUse.OPENING),
        count=len(hosts),
        drill_marks=(DrillMark("snap", (side_mm / 2, side_mm / 2)),),
        fixed_to=hosts,
    )
