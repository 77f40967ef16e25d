"""Pictures of an answer, as SVG to be set into a page."""

from __future__ import annotations

from functools import cache

from bagwright.drafting.form_spec import FormSpec
from bagwright.drafting.own_pieces import OWN_PIECES
from bagwright.model.bag import Workroom
from bagwright.model.body import PanelBody
from bagwright.model.layout import Layout
from bagwright.model.material import Material, MaterialKind
from bagwright.model.pattern import Pattern
from bagwright.model.piece import Piece
from bagwright.model.stash import Ring, StashPiece
from bagwright.output.bag import draw_bag_sketch
from bagwright.output.hatching import draw_swatch
from bagwright.output.inks import drawing_css
from bagwright.output.layouts import draw_layout
from bagwright.output.named_edges import draw_named_edges, draw_own_sketch
from bagwright.output.numbered_corners import draw_numbered_corners
from bagwright.output.piece_lines import told_count
from bagwright.output.pieces import draw_pieces
from bagwright.output.sections import SectionLayer, draw_layer_section
from bagwright.output.stance import draw_stance
from bagwright.output.stash import STASH_REDUCTION, draw_stash_piece
from bagwright.output.stash import reduction_of as reduction_of
from bagwright.output.svg import inline_svg
from bagwright.units import UnitSystem
from bagwright.workflows.answer import BagAnswer, SheetLayout
from bagwright.workflows.cut_list import washed_length_mm
from bagwright.workflows.desk import Remembered
from bagwright.workflows.recutting import names_laid
from bagwright.workflows.scrap_pictures import picture_on_page
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.stance import panel_layers
from bagwright.workflows.zone_templates import with_zone_templates

__all__ = [
    "corners_picture",
    "drawing_css",
    "edges_picture",
    "layout_picture",
    "pieces_picture",
    "section_picture",
    "sketch_picture",
    "stance_picture",
    "stash_picture",
    "swatch_picture",
    "told_count",
]


PIECES_WIDTH_MM = 230.0
"""About the width of the page's main column, so that letters keep their size."""


def pieces_picture(answer: BagAnswer, shelf: Shelf, workroom: Workroom) -> str:
    """All pieces of the pattern and zones cut by themselves, to one scale. What was drawn lately is remembered."""
    units, fraction = workroom.units, workroom.fraction
    pattern = with_zone_templates(answer.pattern, answer.bag.stacks, shelf)
    key = f"{units} {fraction} {pattern.pieces!r}"
    kept = _drawn_pieces.get(key)
    if kept:
        return kept
    drawing = draw_pieces(pattern, units=units, fraction=fraction, width_mm=PIECES_WIDTH_MM)
    return _drawn_pieces.put(key, inline_svg(drawing, id_prefix="drawn-pieces"))


_drawn_pieces: Remembered[str, str] = Remembered(50)


def edges_picture(piece: Piece, *, id_prefix: str) -> str:
    """One piece with its edges named. What was drawn lately is remembered."""
    key = f"{id_prefix} {piece!r}"
    return _drawn_edges.get(key) or _drawn_edges.put(key, inline_svg(draw_named_edges(piece), id_prefix=id_prefix))


_drawn_edges: Remembered[str, str] = Remembered(200)


def sketch_picture(pattern: Pattern, *, id_prefix: str) -> str:
    """The finished bag from the front; of her own pieces, the pieces themselves."""
    if pattern.form == OWN_PIECES:
        return inline_svg(draw_own_sketch(pattern.pieces), id_prefix=id_prefix)
    return inline_svg(draw_bag_sketch(pattern.form, pattern.measurements_mm), id_prefix=id_prefix)


@cache
def form_picture(form: FormSpec) -> str:
    """A bag of this form at its usual sizes. There are few forms, and each is drawn once."""
    return inline_svg(draw_bag_sketch(form.key, form.defaults()), id_prefix=f"form-{form.key}")


def section_picture(panel: PanelBody, answer: BagAnswer, shelf: Shelf, workroom: Workroom) -> str:
    """The layers of a panel in section."""
    own = next(one for one in answer.pattern.panels if one.key == panel.panel_key)
    layers = panel_layers(own, answer.pattern, answer.bag.stacks)
    drawn = [
        SectionLayer(name=name, kind=shelf.materials[layer.material_id].kind, thickness_mm=thickness, held=layer.held)
        for name, thickness, layer in zip(panel.layer_names, panel.layer_thicknesses_mm, layers, strict=True)
    ]
    return inline_svg(draw_layer_section(drawn, units=workroom.units), id_prefix=f"section-{panel.panel_key}")


def swatch_picture(material: Material) -> str:
    """The hatch of the material's kind."""
    return inline_svg(draw_swatch(material.kind), id_prefix=f"swatch-{material.id}")


def stance_picture(panel: PanelBody, workroom: Workroom) -> str:
    """The panel's height against the height to which its layers stand."""
    drawing = draw_stance(panel.height_mm, panel.body.standing_height_mm, units=workroom.units)
    return inline_svg(drawing, id_prefix=f"stance-{panel.panel_key}")


def stash_picture(piece: StashPiece, material: Material, *, reduction: float = STASH_REDUCTION) -> str:
    """A piece of the stash, that many times smaller; `reduction_of` tells it. What was drawn lately is remembered."""
    marks = f"{piece.flaws!r} {piece.lesser!r} {piece.motif} {piece.picture} {piece.picture_at} {reduction}"
    key = f"{piece.id} {piece.outer!r} {piece.holes!r} {marks} {piece.grain_deg} {material.kind} {material.name}"
    drawn = _drawn_stash.get(key)
    if drawn:
        return drawn
    picture = picture_on_page(piece)
    drawing = draw_stash_piece(piece, material.kind, name=material.name, picture=picture, reduction=reduction)
    return _drawn_stash.put(key, inline_svg(drawing, id_prefix=f"stash-{piece.id}"))


def corners_picture(piece: StashPiece, ring: Ring, material: Material) -> str:
    """A piece of the stash with the corners of one of its lines numbered."""
    drawing = draw_numbered_corners(piece, ring, material.kind, name=material.name)
    return inline_svg(drawing, id_prefix="corners")


_drawn_stash: Remembered[str, str] = Remembered(500)


def layout_picture(
    sheet: SheetLayout, answer: BagAnswer, workroom: Workroom, *, bought_mm: float, bought_said: str = ""
) -> str:
    """Pieces on their cloth after the wash, length bought against length used. What was drawn lately is remembered.

    `bought_said`: what was bought if not a length.
    """
    names = names_laid({cut.id: cut.name for cut in answer.cuts}, sheet.request)
    kind, units = sheet.material.kind, workroom.units
    washed = washed_length_mm(sheet.material, bought_mm)
    # The layout's hash of its request stands for the outlines of the pieces.
    key = (sheet.layout, tuple(names.items()), sheet.material.id, kind, bought_mm, bought_said, washed, units)
    kept = _drawn_layouts.get(key)
    if kept:
        return kept
    drawing = draw_layout(
        sheet.layout,
        sheet.request.pieces,
        names,
        kind=kind,
        bought_length_mm=bought_mm,
        washed_length_mm=washed,
        bought_said=bought_said,
        units=units,
    )
    return _drawn_layouts.put(key, inline_svg(drawing, id_prefix=f"cloth-{sheet.material.id}"))


_LayoutKey = tuple[Layout, tuple[tuple[str, str], ...], str, MaterialKind, float, str, float, UnitSystem]
_drawn_layouts: Remembered[_LayoutKey, str] = Remembered(100)
