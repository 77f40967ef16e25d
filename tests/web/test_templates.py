"""Each template asks its page value for fields that it has, and uses all that it has."""

from __future__ import annotations

import re
from dataclasses import fields
from importlib.resources import files

import pytest

from bagwright.web import (
    asking_pages,
    bond_pages,
    corners_page,
    costs_pages,
    cover_page,
    folded_pages,
    from_stash_page,
    handing_pages,
    held_pages,
    mat_pages,
    material_pages,
    measure_pages,
    money_pages,
    moving_page,
    own_pages,
    pages,
    paying_page,
    quote_pages,
    run_pages,
    run_scraps_page,
    savings_pages,
    sewing_pages,
    sign_in_page,
    stash_pages,
    steps_pages,
    swap_pages,
    time_pages,
    today_page,
    unlaid_page,
)

PAGES = {
    "asking.html": asking_pages.AskingPage,
    "bag.html": pages.BagPage,
    "beside.html": savings_pages.BesidePage,
    "savings.html": savings_pages.SavingsPage,
    "savings_found.html": savings_pages.SavingsPart,
    "savings_shared.html": savings_pages.SharedPart,
    "bag_card.html": pages.CardPage,
    "bags.html": pages.BagsPage,
    "covers.html": cover_page.CoverPage,
    "run_scraps.html": run_scraps_page.RunScrapsPage,
    "cutting_table.html": stash_pages.TablePage,
    "drawing.html": own_pages.DrawingPage,
    "from_stash.html": from_stash_page.FromStashPage,
    "from_stash_part.html": from_stash_page.FromStashPart,
    "held.html": held_pages.HeldPage,
    "mat.html": mat_pages.MatPage,
    "mat_photo.html": mat_pages.MatPhotoPage,
    "material.html": material_pages.MaterialPage,
    "materials.html": material_pages.MaterialsPage,
    "bonds.html": bond_pages.BondsPage,
    "measuring.html": paying_page.PayingPage,
    "money.html": money_pages.MoneyPage,
    "moving.html": moving_page.MovingPage,
    "paying.html": paying_page.PayingPart,
    "measure.html": measure_pages.MeasurePage,
    "quotes.html": quote_pages.QuotesPage,
    "run.html": run_pages.RunPage,
    "runs.html": run_pages.RunsPage,
    "sewing.html": sewing_pages.SewingPage,
    "sign_in.html": sign_in_page.SignInPage,
    "steps.html": steps_pages.StepsPage,
    "stash_corners.html": corners_page.CornersPage,
    "stash.html": stash_pages.StashPage,
    "supplies.html": run_pages.SuppliesPage,
    "swaps.html": swap_pages.SwapsPage,
    "time.html": time_pages.TimePage,
    "times.html": time_pages.TimesPage,
    "today.html": today_page.TodayPage,
    "costs.html": costs_pages.CostsPage,
    "taken_in.html": handing_pages.TakenInPage,
    "unlaid.html": unlaid_page.UnlaidPage,
    "workroom.html": pages.WorkroomPage,
    "fault.html": pages.FaultPage,
    "folded.html": folded_pages.FoldedPage,
    "progress.html": pages.SearchPage,
}
TEMPLATES = files("bagwright.web").joinpath("templates")


def with_its_parts(name):
    """The template's text with that of every template it extends or includes."""
    text = TEMPLATES.joinpath(name).read_text(encoding="utf-8")
    parts = re.findall(r'{%-?\s*(?:extends|include)\s+"([^"]+)"', text)
    return text + "".join(with_its_parts(part) for part in parts)


@pytest.mark.parametrize("name", PAGES)
def test_a_template_and_its_page_agree(name):
    asked = set(re.findall(r"(?<!/)\bpage\.(\w+)", with_its_parts(name)))
    assert asked == {field.name for field in fields(PAGES[name])}


def test_every_template_belongs_to_a_page():
    reached = "".join(with_its_parts(name) for name in PAGES)
    named = set(re.findall(r'"([a-z_]+\.html)"', reached)) | set(PAGES)
    assert {entry.name for entry in TEMPLATES.iterdir() if entry.name.endswith(".html")} == named


def test_no_template_takes_what_is_typed_for_markup():
    for entry in TEMPLATES.iterdir():
        if entry.name.endswith(".html"):
            assert not re.search(r"\|\s*safe\b|autoescape\s+false", entry.read_text(encoding="utf-8"))
