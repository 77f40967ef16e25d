"""The organiser: a back and a front of one rectangle, rows of pockets on the front, to hang up or to fold.

All of it is drawn lying open, seen from the front; the back's left lies on the front's right.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from bagwright.drafting.form_spec import FormSpec
from bagwright.drafting.hang_ups import (
    GROMMET,
    Loops,
    organiser_loops,
    turning_gap,
    with_grommets,
    with_loops,
    with_tie,
)
from bagwright.drafting.lined_bag import split
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import Sizes
from bagwright.drafting.mitred_binding import ROUND, MitredBinding, mitred_binding
from bagwright.drafting.organiser_sizes import (
    ORGANISER_RULES,
    ORGANISER_SPECS,
    Carried,
    OrganiserSizes,
    row_key,
)
from bagwright.drafting.pocket_rows import PocketRow, row_steps
from bagwright.drafting.roles import BINDING, LINING, OUTER, POCKET, STRAP
from bagwright.drafting.steps import Caught, Step, StitchLine, against, along, part
from bagwright.geometry.outline import rectangle_outline
from bagwright.model.pattern import AssembledMeasure, Panel, SeamKind, Span, Stage
from bagwright.model.piece import Bend, EdgeUse, Notch, Piece

HALF_OPEN_DEG = 55.0
"""How far it is turned at a fold where it is shown: the pockets are seen."""

Rows = Sequence[tuple[PocketRow, Piece]]
Rim = dict[str, StitchLine]


def begin_organiser(sizes: Sizes) -> Making:
    """Back, front and pockets, joined round the rim."""
    one = OrganiserSizes(sizes)
    rows = _rows(one)
    front, back = _ground("front", one, rows), _ground("back", one, ())
    creases = [(x, HALF_OPEN_DEG) for x in one.folds_mm]
    binding = mitred_binding(one.rim_mm, one.net_mm, creases) if one.is_bound else None
    loops = organiser_loops(one)
    rim = _rim(front, back, _caught(rows, loops, one), binding)
    making = Making(
        pieces=(front, back, *(strip for _, strip in rows), *(binding.pieces if binding else ())),
        steps=(
            *row_steps(rows, front),
            _held(rows, front, one),
            *([loops.held(back)] if loops else []),
            *(_bound(rim, binding, loops) if binding else _turned(rim, one)),
        ),
        assembled=_measures(one, binding),
        panels=(_panel(one),),
    )
    if loops:
        return with_loops(making, loops, one)
    return with_grommets(making, one) if one.carried is Carried.GROMMETS else with_tie(making, one)


def _rows(one: OrganiserSizes) -> list[tuple[PocketRow, Piece]]:
    """Each row with its strip, from the lowest up."""
    rows, foot = [], 0.0
    for number, high in enumerate(one.heights_mm, start=1):
        row = PocketRow(
            number=number,
            foot_mm=foot,
            high_mm=high,
            ground_mm=one.net_mm[0],
            columns=one.columns,
            depth_mm=one.sizes["pocket_depth_mm"],
        )
        strip = row.strip(one.rim_mm if number == 1 else one.sizes["seam_allowance_mm"], one.rim_mm)
        rows.append((row, _folded_with_ground(row, strip, one)))
        foot += high + one.sizes["row_gap_mm"]
    return rows


def _folded_with_ground(row: PocketRow, strip: Piece, one: OrganiserSizes) -> Piece:
    """The folds lie between pockets, where the strip lies on the ground."""
    folds = [x * row.strip_mm / row.ground_mm for x in one.folds_mm]
    bends = tuple(Bend((x, 0.0), (x, row.high_mm), -HALF_OPEN_DEG) for x in folds)
    return replace(strip, bends=(*strip.bends, *bends))


def _ground(key: str, one: OrganiserSizes, rows: Rows) -> Piece:
    (wide, high), is_front = one.net_mm, key == "front"
    names = ("bottom", "right", "top", "left")
    gap = turning_gap(one) if is_front and not one.is_bound else ()
    turn = -HALF_OPEN_DEG if is_front else HALF_OPEN_DEG
    return Piece(
        id=key,
        name="Front, behind the pockets" if is_front else "Back",
        role="lining" if is_front else "outer",
        net=rectangle_outline(wide, high),
        allowance_mm=dict.fromkeys(names, one.rim_mm),
        edge_use=dict.fromkeys(names, EdgeUse.SEAM),
        notches=(*(Notch(edge, wide / 2) for edge in ("bottom", "top")), *(Notch("top", at) for at in gap)),
        lines=tuple(line for row, _ in rows for line in row.ground_lines()),
        bends=tuple(Bend((x, 0.0), (x, high), turn) for x in one.folds_mm),
    )


def _caught(rows: Rows, loops: Loops | None, one: OrganiserSizes) -> dict[str, list[Caught]]:
    """What the rim catches along the front's edges, counter-clockwise: strips, the lowest foot, loops."""
    high = one.net_mm[1]
    caught: dict[str, list[Caught]] = {"bottom": [], "left": [], "right": [], "top": loops.caught() if loops else []}
    for row, strip in rows:
        top = row.foot_mm + row.high_mm
        caught["right"].append(Caught(row.foot_mm, top, along(strip, 1, "right")))
        caught["left"].append(Caught(high - top, high - row.foot_mm, along(strip, 1, "left")))
        if not row.foot_mm:
            caught["bottom"] += row.foot_caught(strip)
    return caught


