"""`bagwright outline` on the picture of the documents, and the cards it prints."""

from __future__ import annotations

import io
import json
from pathlib import Path

import cv2
import numpy as np
import pdfplumber
import pytest
from click.testing import CliRunner

from bagwright.capture.cards import find_cards, marker_card
from bagwright.cli import main
from bagwright.units import UnitSystem
from bagwright.workflows.own_drawing import Answers
from bagwright.workflows.tell_outline import MARKER_CARDS, marker_cards
from bagwright.workflows.tell_pieces import pieces_of_file

PHOTO = Path(__file__).parents[2] / "docs" / "pictures" / "mat-photo.jpg"


def ran(*arguments: str):
    return CliRunner().invoke(main, ["outline", *arguments])


def test_words_tell_sizes_and_what_they_rest_on(tmp_path):
    out = tmp_path / "out.svg"
    told = ran(str(PHOTO), "--svg", str(out), "--units", "metric")
    assert told.exit_code == 0
    assert told.stdout.startswith("4 outlines")
    assert "measure one" in told.stdout
    brought = pieces_of_file(out.read_bytes(), Answers(), units=UnitSystem.METRIC)
    assert len(brought.drawing.pieces) == 4
    # The first scrap was drawn 150 by 80 mm.
    areas = [piece.outline.area_mm2 for piece in brought.drawing.pieces]
    assert min(abs(area / 12_000 - 1) for area in areas) < 0.012


def test_rejects_no_picture_a_broken_one_and_a_card_out_of_range(tmp_path):
    broken = tmp_path / "broken.jpg"
    broken.write_bytes(PHOTO.read_bytes()[:40_000])
    for arguments, said in (
        (["--json"], "--cards"),
        ([str(broken)], "damaged"),
        ([str(PHOTO), "--card", "9 in"], "200"),
    ):
        told = ran(*arguments)
        assert (told.exit_code, told.stdout) == (2, "")
        assert said in told.stderr


@pytest.mark.parametrize("name", MARKER_CARDS)
def test_cards_are_printed_at_true_scale(name):
    """Measured by another library in the finished PDF: 72 points to the inch (ISO 32000)."""
    with pdfplumber.open(io.BytesIO(marker_cards(name).data)) as pdf:
        assert len(pdf.pages) == 2
        for page in pdf.pages:
            black = [r for r in page.rects if r["fill"] and not r["stroke"]]
            sides = [(r["x1"] - r["x0"]) / 72 * 25.4 for r in black]
            assert max(sides) == pytest.approx(50.0, abs=0.01)
            lines = {round((one["x1"] - one["x0"]) / 72 * 25.4, 1) for one in page.lines}
            assert {100.0, 101.6} <= lines
            assert max(r["x1"] for r in page.rects) < page.width and max(r["bottom"] for r in page.rects) < page.height


@pytest.mark.parametrize(
    ("size", "colour", "inches"), [("A2", "magenta", (23.39, 16.54)), ("24x36in", "green", (36.0, 24.0))]
)
def test_a_whole_mat_is_one_sheet_with_all_cards_at_true_scale_on_a_strong_colour(size, colour, inches, tmp_path):
    """Read by another library. ISO 216: A2 is 420 x 594 mm."""
    out = tmp_path / "mat.pdf"
    told = CliRunner().invoke(main, ["outline", "--mat", str(out), "--size", size, "--colour", colour])
    assert (told.exit_code, told.output) == (0, "")
    with pdfplumber.open(out) as pdf:
        (page,) = pdf.pages
        assert (page.width / 72, page.height / 72) == pytest.approx(inches, abs=0.01)
        filled = [(round(r["width"] / 72 * 25.4, 2), r["non_stroking_color"]) for r in page.rects if r["fill"]]
        assert filled.count((66.0, 1.0)) == 12
        assert (50.0, 0.0) in filled
        _, field = max(filled, key=lambda one: one[0])
        assert max(field) - min(field) > 0.4
        lines = {round((one["x1"] - one["x0"]) / 72 * 25.4, 1) for one in page.lines}
        assert {100.0, 101.6} <= lines


def test_a_printed_card_is_found_as_itself():
    rows = np.array([[0 if cell == "#" else 255 for cell in row] for row in marker_card(7).rows], dtype=np.uint8)
    picture = np.full((700, 700, 3), 255, dtype=np.uint8)
    picture[150:550, 150:550] = cv2.resize(rows, (400, 400), interpolation=cv2.INTER_NEAREST)[..., None]
    (card,) = find_cards(picture)
    assert card.number == 7
    assert np.abs(card.corners - [[149.5, 149.5], [549.5, 149.5], [549.5, 549.5], [149.5, 549.5]]).max() < 1.0


def test_rejects_corrections_that_do_nothing_by_their_place():
    square = {"number": 1, "outline": [[0, 0], [100, 0], [100, 40], [0, 40]]}
    for step, said in (
        ({"do": "part", "number": 1, "along": [[0, 60], [50, 60]]}, "does not part outline 1"),
        ({"do": "part", "number": 7, "along": [[30, 0], [30, 40]]}, "is no outline"),
        ({"do": "join", "number": 1}, "other"),
        ({"do": "join", "number": 1, "other": 1}, "is this outline itself"),
    ):
        told = CliRunner().invoke(main, ["correct", "-"], input=json.dumps({"outlines": [square], "steps": [step]}))
        assert told.exit_code == 2
        assert "steps[0]" in told.stderr and said in told.stderr
