"""Zip pockets: the window fits the zip, the bag lies within its panel, the order can be sewn."""

from collections.abc import Iterator

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.drafting.forms import FORMS, accept_measurements, draft_bag
from bagwright.drafting.order_of_work import order_of_work
from bagwright.geometry.curves import Affine, Point
from bagwright.geometry.region import Region
from bagwright.model.pattern import Pattern, Stage
from bagwright.model.piece import Piece
from tests.drafting.measurement_strategies import corrected, measurements
from tests.drafting.test_forms import refusal

FORMS_WITH_POCKETS = sorted(
    key for key, form in FORMS.items() if any(add_on.key == "outside_zip_pocket" for add_on in form.add_ons)
)
FORMS_THAT_HANG = [
    key
    for key in FORMS_WITH_POCKETS
    if any(spec.key == "zip_pocket" and len(spec.choices) == 3 for spec in FORMS[key].measurements)
]
WINDOWS = {"zip_pocket": 1.0, "outside_zip_pocket": 1.0}
HUNG = {"zip_pocket": 2.0}
SEWN_ON = (("zip_pocket", "lining"), ("outside_zip_pocket", "outer"))


def drafted_with(chosen: dict[str, float], forms: list[str]) -> st.SearchStrategy[Pattern]:
    """Patterns of accepted sizes with what is chosen, where the other sizes leave it in."""

    def with_chosen(form: str) -> st.SearchStrategy[Pattern]:
        drawn = measurements(FORMS[form]).map(lambda sizes: corrected(FORMS[form], {**sizes, **chosen}))
        return drawn.map(lambda sizes: draft_bag(form, sizes))

    return st.sampled_from(forms).flatmap(with_chosen)


def corners(piece: Piece, word: str) -> dict[str, Point]:
    """Where the four sides of a box of lines start: left at the top left, and so on, counter-clockwise."""
    return {line.name.removeprefix(f"{word}_"): line.start for line in piece.lines if line.name.startswith(f"{word}_")}


def box_size(piece: Piece, word: str) -> tuple[float, float]:
    at = corners(piece, word)
    return at["right"][0] - at["left"][0], at["left"][1] - at["bottom"][1]


def windows(pattern: Pattern) -> Iterator[tuple[str, Piece, Piece, Piece]]:
    """Key, host, bag and chain of every pocket set into a panel."""
    for key, host in SEWN_ON:
        if pattern.measurements_mm[key] == 1:
            yield key, pattern.piece(host), pattern.piece(f"{key}_bag"), pattern.piece(f"{key}_chain")


def bag_behind(host: Piece, bag: Piece) -> Region:
    """The upper half of the bag, allowance included, as it lies behind the panel: turned over, window on window."""
    _, low, _, _ = bag.region().bounds
    fold = bag.edge("fold").start[1]
    wide, high = bag.region().width_mm, bag.region().height_mm
    upper = bag.region().shared_with(Region.rectangle((-wide, fold), (2 * wide, low + high)))
    window, turned = corners(host, "window"), Affine(mirrors=True)
    mirrored = turned.apply(corners(bag, "window")["top"])
    return upper.moved(turned).shifted(window["left"][0] - mirrored[0], window["left"][1] - mirrored[1])


@settings(max_examples=80, deadline=None)
@given(drafted_with(WINDOWS, FORMS_WITH_POCKETS))
def test_window_property_is_as_long_as_asked_and_as_high_as_the_zip_lets_it_be(pattern):
    sizes = pattern.measurements_mm
    for key, host, bag, chain in windows(pattern):
        long, lip = box_size(host, "window")
        assert long == pytest.approx(sizes[f"{key}_window_mm"])
        assert box_size(bag, "window") == pytest.approx((long, lip))
        # Stitched 3 mm off all round, one allowance inside the tape's edges.
        assert lip == pytest.approx(sizes[f"{key}_tape_width_mm"] - 2 * sizes[f"{key}_zip_allowance_mm"] - 6.0)
        assert box_size(host, "zip") == pytest.approx((long + 6.0, lip + 6.0))
        assert (chain.net.region().width_mm, chain.net.region().height_mm) == pytest.approx(box_size(host, "zip"))
        assert chain.region().height_mm == pytest.approx(sizes[f"{key}_tape_width_mm"])
        (one,) = (one for one in pattern.zips if one.key == chain.id)
        # The stops lie at the ends of the window; a hand goes through.
        assert one.opening_mm == pytest.approx(long - sizes[f"{key}_slider_parked_mm"])
        assert one.opening_mm >= 60.0 - 1e-6
        top = host.edge("top").start[1]
        assert top - corners(host, "window")["left"][1] == pytest.approx(sizes[f"{key}_below_top_mm"])


