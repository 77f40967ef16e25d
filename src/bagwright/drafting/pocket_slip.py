"""A slip pocket on a face of the bag, inside or outside: hemmed or bound along the top, stitched down on three sides.

Lines of stitching through pocket and face divide it: into compartments of equal width, beside a slot for a pen if one
is asked for. Bound, the stitch line of the binding lies one finished width of it below the top.
"""

from __future__ import annotations

from dataclasses import replace

from bagwright.drafting.faces import Box, Face
from bagwright.drafting.form_spec import AddOn
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import MeasurementSpec, Sizes
from bagwright.drafting.pocket_place import bends_on, lines_through, pocket_box, turned_over, with_note
from bagwright.drafting.pocket_slip_sizes import SlipPocket, slip_pocket_specs
from bagwright.drafting.roles import BINDING, OUTSIDE_POCKET, POCKET
from bagwright.drafting.steps import Step, StitchLine, against, along, part
from bagwright.geometry.outline import polygon_outline, rectangle_outline
from bagwright.model.pattern import AssembledMeasure, SeamKind, SeamSide, Span, Stage
from bagwright.model.piece import Bend, EdgeUse, Piece, PlacementLine

HEM_MM = 25.4


def inside_slip_pocket(face: Face, *, usual: int = 0) -> AddOn:
    """One pocket on a face of the lining; `usual` is how many a new bag has."""
    pocket = SlipPocket(key="pocket", count_key="inside_pockets", name="Inside pocket", face=face, role=POCKET)
    meaning = "How many slip pockets lie on the lining, none or one."
    specs = slip_pocket_specs(pocket, "Inside pockets", meaning, usual)
    return _add_on(pocket, "inside_slip_pocket", "Slip pocket inside", specs)


def outside_slip_pocket(face: Face) -> AddOn:
    """One pocket on a face of the outer."""
    key, role = "outside_pocket", OUTSIDE_POCKET
    pocket = SlipPocket(key=key, count_key="outside_pockets", name="Outside pocket", face=face, role=role)
    meaning = "How many slip pockets lie on the outer, none or one."
    specs = slip_pocket_specs(pocket, "Outside pockets", meaning, 0)
    return _add_on(pocket, "outside_slip_pocket", "Slip pocket outside", specs)


def _add_on(pocket: SlipPocket, key: str, name: str, measurements: tuple[MeasurementSpec, ...]) -> AddOn:
    def add(making: Making, sizes: Sizes) -> Making:
        return _with_pocket(making, pocket, sizes)

    return AddOn(key=key, name=name, measurements=measurements, add=add, roles=(pocket.role, BINDING))


def _with_pocket(making: Making, pocket: SlipPocket, sizes: Sizes) -> Making:
    face, piece = pocket.face, _piece(pocket, sizes)
    binding = (_binding(pocket, sizes),) if pocket.bound_mm(sizes) else ()
    host = making.piece(face.piece_id)
    host = with_note(replace(host, lines=(*host.lines, *_host_lines(pocket, sizes))), _where(pocket, host))
    top = _bind(pocket, piece, binding[0]) if binding else _hem(pocket, piece)
    return making.with_changed(host).having(
        pieces=(piece, *binding),
        steps=(top, _sewn_on(pocket, piece, host, sizes), _divided(pocket, piece, host, sizes)),
        assembled=_measures(pocket, sizes),
    )


def _where(pocket: SlipPocket, host: Piece) -> str:
    return f"The {pocket.said} goes on {pocket.face.which}." if host.count > 1 else ""


def _piece(pocket: SlipPocket, sizes: Sizes) -> Piece:
    width, height, bound = pocket.width_mm(sizes), pocket.net_height_mm(sizes), pocket.bound_mm(sizes)
    starts = [(name, (x, 0.0)) for name, x in pocket.bottoms(sizes)]
    net = polygon_outline([*starts, ("right", (width, 0.0)), ("top", (width, height)), ("left", (0.0, height))])
    sewn = [edge.name for edge in net.edges if edge.name != "top"]
    top = "Its top edge stays raw for the binding" if bound else "Turn the top down twice for its hem"
    lines = [PlacementLine(name, (x, 0.0), (x, height)) for name, x in pocket.divisions(sizes)]
    return Piece(
        id=pocket.key,
        name=pocket.name,
        role=pocket.role.key,
        net=net,
        allowance_mm={**dict.fromkeys(sewn, sizes["seam_allowance_mm"]), "top": bound or HEM_MM},
        edge_use={**dict.fromkeys(sewn, EdgeUse.SEAM), "top": EdgeUse.SEAM if bound else EdgeUse.HEM},
        lines=tuple(lines),
        bends=bends_on(pocket.face, sizes, Box(0.0, 0.0, width, height)),
        note=f"{top}; turn the other three edges under.",
    )


