"""What the page of the cutting table says of pieces and blocks."""

from __future__ import annotations

from dataclasses import replace

from bagwright.geometry.region import Region
from bagwright.model.cuts import Cut, CutWay
from bagwright.model.layout import Layout, LayPiece, LayRequest, LaySettings, Placement
from bagwright.model.material import Material, MaterialKind
from bagwright.model.prints import Repeat
from bagwright.model.source import Reading, Verdict
from bagwright.output.rulers import Measuring
from bagwright.units import UnitSystem
from bagwright.workflows.cut_sides import CutSides
from bagwright.workflows.cut_words import block_in_words, cut_lines, piece_lines, told_total
from bagwright.workflows.print_steps import print_before

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


def _along(y: float, start: float, end: float) -> Cut:
    return Cut(way=CutWay.ALONG, start=(start, y), end=(end, y), length_mm=end - start)


def _across(x: float, start: float, end: float) -> Cut:
    return Cut(way=CutWay.ACROSS, start=(x, start), end=(x, end), length_mm=end - start)


def test_a_cut_is_measured_from_the_nearer_side_or_where_its_block_has_none_from_the_cut_that_bounds_it():
    """A cloth of 100 cm by 100 cm; the last cuts lie in the middle of it, between cuts 1 and 2."""
    cuts = [_along(300, 0, 1000), _along(800, 0, 1000), _across(400, 300, 800), _along(450, 400, 1000)]
    cuts += [_along(880, 0, 1000), _along(950, 0, 1000)]
    sides = CutSides(cuts, "the selvedge", "the other selvedge", 1000)
    told = [line.words for line in cut_lines(sides, LAYOUT, NAMES, Measuring(UnitSystem.METRIC))]
    assert told == [
        "Along, 30.0 and 80.0 cm from the selvedge: 100.0 cm long each.",
        "Across, 40.0 cm from the cut end, beginning at cut 1: 50.0 cm long.",
        "Along, 15.0 cm from cut 1, beginning at cut 3: 60.0 cm long.",
        "Along, 12.0 and 5.0 cm from the other selvedge: 100.0 cm long each.",
    ]
    fold = replace(sides, cuts=[_along(460, 0, 1000)], far="the fold", far_mm=500)
    assert fold.measured(0).side == "the fold" and fold.measured(0).from_mm == (40,)
    uneven = replace(sides, far="")
    assert uneven.measured(4, 2).side == "cut 2"


def test_only_a_repeat_along_the_cloth_asks_for_an_end_cut_through_motifs():
    panel = LayPiece(id="a", region=Region.rectangle((0, 0), (300, 200)), count=1, anchor=(150, 100))
    cloth = Material(id="c", name="c", kind=MaterialKind.PLAIN_CLOTH)
    placed = replace(cloth, motif_in_mm=Reading.exact(70))
    request = LayRequest(width_mm=1100, pieces=(panel,), repeat=Repeat(across_mm=60, first_across_mm=70))

    def said(request: LayRequest, material: Material) -> list[str]:
        return list(print_before(request, material, Measuring(UnitSystem.METRIC), edge="selvedge"))

    assert [words[:55] for words in said(request, placed)] == [
        "A motif should have its middle 1.0 cm from the selvedge"
    ]
    assert said(request, cloth)[0].startswith("Nothing says where motifs lie across")
    lengthwise = replace(request, repeat=Repeat(along_mm=80))
    assert [words[:15] for words in said(lengthwise, placed)] == ["Cut the end off"]
    assert not said(replace(request, pieces=(replace(panel, anchor=None),)), placed)
