"""Settings as they are shown and typed: what is left alone stays exact, what is wrong is told."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bagwright.drafting.usual_allowances import ALLOWANCES
from bagwright.errors import FaultyInput, StaleSave
from bagwright.model.bag import Workroom
from bagwright.model.money import Money
from bagwright.units import UnitSystem
from bagwright.workflows.desk import Desk
from bagwright.workflows.workroom_changes import (
    change_workroom,
    hidden_by_rounding,
    read_workroom,
    shown,
    the_workroom,
)

NAMES = (
    "units",
    "fraction",
    "currency",
    "hourly_pay",
    "overhead_per_hour",
    "selling_fee_share",
    "selling_fee_fixed",
    "stitch_length_mm",
    "sewing_speed_spm",
    "thread_waste_share",
    "layout_gap_mm",
    "takes_mm",
    "thickest_needle_nm",
    *ALLOWANCES,
)


def shown_texts(workroom):
    return {name: shown(workroom, name) for name in NAMES}


@pytest.mark.parametrize("units", UnitSystem)
@pytest.mark.parametrize("share", ["0", "0.00", "0.05", "0.1", "0.125", "0.95", "1E-1"])
def test_a_form_left_alone_changes_nothing(units, share):
    kept = replace(
        Workroom(),
        units=units,
        selling_fee_share=Decimal(share),
        thread_waste_share=float(share),
        hourly_pay=Money(Decimal("18.005"), "USD"),
        stitch_length_mm=2.9,
        layout_gap_mm=3.3,
        sewing_speed_spm=333.3,
        seam_allowance_mm=9.9,
    )
    assert read_workroom(kept, shown_texts(kept)) == kept


@pytest.mark.parametrize(
    ("share", "text"), [("0", "0"), ("0.0", "0"), ("0.05", "5"), ("0.1", "10"), ("0.125", "12.5"), ("1", "100")]
)
def test_shares_are_shown_in_percent(share, text):
    workroom = replace(Workroom(), selling_fee_share=Decimal(share), thread_waste_share=float(share))
    assert shown(workroom, "selling_fee_share") == shown(workroom, "thread_waste_share") == text


def test_what_is_typed_is_taken_over_at_the_typed_units(desk):
    typed = {
        "units": "metric",
        "fraction": "8",
        "hourly_pay": "22,50",
        "selling_fee_share": "0 %",
        "stitch_length_mm": "2.5 mm",
        "sewing_speed_spm": "400",
        "thread_waste_share": "12,5",
        "layout_gap_mm": "0",
        "takes_mm": "8 mm",
        "thickest_needle_nm": "110",
    }
    changed = change_workroom(desk, 0, typed)
    assert changed == the_workroom(desk)
    assert (changed.units, changed.fraction, changed.version) == (UnitSystem.METRIC, 8, 2)
    assert changed.hourly_pay.amount == Decimal("22.50")
    assert (changed.selling_fee_share, changed.thread_waste_share) == (Decimal(0), 0.125)
    assert (changed.stitch_length_mm, changed.sewing_speed_spm, changed.layout_gap_mm) == (2.5, 400.0, 0.0)
    assert (changed.takes_mm, changed.thickest_needle_nm) == (8.0, 110)


def test_every_fault_is_told_and_nothing_is_saved(desk):
    typed = {
        "units": "ells",
        "fraction": "7",
        "hourly_pay": "-3",
        "overhead_per_hour": "1e9",
        "selling_fee_share": "96",
        "selling_fee_fixed": "NaN",
        "stitch_length_mm": "1 m",
        "sewing_speed_spm": "0",
        "thread_waste_share": "101 %",
        "layout_gap_mm": "1 yd",
        "takes_mm": "3 in",
        "thickest_needle_nm": "105",
    }
    with pytest.raises(FaultyInput) as refused:
        change_workroom(desk, 0, typed)
    assert {problem.place for problem in refused.value.problems} == typed.keys()
    assert the_workroom(desk) == Workroom()


def test_a_stale_form_overwrites_nothing(desk):
    change_workroom(desk, 0, {"hourly_pay": "20"})
    with pytest.raises(StaleSave):
        change_workroom(desk, 0, {"hourly_pay": "30"})
    assert the_workroom(desk).hourly_pay.amount == 20


@pytest.mark.parametrize(
    "text",
    ["1e-99999999", "1E5", "1_0", "NaN", "sNaN", "Infinity", "-0", "1,000", "12.1234567", "1" * 10, "", " ", "$5"],
)
def test_rejects_what_is_no_plain_amount(text):
    with pytest.raises(FaultyInput):
        read_workroom(Workroom(), {"hourly_pay": text})


@pytest.mark.parametrize("text", ["0 ells", "0x", "00abc", "-0"])
def test_rejects_gaps_that_are_not_quite_none(text):
    with pytest.raises(FaultyInput):
        read_workroom(Workroom(), {"layout_gap_mm": text})


def test_percentages_are_told_as_such():
    with pytest.raises(FaultyInput) as refused:
        read_workroom(Workroom(), {"thread_waste_share": "some"})
    (problem,) = refused.value.problems
    assert (problem.what, problem.allowed) == ("is not a percentage", "0 to 100 %")


def test_rounding_of_a_length_in_its_field_is_told():
    assert shown(Workroom(), "stitch_length_mm") == "1/8 in"
    assert hidden_by_rounding(Workroom(), "stitch_length_mm") == "rounded from 3 mm"
    assert hidden_by_rounding(replace(Workroom(), units=UnitSystem.METRIC), "stitch_length_mm") == ""
    assert hidden_by_rounding(Workroom(), "hourly_pay") == ""


@settings(max_examples=100, deadline=None)
@given(
    st.dictionaries(
        st.sampled_from(NAMES), st.text(max_size=30) | st.from_regex(r"[0-9.,%/ ]{1,8}( in| mm|)", fullmatch=True)
    )
)
def test_whatever_is_typed_is_read_or_refused_property(texts):
    try:
        changed = read_workroom(Workroom(), texts)
    except FaultyInput as fault:
        assert {problem.place for problem in fault.problems} <= texts.keys()
    else:
        assert read_workroom(changed, shown_texts(changed)) == changed


def test_another_currency_is_taken_before_the_first_price_and_not_after(tmp_path, desk):
    new = Desk(tmp_path / "new")
    changed = change_workroom(new, 0, {"currency": " eur", "hourly_pay": "20"})
    assert (changed.currency, changed.hourly_pay) == ("EUR", Money(Decimal(20), "EUR"))
    assert {changed.overhead_per_hour.currency, changed.selling_fee_fixed.currency} == {"EUR"}
    assert the_workroom(new) == changed
    before = the_workroom(desk)
    for text in ("EUR", "euro"):
        with pytest.raises(FaultyInput) as fault:
            change_workroom(desk, before.version, {"currency": text})
        assert [problem.place for problem in fault.value.problems] == ["currency"]
    assert the_workroom(desk) == before
