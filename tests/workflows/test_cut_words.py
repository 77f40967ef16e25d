"""What the page of the cutting table says of pieces and blocks."""

from __future__ import annotations

from bagwright.geometry.region import Region
from bagwright.model.cuts import Cut, CutWay
from bagwright.model.layout import Layout, LayPiece, LaySettings, Placement
from bagwright.model.source import Verdict
from bagwright.output.rulers import Measuring
from bagwright.units import UnitSystem
from bagwright.workflows.cut_words import block_in_words, piece_lines, told_total

IN = 25.4
PIECES = (
    LayPiece(id="front", region=Region.rectangle((0, 0), (10 * IN, 4 * IN)), count=3),
    LayPiece(id="wing", region=Region.rectangle((0, 0), (6 * IN, 2 * IN)), count=2),
)
LAYOUT = Layout(
    request_hash="",
    width_mm=1000,
    gap_mm=0,
    length_mm=500,
    placements=(
        Placement("front", 0.0, False, 0.0, 0.0),
        Placement("front", 180.0, False, 500.0, 300.0),
        Placement("front", 90.0, False, 500.0, 500.0),
        Placement("wing", 0.0, False, 0.0, 700.0),
        Placement("wing", 0.0, True, 400.0, 800.0),
    ),
    share_used=0.5,
    verdict=Verdict(("overlap",), ()),
    settings=LaySettings(),
    found_by="hand",
)
NAMES = {"front": "Front", "wing": "Wing"}


def test_each_piece_is_told_with_its_number_its_size_as_it_lies_and_what_is_mirrored():
    """Turned by a quarter, 10 x 4 in takes 4 in along the cloth and 10 in across it."""
    assert piece_lines(LAYOUT, PIECES, NAMES, Measuring(UnitSystem.INCH)) == [
        ("2 ×", "Front, 10 × 4 in"),
        ("1 ×", "Front, 4 × 10 in"),
        ("2 ×", "Wing, 6 × 2 in, 1 of them mirrored"),
    ]


def test_a_block_is_told_by_what_comes_out_of_it():
    cut = Cut(way=CutWay.ALONG, start=(0, 0), end=(500, 0), length_mm=500, block="A", placements=(0, 1, 3))
    rest = Cut(way=CutWay.ACROSS, start=(0, 0), end=(0, 1000), length_mm=1000, block="B", remnants=(0,))
    assert block_in_words("A", (cut, rest), LAYOUT, NAMES) == "Block A: Front ×2, Wing"
    assert block_in_words("B", (cut, rest), LAYOUT, NAMES) == "Block B: R1"
    assert told_total((cut, rest), Measuring(UnitSystem.METRIC)) == "2 straight cuts: together 150.0 cm."