def _binding(pocket: SlipPocket, sizes: Sizes) -> Piece:
    """A straight strip four finished widths wide: half of it turned under, the rest folded over the raw edge."""
    width, bound = pocket.width_mm(sizes), pocket.bound_mm(sizes)
    names = {"bottom": "edge_before", "top": "edge_behind", "left": "end_left", "right": "end_right"}
    ends, longs = ("end_left", "end_right"), ("edge_before", "edge_behind")
    before = bends_on(pocket.face, sizes, Box(0.0, 0.0, width, bound))
    behind = bends_on(pocket.face, sizes, Box(0.0, bound, width, bound))
    # The half behind lies with its right side the other way, so it bends the other way.
    round_bends = (*before, *turned_over(behind))
    return Piece(
        id=f"{pocket.key}_binding",
        name=f"{pocket.name} binding",
        role="binding",
        net=rectangle_outline(width, 2 * bound, names),
        allowance_mm={**dict.fromkeys(ends, sizes["seam_allowance_mm"]), **dict.fromkeys(longs, bound)},
        edge_use=dict.fromkeys(names.values(), EdgeUse.SEAM),
        grain_deg=0.0,
        lines=(PlacementLine("fold", (0.0, bound), (width, bound)),),
        bends=(Bend((0.0, bound), (width, bound), 180.0), *round_bends),
        note="Press the long edges under to meet in the middle, then fold along the middle.",
    )


def _host_lines(pocket: SlipPocket, sizes: Sizes) -> tuple[PlacementLine, ...]:
    """Where the pocket lies, walked the same way round as its own edges, and where it is divided."""
    box = pocket_box(pocket.face, sizes, pocket.width_mm(sizes), sizes[f"{pocket.key}_height_mm"])
    left, right, top, bottom = box.left_mm, box.left_mm + box.width_mm, box.top_mm, box.bottom_mm
    corners = [("pocket_left", (left, top))]
    corners += [(f"pocket_{name}", (left + x, bottom)) for name, x in pocket.bottoms(sizes)]
    corners += [("pocket_right", (right, bottom))]
    divided = [
        PlacementLine(f"pocket_{name}", (left + x, bottom), (left + x, bottom + pocket.net_height_mm(sizes)))
        for name, x in pocket.divisions(sizes)
    ]
    return (*lines_through(corners, (right, top)), *divided)


def _hem(pocket: SlipPocket, piece: Piece) -> Step:
    hem = (StitchLine((along(piece, 1, "top"),)),)
    return Step(f"{piece.id}-hem", f"Hem the top of the {pocket.said}", SeamKind.HEM, hem, stage=Stage.POCKETS)


def _bind(pocket: SlipPocket, piece: Piece, binding: Piece) -> Step:
    line = StitchLine((along(piece, 1, "top"), against(binding, 1, "edge_before"), along(binding, 1, "edge_behind")))
    name = f"Fold the binding over the raw top of the {pocket.said}; stitch through all layers"
    return Step(f"{piece.id}-bind", name, SeamKind.LOCKSTITCH, (line,), stage=Stage.POCKETS)


def _sewn_on(pocket: SlipPocket, piece: Piece, host: Piece, sizes: Sizes) -> Step:
    """The three sides on their lines; the ends of a binding lie folded above the pocket's own sides."""
    bound, copy, net = pocket.bound_mm(sizes), pocket.face.copy, pocket.net_height_mm(sizes)

    def placed(edge: str) -> SeamSide:
        return along(host, copy, f"pocket_{edge}")

    lines = [StitchLine((along(piece, 1, "left"), part(placed("left"), bound, bound + net)))]
    lines += [StitchLine((along(piece, 1, name), placed(name))) for name, _ in pocket.bottoms(sizes)]
    lines += [StitchLine((along(piece, 1, "right"), part(placed("right"), 0.0, net)))]
    if bound:
        left = part(against(host, copy, "pocket_left"), net, net + bound)
        right = part(placed("right"), net, net + bound)
        lines += [_folded_end(piece, end, bound, side) for end, side in (("end_left", left), ("end_right", right))]
    name = f"Stitch the {pocket.said} to {pocket.face.said}, on its lines"
    return Step(piece.id, name, SeamKind.LOCKSTITCH, tuple(lines), stage=Stage.POCKETS)


def _folded_end(piece: Piece, end: str, bound_mm: float, placed: SeamSide) -> StitchLine:
    """Both halves of a binding's end, each from its stitch line up to the fold."""
    whole = SeamSide(f"{piece.id}_binding", 1, end, 0.0, 2 * bound_mm)
    back = replace(whole, from_mm=whole.to_mm, to_mm=0.0)
    return StitchLine((part(whole, 0.0, bound_mm), part(back, 0.0, bound_mm), placed))


def _divided(pocket: SlipPocket, piece: Piece, host: Piece, sizes: Sizes) -> Step:
    lines = tuple(
        StitchLine((along(piece, 1, name), along(host, pocket.face.copy, f"pocket_{name}")))
        for name, _ in pocket.divisions(sizes)
    )
    what = "line that divides it" if len(lines) == 1 else "lines that divide it"
    name = f"Stitch the {pocket.said} along the {what}, through both layers; secure the upper ends"
    return Step(f"{piece.id}-divisions", name, SeamKind.LOCKSTITCH, lines, stage=Stage.POCKETS)


def _measures(pocket: SlipPocket, sizes: Sizes) -> tuple[AssembledMeasure, ...]:
    key = pocket.key
    binding: tuple[Span, ...] = ()
    spans: dict[str, tuple[Span, ...]] = {f"{key}_width_mm": (Span(key, "top"),)}
    if pocket.bound_mm(sizes):
        binding = (Span(f"{key}_binding", "end_left", 0.5),)
        spans[f"{key}_binding_mm"] = binding
    spans[f"{key}_height_mm"] = (Span(key, "left"), *binding)
    if pocket.pen_mm(sizes):
        spans[f"{key}_pen_mm"] = (Span(key, "bottom_pen"),)
    return tuple(AssembledMeasure(key=name, asked_mm=sizes[name], spans=found) for name, found in spans.items())
