"""Work sheet and cost sheet, read again by another library."""

from __future__ import annotations

import io
from dataclasses import replace
from itertools import cycle

import pdfplumber
import pytest

from bagwright.drafting.cautions import IRON
from bagwright.model.material import Extent
from bagwright.store.bags import load_bag, save_bag
from bagwright.workflows.cut_list_lines import cut_list_lines
from bagwright.workflows.desk import view_bag
from bagwright.workflows.papers import paper_of_bag
from tests.workflows.demo_values import BAGS, TOTE

POINTS = {"a4": (595.28, 841.89), "letter": (612, 792)}


def words_of(data: bytes, paper: str) -> str:
    """All text of a PDF, in one line, its pages of the right size and nothing set beyond their edges."""
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        for page in pdf.pages:
            assert (page.width, page.height) == pytest.approx(POINTS[paper], abs=0.5)
            assert all(
                char["x0"] > 0 and char["x1"] < page.width and char["bottom"] < page.height for char in page.chars
            )
        return " ".join(" ".join(page.extract_text() for page in pdf.pages).split())


@pytest.mark.parametrize("bag_id, paper", [*zip(BAGS, cycle(POINTS), strict=False), (TOTE, "letter")])
def test_work_sheet_names_every_piece_and_every_step(desk, bag_id, paper):
    answer = view_bag(desk, bag_id).answer
    words = words_of(paper_of_bag(desk, bag_id, f"making-{paper}.pdf").data, paper)
    assert all(" ".join(piece.name.split()) in words for piece in answer.pattern.pieces)
    assert all(f"{step.number}. " in words for step in answer.work)
    assert "Rotary blade" in words and "For the label" in words and "rules where you sell" in words


def test_cost_sheet_tells_price_parts_and_what_was_assumed(desk):
    price = view_bag(desk, TOTE).answer.price
    assert price
    words = words_of(paper_of_bag(desk, TOTE, "cost-a4.pdf").data, "a4")
    assert price.paid_price.said() in words and price.floor.said() in words
    assert all(part.amount.said() in words for part in price.parts)
    assert "Reckoned on" in words and "Prices of" in words and "Selling fees: 5 %" in words


@pytest.mark.parametrize("paper", ["making-a4.pdf", "cost-letter.pdf"])
def test_a_long_name_stays_on_the_sheet(desk, paper):
    name = "A very long name of a tote that somebody typed, of linen and Wiederverwendbarkeit, for market day, no. 17"
    with desk.store() as store:
        save_bag(store, replace(load_bag(store, TOTE), name=name))
    words = words_of(paper_of_bag(desk, TOTE, paper).data, paper.rpartition("-")[2].partition(".")[0])
    assert words.startswith(name)


def test_an_unfinished_bag_has_its_papers_too(desk):
    with desk.store() as store:
        save_bag(store, replace(load_bag(store, TOTE), stacks={}))
    assert "nothing chosen yet" in words_of(paper_of_bag(desk, TOTE, "making-a4.pdf").data, "a4")
    assert "Not reckoned yet" in words_of(paper_of_bag(desk, TOTE, "cost-letter.pdf").data, "letter")


def test_cut_list_goes_by_material_and_label_names_only_what_the_bag_has(desk):
    """A layer that reaches to the stitch line only is cut smaller; layers kept for parts to come are in no bag yet."""
    with desk.store() as store:
        bag = load_bag(store, TOTE)
        outer, fleece = bag.stacks["outer"]
        stacks = {"outer": (outer, replace(fleece, extent=Extent.NET)), "binding": bag.stacks["lining"]}
        save_bag(store, replace(bag, stacks={**bag.stacks, **stacks}))
    view = view_bag(desk, TOTE)
    lines = cut_list_lines(view.answer.pattern, view.answer.bag.stacks, view.shelf)
    whole, net = (line for line in lines if line.piece.id == "outer")
    assert (whole.material_id, net.material_id) == (outer.material_id, fleece.material_id)
    assert whole.width_mm - net.width_mm == pytest.approx(2 * min(whole.piece.allowance_mm.values()))
    assert whole.allowances_mm and not net.allowances_mm
    words = words_of(paper_of_bag(desk, TOTE, "making-a4.pdf").data, "a4")
    assert f"To cut from {whole.material}" in words and "up to the stitch line, no seam allowance" in words
    assert "Outer: cotton; polyester" in words and "Binding" not in words


def test_every_step_that_presses_minds_the_iron(desk):
    steps = [step for step in view_bag(desk, TOTE).answer.work if "press" in step.name.casefold()]
    assert steps and all(IRON in step.cautions for step in steps)
