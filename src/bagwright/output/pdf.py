"""Drawings as PDF: templates at true scale over sheets of paper, and any drawing on a page."""

from __future__ import annotations

import itertools
import unicodedata
from collections.abc import Collection, Iterable, Iterator, Sequence, Set
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from importlib import resources

from fpdf import FPDF
from fpdf.drawing import ClippingPath, GraphicsContext, PaintedPath
from fpdf.drawing_primitives import Transform, color_from_hex_string
from fpdf.fonts import TTFFont

from bagwright.geometry.curves import Point
from bagwright.model.pattern import Pattern
from bagwright.output.drawing import (
    Anchor,
    Dot,
    Drawing,
    Hatch,
    Ink,
    Item,
    Mark,
    Path,
    Photo,
    Text,
    Tone,
    Window,
    bounds_of,
)
from bagwright.output.hatching import TILES, tile_origins
from bagwright.output.inks import FILL_COLOURS, HALO_MM, HATCH_WIDTH_MM, PENS, PRINTED, Colour
from bagwright.output.lettering import Run, Weight, fraction_runs, one_line
from bagwright.output.one_sheet import one_sheet
from bagwright.output.pdf_layers import CLOSING, layer_of, opening, with_layers
from bagwright.output.rulers import Measuring
from bagwright.output.template_pages import template_pages
from bagwright.output.tiling import MARGIN_MM, PAPER_MM, Paper
from bagwright.units import UnitSystem

_UNDATED = datetime(2000, 1, 1, tzinfo=UTC)
"""Creation date of a file whose maker gave none: the same input always makes the same bytes."""
_POINTS_PER_MM = 72 / 25.4
_STYLES = {Weight.PLAIN: ("", 400), Weight.STRONG: ("B", 600)}
_SUBSETS = ("latin", "latin-ext", "vietnamese", "greek", "cyrillic", "greek-ext", "cyrillic-ext")
"""The packaged files of one typeface, each with letters of its own, the likelier first."""
_UNKNOWN_LETTER = "?"
_SIDE_MM = 100.0
"""Sizes are written to 0.01 pt, matrices to 4 places: both are exact enough for a square of this side."""


def pattern_pdf(
    pattern: Pattern,
    *,
    paper: str,
    units: UnitSystem,
    fraction: int = 16,
    title: str = "Templates",
    created: datetime | None = None,
) -> bytes:
    """Templates of all pieces that are cut, at true scale, over A4 or Letter pages, with a page map in front.

    Their lines and words are layers (`pdf_layers.LAYERS`) that a PDF reader can switch off.
    `paper` is "A4" or "Letter"; `title` stands on every page. Latin, Greek and Cyrillic letters print; others as "?".
    """
    measuring, title = Measuring(units, fraction), one_line(title) or "Templates"
    return _templates(template_pages(pattern, Paper.called(paper), measuring, title=title), title, created)


def one_sheet_pdf(
    pattern: Pattern,
    *,
    roll: str,
    units: UnitSystem,
    fraction: int = 16,
    title: str = "Templates",
    created: datetime | None = None,
) -> bytes:
    """The templates at true scale on one sheet for a print shop; `roll` is one of `one_sheet.ROLL_MM`."""
    measuring, title = Measuring(units, fraction), one_line(title) or "Templates"
    return _templates([one_sheet(pattern, measuring, roll=roll, title=title)], title, created)


def _templates(drawings: Sequence[Drawing], title: str, created: datetime | None) -> bytes:
    pages = [_Page(drawing, drawing.width_mm, drawing.height_mm, has_layers=True) for drawing in drawings]
    return with_layers(_document(pages, title, created))


def drawings_pdf(drawings: Sequence[Drawing], *, paper: str, title: str, created: datetime | None = None) -> bytes:
    """Each drawing on a page of its own, no larger than it is, made smaller where the paper asks for it."""
    return _document([_on_paper(drawing, PAPER_MM[Paper.called(paper)]) for drawing in drawings], title, created)


def sheet_pdf(drawing: Drawing, *, title: str, created: datetime | None = None) -> bytes:
    """One drawing at true scale on a sheet of its own size."""
    return _document([_Page(drawing, drawing.width_mm, drawing.height_mm)], title, created)


def _on_paper(drawing: Drawing, paper_mm: tuple[float, float]) -> _Page:
    """The drawing at the top of a page, landscape if it is too wide to stand upright; a whole page as it is."""
    short, long = paper_mm
    if (drawing.width_mm, drawing.height_mm) == paper_mm:
        return _Page(drawing, short, long)
    is_wide = drawing.width_mm > short - 2 * MARGIN_MM and drawing.width_mm > drawing.height_mm
    width, height = (long, short) if is_wide else (short, long)
    room_x, room_y = width - 2 * MARGIN_MM, height - 2 * MARGIN_MM
    scale = min(1.0, room_x / drawing.width_mm, room_y / drawing.height_mm)
    return _Page(drawing, width, height, scale, (MARGIN_MM + (room_x - scale * drawing.width_mm) / 2, MARGIN_MM))