@settings(max_examples=80, deadline=None)
@given(drafted_with(WINDOWS, FORMS_WITH_POCKETS))
def test_bag_property_lies_behind_its_panel_clear_of_every_seam_and_holds_the_whole_tape(pattern):
    for _, host, bag, chain in windows(pattern):
        behind = bag_behind(host, bag)
        assert host.net.region(side="right").grown(-2.9).holds(behind)
        at, (long, lip) = corners(host, "window")["bottom"], box_size(host, "window")
        tape = chain.region()
        left, low = at[0] + long / 2 - tape.width_mm / 2, at[1] + lip / 2 - tape.height_mm / 2
        lying = Region.rectangle((left, low), (left + tape.width_mm, low + tape.height_mm))
        sewn = behind.grown(-bag.allowance_mm["top"])
        assert sewn.holds(lying)


@pytest.mark.parametrize("form", FORMS_WITH_POCKETS)
def test_cuts_property_run_along_the_middle_and_as_a_y_into_the_corners(form):
    bag = draft_bag(form, {"outside_zip_pocket": 1.0, **roomy(form)}).piece("outside_zip_pocket_bag")
    window, cuts = corners(bag, "window"), {m.name: m for m in bag.lines if m.name.startswith("cut_")}
    lip = box_size(bag, "window")[1]
    middle = cuts["cut_middle"]
    assert middle.start[1] == middle.end[1] == pytest.approx((window["left"][1] + window["bottom"][1]) / 2)
    ends = {name: cut.end for name, cut in cuts.items() if name != "cut_middle"}
    assert sorted(ends.values()) == sorted(window.values())
    for name, cut in cuts.items():
        if name != "cut_middle":
            assert cut.start in (middle.start, middle.end)
            # At 45 degrees, half the height of the window long either way.
            assert [abs(a - b) for a, b in zip(cut.start, cut.end, strict=True)] == pytest.approx([lip / 2, lip / 2])


def roomy(form: str) -> dict[str, float]:
    """Sizes large enough for every pocket at its usual size."""
    asked = {"width_mm": 400.0, "height_mm": 350.0, "diameter_mm": 350.0, "strap_spacing_mm": 150.0}
    return {key: size for key, size in asked.items() if any(spec.key == key for spec in FORMS[form].measurements)}


@settings(max_examples=60, deadline=None)
@given(drafted_with(HUNG, FORMS_THAT_HANG))
def test_hung_pocket_property_adds_up_from_strip_zip_and_bag_and_ends_above_the_base(pattern):
    sizes = pattern.measurements_mm
    if sizes["zip_pocket"] != 2:
        return
    strip, bag, chain, tab = (pattern.piece(f"zip_pocket_{part}") for part in ("strip", "bag", "chain", "tab"))
    heights = [strip.edge("left").length_mm, chain.edge("end_left").length_mm, bag.edge("right_front").length_mm]
    assert sum(heights) == pytest.approx(sizes["zip_pocket_depth_mm"]) == pytest.approx(bag.edge("left_back").length_mm)
    zipped = chain.edge("tape_back").length_mm + tab.edge("side_one").length_mm
    assert zipped == pytest.approx(strip.edge("bottom").length_mm)
    lining = pattern.piece("lining")
    assert sizes["zip_pocket_depth_mm"] < lining.edge("top").start[1]
    notches = [notch.at_mm for notch in lining.notches if notch.edge == "top"]
    width = sizes["zip_pocket_width_mm"]
    middle = lining.edge("top").length_mm / 2
    assert {round(middle - width / 2, 6), round(middle + width / 2, 6)} <= {round(at, 6) for at in notches}


@pytest.mark.parametrize("form", FORMS_WITH_POCKETS)
def test_order_of_work_property_window_cut_zip_bag_before_the_panel_is_joined(form):
    steps = order_of_work(draft_bag(form, {**roomy(form), **WINDOWS}))
    joined = min(step.number for step in steps if step.stage in (Stage.ZIPS, Stage.LINING, Stage.OUTER, Stage.JOIN))
    for key, _ in SEWN_ON:
        own = {f"{key}_bag", f"{key}_chain"}
        window, zipped, shut = (step for step in steps if own & set(step.piece_ids))
        # One step of handwork, the cut, lies between stitching the window and laying the zip under it.
        assert (zipped.number, shut.number) == (window.number + 2, window.number + 3)
        assert shut.number < joined
        cut = steps[window.number]
        assert not cut.piece_ids
        assert "Cut the window" in cut.name


