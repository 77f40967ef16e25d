"""Several templates from one heap: whole pieces first, no scrap twice, as much covered as an exact count of ways."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

from bagwright.geometry.region import Region
from bagwright.model.cover import Covers, CoverScrap, CoverSettings, CoversRequest, CoverTemplate, LeftTemplate
from bagwright.piecing.check_several import check_covers
from bagwright.piecing.cover import cover_template
from bagwright.piecing.several import cover_templates
from tests.piecing.planted import planted

SEARCHED = CoverSettings(iterations=6)


def scrap(name, width, height):
    return CoverScrap(id=name, region=Region.rectangle((0, 0), (width, height)), grain_deg=0.0)


def template(name, width, height, count=1):
    return CoverTemplate(id=name, need=Region.rectangle((0, 0), (width, height)), count=count)


def asked(templates, scraps, **rest):
    return CoversRequest(templates=tuple(templates), scraps=tuple(scraps), keeps_grain=True, **rest)


def taken(found):
    return [(one.template_id, sorted(one.scrap_ids)) for one in found.covers]


def test_a_scrap_that_holds_a_template_is_used_whole_the_smallest_that_does():
    request = asked(
        [template("tab", 100, 60)], [scrap("huge", 400, 300), scrap("fits", 105, 62), scrap("half", 50, 60)]
    )
    assert taken(cover_templates(request)) == [("tab", ["fits"])]


def test_scraps_are_shared_out_so_that_most_is_covered():
    # c + d cover the side, a + b the base; greedy by area would give the side to a + c and leave the base bare.
    scraps = [scrap("a", 100, 50), scrap("b", 100, 30), scrap("c", 120, 60), scrap("d", 120, 40)]
    found = cover_templates(asked([template("side", 120, 100), template("base", 100, 80)], scraps), settings=SEARCHED)
    assert found.verdict.passed and not found.left
    assert taken(found) == [("side", ["c", "d"]), ("base", ["a", "b"])]


def test_chosen_area_agrees_with_every_way_of_sharing_out_strips():
    """Full-width strips stack, so a template is covered exactly if its strips are high enough; count all ways."""
    templates = [template("front", 100, 90), template("back", 100, 70)]
    for heights in ((50, 40, 40, 30, 20), (60, 30, 35, 20, 10), (45, 20, 45, 25, 15)):
        scraps = [scrap(f"s{number}", 100, height) for number, height in enumerate(heights)]
        most = 0.0
        for way in product((-1, 0, 1), repeat=len(heights)):
            sums = [sum(h for h, w in zip(heights, way, strict=True) if w == n) for n in (0, 1)]
            most = max(most, sum(100.0 * h for h, got in zip((90, 70), sums, strict=True) if got >= h))
        found = cover_templates(asked(templates, scraps, enough_share=0.999), settings=CoverSettings(iterations=3))
        areas = {one.id: one.need.area_mm2 for one in templates}
        assert sum(areas[one.template_id] for one in found.covers) == most, heights


def test_planted_templates_are_both_found_in_one_heap():
    first, *_ = planted(1, 3, strays=2)
    second, *_ = planted(2, 3, strays=2)
    heap = [replace(one, id=f"{n}-{one.id}") for n, request in enumerate((first, second)) for one in request.scraps]
    request = CoversRequest(
        templates=(CoverTemplate(id="first", need=first.need), CoverTemplate(id="second", need=second.need)),
        scraps=tuple(heap),
    )
    found = cover_templates(request, settings=CoverSettings(iterations=1))
    assert found.verdict.passed and {one.template_id for one in found.covers} == {"first", "second"}


def test_the_check_sees_a_scrap_used_twice_and_a_copy_too_many():
    request = asked([template("tab", 100, 60, count=2)], [scrap("a", 100, 60), scrap("b", 100, 60)])
    found = cover_templates(request)
    twice = (found.covers[0], found.covers[0])
    assert check_covers(request, twice, ()).faults == ("a: used 2 times",)
    copies = check_covers(request, found.covers, (LeftTemplate("tab", 1, 0.0),))
    assert copies.faults == ("tab: 3 copies told, 2 asked for",)
    assert not check_covers(replace(request, enough_share=1.1), found.covers, ()).passed


def test_what_no_scrap_covers_is_left_and_a_stop_ends_it():
    request = asked([template("tab", 100, 60)], [scrap("a", 60, 60)])
    found = cover_templates(request)
    assert found.covers == () and found.left[0].count == 1 and 0.5 < found.left[0].best_share < 0.7
    assert cover_templates(request, should_stop=lambda: True).covers == ()
    told: list[Covers] = []
    two = asked([template("tab", 100, 60)], [scrap("a", 60, 60), scrap("b", 40, 60)])
    cover_templates(two, settings=SEARCHED, on_better=told.append)
    assert [taken(one) for one in told] == [[("tab", ["a", "b"])]]


def area_covered(covers, request):
    areas = {one.id: one.need.area_mm2 for one in request.templates}
    return sum(areas[name] * cover.measures.covered_share for name, cover in covers)


def test_sharing_out_is_never_worse_than_covering_one_by_one_in_the_same_rounds():
    """Strips of the first template would do for the second, and the other way round: whoever comes first takes them."""
    for heights in ((50, 40, 45, 25, 20), (60, 30, 35, 35, 10)):
        templates = [template("back", 100, 70), template("front", 100, 90)]
        request = asked(templates, [scrap(f"s{n}", 100, height) for n, height in enumerate(heights)])
        free, one_by_one = set(request.scraps), []
        for one in templates:
            cover = cover_template(
                request.of(one, tuple(s for s in request.scraps if s in free)), settings=CoverSettings(iterations=40)
            )
            if cover.is_enough:
                one_by_one.append((one.id, cover))
                free -= {s for s in free if s.id in {place.id for place in cover.placements}}
        found = cover_templates(request, settings=CoverSettings(iterations=2))
        shared = [(one.template_id, one.cover) for one in found.covers]
        assert found.verdict.passed
        assert area_covered(shared, request) >= area_covered(one_by_one, request) - 1


def test_hostile_heaps_end_soon_and_pass_their_check():
    needle = CoverScrap(id="needle", region=Region.from_ring([(0, 0), (4000, 0.2), (4000, 0.4)]), grain_deg=0.0)
    crumb, huge = scrap("crumb", 0.01, 0.01), scrap("huge", 900_000, 900_000)
    twins = [scrap(f"twin-{n}", 60, 50) for n in range(4)]
    heap = [needle, crumb, *twins]
    framed = Region.from_ring([(0, 0), (100, 0), (100, 100), (0, 100)], [[(20, 20), (20, 80), (80, 80), (80, 20)]])
    hollow = CoverTemplate(id="frame", need=framed, count=3)
    for templates, scraps in (([hollow], heap), ([template("tab", 60, 50, 50)], heap), ([hollow], [huge])):
        found = cover_templates(asked(templates, scraps))
        assert found.verdict.passed
        assert len(found.covers) + sum(one.count for one in found.left) == templates[0].count
    many = cover_templates(asked([template("tab", 60, 50, 50)], heap))
    assert [one.scrap_ids for one in many.covers] == [frozenset({twin.id}) for twin in twins]
    whole = cover_templates(asked([hollow], [huge]))
    assert taken(whole) == [("frame", ["huge"])] and whole.left[0].count == 2
    assert cover_templates(asked([], heap)).covers == () and cover_templates(asked([hollow], [])).left[0].count == 3