def _document(pages: Iterable[_Page], title: str, created: datetime | None) -> bytes:
    pdf = FPDF(unit="mm")
    pdf.set_auto_page_break(False)
    pdf.set_margin(0)
    pdf.set_title(one_line(title))
    pdf.set_lang("en")
    pdf.set_creation_date(created or _UNDATED)
    kept = list(pages)
    with _fonts_added(pdf, {letter for page in kept for letter in _letters(page.drawing.items)}):
        for page in kept:
            pdf.add_page(format=(page.width_mm, page.height_mm))
            brush = _Brush(pdf, page.scale, page.shift, page.has_layers)
            for item in page.drawing.items:
                brush.paint(item)
        return bytes(pdf.output())


def _letters(items: Iterable[Item]) -> Iterator[str]:
    """Every letter that is to be printed, as often as it is."""
    for item in items:
        if isinstance(item, Window):
            yield from _letters(item.items)
        elif isinstance(item, Text):
            yield from _joined(item.text)


def _joined(text: str) -> str:
    """A letter and its accent as one where there is such a letter: the fonts set no accents by themselves."""
    return unicodedata.normalize("NFC", text)


@contextmanager
def _fonts_added(pdf: FPDF, letters: Set[str]) -> Iterator[None]:
    """The packaged fonts: Latin, and of the others those that have a letter which none before them has."""
    missing = {ord(letter) for letter in letters}
    with resources.as_file(resources.files("bagwright.output") / "fonts") as folder:
        for subset in _SUBSETS:
            if subset != _SUBSETS[0] and not missing:
                break
            for style, heaviness in _STYLES.values():
                pdf.add_font(subset, style, folder / f"source-sans-3-{subset}-{heaviness}.ttf")
            missing -= set(_known(pdf, subset, ""))
        yield


def _known(pdf: FPDF, subset: str, style: str) -> Collection[int]:
    """The letters that a font has; none of one that was not added."""
    font = pdf.fonts.get(subset + style)
    return font.cmap if isinstance(font, TTFFont) else ()


@dataclass(frozen=True, slots=True)
class _Page:
    """A drawing on a sheet of paper, `scale` times its size, its corner at `shift`."""

    drawing: Drawing
    width_mm: float
    height_mm: float
    scale: float = 1.0
    shift: Point = (0.0, 0.0)
    has_layers: bool = False


