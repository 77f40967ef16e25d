"""Outlines from rendered pictures. The truth is what the renderer drew, and the camera it drew it with."""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np
import numpy.typing as npt
import pytest

from bagwright.capture.ground import Ground
from bagwright.capture.like_ground import told_round
from bagwright.capture.outlines import find_outlines
from bagwright.capture.parts import Part, is_like_ground
from bagwright.errors import FaultyInput, NoAnswer
from bagwright.geometry.region import Region
from bagwright.model.found_outline import FoundOutline, OutlineWishes
from tests.capture.compared import compare, in_picture_frame, nearest_truth
from tests.capture.rendered_mat import Camera, Card, Patch, Scene, as_jpeg, box, photo, ring_of_cards, turned
from tests.capture.scenes import BLACK, CAMERAS, GROUNDS, MAT, WHITE, of_size, usual_patches, usual_scene

SMALL = Camera(width_px=1080, height_px=810, slant_deg=18, from_deg=50, k1=-0.07, k2=0.02)
QUICK = {"over": 1, "dots": 2.5}


def small(scene: Scene, camera: Camera = SMALL) -> bytes:
    return photo(scene, camera, **QUICK)


def decoded(data: bytes) -> npt.NDArray[np.uint8]:
    return np.asarray(cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR), dtype=np.uint8)


def fault_of(data: bytes) -> str:
    with pytest.raises(FaultyInput) as caught:
        find_outlines(data)
    (problem,) = caught.value.problems
    assert problem.place == "photo"
    assert problem.remedy
    return problem.sentence()


def test_outlines_agree_with_what_was_drawn():
    """At 2.2 px/mm, less than half of what a phone gives: the whole set, at 12 million pixels, is a benchmark."""
    scene, camera = usual_scene(), of_size(CAMERAS["far aslant"], 1600, 1200)
    found = find_outlines(photo(scene, camera, over=2, dots=3.0))
    assert (len(found.outlines), found.refused) == (len(scene.patches), ())
    assert [outline.touches for outline in found.outlines] == [()] * len(scene.patches)
    distances = []
    for outline in found.outlines:
        truth = nearest_truth(outline.outer, scene, camera)
        compared = compare(outline.outer, outline.holes, truth, scene, camera)
        assert len(outline.holes) == len(truth.holes)
        assert abs(compared.area_share) < 0.012
        assert np.mean(compared.distances_mm <= outline.error_mm) > 0.75
        distances.append(compared.distances_mm)
    every = np.concatenate(distances)
    assert np.median(every) <= 0.35
    assert np.quantile(every, 0.95) <= 0.9


@pytest.fixture(scope="module")
def black_square() -> bytes:
    """A square of 100 mm."""
    return small(usual_scene(patches=[Patch(box(100, 100, 31, 20, 10), BLACK)]))


def test_property_a_known_square_keeps_its_size_whatever_the_camera(black_square):
    scene = usual_scene(patches=[Patch(box(100, 100, 31, 20, 10), BLACK)])
    for data in (black_square, small(scene, replace(SMALL, slant_deg=30, from_deg=-70, focal=1.1))):
        (outline,) = find_outlines(data).outlines
        assert outline.region.area_mm2 == pytest.approx(10_000, rel=0.012)


def test_exif_orientation_is_obeyed(black_square):
    """Tag 0x0112 of the Exif standard, value 6: the picture is stored lying on its side."""
    stored = as_jpeg(np.ascontiguousarray(np.rot90(decoded(black_square))))
    tag = b"Exif\0\0MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0\0\0\0\0"
    marked = stored[:2] + b"\xff\xe1" + (len(tag) + 2).to_bytes(2, "big") + tag + stored[2:]
    bounds = [np.array(find_outlines(data).outlines[0].region.bounds) for data in (black_square, marked)]
    assert np.abs(bounds[0] - bounds[1]).max() < 0.3


