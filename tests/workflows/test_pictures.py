"""Pictures that are remembered: drawn once for the same things, anew when anything shown changes."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bagwright.units import UnitSystem
from bagwright.workflows import pictures
from bagwright.workflows.desk import view_bag
from tests.workflows.demo_values import TOTE


def test_same_pieces_and_layouts_are_drawn_once(desk, monkeypatch: pytest.MonkeyPatch):
    view = view_bag(desk, TOTE)
    sheet = view.answer.layouts[0]
    pieces = pictures.pieces_picture(view.answer, view.shelf, view.workroom)
    layout = pictures.layout_picture(sheet, view.answer, view.workroom, bought_mm=sheet.bought_mm)

    def never(*_args: object, **_options: object) -> None:
        raise AssertionError("drawn again")

    monkeypatch.setattr(pictures, "draw_pieces", never)
    monkeypatch.setattr(pictures, "draw_layout", never)
    again = view_bag(desk, TOTE)
    assert pictures.pieces_picture(again.answer, again.shelf, again.workroom) == pieces
    assert pictures.layout_picture(sheet, again.answer, again.workroom, bought_mm=sheet.bought_mm) == layout


def test_what_changes_what_is_shown_is_drawn_anew(desk):
    view = view_bag(desk, TOTE)
    answer, inch = view.answer, view.workroom
    metric = replace(inch, units=UnitSystem.METRIC)
    sheet = answer.layouts[0]
    assert (
        len({pictures.pieces_picture(answer, view.shelf, room) for room in (inch, metric, replace(inch, fraction=4))})
        == 3
    )
    called = replace(answer, cuts=tuple(replace(cut, name=f"{cut.name} of hers") for cut in answer.cuts))
    first, other, longer, named = (
        pictures.layout_picture(sheet, one, room, bought_mm=bought)
        for one, room, bought in (
            (answer, inch, sheet.bought_mm),
            (answer, metric, sheet.bought_mm),
            (answer, inch, sheet.bought_mm + 300),
            (called, inch, sheet.bought_mm),
        )
    )
    assert len({first, other, longer, named}) == 4