@pytest.mark.parametrize("form", FORMS_THAT_HANG)
def test_order_of_work_property_hung_pocket_is_finished_and_held_before_the_lining_is_sewn(form):
    pattern = draft_bag(form, {**roomy(form), **HUNG})
    order = {seam.id.rpartition("-")[0] if seam.id[-1].isdigit() else seam.id: seam.order for seam in pattern.seams}
    names = ["tabs", "strip", "zip", "edge", "sides", "hold"]
    steps = [order[f"zip_pocket-{name}"] for name in names]
    assert steps == sorted(steps)
    assert steps[-1] < min(seam.order for seam in pattern.seams if seam.stage is Stage.LINING)
    top = [seam for seam in pattern.seams if seam.stage is Stage.JOIN and seam.id.startswith("top-")]
    assert any({"zip_pocket_strip", "zip_pocket_bag"} <= {side.piece_id for side in seam.sides} for seam in top)


@pytest.mark.parametrize(
    ("sizes", "field", "allowed"),
    [
        # 330.2 - 2 (25.4 + 9.525 + 3)
        ({"zip_pocket": 1.0, "zip_pocket_window_mm": 300.0}, "zip_pocket_window_mm", "at most 254.3 mm"),
        ({"zip_pocket": 1.0, "zip_pocket_window_mm": 62.0}, "zip_pocket_window_mm", "at least 72 mm"),
        # 25.4 + 9.525 + 3
        ({"zip_pocket": 1.0, "zip_pocket_below_top_mm": 30.0}, "zip_pocket_below_top_mm", "at least 38 mm"),
        # 25.4 + (32 - 2 x 6.35 - 6) + 40
        ({"zip_pocket": 1.0, "zip_pocket_depth_mm": 70.0}, "zip_pocket_depth_mm", "at least 78.7 mm"),
        # 2 x 6.35 + 8 + 6
        ({"zip_pocket": 1.0, "zip_pocket_tape_width_mm": 20.0}, "zip_pocket_tape_width_mm", "at least 26.7 mm"),
        # 152.4 +- 25.4: within a strap's end, the nearer way out of it
        ({"zip_pocket": 2.0, "zip_pocket_width_mm": 160.0}, "zip_pocket_width_mm", "at least 177.8 mm"),
        ({"zip_pocket": 2.0, "zip_pocket_width_mm": 145.0}, "zip_pocket_width_mm", "at most 127 mm"),
        ({"zip_pocket": 2.0, "zip_pocket_width_mm": 320.0}, "zip_pocket_width_mm", "at most 304.8 mm"),
        ({"width_mm": 120.0, "depth_mm": 60.0, "strap_spacing_mm": 60.0, "zip_pocket": 1.0}, "zip_pocket", "0 with"),
        (
            {"width_mm": 200.0, "strap_spacing_mm": 150.0, "zip_pocket": 2.0, "zip_pocket_width_mm": 150.0},
            "zip_pocket_width_mm",
            "at most 124.6 mm",
        ),
    ],
)
def test_pocket_that_does_not_fit_rejects_with_the_nearest_that_does(sizes, field, allowed):
    told = refusal("boxed_tote", sizes)
    assert told.keys() == {field}
    assert told[field].startswith(allowed)
    number = float(told[field].removeprefix("at most ").removeprefix("at least ").split()[0])
    assert draft_bag("boxed_tote", {**sizes, field: number})


@pytest.mark.parametrize("spacing_mm", [60.0, 120.0, 165.0, 180.0, 220.0, 280.0])
def test_hung_pocket_property_fits_beside_the_straps_when_it_is_added_later(spacing_mm):
    """What was kept while it was not there, and what nobody typed, come to lie beside the strap ends."""
    form = FORMS["boxed_tote"]
    kept = accept_measurements(form, {**form.defaults(), "strap_spacing_mm": spacing_mm})
    for sizes in ({**kept, **HUNG}, {"strap_spacing_mm": spacing_mm, **HUNG}):
        width = draft_bag("boxed_tote", sizes).measurements_mm["zip_pocket_width_mm"]
        assert not spacing_mm - 25.4 < width < spacing_mm + 25.4