@dataclass(frozen=True, slots=True)
class _Brush:
    """Paints items on the current page."""

    pdf: FPDF
    scale: float
    shift: Point
    has_layers: bool

    def paint(self, item: Item) -> None:
        """One item, with all within it."""
        if isinstance(item, Window):
            (left, top), (right, bottom) = self._at(item.low), self._at(item.high)
            with self.pdf.rect_clip(left, top, right - left, bottom - top):
                for layer, marks in itertools.groupby(item.items, key=self._layer_of):
                    self._paint_layer(layer, marks)
        elif isinstance(item, Path):
            self._path(item)
        elif isinstance(item, Dot):
            self._dot(item)
        elif isinstance(item, Photo):
            self._photo(item)
        else:
            self._text(item)

    def _layer_of(self, mark: Mark) -> str:
        return layer_of(mark) if self.has_layers else ""

    def _paint_layer(self, layer: str, marks: Iterable[Mark]) -> None:
        if layer:
            self.pdf._out(opening(layer))
        for mark in marks:
            self.paint(mark)
        if layer:
            self.pdf._out(CLOSING)

    def _at(self, point: Point) -> Point:
        return self.shift[0] + self.scale * point[0], self.shift[1] + self.scale * point[1]

    def _path(self, path: Path) -> None:
        points = [self._at(point) for point in path.points]
        if isinstance(path.fill, Hatch):
            self._hatch(path, path.fill)
        elif path.fill:
            self.pdf.set_fill_color(PRINTED[FILL_COLOURS[path.fill]])
            self.pdf.polygon(points, style="F")
        if path.ink:
            self._take_pen(path.ink)
            self.pdf.polyline(points, polygon=path.closed, style="D")

    def _take_pen(self, ink: Ink) -> None:
        pen = PENS[ink]
        self.pdf.set_draw_color(PRINTED[pen.colour])
        self.pdf.set_line_width(pen.width_mm * self.scale)
        if pen.dashes_mm:
            on, off = pen.dashes_mm[:2]
            self.pdf.set_dash_pattern(on * self.scale, off * self.scale)
        else:
            self.pdf.set_dash_pattern()

    def _dot(self, dot: Dot) -> None:
        (x, y), radius = self._at(dot.centre), dot.radius_mm * self.scale
        if dot.fill:
            self.pdf.set_fill_color(PRINTED[FILL_COLOURS[dot.fill]])
        if dot.ink:
            self._take_pen(dot.ink)
        style = ("D" if dot.ink else "") + ("F" if dot.fill else "")
        self.pdf.ellipse(x - radius, y - radius, 2 * radius, 2 * radius, style=style)

    def _photo(self, photo: Photo) -> None:
        """The picture as a square, moved to where it lies, seen through its rings."""
        (left, top), (a, b), (c, d) = (self._at(corner) for corner in photo.corners)
        with self.pdf.local_context():
            self._clip([[self._at(point) for point in ring] for ring in photo.inside])
            across, down = ((a - left) / _SIDE_MM, (b - top) / _SIDE_MM), ((c - left) / _SIDE_MM, (d - top) / _SIDE_MM)
            with self.pdf.transform(Transform(*across, *down, left, top)):
                self.pdf.image(photo.picture.data, 0, 0, _SIDE_MM, _SIDE_MM)

    def _clip(self, rings: Sequence[Sequence[Point]]) -> None:
        """What follows is seen inside of the rings only (PDF 32000-1:2008, 8.5.4, even-odd rule)."""
        pdf, runs = self.pdf, list[str]()
        for ring in rings:
            on_page = [f"{x * pdf.k:.3f} {(pdf.h - y) * pdf.k:.3f}" for x, y in ring]
            runs += [f"{on_page[0]} m", *(f"{point} l" for point in on_page[1:]), "h"]
        pdf._out(" ".join([*runs, "W* n"]))

    def _hatch(self, path: Path, hatch: Hatch) -> None:
        """Strokes and dots of the tile over the path's box, clipped to the path."""
        left, top, right, bottom = bounds_of([path])
        tile = TILES[hatch.kind]
        grey = "#BBBBBB" if hatch.pale else "#808080"
        strokes, dots = PaintedPath(), PaintedPath()
        for x, y in tile_origins(tile, (left, top), (right, bottom)):
            for stroke in tile.strokes:
                self._trace(strokes, [(x + a, y + b) for a, b in stroke], closed=False)
            for rings, target in ((tile.rings, strokes), (tile.dots, dots)):
                for a, b, radius in rings:
                    cx, cy = self._at((x + a, y + b))
                    target.circle(cx, cy, radius * self.scale)
        strokes.style.stroke_color, strokes.style.fill_color = color_from_hex_string(grey), None
        strokes.style.stroke_width = HATCH_WIDTH_MM * self.scale
        dots.style.fill_color, dots.style.stroke_color = color_from_hex_string(grey), None
        clip = ClippingPath()
        self._trace(clip, path.points, closed=True)
        group = GraphicsContext()
        group.clipping_path = clip
        for shape in (strokes, dots):
            group.add_item(shape)
        with self.pdf.drawing_context() as context:
            context.add_item(group)

    def _trace(self, path: PaintedPath, points: Sequence[Point], *, closed: bool) -> None:
        (x, y), *rest = (self._at(point) for point in points)
        path.move_to(x, y)
        for x, y in rest:
            path.line_to(x, y)
        if closed:
            path.close()

    def _text(self, text: Text) -> None:
        words = _joined(text.text)
        runs = fraction_runs(words) if text.is_measure else [Run(words)]
        pieces = [piece for run in runs for piece in self._in_fonts(run, text.weight)]
        width = sum(self._width(family, run, text) for family, run in pieces)
        x, y = self._at(text.at)
        x -= {Anchor.START: 0.0, Anchor.MIDDLE: width / 2, Anchor.END: width}[text.anchor]
        with self.pdf.rotation(text.turn_deg, *self._at(text.at)):
            if text.halo:
                self.pdf.set_fill_color(PRINTED[Colour.PAPER])
                up, pad = 0.78 * text.size_mm * self.scale, HALO_MM / 2 * self.scale
                self.pdf.rect(x - pad, y - up, width + 2 * pad, 1.05 * text.size_mm * self.scale, style="F")
            self.pdf.set_text_color(PRINTED[Colour.SOFT if text.tone is Tone.SOFT else Colour.INK])
            for family, run in pieces:
                advance = self._width(family, run, text)
                self.pdf.text(x, y - run.rise * text.size_mm * self.scale, run.text)
                x += advance

    def _width(self, family: str, run: Run, text: Text) -> float:
        """Width of a run; leaves its font chosen."""
        size_pt = text.size_mm * run.scale * self.scale * _POINTS_PER_MM
        self.pdf.set_font(family, _STYLES[text.weight][0], size_pt)
        return self.pdf.get_string_width(run.text)

    def _in_fonts(self, run: Run, weight: Weight) -> Iterator[tuple[str, Run]]:
        """The run split where the letters change from one packaged font to the other."""
        style = _STYLES[weight][0]
        known = {subset: _known(self.pdf, subset, style) for subset in _SUBSETS}
        family, letters = _SUBSETS[0], ""
        for letter in run.text:
            home = next((subset for subset in _SUBSETS if ord(letter) in known[subset]), None)
            if (home or _SUBSETS[0]) != family and letters:
                yield family, Run(letters, run.scale, run.rise)
                letters = ""
            family = home or _SUBSETS[0]
            letters += letter if home else _UNKNOWN_LETTER
        if letters:
            yield family, Run(letters, run.scale, run.rise)
