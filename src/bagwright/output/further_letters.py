"""Widths of Greek and Cyrillic letters, so that text in them is broken where its lines end."""

from __future__ import annotations

from collections.abc import Mapping

# Advance widths in thousandths of an em, from the packaged fonts, of whichever weight is the wider. Letters that are
# not here are made of these and an accent, or are rare.
# fmt: off
_GREEK = "ΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡΣΤΥΦΧΨΩαβγδεζηθικλμνξοπρςστυφχψω"
_GREEK_WIDTHS = (
    558, 597, 510, 614, 538, 540, 663, 674, 282, 597, 536, 745, 656, 552, 674, 654, 582, 544, 546, 501, 740,
    541, 726, 695, 578, 583, 509, 540, 460, 445, 552, 536, 282, 520, 524, 578, 499, 450, 544, 611, 559, 439,
    560, 474, 521, 710, 504, 721, 724,
)
_CYRILLIC = "ЂЄЅІЈЉЊЋЏАБВГДЕЖЗИКЛМНОПРСТУФХЦЧШЩЪЫЬЭЮЯабвгдежзиклмнопрстуфхцчшщъыьэюяђєѕіјљњћџ"
_CYRILLIC_WIDTHS = (
    694, 576, 545, 282, 494, 902, 931, 707, 654, 558, 590, 597, 510, 654, 538, 853, 553, 670, 597, 644, 745,
    663, 674, 654, 582, 576, 546, 535, 748, 541, 656, 614, 896, 904, 725, 826, 590, 576, 929, 600, 516, 553,
    518, 422, 559, 507, 726, 466, 574, 522, 552, 647, 572, 549, 564, 564, 462, 476, 495, 757, 481, 577, 531,
    777, 796, 610, 707, 504, 462, 757, 530, 568, 462, 431, 262, 263, 758, 774, 558, 568,
)
# fmt: on
FURTHER_WIDTHS: Mapping[str, int] = dict(zip(_GREEK + _CYRILLIC, _GREEK_WIDTHS + _CYRILLIC_WIDTHS, strict=True))
"""Thousandths of an em by letter."""
