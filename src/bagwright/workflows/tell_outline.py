"""`bagwright outline`: outlines at true scale from a photo of scraps or paper templates among marker cards."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from bagwright.capture.camera import MOST_THICK_MM
from bagwright.capture.cards import CARD_COUNT, marker_card
from bagwright.capture.outlines import find_outlines
from bagwright.capture.picture import MOST_BYTES
from bagwright.errors import FaultyInput, NotKept, Problem
from bagwright.model.found_outline import CARD_SIDE_MM, FoundOutline, FoundOutlines, OutlineWishes, ScaleCheck
from bagwright.output.found_outlines import draw_found_outlines
from bagwright.output.full_mat import MAT_COLOURS as MAT_FIELDS
from bagwright.output.full_mat import MAT_SIZES_MM, draw_full_mat
from bagwright.output.marker_cards import draw_marker_sheets
from bagwright.output.pdf import drawings_pdf, sheet_pdf
from bagwright.output.svg import svg_file
from bagwright.units import MM_PER_INCH, UnitSystem, print_length, print_thickness, read_length_mm
from bagwright.workflows.files import NewFile, read_file, write_files
from bagwright.workflows.papers import PaperFile

Json = dict[str, object]
MARKER_CARDS: Mapping[str, str] = {"marker-cards-a4.pdf": "A4", "marker-cards-letter.pdf": "Letter"}
MAT_SIZES, MAT_COLOURS = tuple(MAT_SIZES_MM), tuple(MAT_FIELDS)
_SIDE_MM = (20.0, 200.0)
_LEAST_THICK_MM = 0.05
_FOAM_MM: Mapping[UnitSystem, tuple[float, str]] = {
    UnitSystem.INCH: (3.175, "1/8 in"),
    UnitSystem.METRIC: (3.0, "3 mm"),
}
MEASURED_ON: Mapping[str, float] = {"square": CARD_SIDE_MM, "100 mm": 100.0, "4 in": 4 * MM_PER_INCH}
"""What on the printed sheets is so long, in mm, when printed at 100 %."""


def marker_cards(name: str) -> PaperFile:
    """The cards to print, one of `MARKER_CARDS`. Raises `NotKept`."""
    if name not in MARKER_CARDS:
        raise NotKept(f"paper {name!r}")
    return PaperFile(name, "application/pdf", _cards_pdf(MARKER_CARDS[name]))


def _cards_pdf(paper: str) -> bytes:
    cards = [marker_card(number) for number in range(1, CARD_COUNT + 1)]
    return drawings_pdf(draw_marker_sheets(cards, paper=paper), paper=paper, title="Marker cards")


def write_cards(path: str, *, paper: str | None, units: UnitSystem) -> None:
    """Write the cards as PDF; on Letter with inches and A4 with metric units if not said. Raises `FaultyInput`."""
    kind = paper or ("Letter" if units is UnitSystem.INCH else "A4")
    write_files([NewFile(path, _cards_pdf(kind), "--cards")])


def full_mat(size: str, colour: str) -> PaperFile:
    """A whole mat for a print shop: one of `MAT_SIZES_MM` in one of `MAT_COLOURS`. Raises `NotKept`."""
    if size not in MAT_SIZES_MM or colour not in MAT_FIELDS:
        raise NotKept(f"mat {size!r} in {colour!r}")
    return PaperFile(f"mat-{size}-{colour}.pdf", "application/pdf", _mat_pdf(size, colour))


def _mat_pdf(size: str, colour: str) -> bytes:
    cards = [marker_card(number) for number in range(1, CARD_COUNT + 1)]
    return sheet_pdf(draw_full_mat(cards, size=size, colour=colour), title="Mat for photos of scraps")


def write_mat(path: str, *, size: str | None, colour: str, units: UnitSystem) -> None:
    """Write a whole mat as PDF; with inches of 18 x 24 in, else A2, if not said. Raises `FaultyInput`."""
    kind = size or ("18x24in" if units is UnitSystem.INCH else "A2")
    write_files([NewFile(path, _mat_pdf(kind, colour), "--mat")])


def read_wishes(texts: Mapping[str, str], units: UnitSystem) -> OutlineWishes:
    """How a picture is to be read. Raises `FaultyInput`.

    ``card``: what a ruler says, empty for as printed; ``measured``: along which of `MEASURED_ON`; ``template``,
    ``split``, ``plastic``: there if wished; ``thickness``: of all that lies there, empty where it differs.

    >>> read_wishes({"card": "94 mm", "measured": "100 mm", "split": "on"}, UnitSystem.INCH).card_side_mm
    47.0
    """
    text, measured = texts.get("card", "").strip(), texts.get("measured", "") or "square"
    if measured not in MEASURED_ON:
        raise _refused("measured", measured, "is not one of the choices", ", ".join(MEASURED_ON), "Choose one.")
    whole_mm = MEASURED_ON[measured]
    side_mm = read_length_mm(text, place="card", units=units) * CARD_SIDE_MM / whole_mm if text else CARD_SIDE_MM
    if not _SIDE_MM[0] <= side_mm <= _SIDE_MM[1]:
        allowed = f"{whole_mm * _SIDE_MM[0] / CARD_SIDE_MM:.0f} to {whole_mm * _SIDE_MM[1] / CARD_SIDE_MM:.0f} mm"
        remedy = "Measure the black square on a card, edge to edge, or a line on the sheet, end to end."
        raise _refused("card", text, "is out of range", allowed, remedy)
    return OutlineWishes(
        card_side_mm=side_mm,
        thickness_mm=_read_thickness(texts.get("thickness", "").strip(), units),
        is_template="template" in texts,
        splits="split" in texts,
        shows_plastic_card="plastic" in texts,
    )


def _read_thickness(text: str, units: UnitSystem) -> float | None:
    if not text:
        return None
    bare = "mm" if units is UnitSystem.METRIC else "in"  # a bare 3 is no thickness in cm
    thickness_mm = read_length_mm(f"{text} {bare}" if text[-1].isdigit() else text, place="thickness", units=units)
    if not _LEAST_THICK_MM <= thickness_mm <= MOST_THICK_MM:
        allowed = f"{_LEAST_THICK_MM:g} to {MOST_THICK_MM:g} mm, with its unit"
        raise _refused("thickness", text, "is out of range", allowed, "Measure it as it lies there, or leave it empty.")
    return thickness_mm


def _refused(place: str, value: str, what: str, allowed: str, remedy: str) -> FaultyInput:
    return FaultyInput([Problem(place=place, value=value[:40], what=what, allowed=allowed, remedy=remedy)])


def outlines_of_file(path: str, wishes: OutlineWishes) -> FoundOutlines:
    """The outlines in a picture file. Raises `FaultyInput`, `NoAnswer`."""
    return find_outlines(read_file(path, most_bytes=MOST_BYTES), wishes)


def write_outlines(found: FoundOutlines, path: str) -> None:
    """Write the outlines at true scale as SVG. Raises `FaultyInput`."""
    write_files([NewFile(path, svg_file(draw_found_outlines(found)), "--svg")])


def outlines_as_json(found: FoundOutlines) -> Json:
    """The answer of `bagwright outline`; `outline` and `holes` are as `bagwright stash` reads them."""
    return {
        "card_side_mm": found.card_side_mm,
        "cards": list(found.cards),
        "cards_ignored": list(found.ignored),
        "scale_error_share": round(found.scale_error_share, 6),
        "fit_mm": round(found.fit_mm, 4),
        "ground_rgb": list(found.ground),
        "was_mirrored": found.was_mirrored,
        "camera": {
            "height_mm": round(found.camera.height_mm, 1),
            "doubt_share": round(found.camera.doubt_share, 3),
            "foot": [round(value, 1) for value in found.camera.foot],
        },
        "check": _check(found.check) if found.check else None,
        "outlines": [outline_as_json(one) for one in found.outlines],
        "refused": [
            {
                "where": one.where,
                "why": one.why,
                "remedy": one.remedy,
                "x_mm": round(one.x_mm, 1),
                "y_mm": round(one.y_mm, 1),
            }
            for one in found.refused
        ],
    }


def _check(check: ScaleCheck) -> Json:
    return {
        "length_mm": check.length_mm,
        "height_mm": check.height_mm,
        "size_share": round(check.size_share, 5),
        "doubt_share": round(check.doubt_share, 5),
        "card_side_mm": check.card_side_mm,
        "agrees": check.agrees,
    }


def outline_as_json(one: FoundOutline) -> Json:
    """One outline as it is printed."""
    low_x, low_y, high_x, high_y = one.region.bounds
    return {
        "number": one.number,
        "outline": [list(point) for point in one.outer],
        "holes": [[list(point) for point in hole] for hole in one.holes],
        "error_mm": one.error_mm,
        "area_mm2": round(one.region.area_mm2, 1),
        "width_mm": round(high_x - low_x, 2),
        "height_mm": round(high_y - low_y, 2),
        "colour_rgb": list(one.colour),
        "touches": [
            {
                "x_mm": round(touch.x_mm, 1),
                "y_mm": round(touch.y_mm, 1),
                "width_mm": round(touch.width_mm, 1),
                "from": [round(value, 1) for value in touch.start],
                "to": [round(value, 1) for value in touch.end],
                "sign": touch.sign,
            }
            for touch in one.touches
        ],
        "notes": list(one.notes),
        "thickness_mm": one.thickness_mm,
    }


def outlines_in_words(found: FoundOutlines, units: UnitSystem) -> str:
    """The answer for the maker."""
    return "\n".join(_said(found, units))


def _said(found: FoundOutlines, units: UnitSystem) -> Iterator[str]:
    count = len(found.outlines)
    yield f"{count} outline{'' if count == 1 else 's'}, from {len(found.cards)} cards."
    yield scale_said(found, units)
    yield thickness_said(found, units)
    if found.check:
        yield check_said(found.check, units)
    for one in found.outlines:
        yield f"{one.number}: {size_said(one, units)}"
        yield from (f"  {words}" for words in (*touches_said(one, units), *one.notes))
    for other in found.refused:
        yield f"Left out, {other.where}: it {other.why}. {other.remedy}"
    if found.ignored:
        told = ", ".join(str(number) for number in found.ignored)
        yield f"Not used, for they do not fit the others: cards {told}. They may be bent or partly covered."


def scale_said(found: FoundOutlines, units: UnitSystem) -> str:
    """What the scale rests on, and how sure it is."""
    told = f"All lengths are right to {found.scale_error_share * 100:.2g} % if the black squares are"
    turned = (
        "The picture came mirrored and was turned over: outlines are as the scraps lie. " if found.was_mirrored else ""
    )
    return f"{turned}{told} {side_said(found.card_side_mm, units)} wide{'' if found.check else ': measure one'}."


def thickness_said(found: FoundOutlines, units: UnitSystem) -> str:
    """What becomes of the thickness of scraps, whose upper edges lie nearer to the camera than the mat."""
    camera = found.camera
    up = f"{camera.height_mm / MM_PER_INCH:.0f} in" if units is UnitSystem.INCH else f"{camera.height_mm / 10:.0f} cm"
    known = {one.thickness_mm for one in found.outlines}
    if None not in known:
        thick = ", ".join(print_thickness(one, units) for one in sorted(filter(None, known)))
        return f"Seen from about {up} up: what {thick} of thickness shows too large is taken off."
    reach_mm = max(math.dist(point, camera.foot) for one in found.outlines for point in one.outer)
    foam_mm, foam = _FOAM_MM[units]
    off_mm = reach_mm * foam_mm / (camera.height_mm - foam_mm)
    off = f"{off_mm / MM_PER_INCH:.2f} in" if units is UnitSystem.INCH else f"{off_mm:.1f} mm"
    return (
        f"Seen from about {up} up, thick scraps show too large: {foam} of foam by up to {off}, on the side away "
        "from the camera. Once its thickness is known, it is taken off."
    )


def side_said(side_mm: float, units: UnitSystem) -> str:
    """A side of a black square.

    >>> side_said(47.0, UnitSystem.INCH)
    '1.85 in (47 mm)'
    """
    side = f"{round(side_mm, 2):g} mm"
    return f"{side_mm / MM_PER_INCH:.2f} in ({side})" if units is UnitSystem.INCH else side


def check_said(check: ScaleCheck, units: UnitSystem) -> str:
    """What the plastic card tells of the scale."""
    size = f"The plastic card comes to {check.length_mm:.1f} x {check.height_mm:.1f} mm"
    if check.agrees:
        return f"{size}, as it should (85.6 x 54.0 mm): the scale is right to {check.doubt_share * 100:.1f} %."
    side = side_said(check.card_side_mm, units)
    return f"{size}; it is 85.6 x 54.0 mm. So the black squares are {side} wide: measure one, and read it so."


def size_said(one: FoundOutline, units: UnitSystem) -> str:
    """Size over all, and how far its edge may be off.

    >>> square = FoundOutline(number=1, outer=((0, 0), (50.8, 0), (50.8, 25.4), (0, 25.4)), error_mm=0.2)
    >>> size_said(square, UnitSystem.INCH)
    '2 x 1 in over all, edge right to 0.01 in'
    """
    low_x, low_y, high_x, high_y = one.region.bounds
    wide, high = (print_length(side, units).text for side in (high_x - low_x, high_y - low_y))
    size, off = f"{wide.rpartition(' ')[0]} x {high}", math.ceil(one.error_mm / MM_PER_INCH * 100) / 100
    edge = f"{off:.2f} in" if units is UnitSystem.INCH else f"{one.error_mm:.1f} mm"
    holes = f", {len(one.holes)} hole{'' if len(one.holes) == 1 else 's'}" if one.holes else ""
    return f"{size} over all{holes}, edge right to {edge}"


def touches_said(one: FoundOutline, units: UnitSystem) -> list[str]:
    """What is asked where it may be two scraps.

    >>> touches_said(FoundOutline(number=1, outer=(), error_mm=0.2), UnitSystem.INCH)
    []
    """
    if not one.touches:
        return []
    signs = ", ".join(f"{touch.sign} of {print_length(touch.width_mm, units).text}" for touch in one.touches)
    return [f"Two scraps seem to touch here ({signs}). Move them apart, or have them split."]
