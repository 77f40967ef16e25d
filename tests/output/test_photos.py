"""Pictures on drawings: where they lie, seen in a PDF that pypdfium2 renders and in what an SVG says of itself."""

from __future__ import annotations

import base64
import io
import re
import xml.etree.ElementTree as ET

import pdfplumber
import pytest
from PIL import Image

from bagwright.geometry.curves import Affine
from bagwright.geometry.region import Region
from bagwright.model.cover import CoverRequest, CoverScrap
from bagwright.model.material import MaterialKind
from bagwright.model.stash import StashPiece
from bagwright.output.cover import ScrapLook, draw_cover
from bagwright.output.cover_pages import CoverSheet, PaperSteps, cover_pages
from bagwright.output.drawing import Drawing, Photo, PictureFile
from bagwright.output.pdf import drawings_pdf
from bagwright.output.stash import STASH_REDUCTION, draw_stash_piece, reduction_of
from bagwright.output.svg import inline_svg, svg_file
from bagwright.output.tiling import MARGIN_MM, Paper
from bagwright.piecing.cover import cover_template
from bagwright.units import UnitSystem

RED, BLUE, WHITE = (200, 30, 30), (30, 30, 200), (255, 255, 255)
PX_PER_MM = 4.0


def two_halves() -> PictureFile:
    """Red on the left, blue on the right."""
    picture = Image.new("RGB", (80, 40), RED)
    picture.paste(BLUE, (40, 0, 80, 40))
    written = io.BytesIO()
    picture.save(written, "JPEG", quality=95)
    return PictureFile("image/jpeg", written.getvalue())


def rendered(data: bytes, page: int = 0) -> Image.Image:
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        return pdf.pages[page].to_image(resolution=25.4 * PX_PER_MM).original.convert("RGB")


def colour(picture: Image.Image, x_mm: float, y_mm: float) -> tuple[int, ...]:
    seen = picture.getpixel((int(x_mm * PX_PER_MM), int(y_mm * PX_PER_MM)))
    assert isinstance(seen, tuple)
    return tuple(int(one) for one in seen)


def test_a_turned_and_clipped_picture_lies_where_it_should_in_a_pdf():
    """80 by 40 mm turned a quarter against the clock: its left half lies below. By hand: x 30 to 70, y 20 to 100."""
    ring = ((30.0, 40.0), (70.0, 40.0), (70.0, 100.0), (30.0, 100.0))
    hole = ((45.0, 80.0), (55.0, 80.0), (55.0, 90.0), (45.0, 90.0))
    photo = Photo(((30.0, 100.0), (30.0, 20.0), (70.0, 100.0)), two_halves(), (ring, hole))
    width, height = 210.0 - 2 * MARGIN_MM, 120.0
    page = rendered(drawings_pdf([Drawing(width, height, (photo,), "one", "")], paper="A4", title="one"))

    def at(x: float, y: float) -> tuple[int, ...]:
        return colour(page, MARGIN_MM + x, MARGIN_MM + y)

    assert at(50, 50) == pytest.approx(BLUE, abs=12) and at(50, 70) == pytest.approx(RED, abs=12)
    assert at(31, 41) == pytest.approx(BLUE, abs=12) and at(69, 99) == pytest.approx(RED, abs=12)
    for outside in ((50, 39), (29, 50), (71, 50), (50, 101), (50, 85)):
        assert at(*outside) == WHITE


def laid_out() -> tuple[CoverRequest, dict[str, ScrapLook], PictureFile]:
    request = CoverRequest(
        need=Region.rectangle((0, 0), (200, 100)),
        scraps=tuple(CoverScrap(id=name, region=Region.rectangle((0, 0), (100, 100))) for name in ("a", "b")),
    )
    picture = two_halves()
    at = ((0.0, 100.0), (100.0, 100.0), (0.0, 0.0))
    return request, {"a": ScrapLook("box 1", picture, at), "b": ScrapLook("box 2")}, picture


def test_a_scraps_picture_is_turned_with_it_on_the_cover():
    request, looks, picture = laid_out()
    cover = cover_template(request)
    drawing = draw_cover(request, cover, units=UnitSystem.METRIC, looks=looks)
    (photo,) = (item for item in drawing.items if isinstance(item, Photo))
    place = next(one for one in cover.placements if one.id == "a")
    (left, top), (a, b), (c, d) = photo.corners
    turn = Affine(place.turn_deg)
    across = turn.apply((100.0, 0.0))
    reduction = 100.0 / ((a - left) ** 2 + (b - top) ** 2) ** 0.5
    assert ((a - left) * reduction, (top - b) * reduction) == pytest.approx(across, abs=1e-6)
    assert ((c - left) ** 2 + (d - top) ** 2) ** 0.5 * reduction == pytest.approx(100, abs=1e-6)
    file = svg_file(drawing).decode()
    ET.fromstring(file)
    (data,) = re.findall(r'href="data:image/jpeg;base64,([^"]+)"', file)
    assert base64.b64decode(data) == picture.data
    sheet = CoverSheet("Side", request, cover, looks)
    pages = cover_pages([sheet], Paper.A4, PaperSteps(("Cool it.",), UnitSystem.METRIC), title="t")
    seen = [sum(isinstance(item, Photo) for item in page.items) for page in pages]
    assert seen[:2] == [0, 1] and sum(seen) == 1


def test_a_piece_of_the_stash_shows_its_picture_within_its_outline():
    piece = StashPiece(id="a", material_id="m", outer=((0, 0), (160, 0), (160, 80), (0, 80)), picture="p")
    href = "/stash/a/picture?x=1&y=2"
    drawing = draw_stash_piece(piece, MaterialKind.FELT, name="felt", picture=PictureFile("image/jpeg", b"", href=href))
    (photo,) = (item for item in drawing.items if isinstance(item, Photo))
    (left, top), (right, _), (_, below) = photo.corners
    assert (right - left, below - top) == pytest.approx((166 / 16, 86 / 16))
    (ring,) = photo.inside
    assert (min(x for x, _ in ring) - left, min(y for _, y in ring) - top) == pytest.approx((3 / 16, 3 / 16))
    svg = inline_svg(drawing, id_prefix="one")
    assert 'href="/stash/a/picture?x=1&amp;y=2"' in svg and "base64" not in svg


def test_small_pieces_are_drawn_large_enough_to_be_known_by_sight_and_large_ones_as_ever():
    def of(*sides: float) -> float:
        return reduction_of(StashPiece(id="a", material_id="m", outer=((0, 0), (w, 0), (w, 9), (0, 9))) for w in sides)

    assert of() == of(20, 30) == 3
    assert of(20, 228) == pytest.approx(4)
    assert of(20, 2000) == STASH_REDUCTION
