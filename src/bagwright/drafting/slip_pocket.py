"""A slip pocket on a face of the bag: hemmed along the top, stitched down on three sides."""

from __future__ import annotations

from dataclasses import replace

from bagwright.drafting.faces import Face
from bagwright.drafting.form_spec import AddOn
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import Choice, MeasurementSpec, Room, Sizes, count_spec, size_spec
from bagwright.drafting.roles import POCKET
from bagwright.drafting.steps import Step, StitchLine, along
from bagwright.geometry.outline import rectangle_outline
from bagwright.model.pattern import AssembledMeasure, SeamKind, SeamSide, Span, Stage
from bagwright.model.piece import EdgeUse, Piece, PlacementLine

POCKET_BELOW_TOP_MM = 38.1
POCKET_MARGIN_MM = 12.7
POCKET_HEM_MM = 25.4
SEWN_EDGES = ("left", "bottom", "right")


def inside_slip_pocket(face: Face, *, usual: int = 0) -> AddOn:
    """One pocket on a face of the lining; `usual` is how many a new bag has."""
    chosen = Choice("inside_pockets")

    def add(making: Making, sizes: Sizes) -> Making:
        return _with_pocket(making, face, sizes)

    return AddOn(
        key="inside_slip_pocket",
        name="Slip pocket inside",
        measurements=(
            count_spec(
                "inside_pockets",
                "Inside pockets",
                "How many slip pockets lie on the lining, none or one.",
                (0, usual, 1),
                choices=("none", "one"),
            ),
            *_size_specs(face, chosen),
        ),
        add=add,
        roles=(POCKET,),
    )


def _size_specs(face: Face, chosen: Choice) -> tuple[MeasurementSpec, MeasurementSpec]:
    def across(sizes: Sizes) -> tuple[float, float]:
        return 0.0, face.box(sizes).width_mm - 2 * POCKET_MARGIN_MM

    def upright(sizes: Sizes) -> tuple[float, float]:
        return 0.0, face.box(sizes).height_mm - POCKET_BELOW_TOP_MM - POCKET_MARGIN_MM

    small = "is too small to be a pocket"
    return (
        size_spec(
            "pocket_width_mm",
            "Pocket width",
            "Finished width of the slip pocket.",
            (60, 177.8, 600),
            needs=chosen,
            room=Room(face.keys, across, small, "is too wide for the face of the bag"),
        ),
        size_spec(
            "pocket_height_mm",
            "Pocket height",
            "Finished height of the slip pocket.",
            (60, 152.4, 600),
            needs=chosen,
            room=Room(face.keys, upright, small, "is too tall for the face of the bag"),
        ),
    )


def _with_pocket(making: Making, face: Face, sizes: Sizes) -> Making:
    pocket, host = _piece(sizes), making.piece(face.piece_id)
    lined = replace(host, lines=(*host.lines, *_lines(face, sizes)), note=_noted(host, face))
    widths = (("pocket_width_mm", "top"), ("pocket_height_mm", "left"))
    return making.with_changed(lined).having(
        pieces=(pocket,),
        steps=_steps(pocket, lined, face),
        assembled=tuple(AssembledMeasure(key=k, asked_mm=sizes[k], spans=(Span("pocket", e),)) for k, e in widths),
    )


def _noted(host: Piece, face: Face) -> str:
    told = "The pocket goes on one of the two." if host.count > 1 else ""
    return f"{host.note} {told}".strip()


def _piece(sizes: Sizes) -> Piece:
    return Piece(
        id="pocket",
        name="Inside pocket",
        role="pocket",
        net=rectangle_outline(sizes["pocket_width_mm"], sizes["pocket_height_mm"]),
        allowance_mm={**dict.fromkeys(SEWN_EDGES, sizes["seam_allowance_mm"]), "top": POCKET_HEM_MM},
        edge_use={**dict.fromkeys(SEWN_EDGES, EdgeUse.SEAM), "top": EdgeUse.HEM},
        note="Turn the top down twice for its hem; turn the other three edges under.",
    )


def _lines(face: Face, sizes: Sizes) -> tuple[PlacementLine, ...]:
    """Where the pocket lies, walked the same way round as its own edges."""
    box, half = face.box(sizes), sizes["pocket_width_mm"] / 2
    left, right, top = box.middle_mm - half, box.middle_mm + half, box.top_mm - POCKET_BELOW_TOP_MM
    bottom = top - sizes["pocket_height_mm"]
    return (
        PlacementLine("pocket_left", (left, top), (left, bottom)),
        PlacementLine("pocket_bottom", (left, bottom), (right, bottom)),
        PlacementLine("pocket_right", (right, bottom), (right, top)),
    )


def _steps(pocket: Piece, host: Piece, face: Face) -> tuple[Step, Step]:
    def placed(edge: str) -> SeamSide:
        return along(host, face.copy, f"pocket_{edge}")

    hem = (StitchLine((along(pocket, 1, "top"),)),)
    edges = tuple(StitchLine((along(pocket, 1, edge), placed(edge))) for edge in SEWN_EDGES)
    on = f"Stitch the pocket to {face.said}, on its lines"
    return (
        Step("pocket-hem", "Hem the top of the pocket", SeamKind.HEM, hem, stage=Stage.POCKETS),
        Step("pocket", on, SeamKind.LOCKSTITCH, edges, stage=Stage.POCKETS),
    )
