"""The folded card wallet: a cover and an inside of one shape, stepped card pockets on either half.

Everything is drawn open and seen from inside; the spine lies in the middle, `fold_ease_mm` wide. Card pocket 1 is the
front one of each half: a single layer whose slanted top is hemmed, cut as a mirrored pair. The ones behind it are
folded double along their top edge, each one step higher, and stitched down along their foot.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from bagwright.drafting.cards import (
    CARD_HEIGHT_MM,
    CARD_SIDE_EASE_MM,
    CARD_SOURCE,
    CARD_TOP_EASE_MM,
    CARD_WIDTH_MM,
    corner_lift_mm,
    pocket_height_mm,
    roundest_corner_mm,
)
from bagwright.drafting.form_spec import FitRule, FormSpec
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import COMMON_PRACTICE, Sizes, count_spec, size_spec, too_large, too_small
from bagwright.drafting.roles import LINING, OUTER, POCKET
from bagwright.drafting.steps import Caught, Step, StitchLine, against, along, part
from bagwright.errors import Problem
from bagwright.geometry.curves import Arc, Line, Point
from bagwright.geometry.outline import Edge, Outline, rectangle_outline
from bagwright.model.pattern import AssembledMeasure, Panel, SeamKind, Span, Stage
from bagwright.model.piece import Bend, EdgeUse, Mirror, Notch, Piece, PlacementLine

SLANT_SHARE = 1 / 3
SLANT_HEM_MM = 6.35
LEAST_RADIUS_MM = 1.0
GAP_SHARE = 0.5
LONGEST_GAP_MM = 101.6
HALF_OPEN_DEG = 55.0
"""How far each leaf is turned from flat where the wallet is shown; 90 is closed."""


def begin_card_wallet(sizes: Sizes) -> Making:
    """Cover, inside and card pockets."""
    cover, inside = _leaf("cover", sizes), _leaf("inside", sizes)
    front = _front_pocket(sizes)
    back = _back_pocket(sizes) if sizes["card_pockets"] > 1 else None
    panel = Panel(
        key="cover",
        name="Cover, open",
        piece_ids=("cover", "inside"),
        height_mm=sizes["height_mm"],
        copies=1,
        is_upright=False,
    )
    return Making(
        pieces=(cover, inside, front, *([back] if back else [])),
        steps=tuple(_steps(cover, inside, front, back, sizes)),
        assembled=_measures(sizes),
        panels=(panel,),
    )


def _open_width_mm(sizes: Sizes) -> float:
    return 2 * sizes["closed_width_mm"] + sizes["fold_ease_mm"]


def _leaf(piece_id: str, sizes: Sizes) -> Piece:
    net = _rounded_rectangle(_open_width_mm(sizes), sizes["height_mm"], sizes["corner_radius_mm"])
    is_cover = piece_id == "cover"
    # Both halves are alike, so the spine lies at the same distances from either end of top and bottom.
    spine = [_spine(sizes) + ease - sizes["corner_radius_mm"] for ease in (0.0, sizes["fold_ease_mm"])]
    gap = [] if is_cover else list(_gap_in(net.edge("top").length_mm))
    places = [(edge, at) for edge in ("bottom", "top") for at in spine] + [("top", at) for at in gap]
    return Piece(
        id=piece_id,
        name="Cover" if is_cover else "Inside",
        role="outer" if is_cover else "lining",
        net=net,
        allowance_mm={edge.name: sizes["seam_allowance_mm"] for edge in net.edges},
        edge_use={edge.name: EdgeUse.SEAM for edge in net.edges},
        notches=tuple(Notch(edge, at) for edge, at in places),
        bends=_spine_bends(sizes, is_cover=is_cover),
        lines=_spine_lines(sizes) + (() if is_cover else tuple(_foot_lines(sizes))),
    )


def _rounded_rectangle(width: float, height: float, radius: float) -> Outline:
    """Edges bottom, right, top, left with an arc between each two (`corner_bottom_right`...) unless the radius is 0."""
    if radius == 0:
        return rectangle_outline(width, height)
    r = radius
    sides: list[tuple[str, Point, Point, str, Point]] = [
        ("bottom", (r, 0.0), (width - r, 0.0), "corner_bottom_right", (width - r, r)),
        ("right", (width, r), (width, height - r), "corner_top_right", (width - r, height - r)),
        ("top", (width - r, height), (r, height), "corner_top_left", (r, height - r)),
        ("left", (0.0, height - r), (0.0, r), "corner_bottom_left", (r, r)),
    ]
    edges = []
    for name, start, end, corner, centre in sides:
        edges += [Edge(name, (Line(start, end),)), Edge(corner, (Arc(end, centre, 90.0),))]
    return Outline(tuple(edges))


def _spine(sizes: Sizes) -> float:
    return sizes["closed_width_mm"]


def _gap_in(length_mm: float) -> tuple[float, float]:
    half = min(length_mm * GAP_SHARE, LONGEST_GAP_MM) / 2
    return length_mm / 2 - half, length_mm / 2 + half


def _spine_lines(sizes: Sizes) -> tuple[PlacementLine, ...]:
    left, right, top = _spine(sizes), _spine(sizes) + sizes["fold_ease_mm"], sizes["height_mm"]
    return (
        PlacementLine("spine_left", (left, 0.0), (left, top)),
        PlacementLine("spine_right", (right, 0.0), (right, top)),
        PlacementLine("spine_width", (left, top), (right, top)),
    )


def _spine_bends(sizes: Sizes, *, is_cover: bool) -> tuple[Bend, ...]:
    """Stood half open, like a book: the pockets show, and nothing is hidden by a closed cover."""
    turn = HALF_OPEN_DEG if is_cover else -HALF_OPEN_DEG
    left, right = _spine(sizes), _spine(sizes) + sizes["fold_ease_mm"]
    return tuple(Bend((x, 0.0), (x, sizes["height_mm"]), turn) for x in (left, right))


def _foot_lines(sizes: Sizes) -> Iterator[PlacementLine]:
    """Where the feet of the back pockets lie, left to right on both halves."""
    for level in _back_levels(sizes):
        y, width = (level - 1) * sizes["pocket_step_mm"], _open_width_mm(sizes)
        yield PlacementLine(f"foot_{level}_left", (0.0, y), (_spine(sizes), y))
        yield PlacementLine(f"foot_{level}_right", (width - _spine(sizes), y), (width, y))


def _back_levels(sizes: Sizes) -> range:
    """Card pockets behind the front one, counted from it."""
    return range(2, round(sizes["card_pockets"]) + 1)


def _front_pocket(sizes: Sizes) -> Piece:
    """The left one as drawn: lower at the outer side, rounded like the cover."""
    width, high, r = _spine(sizes), pocket_height_mm(sizes["pocket_step_mm"]), sizes["corner_radius_mm"]
    low = high * (1 - SLANT_SHARE)
    lines = (
        ("bottom", (r, 0.0), (width, 0.0)),
        ("spine", (width, 0.0), (width, high)),
        ("slant", (width, high), (0.0, low)),
        ("side", (0.0, low), (0.0, r)),
    )
    corner = [Edge("corner", (Arc((0.0, r), (r, r), 90.0),))] if r else []
    net = Outline((*(Edge(name, (Line(start, end),)) for name, start, end in lines), *corner))
    names = [edge.name for edge in net.edges]
    return Piece(
        id="front_pocket",
        name="Front card pocket",
        role="pocket",
        net=net,
        allowance_mm={name: SLANT_HEM_MM if name == "slant" else sizes["seam_allowance_mm"] for name in names},
        edge_use={name: EdgeUse.HEM if name == "slant" else EdgeUse.SEAM for name in names},
        count=2,
        mirror=Mirror.PAIRS,
        note="Left as drawn, right mirrored. Hem the slant, turn the spine edge under.",
    )


def _back_pocket(sizes: Sizes) -> Piece:
    net = rectangle_outline(_spine(sizes), pocket_height_mm(sizes["pocket_step_mm"]))
    return Piece(
        id="back_pocket",
        name="Back card pocket",
        role="pocket",
        net=net,
        allowance_mm={**dict.fromkeys(("bottom", "right", "left"), sizes["seam_allowance_mm"]), "top": 0.0},
        edge_use={**dict.fromkeys(("bottom", "right", "left"), EdgeUse.SEAM), "top": EdgeUse.FOLD},
        count=2 * len(_back_levels(sizes)),
        note="Stays folded double along its top. Turn the spine edges of both layers under.",
    )


def _steps(cover: Piece, inside: Piece, front: Piece, back: Piece | None, sizes: Sizes) -> list[Step]:
    lockstitch = SeamKind.LOCKSTITCH
    slants = tuple(StitchLine((along(front, copy, "slant"),)) for copy in (1, 2))
    rim = _rim_lines(cover, inside, front, back, sizes)
    beside_gap, gap = _around_gap(rim["top"])
    joined = (*beside_gap, *(line for name, line in rim.items() if name != "top"))
    feet = "From the back forwards, stitch each back pocket along its foot"
    spine = "Turn the spine edges under; stitch the pockets along the spine lines"
    pockets, join, close = Stage.POCKETS, Stage.JOIN, Stage.CLOSE
    return [
        Step("slants", "Hem the slanted tops of the front pockets", SeamKind.HEM, slants, stage=pockets),
        Step("feet", feet, lockstitch, _feet(inside, back), stage=pockets),
        Step("spine", spine, lockstitch, _spine_seams(inside, front, back, sizes), stage=pockets),
        Step(
            "rim", "Sew cover and inside together all round, leaving a gap at the top", lockstitch, joined, stage=join
        ),
        Step("gap", "Turn right side out through the gap, press, and close it", lockstitch, (gap,), stage=close),
        Step("edge", "Topstitch all round", SeamKind.TOPSTITCH, tuple(rim.values()), stage=close),
    ]


def _back_copies(back: Piece | None) -> Iterator[tuple[Piece, int, int, int]]:
    """The piece, the pocket's number counted from the front, its left copy and its right copy."""
    if back is not None:
        for left in range(1, back.count, 2):
            yield back, (left + 3) // 2, left, left + 1


