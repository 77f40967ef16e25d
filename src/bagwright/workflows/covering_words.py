"""What scraps do for a bag, in words, drawn, and as paper."""

from __future__ import annotations

from collections.abc import Iterator

from bagwright.body.lap import lap_of
from bagwright.errors import FaultyInput
from bagwright.geometry.curves import steps_length_mm
from bagwright.model.body import Lap
from bagwright.model.cover import CoverRequest, TemplateCover
from bagwright.model.piece import CutPiece
from bagwright.model.source import Band
from bagwright.model.stash import StashPiece
from bagwright.output.cover import draw_cover, single_cuts
from bagwright.output.cover_pages import CoverSheet, PaperSteps, cover_pages
from bagwright.output.pdf import drawings_pdf
from bagwright.output.rulers import Measuring, told_share
from bagwright.output.svg import inline_svg
from bagwright.output.tiling import Paper
from bagwright.workflows.covering import CoveredTemplate, ScrapCovers, told_minutes
from bagwright.workflows.cut_list import layers_on
from bagwright.workflows.desk import BagView, Desk
from bagwright.workflows.lap_words import told_stiffer, told_thick
from bagwright.workflows.scrap_pictures import looks_of, picture_on_page, pictures_for_paper
from bagwright.workflows.stance import layer_sheets
from bagwright.workflows.stash_finding import size_of
from bagwright.workflows.zone_layers import layers_left, main_layers


def worth_in_words(view: BagView, covers: ScrapCovers, done: CoveredTemplate) -> str:
    """One plain sentence or two: what is saved, what the minutes cost, and what follows."""
    worth = done.worth
    if worth is None:
        return f"Whether that is worth it cannot be told: {covers.material.name} has no price yet."
    what = "Using the scrap" if len(done.covered.cover.placements) == 1 else "Piecing"
    saves = f"{what} saves {worth.saved.said()} of {covers.material.name} and takes"
    if not worth.minutes:
        return f"{saves} no longer than new material. It pays."
    said = f"{saves} {told_minutes(worth)} more than new material: at your pay that is {worth.pay.said()}."
    return f"{said} {'It pays.' if worth.is_worth_it else 'Buy new unless you like it.'}"


def cover_in_words(view: BagView, covers: ScrapCovers, done: CoveredTemplate) -> tuple[str, ...]:
    """How much is covered, then each scrap in the order of laying."""
    measures, measuring = done.covered.cover.measures, _measuring(view)
    count = len(done.covered.cover.placements)
    if count == 1 and measures.covered_share > 0.9995:
        said = ["One scrap holds all of it."]
    else:
        scraps = "One scrap covers" if count == 1 else f"{count} scraps cover"
        gap = f"the widest gap is {measuring.told(measures.widest_gap_mm)}" if measures.widest_gap_mm else "no gap"
        said = [f"{scraps} {told_share(measures.covered_share)} of it; {gap}."]
    if measures.join_mm > 1:
        said.append(f"Joins, together: {measuring.told(measures.join_mm)}.")
    if measures.cuts:
        said.append("One straight cut to trim." if measures.cuts == 1 else f"Cuts to trim: {measures.cuts}.")
    if measures.join_near_mm >= 1:
        near = measuring.told(measures.join_near_mm)
        said.append(f"{near} of the joins run near a fold, a strap end or a snap. Press those twice, or use new.")
    return tuple(said)


def scraps_in_words(view: BagView, covers: ScrapCovers, done: CoveredTemplate) -> tuple[tuple[str, str, str], ...]:
    """Each scrap in the order of laying: its id, what it holds, then where it lies and how long its cuts are."""
    measuring, told = _measuring(view), []
    regions = {scrap.id: scrap.region for scrap in covers.request.scraps}
    for place in done.covered.cover.placements:
        piece = covers.pieces[place.id]
        cuts = map(steps_length_mm, single_cuts(place, regions[place.id].moved(place.move)))
        lengths = ", ".join(map(measuring.told, cuts))
        trims = f"; cut {lengths}" if lengths else "; as it is"
        size = size_of(piece)
        where = f", in {piece.bin}" if piece.bin else ""
        held = f"the scrap that holds {measuring.told_size(size.length_mm, size.width_mm)}"
        told.append((piece.id, held, f"{where}{trims}"))
    return tuple(told)


def ridge_words(view: BagView, covers: ScrapCovers) -> str:
    """What changes where two scraps overlap; empty if none do meet, or the thickness is not known."""
    thickness, units = covers.material.thickness_mm, view.workroom.units
    if thickness is None or all(len(one.covered.cover.placements) == 1 for one in covers.done):
        return ""
    one, two = (told_thick(times * thickness.value, units) for times in (1, 2))
    said = (
        f"Butt the scraps, never lap them: where one lies on another, {covers.material.name} is {two} thick instead of "
        f"{one}"
    )
    try:
        stiffer = stiffer_at_laps(view, covers)
    except FaultyInput:
        lacks = "How much stiffer it is there cannot be told: a layer lacks its weight, thickness or ruler test."
        return f"{said}, and that step shows through the cloth. {lacks}"
    return f"{said}, and the layers together are {told_stiffer(stiffer)} as beside: that step shows through the cloth."


