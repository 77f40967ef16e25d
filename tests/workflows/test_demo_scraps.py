"""The scraps of the demo: enough to see what a stash does, and nothing costs otherwise because they are there."""

from __future__ import annotations

from bagwright.output.drawing import PictureFile
from bagwright.workflows.covering import covers_for_bag
from bagwright.workflows.covering_words import covers_paper, worth_in_words
from bagwright.workflows.demo_studio import demo_stash
from bagwright.workflows.desk import view_bag
from bagwright.workflows.from_stash import stash_for_bag
from bagwright.workflows.pictures import stash_picture
from bagwright.workflows.runs import view_run
from bagwright.workflows.scrap_pictures import pictures_for_paper
from bagwright.workflows.stash_changes import the_stash
from tests.workflows.demo_values import BAGS, POUCH, TOTE, WALLET


def test_scraps_are_marked_as_invented():
    for piece, _ in demo_stash():
        assert piece.note == "Invented." and "(invented)" in piece.came_from


def test_bags_and_the_run_cost_what_they_cost_without_scraps(desk, desk_with_scraps):
    for bag_id in BAGS:
        bare, whole = (view_bag(one, bag_id).answer for one in (desk, desk_with_scraps))
        assert whole.money_in_all() == bare.money_in_all() and whole.price == bare.price
    plans = [view_run(one, "autumn-market").answer.plan for one in (desk, desk_with_scraps)]
    assert plans[0] == plans[1]


def test_each_bag_has_something_from_the_stash(desk_with_scraps):
    desk, found = desk_with_scraps, {}
    for bag_id in (TOTE, POUCH, WALLET):
        view = view_bag(desk, bag_id)
        (covers,) = covers_for_bag(desk, view)
        assert covers.covers.verdict.passed
        found[bag_id] = sorted(sorted(one.covered.scrap_ids) for one in covers.done)
        for one in covers.done:
            longer = (
                "at your pay that is"
                if one.worth and one.worth.minutes
                else "takes no longer than new material. It pays."
            )
            assert longer in worth_in_words(view, covers, one)
    assert found[TOTE] == [["fleece-band", "fleece-long"]]
    assert ["sewin-sheet"] in found[POUCH] and ["mist-strip"] in found[WALLET]
    offers = {bag_id: stash_for_bag(desk, view_bag(desk, bag_id)).offers for bag_id in (TOTE, WALLET)}
    assert [[one.piece.id for one in offer.laid] for offer in offers[TOTE]] == [["canvas-end"]]
    assert [[one.piece.id for one in offer.laid] for offer in offers[WALLET]] == [["cork-end"]]


def test_pictures_of_scraps_come_with_the_paper(desk_with_scraps):
    view = view_bag(desk_with_scraps, TOTE)
    (covers,) = covers_for_bag(desk_with_scraps, view)
    picture = pictures_for_paper(desk_with_scraps)(covers.pieces["fleece-long"])
    assert isinstance(picture, PictureFile) and picture.data.startswith(b"\xff\xd8\xff")
    paper = covers_paper(desk_with_scraps, view, covers, paper="Letter")
    assert b"/DCTDecode" in paper and len(paper) < 400_000


def test_the_stash_list_shows_pictures(desk_with_scraps):
    pictures = {item.piece.id: stash_picture(item.piece, item.material) for item in the_stash(desk_with_scraps)}
    assert 'href="/stash/canvas-end/picture"' in pictures["canvas-end"]
    assert "<image" not in pictures["sewin-left"]