def _held(rows: Rows, front: Piece, one: OrganiserSizes) -> Step:
    """Basting strips to the edges of the front."""
    caught = _caught(rows, None, one)
    lines = [StitchLine((along(front, 1, "bottom"),), tuple(caught["bottom"]))]
    for edge in ("left", "right"):
        for end in caught[edge]:
            side = part(along(front, 1, edge), end.start_mm, end.end_mm)
            lines.append(StitchLine((side, end.side)))
    name = "Baste the ends of the strips, and the lowest foot, to the edges of the front"
    return Step("held", name, SeamKind.BASTE, tuple(lines), stage=Stage.POCKETS)


def _rim(front: Piece, back: Piece, caught: dict[str, list[Caught]], binding: MitredBinding | None) -> Rim:
    """Front and back all round, and the binding on both of them, counter-clockwise."""
    other = {"left": "right", "right": "left"}
    return {
        edge: StitchLine(
            (along(front, 1, edge), against(back, 1, other.get(edge, edge)), *(binding.sides(edge) if binding else ())),
            tuple(caught[edge]),
        )
        for edge in ROUND
    }


def _bound(rim: Rim, binding: MitredBinding, loops: Loops | None) -> tuple[Step, ...]:
    name = "Lay back and front wrong sides together; slip the frame over their edges and stitch it down all round"
    sewn = Step("rim", name, SeamKind.LOCKSTITCH, tuple(rim.values()), stage=Stage.JOIN)
    return (binding.mitres(), sewn, *([loops.flipped(binding)] if loops else []))


def _turned(rim: Rim, one: OrganiserSizes) -> tuple[Step, ...]:
    """The gap lies in the top, clear of the loops."""
    lockstitch = SeamKind.LOCKSTITCH
    beside, gap = split(rim["top"], *turning_gap(one))
    lines = (rim["bottom"], rim["right"], *beside, rim["left"])
    sew = "Sew front and back right sides together all round, leaving a gap at the top"
    turn = "Turn right side out through the gap, press, and close it"
    return (
        Step("rim", sew, lockstitch, lines, stage=Stage.JOIN),
        Step("gap", turn, lockstitch, (gap,), stage=Stage.CLOSE),
        Step("edge", "Topstitch all round", SeamKind.TOPSTITCH, tuple(rim.values()), stage=Stage.CLOSE),
    )


def _measures(one: OrganiserSizes, binding: MitredBinding | None) -> tuple[AssembledMeasure, ...]:
    bound, columns = binding.width_spans(2.0) if binding else (), one.columns
    spans = {
        "panel_width_mm": (Span("front", "bottom"), *bound),
        "height_mm": (Span("front", "right"), *bound),
        **{row_key(n): (Span(f"row_{n}", "left"),) for n in range(1, len(one.heights_mm) + 1)},
        "pocket_depth_mm": (Span("row_1", "bottom", 0.5 / columns), Span("front", "bottom", -0.5 / columns)),
        **({"binding_width_mm": binding.width_spans(1.0)} if binding else {}),
    }
    return tuple(AssembledMeasure(key=key, asked_mm=one.sizes[key], spans=found) for key, found in spans.items())


def _panel(one: OrganiserSizes) -> Panel:
    height = one.sizes["height_mm"]
    return Panel(
        key="face", name="Back and front", piece_ids=("back", "front"), height_mm=height, copies=1, is_upright=False
    )


ORGANISER = FormSpec(
    key="organiser",
    name="Organiser with rows of pockets",
    summary="A flat panel with rows of pockets, to hang by loops or grommets or to fold and tie.",
    own_measurements=ORGANISER_SPECS,
    begin=begin_organiser,
    own_rules=ORGANISER_RULES,
    own_roles=(OUTER, LINING, POCKET, BINDING, STRAP, GROMMET),
)