def _feet(inside: Piece, back: Piece | None) -> tuple[StitchLine, ...]:
    return tuple(
        StitchLine((along(inside, 1, f"foot_{level}_{half}"), *[along(piece, copy, "bottom")] * 2))
        for piece, level, left, right in reversed(list(_back_copies(back)))
        for half, copy in (("left", left), ("right", right))
    )


def _spine_seams(inside: Piece, front: Piece, back: Piece | None, sizes: Sizes) -> tuple[StitchLine, ...]:
    """From the bottom up to the top of the highest pocket, on both sides of the spine."""
    high, step = pocket_height_mm(sizes["pocket_step_mm"]), sizes["pocket_step_mm"]
    top = (sizes["card_pockets"] - 1) * step + high
    caught = {
        "left": [Caught(0.0, high, along(front, 1, "spine"))],
        "right": [Caught(0.0, high, along(front, 2, "spine"))],
    }
    for piece, level, left, right in _back_copies(back):
        foot = (level - 1) * step
        caught["left"].append(Caught(foot, foot + high, along(piece, left, "right"), layers=2))
        caught["right"].append(Caught(foot, foot + high, against(piece, right, "left"), layers=2))
    return tuple(
        StitchLine((part(along(inside, 1, f"spine_{half}"), 0.0, top),), tuple(pockets))
        for half, pockets in caught.items()
    )


