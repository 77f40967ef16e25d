"""A zip pocket set into a panel: a window cut through panel and pocket bag, the zip behind it, the bag folded shut.

The bag lies right side down on the panel while the window is stitched; cut and turned through, it lies behind the
panel, right side away from it, and its lower half is folded up to meet its upper edge. Seen from its right side it is
the panel's mirror image, so what is left on the panel is right on the bag.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from bagwright.drafting import cautions
from bagwright.drafting.faces import Box
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import Sizes
from bagwright.drafting.pocket_place import bends_on, lines_round, turned_over, with_note
from bagwright.drafting.pocket_zip_sizes import BESIDE_MM, EDGE_MM, ZipPocket
from bagwright.drafting.steps import Handling, Step, StitchLine, against, along
from bagwright.drafting.zips import chain_piece, zip_notions
from bagwright.geometry.outline import polygon_outline
from bagwright.model.pattern import AssembledMeasure, SeamKind, Span, Stage
from bagwright.model.piece import Bend, EdgeUse, Piece, PlacementLine

AROUND = ("left", "bottom", "right", "top")
MIRRORED = {"left": "right", "right": "left", "bottom": "bottom", "top": "top"}


def with_window_pocket(making: Making, pocket: ZipPocket, sizes: Sizes) -> Making:
    """The bag with a zip pocket set into the face."""
    one, bag, host = pocket.zip(sizes), _bag(pocket, sizes), making.piece(pocket.face.piece_id)
    chain = chain_piece(
        one, note=f"Closed, right side up, under the window of the {pocket.said}.", bends=_bent(pocket, sizes)
    )
    window = window_box(pocket, sizes)
    host = replace(host, lines=(*host.lines, *_window_lines(window)))
    if host.count > 1:
        host = with_note(host, f"The window of the {pocket.said} goes on {pocket.face.which}.")
    spans = {"window_mm": Span(host.id, "window_top"), "depth_mm": Span(bag.id, "left_front")}
    return making.with_changed(host).having(
        pieces=(bag, chain),
        steps=_steps(pocket, host, bag, chain),
        assembled=[
            AssembledMeasure(key=pocket.size(name), asked_mm=sizes[pocket.size(name)], spans=(span,))
            for name, span in spans.items()
        ],
        notions=zip_notions(one),
        cautions=(cautions.TEETH, cautions.SLIDER),
        zips=(one,),
    )


def window_box(pocket: ZipPocket, sizes: Sizes) -> Box:
    """The window on the face: as long as asked, as high as the zip lets it be."""
    face, long, lip = pocket.face.box(sizes), sizes[pocket.size("window_mm")], pocket.lip_mm(sizes)
    top = face.top_mm - sizes[pocket.size("below_top_mm")]
    return Box(face.middle_mm - long / 2, top - lip, long, lip)


def _window_lines(window: Box) -> tuple[PlacementLine, ...]:
    """The window and the stitching round it, each walked the way the edges of a piece are."""
    around = Box(
        window.left_mm - EDGE_MM,
        window.bottom_mm - EDGE_MM,
        window.width_mm + 2 * EDGE_MM,
        window.height_mm + 2 * EDGE_MM,
    )
    return (*lines_round("window", window), *lines_round("zip", around))


def _bag(pocket: ZipPocket, sizes: Sizes) -> Piece:
    """The bag unfolded: its lower half comes to lie behind the upper one, which has the window."""
    deep, lip, long = sizes[pocket.size("depth_mm")], pocket.lip_mm(sizes), sizes[pocket.size("window_mm")]
    wide = long + 2 * BESIDE_MM
    net = polygon_outline(
        [
            ("bottom", (0.0, 0.0)),
            ("right_back", (wide, 0.0)),
            ("right_front", (wide, deep)),
            ("top", (wide, 2 * deep)),
            ("left_front", (0.0, 2 * deep)),
            ("left_back", (0.0, deep)),
        ]
    )
    window = Box(BESIDE_MM, 2 * deep - BESIDE_MM - lip, long, lip)
    front, back = Box(0.0, deep, wide, deep), Box(0.0, 0.0, wide, deep)
    # The front half shows its right side to the other side than the panel does, the back half to the same.
    turned = turned_over(bends_on(pocket.face, sizes, front))
    names = [edge.name for edge in net.edges]
    return Piece(
        id=f"{pocket.key}_bag",
        name=f"{pocket.name} bag",
        role="pocket",
        net=net,
        allowance_mm=dict.fromkeys(names, sizes["seam_allowance_mm"]),
        edge_use=dict.fromkeys(names, EdgeUse.SEAM),
        lines=(PlacementLine("fold", (0.0, deep), (wide, deep)), *_window_lines(window), *_cuts(window)),
        bends=(Bend((0.0, deep), (wide, deep), -180.0), *turned, *bends_on(pocket.face, sizes, back)),
        note="Draw the window and its cuts on the wrong side. The lower half is folded up behind the upper one.",
    )


def _cuts(window: Box) -> Iterator[PlacementLine]:
    """Along the middle of the window, then at either end as a Y into its corners."""
    half, y = window.height_mm / 2, window.bottom_mm + window.height_mm / 2
    left, right = window.left_mm, window.left_mm + window.width_mm
    yield PlacementLine("cut_middle", (left + half, y), (right - half, y))
    for hand, corner, inner in (("left", left, left + half), ("right", right, right - half)):
        yield PlacementLine(f"cut_{hand}_up", (inner, y), (corner, window.top_mm))
        yield PlacementLine(f"cut_{hand}_down", (inner, y), (corner, window.bottom_mm))


def _bent(pocket: ZipPocket, sizes: Sizes) -> tuple[Bend, ...]:
    one = pocket.zip(sizes)
    return bends_on(pocket.face, sizes, Box(0.0, 0.0, one.line_mm, one.showing_mm))


def _steps(pocket: ZipPocket, host: Piece, bag: Piece, chain: Piece) -> tuple[Step | Handling, ...]:
    key, said, copy, face = pocket.key, pocket.said, pocket.face.copy, pocket.face.said

    def round_window(word: str, edges: dict[str, str] | None = None) -> tuple[StitchLine, ...]:
        lines = []
        for side in AROUND:
            layers = [along(host, copy, f"{word}_{side}"), against(bag, 1, f"{word}_{MIRRORED[side]}")]
            lines.append(StitchLine((*layers, *([along(chain, 1, edges[side])] if edges else []))))
        return tuple(lines)

    tapes = {"left": "end_left", "bottom": "tape_front", "right": "end_right", "top": "tape_back"}
    lay = f"Lay the bag of the {said} on {face}, right sides together; stitch round the window"
    cut = (
        f"Cut the window of the {said} along its middle and as a Y into its corners, up to the stitching and not "
        "through it; turn the bag through, roll the seam to the edge and press"
    )
    zipped = f"Put the slider on, sew the stops; lay the zip under the window of the {said}, topstitch close round it"
    shut = f"Fold the bag of the {said} up behind the zip; sew its sides and top, keeping the panel out of the way"
    stage, lockstitch = Stage.POCKETS, SeamKind.LOCKSTITCH
    return (
        Step(f"{key}-window", lay, lockstitch, round_window("window"), stage=stage),
        Handling(f"{key}-cut", cut, stage=stage, cautions=(cautions.IRON,)),
        Step(f"{key}-zip", zipped, SeamKind.ZIP, round_window("zip", tapes), stage=stage),
        Step(f"{key}-bag", shut, lockstitch, _closing(bag), stage=stage),
    )


def _closing(bag: Piece) -> tuple[StitchLine, ...]:
    """Back half to front half, the sides from the fold upwards."""
    return (
        StitchLine((against(bag, 1, "left_front"), along(bag, 1, "left_back"))),
        StitchLine((along(bag, 1, "right_front"), against(bag, 1, "right_back"))),
        StitchLine((along(bag, 1, "top"), against(bag, 1, "bottom"))),
    )
