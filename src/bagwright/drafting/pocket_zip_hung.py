"""A zip pocket hung from the top seam: a strip, the zip with its tabs, and a bag folded up behind them to the top.

Everything shows its right side; the raw edges lie inside the pocket. Seen from the front the bag's front half hangs
upside down as drawn, its back half stands upright seen from behind, so left of the strip meets right of the bag.
"""

from __future__ import annotations

from dataclasses import replace

from bagwright.drafting import cautions
from bagwright.drafting.faces import Box
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import Sizes
from bagwright.drafting.pocket_place import bends_on, turned_over
from bagwright.drafting.pocket_zip_sizes import ZipPocket
from bagwright.drafting.steps import Caught, Step, StitchLine, against, along, part
from bagwright.drafting.zip_seams import tab_step, tape_line
from bagwright.drafting.zips import chain_piece, tab_piece, zip_notions
from bagwright.geometry.outline import polygon_outline, rectangle_outline
from bagwright.model.pattern import AssembledMeasure, SeamKind, SeamSide, Span, Stage
from bagwright.model.piece import Bend, EdgeUse, Notch, Piece, PlacementLine
from bagwright.model.sewn_zip import SewnZip


def with_hung_pocket(making: Making, pocket: ZipPocket, sizes: Sizes) -> Making:
    """The bag with a zip pocket caught in its top, lying on the face of the lining."""
    one = pocket.zip(sizes)
    strip, bag, tab = _strip(pocket, sizes), _bag(pocket, sizes), _tab(pocket, one, sizes)
    chain = chain_piece(
        one, note=f"Closed, right side up, below the strip of the {pocket.said}.", bends=_bent(pocket, one, sizes)
    )
    top, width = making.tops[pocket.face.top], sizes[pocket.size("width_mm")]
    start, end = (top.length_mm - width) / 2, (top.length_mm + width) / 2
    # The strip's right side looks the way the lining's does, that of the bag's back half at the lining.
    caught = Caught(start, end, along(bag, 1, "top")), Caught(start, end, against(strip, 1, "top"))
    making = making.catching(pocket.face.top, *caught, word="the zip pocket", is_notched=False)
    host = making.piece(pocket.face.piece_id)
    notches = (*host.notches, Notch("top", start), Notch("top", end))
    return making.with_changed(replace(host, notches=tuple(dict.fromkeys(notches)))).having(
        pieces=(strip, bag, tab, chain),
        steps=_steps(pocket, (strip, bag, tab, chain), along(host, pocket.face.copy, "top")),
        assembled=_measures(pocket, sizes),
        notions=zip_notions(one),
        cautions=(cautions.TEETH, cautions.SLIDER),
        zips=(one,),
    )


def _below_zip_mm(pocket: ZipPocket, sizes: Sizes) -> float:
    return sizes[pocket.size("depth_mm")] - sizes[pocket.size("facing_mm")] - pocket.showing_mm(sizes)


def _strip(pocket: ZipPocket, sizes: Sizes) -> Piece:
    width, high = sizes[pocket.size("width_mm")], sizes[pocket.size("facing_mm")]
    allowance = sizes["seam_allowance_mm"]
    return Piece(
        id=f"{pocket.key}_strip",
        name=f"{pocket.name} strip",
        role="pocket",
        net=rectangle_outline(width, high),
        allowance_mm={
            "bottom": sizes[pocket.size("zip_allowance_mm")],
            "right": allowance,
            "top": sizes["top_allowance_mm"],
            "left": allowance,
        },
        edge_use=dict.fromkeys(("bottom", "right", "top", "left"), EdgeUse.SEAM),
        notches=(Notch("bottom", width / 2),),
        bends=bends_on(pocket.face, sizes, Box(0.0, 0.0, width, high)),
        note="Its lower edge is sewn to the zip, its upper one lies in the top seam of the bag.",
    )


def _bag(pocket: ZipPocket, sizes: Sizes) -> Piece:
    """The bag unfolded: its front half below, from the zip down; its back half above, from the fold to the top."""
    width, low, deep = sizes[pocket.size("width_mm")], _below_zip_mm(pocket, sizes), sizes[pocket.size("depth_mm")]
    net = polygon_outline(
        [
            ("zip_edge", (0.0, 0.0)),
            ("right_front", (width, 0.0)),
            ("right_back", (width, low)),
            ("top", (width, low + deep)),
            ("left_back", (0.0, low + deep)),
            ("left_front", (0.0, low)),
        ]
    )
    sides = ("right_front", "right_back", "left_back", "left_front")
    front, back = Box(0.0, 0.0, width, low), Box(0.0, low, width, deep)
    return Piece(
        id=f"{pocket.key}_bag",
        name=f"{pocket.name} bag",
        role="pocket",
        net=net,
        allowance_mm={
            **dict.fromkeys(sides, sizes["seam_allowance_mm"]),
            "zip_edge": sizes[pocket.size("zip_allowance_mm")],
            "top": sizes["top_allowance_mm"],
        },
        edge_use=dict.fromkeys((edge.name for edge in net.edges), EdgeUse.SEAM),
        notches=(Notch("zip_edge", width / 2),),
        lines=(PlacementLine("fold", (0.0, low), (width, low)),),
        bends=(
            Bend((0.0, low), (width, low), 180.0),
            *bends_on(pocket.face, sizes, front),
            *turned_over(bends_on(pocket.face, sizes, back)),
        ),
        note="Its lower edge is sewn to the zip; the fold is the foot of the pocket.",
    )