def test_a_mirrored_picture_is_turned_over_and_one_of_the_backs_of_cards_is_refused(black_square):
    found = find_outlines(as_jpeg(np.ascontiguousarray(decoded(black_square)[:, ::-1])))
    assert found.was_mirrored
    plain = find_outlines(black_square).outlines[0]
    assert np.abs(np.array(found.outlines[0].region.bounds) - np.array(plain.region.bounds)).max() < 0.6  # packed twice
    backs = [Patch(box(66, 66, 0, card.x, card.y), WHITE) for card in ring_of_cards(MAT)]
    said = fault_of(small(usual_scene(patches=backs, cards=[])))
    assert "0 cards" in said and "print side up" in said


def test_a_picture_smeared_by_the_hand_is_right_or_refused(black_square):
    """Smears of 4 and 14 pixels, a twentieth and a sixth of a card's square, across the light itself."""
    for length in (4, 14):
        light = (decoded(black_square) / 255.0) ** 2.2
        smeared = cv2.filter2D(light, -1, np.full((1, length), 1 / length)) ** (1 / 2.2) * 255
        try:
            (outline,) = find_outlines(as_jpeg(smeared.round().astype(np.uint8))).outlines
        except FaultyInput as fault:
            assert fault.problems[0].remedy
        else:
            assert outline.region.area_mm2 == pytest.approx(10_000, rel=0.015)


def test_the_scale_follows_the_size_that_the_cards_were_measured_at(black_square):
    (outline,) = find_outlines(black_square, OutlineWishes(card_side_mm=48.0)).outlines
    assert outline.region.area_mm2 == pytest.approx(10_000 * 0.96**2, rel=0.012)


def test_another_strong_ground_does():
    patches = [patch for i, patch in enumerate(usual_patches()) if i in (0, 1, 5)]
    found = find_outlines(small(usual_scene(patches=patches, ground=GROUNDS["green"])))
    assert len(found.outlines) == 3


