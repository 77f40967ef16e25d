"""Units as makers write them: read, refused, printed."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bagwright.errors import FaultyInput
from bagwright.units import (
    GRAMS_PER_OZ,
    GSM_PER_OZ_YD2,
    MM_PER_INCH,
    MM_PER_YARD,
    UnitSystem,
    print_cloth_length,
    print_length,
    print_mass,
    print_mass_gsm,
    print_minutes,
    read_length_mm,
    read_mass_gsm,
    read_number,
)

INCH, METRIC = UnitSystem.INCH, UnitSystem.METRIC
SYSTEMS = st.sampled_from(UnitSystem)


def _length(text: str, units: UnitSystem = INCH) -> float:
    return read_length_mm(text, place="width_mm", units=units)


def _mass(text: str, units: UnitSystem = INCH) -> float:
    return read_mass_gsm(text, place="mass_gsm", units=units)


def _what(call, text: str) -> str:
    with pytest.raises(FaultyInput) as refused:
        call(text)
    (problem,) = refused.value.problems
    assert problem.allowed and problem.remedy
    assert len(problem.value) <= 50
    return problem.what


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ('1/2"', "0.5"),
        ("13 3/4 in", "13.75"),
        ("13-3/4 in", "13.75"),
        ("13 3 / 4 in", "13.75"),
        ("5/8", "0.625"),
        ("7/4", "1.75"),
        ('57"', "57"),
        ("57”", "57"),
        ("57''", "57"),
        ("57 in.", "57"),
        ("57 inches", "57"),
        ("57 IN", "57"),
        (".5", "0.5"),
        ("0,5", "0.5"),
        ("5.", "5"),
        ("½", "0.5"),
        ("13½", "13.5"),
        ("13 ½ in", "13.5"),
        ("2⅝″", "2.625"),
        ("13 3⁄4 in", "13.75"),
        ("5\u00a0in", "5"),
        ("1.5 yd", "54"),
        ("1 1/2 yd", "54"),
        ("1½ yards", "54"),
        ("1 yd 9 in", "45"),
        ("1 yd, 9 in", "45"),
        ("5 ft 3 in", "63"),
        ("5' 3\"", "63"),
        ("5’ 3 1/2”", "63.5"),
    ],
)
def test_inches_are_read_exactly(text, inches):
    assert _length(text) == float(Decimal(inches) * Decimal("25.4"))


@pytest.mark.parametrize(
    ("text", "mm"),
    [("40 cm", 400), ("40", 400), ("40cm", 400), ("12 mm", 12), ("1.5 m", 1500), ("1,5 m", 1500), ("1 m 20 cm", 1200)],
)
def test_metric_lengths_are_read_exactly(text, mm):
    assert _length(text, METRIC) == mm


@pytest.mark.parametrize(
    ("text", "ounces"),
    [("8 oz/yd2", 8), ("8 oz/yd²", 8), ("8 oz / sq. yd", 8), ("8 OZ", 8), ("8", 8), ("7 1/2 oz", 7.5)],
)
def test_ounces_are_a_square_yard(text, ounces):
    assert _mass(text) == pytest.approx(ounces * GSM_PER_OZ_YD2)


@pytest.mark.parametrize("text", ["240 gsm", "240", "240 g/m2", "240 g/m²", "240 G/M2", "240gsm"])
def test_grams_are_a_square_metre(text):
    assert _mass(text, METRIC) == 240


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("abc", "cannot be read as a size"),
        ("", "is empty"),
        ("   ", "is empty"),
        ("-3", "cannot be read as a size"),
        ("−3", "cannot be read as a size"),
        ("nan", "cannot be read as a size"),
        ("inf", "cannot be read as a size"),
        ("0", "is not above zero"),
        ("0/5", "is not above zero"),
        ("0 in", "is not above zero"),
        ("1/0", "divides by zero"),
        ("3 1/0 in", "divides by zero"),
        ("1e9", "has the unit e, which is not known here"),
        ("8 oz", "has the unit oz, which is not known here"),
        ("1,000", "may mean thousands or decimals (write decimals with a point)"),
        ("1,000.5", "may mean thousands or decimals (write decimals with a point)"),
        ("1 000 mm", "is more than one size"),
        ("5 5", "is more than one size"),
        ("1.5.5", "is more than one size"),
        ("1,5,5", "is more than one size"),
        ("1 yd 9", "is more than one size"),
        ("9 in 1 yd", "is more than one size"),
        ("9 in 9 in", "is more than one size"),
        ("13 in 33 cm", "is more than one size"),
        ("13 7/4 in", "cannot be read as a size"),
        ("6 x 9 in", "has the unit x, which is not known here"),
        ("99999999999 yd", "is far too large"),
        ("1/99999999999 in", "is not above zero"),
        ("9" * 39, "is far too large"),
        ("9" * 5000, "cannot be read as a size"),
        ("½" * 5000, "cannot be read as a size"),
        ("'" * 5000, "cannot be read as a size"),
    ],
)
def test_rejects_lengths_that_cannot_be_meant(text, what):
    assert _what(_length, text) == what


@pytest.mark.parametrize("text", ["8 in", "12 oz 340 gsm", "-3", "0", "1,000", "1e9", "999999999 gsm", "", "abc"])
def test_rejects_masses_that_cannot_be_meant(text):
    assert _what(_mass, text)


@pytest.mark.parametrize("text", ["3 in", "-3", "0", "1/0", "1,000", "3 4", "99999999999", ""])
def test_rejects_numbers_that_cannot_be_meant(text):
    assert _what(lambda t: read_number(t, place="count", what="a number of bags"), text)


def test_refusal_names_place_and_value():
    with pytest.raises(FaultyInput) as refused:
        _length("abc")
    (problem,) = refused.value.problems
    assert (problem.place, problem.value) == ("width_mm", "abc")


@given(st.text(max_size=60) | st.text("0123456789 ./,-½\"'inycmod", max_size=30), SYSTEMS)
def test_property_any_text_is_a_positive_size_or_a_problem(text, units):
    for read in (_length, _mass):
        try:
            value = read(text, units)
        except FaultyInput as refused:
            assert refused.problems
        else:
            assert 0 < value < 1e8


@pytest.mark.parametrize("fraction", [8, 16])
@given(data=st.data())
def test_property_inches_come_back_as_printed(fraction, data):
    steps = data.draw(st.integers(1, 200 * fraction))
    length_mm = float(Fraction(steps, fraction) * Fraction("25.4"))
    printed = print_length(length_mm, INCH, fraction=fraction)
    assert printed.rounded == ""
    assert _length(printed.text) == pytest.approx(length_mm, rel=1e-12)


@given(st.floats(2, 20_000), st.sampled_from([8, 16]))
def test_property_printed_inches_are_within_half_a_step(length_mm, fraction):
    shown = _length(print_length(length_mm, INCH, fraction=fraction).text)
    assert abs(shown - length_mm) <= MM_PER_INCH / fraction / 2 + 1e-9


@given(st.floats(1, 20_000))
def test_property_printed_centimetres_are_within_half_a_millimetre(length_mm):
    assert abs(_length(print_length(length_mm, METRIC).text) - length_mm) <= 0.5 + 1e-9


@given(st.floats(1, 100_000), SYSTEMS)
def test_property_cloth_is_never_rounded_down(length_mm, units):
    shown = _length(print_cloth_length(length_mm, units).text)
    assert length_mm - 0.001 <= shown <= length_mm + (MM_PER_YARD / 8 if units is INCH else 10) + 1e-6


@given(st.floats(5, 3000), SYSTEMS)
def test_property_printed_mass_is_within_half_a_step(mass_gsm, units):
    shown = _mass(print_mass_gsm(mass_gsm, units).text)
    assert abs(shown - mass_gsm) <= (0.05 * GSM_PER_OZ_YD2 if units is INCH else 0.5) + 1e-9


@pytest.mark.parametrize(
    ("inches", "text"),
    [(0.5, "1/2 in"), (13.75, "13 3/4 in"), (57, "57 in"), (0, "0 in"), (-1.5, "-1 1/2 in"), (-0.25, "-1/4 in")],
)
def test_length_prints_as_makers_write_it(inches, text):
    assert print_length(inches * MM_PER_INCH, INCH).text == text


def test_rounding_is_said():
    assert print_length(350, INCH).rounded == "rounded from 13.78 in"
    assert print_length(13.75 * MM_PER_INCH, INCH).rounded == ""
    assert print_mass_gsm(240.4, METRIC).rounded == "rounded from 240.4 g/m²"


@pytest.mark.parametrize(
    ("ounces", "text"), [(14, "14.0 oz"), (15.96, "1 lb 0.0 oz"), (16, "1 lb 0.0 oz"), (17.5, "1 lb 1.5 oz")]
)
def test_mass_of_a_thing_carries_into_pounds(ounces, text):
    assert print_mass(ounces * GRAMS_PER_OZ, INCH).text == text


@pytest.mark.parametrize(
    ("minutes", "text"),
    [(0, "0 min"), (12.2, "12 min"), (59.6, "1 h 00 min"), (85.4, "1 h 25 min"), (-5, "-5 min"), (-65, "-1 h 05 min")],
)
def test_minutes_carry_into_hours(minutes, text):
    assert print_minutes(minutes) == text