def _tab(pocket: ZipPocket, one: SewnZip, sizes: Sizes) -> Piece:
    """A pair of tabs; the layer below, drawn at the left, shows its right side to the other side."""
    tab, width = tab_piece(one, key=f"{pocket.key}_tab"), one.showing_mm
    over = bends_on(pocket.face, sizes, Box(one.tab_mm, 0.0, one.tab_mm, width))
    under = bends_on(pocket.face, sizes, Box(0.0, 0.0, one.tab_mm, width))
    return replace(tab, bends=(*tab.bends, *over, *turned_over(under)))


def _bent(pocket: ZipPocket, one: SewnZip, sizes: Sizes) -> tuple[Bend, ...]:
    return bends_on(pocket.face, sizes, Box(0.0, 0.0, one.line_mm, one.showing_mm))


def _steps(pocket: ZipPocket, pieces: tuple[Piece, Piece, Piece, Piece], host_top: SeamSide) -> tuple[Step, ...]:
    key, said, stage = pocket.key, pocket.said, Stage.POCKETS
    strip, bag, tab, chain = pieces
    upper = tape_line((along(strip, 1, "bottom"),), chain, "tape_back", tab)
    lower = tape_line((along(bag, 1, "zip_edge"),), chain, "tape_front", tab)
    sides = (
        "Half open the zip; fold the bag up behind it, right sides together, and sew the sides; turn it right side out"
    )
    hold = f"Baste the {said} to the top of {pocket.face.said} between notches, its zip away from the lining"
    start, width = (host_top.sewn_length_mm - strip.edge("top").length_mm) / 2, strip.edge("top").length_mm
    # Walked as the lining's top is drawn: the strip the same way, the back of the bag against it.
    held = StitchLine(
        (part(host_top, start, start + width), against(bag, 1, "top"), along(strip, 1, "top")),
    )
    tabs = f"Put the slider on the zip of the {said}; stitch a folded tab over each end of it"
    return (
        replace(tab_step(tab, chain, key=f"{key}-tabs"), name=tabs, stage=stage),
        Step(
            f"{key}-strip", f"Sew the strip of the {said} to one tape of the zip", SeamKind.ZIP, (upper,), stage=stage
        ),
        Step(f"{key}-zip", f"Sew the bag of the {said} to the other tape", SeamKind.ZIP, (lower,), stage=stage),
        Step(
            f"{key}-edge",
            f"Press cloth away from the teeth; topstitch along the zip of the {said}",
            SeamKind.TOPSTITCH,
            (upper, lower),
            stage=stage,
        ),
        Step(
            f"{key}-sides", sides, SeamKind.LOCKSTITCH, (*_left(strip, bag, tab), *_right(strip, bag, tab)), stage=stage
        ),
        Step(f"{key}-hold", hold, SeamKind.BASTE, (held,), stage=stage),
    )


def _left(strip: Piece, bag: Piece, tab: Piece) -> tuple[StitchLine, ...]:
    """The left side seen from the front, from the top down: strip, both layers of the tab, the bag's front."""
    back = against(bag, 1, "right_back")
    front = (
        (along(strip, 1, "left"),),
        (along(tab, 1, "end_over"), against(tab, 1, "end_under")),
        (along(bag, 1, "right_front"),),
    )
    return _down(front, back)


def _right(strip: Piece, bag: Piece, tab: Piece) -> tuple[StitchLine, ...]:
    back = along(bag, 1, "left_back")
    front = (
        (against(strip, 1, "right"),),
        (against(tab, 2, "end_over"), along(tab, 2, "end_under")),
        (against(bag, 1, "left_front"),),
    )
    return _down(front, back)


def _down(front: tuple[tuple[SeamSide, ...], ...], back: SeamSide) -> tuple[StitchLine, ...]:
    """Each group of sides along the stretch of the back that it lies on."""
    lines, at = [], 0.0
    for sides in front:
        end = at + sides[0].sewn_length_mm
        lines.append(StitchLine((*sides, part(back, at, end))))
        at = end
    return tuple(lines)


def _measures(pocket: ZipPocket, sizes: Sizes) -> list[AssembledMeasure]:
    key = pocket.key
    strip, zip_end, front = (
        Span(f"{key}_strip", "left"),
        Span(f"{key}_chain", "end_left"),
        Span(f"{key}_bag", "right_front"),
    )
    spans: dict[str, tuple[Span, ...]] = {
        "width_mm": (Span(f"{key}_strip", "top"),),
        "facing_mm": (strip,),
        "tab_length_mm": (Span(f"{key}_tab", "side_one", 0.5),),
        "depth_mm": (strip, zip_end, front),
    }
    return [
        AssembledMeasure(key=pocket.size(name), asked_mm=sizes[pocket.size(name)], spans=found)
        for name, found in spans.items()
    ]
