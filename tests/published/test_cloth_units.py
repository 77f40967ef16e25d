"""Units against their definitions and published conversions."""

from __future__ import annotations

import math

import pytest

from bagwright.units import (
    GRAMS_PER_OZ,
    GSM_PER_OZ_YD2,
    MM_PER_INCH,
    MM_PER_YARD,
    UnitSystem,
    print_heat,
    print_mass_gsm,
    read_mass_gsm,
)

INCH, METRIC = UnitSystem.INCH, UnitSystem.METRIC


def test_inch_and_yard_match_international_agreement():
    # Memory: International yard and pound agreement of 1959: 1 yd = 0.9144 m, 1 lb = 0.45359237 kg, both exact.
    assert MM_PER_YARD == 914.4
    assert round(MM_PER_INCH * 36, 10) == 914.4
    assert round(GRAMS_PER_OZ * 16, 10) == 453.59237


@pytest.mark.parametrize(("ounces", "gsm"), [(1, 33.9057), (7, 237.3), (10, 339.1), (12, 406.9)])
def test_ounce_a_square_yard_matches_definitions(ounces, gsm):
    # Derived from the definitions: 28.349523125 g over 0.83612736 m2; rows printed to the digits shown.
    assert read_mass_gsm(f"{ounces} oz", place="mass_gsm", units=INCH) == pytest.approx(
        gsm, abs=0.05 if ounces > 1 else 0.00005
    )


def test_grams_match_published_ounces():
    # Found: 180 g/m2 is 5.3 oz.
    assert print_mass_gsm(180, INCH).text == "5.3 oz/yd²"


def test_square_yard_matches_definition():
    # Derived: 0.9144 m squared is 0.83612736 m2, exact.
    assert math.isclose(GRAMS_PER_OZ / GSM_PER_OZ_YD2, 0.9144**2, rel_tol=1e-14)


@pytest.mark.parametrize(("celsius", "fahrenheit"), [(149, "300 °F"), (0, "32 °F"), (100, "212 °F")])
def test_heat_matches_published_degrees(celsius, fahrenheit):
    # Found: a fleece fuses at 300 F = 149 C (trade item); freezing and boiling by definition of the scale.
    assert print_heat(celsius, INCH) == fahrenheit
    assert print_heat(celsius, METRIC) == f"{celsius} °C"