def _rim_lines(cover: Piece, inside: Piece, front: Piece, back: Piece | None, sizes: Sizes) -> dict[str, StitchLine]:
    """All round, as the inside's edges run. Seen from outside, the cover's left lies on the inside's right."""
    caught = _caught_in_rim(inside, front, back, sizes)
    return {
        edge.name: StitchLine(
            (along(inside, 1, edge.name), against(cover, 1, _other_hand(edge.name))), tuple(caught.get(edge.name, ()))
        )
        for edge in inside.net.edges
    }


def _other_hand(name: str) -> str:
    return name.replace("left", "right") if "left" in name else name.replace("right", "left")


def _caught_in_rim(inside: Piece, front: Piece, back: Piece | None, sizes: Sizes) -> dict[str, list[Caught]]:
    """Pockets in the outer seam; distances run along the inside's edges: rightwards, up, leftwards, down."""
    base, side = front.edge("bottom").length_mm, front.edge("side").length_mm
    bottom, upright = inside.edge("bottom").length_mm, inside.edge("left").length_mm
    radius, high = sizes["corner_radius_mm"], pocket_height_mm(sizes["pocket_step_mm"])
    caught = {
        "bottom": [
            Caught(0.0, base, along(front, 1, "bottom")),
            Caught(bottom - base, bottom, against(front, 2, "bottom")),
        ],
        "right": [Caught(0.0, side, against(front, 2, "side"))],
        "left": [Caught(upright - side, upright, along(front, 1, "side"))],
    }
    if radius:
        arc = front.edge("corner").length_mm
        caught["corner_bottom_right"] = [Caught(0.0, arc, against(front, 2, "corner"))]
        caught["corner_bottom_left"] = [Caught(0.0, arc, along(front, 1, "corner"))]
    for piece, level, left, right in _back_copies(back):
        foot = (level - 1) * sizes["pocket_step_mm"] - radius
        caught["right"].append(Caught(foot, foot + high, along(piece, right, "right"), layers=2))
        caught["left"].append(Caught(upright - foot - high, upright - foot, along(piece, left, "left"), layers=2))
    return caught


def _around_gap(top: StitchLine) -> tuple[tuple[StitchLine, StitchLine], StitchLine]:
    start, end = _gap_in(top.length_mm)
    first, gap, last = (
        StitchLine(tuple(part(side, a, b) for side in top.through))
        for a, b in ((0.0, start), (start, end), (end, top.length_mm))
    )
    return (first, last), gap