def test_property_a_print_that_nearly_has_the_colour_of_the_ground_keeps_its_whole_area():
    """Leaf green with a spot of the ground's own green, on a green ground; and bands of a little bluer one."""
    square, ground = box(100, 100, 31, 20, 10), GROUNDS["green"]
    other = box(70, 70, 0, -120, 10)

    def leaves(x: npt.NDArray[np.float64], y: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
        return np.where((np.hypot(x - 30, y - 20) < 6)[..., None], ground, np.array([0.16, 0.42, 0.03]))

    def banded(x: npt.NDArray[np.float64], y: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
        return np.where((np.sin(x / 6) > 0)[..., None], np.array([0.06, 0.38, 0.12]), np.array([0.5, 0.5, 0.4]))

    patches = [Patch(square, leaves), Patch(other, banded)]
    bands, outline = find_outlines(small(usual_scene(patches=patches, ground=ground))).outlines
    assert Region.from_ring(outline.outer).area_mm2 == pytest.approx(10_000, rel=0.02)
    assert bands.region.area_mm2 == pytest.approx(4_900, rel=0.02)


def test_a_print_whose_rim_passes_for_ground_is_told_and_a_plain_scrap_is_not():
    """Red on red, bluer by and by at either end."""
    red = np.array([0.55, 0.02, 0.03])

    def spotted(x: npt.NDArray[np.float64], y: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
        bluer = red + np.array([0.0, 0.0, 0.03]) * ((y + 20) / 60)[..., None]
        return np.where((np.abs(x - 80) < 30)[..., None], np.array([0.05, 0.05, 0.3]), bluer)

    patches = [Patch(box(100, 60, 0, -80, 10), BLACK), Patch(box(100, 60, 0, 80, 10), spotted)]
    plain, spotty = find_outlines(small(usual_scene(patches=patches, ground=tuple(red)))).outlines
    assert plain.notes == ()
    assert spotty.region.area_mm2 < 0.9 * 6_000
    assert "ground of another colour" in spotty.notes[0]


def test_spots_of_ground_in_a_print_are_told_and_one_hole_is_not():
    def told(*spots: tuple[int, int]) -> bool:
        is_ground = np.ones((120, 160), bool)
        is_ground[20:100, 20:140] = False
        for x, y in spots:
            is_ground[y : y + 8, x : x + 8] = True
        nothing, colours = np.zeros((120, 160), bool), np.zeros((120, 160, 3), np.float32)
        shown, aside = np.zeros((120, 160, 3), np.uint8), np.zeros((2, 120, 160), np.float32)
        ground = Ground(1.0, shown, colours, is_ground, is_ground, nothing, aside, colours, np.ones(2))
        return is_like_ground(ground, Part(~is_ground, 0, 0, np.zeros(2), 1.0))

    assert not told()
    assert not told((60, 50))
    assert told((60, 50), (90, 60))


def test_a_scrap_close_to_a_doubtful_one_is_told_of_it_and_a_far_one_is_not():
    """Close is nearer than 12 mm: about the finger that scraps are to lie apart, no source."""
    square = ((0.0, 0.0), (40.0, 0.0), (40.0, 40.0), (0.0, 40.0))
    doubtful = FoundOutline(number=1, outer=square, error_mm=0.2, notes=("doubt",))
    close, far = (
        replace(doubtful, number=number, outer=tuple((x + at_mm, y) for x, y in square), notes=())
        for number, at_mm in ((2, 40 + 11.0), (3, -40 - 13.0))
    )
    own, beside, apart = told_round([doubtful, close, far])
    assert (own.notes, apart) == (doubtful.notes, far)
    assert "close by" in beside.notes[0]
    assert replace(beside, notes=(), error_mm=0.2) == close
    assert (
        own.error_mm == beside.error_mm == 100.0
    )  # if both and what lies between them are one: 2 x 51 mm, at most 100
    assert told_round([doubtful]) == (doubtful,)


def test_a_shadow_along_an_edge_is_no_part_of_the_scrap():
    """A thick scrap darkens 3 mm of the ground beside it to a third: 4 % of its area, here 4 pixels broad."""
    square, ground = box(100, 100, 31, 20, 10), np.array(GROUNDS["magenta"])
    shadow = Patch(square + np.array([2.6, -1.5]), lambda x, y: np.ones((*x.shape, 3)) * ground * 0.35)
    scene = usual_scene(patches=[shadow, Patch(square, WHITE)])
    (outline,) = find_outlines(small(scene)).outlines
    assert outline.region.area_mm2 == pytest.approx(10_000, rel=0.025)


def test_rejects_a_grey_ground_and_says_which_colours_do():
    said = fault_of(small(usual_scene(ground=GROUNDS["grey"])))
    assert "magenta" in said and "green" in said and "blue" in said


def test_rejects_scraps_of_the_colour_of_the_ground_and_tells_of_one_that_comes_near():
    def on_magenta(*colour: float) -> Scene:
        return usual_scene(patches=[Patch(box(100, 60, 10, 0, 0), lambda x, y: np.full((*x.shape, 3), colour))])

    (pink,) = find_outlines(small(on_magenta(0.62, 0.16, 0.42))).outlines
    assert "ground of another colour" in pink.notes[0]
    assert pink.region.area_mm2 == pytest.approx(6_000, rel=0.03)
    with pytest.raises((FaultyInput, NoAnswer)):
        find_outlines(small(on_magenta(0.56, 0.025, 0.306)))


def test_rejects_too_few_cards():
    assert "3 cards" in fault_of(small(usual_scene(cards=ring_of_cards(MAT)[:3])))


def test_rejects_cards_all_in_one_corner():
    cards = [Card(1, -270, 190), Card(2, -195, 190), Card(3, -270, 115), Card(4, -195, 115)]
    assert "enclose too little" in fault_of(small(usual_scene(cards=cards, patches=[])))


@pytest.mark.parametrize(
    ("odd", "scale"), [([2], 0.97), ([0, 3, 7], 1.03), ([0, 3, 4, 7], 0.96), ([0, 2, 4, 6], 0.988)]
)
def test_rejects_cards_printed_at_another_size(odd, scale):
    cards = [replace(card, scale=scale) if i in odd else card for i, card in enumerate(ring_of_cards(MAT))]
    said = fault_of(small(usual_scene(cards=cards, patches=[])))
    assert ("card 3" in said.lower()) == (odd == [2])
    assert "differ in size" in said or "smaller than the others" in said


def test_a_cropped_picture_is_right_or_refused(black_square):
    """The lens bends lines about the middle of the picture: in a cropped one that is elsewhere."""
    try:
        (outline,) = find_outlines(as_jpeg(np.ascontiguousarray(decoded(black_square)[70:, 100:]))).outlines
    except FaultyInput as fault:
        assert "cropped" in str(fault)
    else:
        assert outline.region.area_mm2 == pytest.approx(10_000, rel=0.012)


def test_a_card_with_a_hidden_corner_is_no_scrap_and_the_scale_stays():
    scene = usual_scene(patches=[Patch(box(100, 100, 31, 20, 10), WHITE)])
    corner = scene.cards[5]
    hidden = replace(scene, over=[Patch(box(40, 40, 20, corner.x + 24, corner.y + 24), WHITE)])
    found = find_outlines(small(hidden))
    assert corner.number not in found.cards
    (outline,) = found.outlines
    assert outline.region.area_mm2 == pytest.approx(10_000, rel=0.012)
    assert [("card" in one.why) for one in found.refused] == [True]


def test_what_lies_over_the_edge_or_against_a_card_is_refused_by_name_and_the_others_are_kept():
    card = ring_of_cards(MAT)[5]
    over = Patch(box(120, 60, 0, 300, 60), WHITE)
    against = Patch(box(70, 40, 0, card.x + 40, card.y + 30), BLACK)
    found = find_outlines(small(usual_scene(patches=[*usual_patches()[:3], over, against])))
    assert len(found.outlines) == 3
    assert all(one.where.startswith("near card") and one.remedy for one in found.refused)
    assert sorted((f"card {card.number}" in one.why, "over the edge" in one.why) for one in found.refused) == [
        (False, True),
        (True, False),
    ]


def touching() -> Scene:
    one = box(80, 60, 0, -60, 0)
    other = turned([(0, 0), (70, 25), (45, 80), (-5, 50)], 0, -27, 24.0)
    return usual_scene(patches=[Patch(one, WHITE), Patch(other, BLACK)])


def test_scraps_that_touch_are_asked_about_and_split_on_wish():
    data = small(touching())
    (outline,) = find_outlines(data).outlines
    (touch,) = outline.touches
    assert 0 < touch.width_mm < 15
    split = find_outlines(data, OutlineWishes(splits=True)).outlines
    assert len(split) == 2
    assert sum(one.region.area_mm2 for one in split) == pytest.approx(outline.region.area_mm2, rel=0.01)


def test_a_paper_template_gets_straight_edges_and_sharp_corners():
    corners = np.array([(0.0, 0.0), (150.0, 0.0), (150.0, 90.0), (60.0, 110.0), (0.0, 70.0)])
    scene = usual_scene(patches=[Patch(turned(corners, 14, -80, -60), WHITE)])
    (outline,) = find_outlines(small(scene), OutlineWishes(is_template=True)).outlines
    assert len(outline.outer) == len(corners)
    truth = in_picture_frame(scene.patches[0].outer, scene, SMALL)
    apart = np.hypot(*(np.array(outline.outer)[:, None] - truth[None]).transpose(2, 0, 1)).min(axis=1)
    assert apart.max() < 1.2  # as it lies in the picture; the frame itself is told to half a mm


def test_rejects_an_empty_mat():
    with pytest.raises(NoAnswer):
        find_outlines(small(usual_scene(patches=[])))


def test_rejects_a_picture_without_cards():
    assert "0 cards" in fault_of(as_jpeg(np.full((700, 700, 3), 90, dtype=np.uint8)))


def test_every_marker_is_told_from_every_other():
    """ArUco's own check, over all turns: how many cells differ at least."""
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_ARUCO_MIP_36h12)
    assert dictionary.maxCorrectionBits == 5
