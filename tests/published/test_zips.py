"""Zips against sizes known from outside the project."""

import pytest

from bagwright.drafting.zip_stock import mouth_band_mm, numbers_for_mouth
from bagwright.drafting.zips import usual_tape_mm

# Source: ASTM D3657-03 (R2021), Table 1, slider mouth width, SI column: sizes 1-2 up to 3.8 mm; 3-4 over 3.8 to 5.7;
# 5-6 over 5.7 to 7.0; 7-10 over 7.0 mm.
ASTM_D3657_TABLE_1 = {(1, 2): (None, 3.8), (3, 4): (3.8, 5.7), (5, 6): (5.7, 7.0), (7, 8, 9, 10): (7.0, None)}


@pytest.mark.parametrize(("numbers", "band"), ASTM_D3657_TABLE_1.items())
def test_slider_mouths_match_astm_d3657_table_1(numbers, band):
    over, up_to = band
    for number in numbers:
        low, high = mouth_band_mm(number)
        assert (low or None, high) == (over, up_to)
    inside = [mouth for mouth in (up_to, (over or 0.0) + 0.01) if mouth]
    assert all(numbers_for_mouth(mouth) == numbers for mouth in inside)
    if up_to:
        assert numbers_for_mouth(up_to + 0.01) != numbers


@pytest.mark.parametrize(("number", "low_mm", "high_mm"), [(3, 25, 25), (5, 32, 32), (8, 38, 42), (10, 38, 42)])
def test_usual_tapes_match_widths_from_memory(number, low_mm, high_mm):
    # Source: closed tape about 25 mm (#3), 32 mm (#5), 38 to 42 mm (#8 to #10), from memory; she measures hers.
    assert low_mm <= usual_tape_mm(number) <= high_mm
