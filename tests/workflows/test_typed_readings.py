"""Readings at the kitchen table as they are typed."""

from __future__ import annotations

import pytest

from bagwright.errors import FaultyInput
from bagwright.units import UnitSystem
from bagwright.workflows.typed_readings import read_angle_deg, read_count, read_overhangs_mm

INCH, METRIC = UnitSystem.INCH, UnitSystem.METRIC


@pytest.mark.parametrize(
    ("text", "units", "read"),
    [
        ("3 1/4, 3 3/8, 3 1/4", INCH, (82.55, 85.725, 82.55)),
        ("3 1/4,3 3/8", INCH, (82.55, 85.725)),
        ('3 1/4", 3.5"', INCH, (82.55, 88.9)),
        ("82, 84, 83 mm", INCH, (82.0, 84.0, 83.0)),
        ("82\n84\r\n83", METRIC, (82.0, 84.0, 83.0)),
        ("82, 84,", METRIC, (82.0, 84.0)),
        ("82,5; 84", METRIC, (82.5, 84.0)),
        ("8.3 cm, 8.4 cm", METRIC, (83.0, 84.0)),
        ("8.3, 8.4 cm", METRIC, (83.0, 84.0)),
        ("81,82,83", METRIC, (81.0, 82.0, 83.0)),
        ("3 ½, 3 ¼ in", METRIC, (88.9, 82.55)),
        ("  ", INCH, ()),
    ],
)
def test_readings_are_taken_as_a_maker_writes_them(text, units, read):
    assert read_overhangs_mm(text, place="up", units=units) == pytest.approx(read)


@pytest.mark.parametrize(
    ("text", "units", "faults"),
    [
        ("82,84", METRIC, 1),  # one reading or two?
        ("82, long, 84, -3", METRIC, 2),
        ("83, 84", INCH, 1),  # a ruler in mm in a workroom of inches: 7 feet of overhang
        ("8.3, 8.4", METRIC, 1),  # centimetres where millimetres are asked for
        (", ".join(["82"] * 51), METRIC, 1),
        ("8" * 601, METRIC, 1),
        ("82, <b>", METRIC, 1),
    ],
)
def test_rejects_every_reading_that_cannot_be_meant(text, units, faults):
    with pytest.raises(FaultyInput) as refused:
        read_overhangs_mm(text, place="up", units=units)
    assert [problem.place for problem in refused.value.problems] == ["up"] * faults


@pytest.mark.parametrize(("text", "angle"), [("41.5", 41.5), ("45°", 45.0), ("30,5", 30.5)])
def test_angle_of_the_card(text, angle):
    assert read_angle_deg(text, place="angle_deg") == angle


@pytest.mark.parametrize("text", ["", "4", "81", "steep", "45 46"])
def test_rejects_an_angle_that_no_card_has(text):
    with pytest.raises(FaultyInput) as refused:
        read_angle_deg(text, place="angle_deg")
    assert refused.value.problems[0].place == "angle_deg"


@pytest.mark.parametrize("text", ["", "0", "1.5", "1001", "ten", "²"])
def test_rejects_a_count_that_is_none(text):
    with pytest.raises(FaultyInput):
        read_count(text, place="layers", most=1000)