def _measures(sizes: Sizes) -> tuple[AssembledMeasure, ...]:
    rounded = sizes["corner_radius_mm"] > 0
    # A quarter arc is pi / 2 radii long.
    radius = 2 / math.pi
    corners = {
        half: [Span("inside", f"corner_{end}", radius) for end in ends] if rounded else []
        for half, ends in (("top", ("top_right", "top_left")), ("right", ("bottom_right", "top_right")))
    }
    halves = [Span(span.piece_id, span.edge, span.factor / 2) for span in (Span("inside", "top"), *corners["top"])]
    spans = {
        "closed_width_mm": (*halves, Span("inside", "spine_width", -0.5)),
        "height_mm": (Span("inside", "right"), *corners["right"]),
        "fold_ease_mm": (Span("inside", "spine_width"),),
        **({"corner_radius_mm": (Span("cover", "corner_top_left", radius),)} if rounded else {}),
    }
    return tuple(
        AssembledMeasure(key=key, asked_mm=sizes[key], spans=along_edges) for key, along_edges in spans.items()
    )


def _card_too_wide(sizes: Sizes) -> Problem | None:
    least = CARD_WIDTH_MM + CARD_SIDE_EASE_MM
    return too_small(sizes, "closed_width_mm", least, "is too narrow for a card to go in")


def _card_too_tall(sizes: Sizes) -> Problem | None:
    steps = (sizes["card_pockets"] - 1) * sizes["pocket_step_mm"]
    room = sizes["closed_width_mm"] - CARD_WIDTH_MM
    # Only in the front pocket does the card come down on a rounded corner; where it is the only one, it counts.
    lift = 0.0 if steps or room < CARD_SIDE_EASE_MM else corner_lift_mm(sizes["corner_radius_mm"], room)
    least = steps + lift + CARD_HEIGHT_MM + CARD_TOP_EASE_MM
    return too_small(sizes, "height_mm", least, "lets the card in the last pocket stand above the cover")


def _corner_holds_card_up(sizes: Sizes) -> Problem | None:
    room = sizes["closed_width_mm"] - CARD_WIDTH_MM
    if room < CARD_SIDE_EASE_MM:
        return None
    roundest = roundest_corner_mm(room)
    return too_large(sizes, "corner_radius_mm", roundest, "keeps a card from going down into the front pocket")


def _corner_too_small(sizes: Sizes) -> Problem | None:
    if sizes["corner_radius_mm"] == 0:
        return None
    problem = too_small(sizes, "corner_radius_mm", LEAST_RADIUS_MM, "is too small to turn")
    return problem and replace(problem, allowed=f"{problem.allowed}; or 0 for square corners")


def _corner_cuts_pockets(sizes: Sizes) -> Problem | None:
    if sizes["card_pockets"] < 2:
        return None
    return too_large(sizes, "corner_radius_mm", sizes["pocket_step_mm"], "cuts into the second card pocket")


CARD_WALLET = FormSpec(
    key="card_wallet",
    name="Folded card wallet",
    summary="A wallet that folds once, with stepped card pockets on both halves.",
    own_measurements=(
        size_spec(
            "closed_width_mm",
            "Closed width",
            "Finished width of the folded wallet, outer edge to the start of the spine.",
            (70, 98.425, 160),
            source=CARD_SOURCE,
        ),
        size_spec("height_mm", "Height", "Finished height, bottom to top.", (50, 88.9, 200), source=CARD_SOURCE),
        count_spec(
            "card_pockets",
            "Card pockets each side",
            "How many cards go into each half, one behind the other.",
            (1, 3, 4),
        ),
        size_spec(
            "pocket_step_mm", "Pocket step", "How far each card and each pocket shows above the next.", (6, 12.7, 20)
        ),
        size_spec("corner_radius_mm", "Corner radius", "Rounding of the four corners; 0 for square.", (0, 6.35, 15)),
        size_spec("fold_ease_mm", "Fold ease", "Width of the spine between the two halves.", (2, 3.175, 12)),
        size_spec(
            "seam_allowance_mm",
            "Seam allowance",
            "Cloth outside the stitch line at every seam.",
            (4, 6.35, 12),
            source=COMMON_PRACTICE,
        ),
    ),
    begin=begin_card_wallet,
    own_rules=(
        FitRule(("closed_width_mm",), _card_too_wide),
        FitRule(("height_mm", "card_pockets", "pocket_step_mm", "closed_width_mm", "corner_radius_mm"), _card_too_tall),
        FitRule(("corner_radius_mm",), _corner_too_small),
        FitRule(("corner_radius_mm", "closed_width_mm"), _corner_holds_card_up),
        FitRule(("corner_radius_mm", "card_pockets", "pocket_step_mm"), _corner_cuts_pockets),
    ),
    own_roles=(OUTER, LINING, POCKET),
)