def stiffer_at_laps(view: BagView, covers: ScrapCovers) -> Band:
    """How many times as stiff the layers of the pieces put together are where scraps would lap: least and most of all.

    Raises `FaultyInput` for every reading that a layer still lacks.
    """
    pieced = (one.cut for one in covers.done if len(one.covered.cover.placements) > 1)
    laps = [lap for cut in pieced for lap in _laps(view, cut)]
    return Band(min(lap.stiffer.low for lap in laps), max(lap.stiffer.high for lap in laps))


def _laps(view: BagView, cut: CutPiece) -> Iterator[Lap]:
    piece, stacks = view.answer.pattern.piece(cut.piece_id), view.answer.bag.stacks
    layers = layers_left(layers_on(piece, stacks), {cut.zone}) if cut.zone else main_layers(piece, stacks)
    sheets = layer_sheets(layers, view.shelf)
    for place, layer in enumerate(layers):
        if (layer.material_id, layer.zone) == (cut.material_id, cut.zone):
            yield lap_of(sheets, place)


def cover_picture(view: BagView, covers: ScrapCovers, done: CoveredTemplate, *, id_prefix: str) -> str:
    """The template with its scraps numbered."""
    looks = looks_of(_pieces(covers, done), picture_on_page)
    drawing = draw_cover(asked_of(covers, done.covered), done.covered.cover, units=view.workroom.units, looks=looks)
    return inline_svg(drawing, id_prefix=id_prefix)


def asked_of(covers: ScrapCovers, covered: TemplateCover) -> CoverRequest:
    """What was asked of one template."""
    template = next(one for one in covers.request.templates if one.id == covered.template_id)
    return covers.request.of(template, covers.request.scraps)


def _pieces(covers: ScrapCovers, done: CoveredTemplate) -> list[StashPiece]:
    return [covers.pieces[place.id] for place in done.covered.cover.placements]


def covers_paper(desk: Desk, view: BagView, covers: ScrapCovers, *, paper: str, whose: str = "") -> bytes:
    """What to do, each covered template with its scraps' own pictures, then at true scale, as PDF.

    `whose`: what it is for, where that is not the bag alone.
    """
    find = pictures_for_paper(desk)
    sheets = [
        CoverSheet(one.name, asked_of(covers, one.covered), one.covered.cover, looks_of(_pieces(covers, one), find))
        for one in covers.done
    ]
    title = f"{whose or view.answer.bag.name}: {covers.material.name} from scraps"
    steps = PaperSteps(fuse_cautions(covers), view.workroom.units)
    pages = cover_pages(sheets, Paper.called(paper), steps, title=title)
    return drawings_pdf(pages, paper=paper, title=title)


def _measuring(view: BagView) -> Measuring:
    return Measuring(view.workroom.units, view.workroom.fraction)


def left_in_words(covers: ScrapCovers) -> tuple[str, ...]:
    """For what new material is needed, and why."""
    said = []
    for one in covers.left:
        copies = "1 copy" if one.count == 1 else f"{one.count} copies"
        if one.best_share >= covers.request.enough_share:
            why = _why_left(covers, one.template_id)
        else:
            why = f"at best {100 * one.best_share:.0f} % can be covered" if one.best_share else "no scrap covers enough"
        said.append(f"{covers.names[one.template_id]}: {copies} of new material; {why}.")
    return tuple(said)


def _why_left(covers: ScrapCovers, template_id: str) -> str:
    if any(one.covered.template_id == template_id for one in covers.done):
        return "the scraps do not go round"
    return "the scraps do not go round, or leave too wide a gap"


def fuse_cautions(covers: ScrapCovers) -> tuple[str, ...]:
    """The steps at the board with what to mind at each; common practice, no source."""
    blade = "Trim along the strong lines. The blade is sharp: cut away from yourself, close it when you lay it down."
    if not covers.material.fusible_sides:
        return (blade, "Lay the scraps edge to edge in order of their numbers.", "Baste them down along every join.")
    return (
        blade,
        "Lay the scraps edge to edge in order of their numbers, glue towards the cloth.",
        "Glue can give off fumes: open a window.",
        "Tack each with the tip of the iron, just long enough to hold. The iron is hot.",
        "Turn the piece over and press from the cloth side, as hot and as long as the maker's leaflet says. "
        "Test on a scrap first.",
        "Let it lie flat until it is cool; warm glue does not hold yet.",
    )
