"""What zips are sold as: size numbers by the mouth of the slider, and ready-made lengths."""

from __future__ import annotations

from collections.abc import Iterable

from bagwright.errors import BrokenPromise
from bagwright.model.sewn_zip import ReadyMadeFit, SewnZip, ZipEnds
from bagwright.model.zip_plan import ReadyMadeZip

MOUTH_MM: tuple[tuple[tuple[int, ...], float, float | None], ...] = (
    ((1, 2), 0.0, 3.8),
    ((3, 4), 3.8, 5.7),
    ((5, 6), 5.7, 7.0),
    ((7, 8, 9, 10), 7.0, None),
)
"""Size numbers by the slider's mouth, over and up to: ASTM D3657-03 (R2021), Table 1, SI column."""
INCH_STOCK_MM = tuple(25.4 * n for n in (4, 5, 6, 7, 8, 9, 10, 12, 14, 16, 18, 20, 22, 24, 26, 28, 30, 36))
METRIC_STOCK_MM = tuple(10.0 * n for n in (10, 12, 15, 18, 20, 22, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 75, 80, 100))
"""Ready-made lengths, stops to stop (common practice, no source): shops differ, so every use takes its own list."""
TAIL_MM = 12.7
"""Tape beyond the stops of a ready-made zip, at least (common practice, no source)."""


def mouth_band_mm(number: int) -> tuple[float, float | None]:
    """Mouth of the slider of that size number: over the first, up to the second (None: no limit).

    Source: ASTM D3657-03 (R2021), Table 1, SI column; its inch column is not an exact equivalent. Range: 1 to 10.

    >>> mouth_band_mm(5)
    (5.7, 7.0)
    """
    for numbers, over, up_to in MOUTH_MM:
        if number in numbers:
            return over, up_to
    raise BrokenPromise(f"no band for a zip of size number {number}")


def numbers_for_mouth(mouth_mm: float) -> tuple[int, ...]:
    """Size numbers whose band a measured mouth lies in. Source and range as for `mouth_band_mm`.

    >>> numbers_for_mouth(5.7), numbers_for_mouth(5.8)
    ((3, 4), (5, 6))
    """
    for numbers, over, up_to in MOUTH_MM:
        if over < mouth_mm and (up_to is None or mouth_mm <= up_to):
            return numbers
    raise BrokenPromise(f"no slider has a mouth of {mouth_mm} mm")


def ready_made_fit(one: SewnZip, *, tail_mm: float = TAIL_MM) -> ReadyMadeFit:
    """Which ready-made zips a zip can be cut from. `tail_mm` of tape lie beyond their stops at both ends.

    Their own top stops are kept unless they would get in the way: zips that run into seams have none, and where more
    tape is needed above the stops than there is, they are cut off. So is the bottom stop, unless it lies where one is
    needed: no needle may meet it.
    """
    end_mm = _start_mm(one, tail_mm) + one.teeth_mm
    may_be_as_it_is = one.ends is not ZipEnds.SEAMS and _start_mm(one, tail_mm) == 0
    return ReadyMadeFit(end_mm + _end_to_cut_mm(one), end_mm if may_be_as_it_is else None)


def ready_made_for(one: SewnZip, stock_mm: Iterable[float], *, tail_mm: float = TAIL_MM) -> ReadyMadeZip | None:
    """The shortest ready-made zip that does by `ready_made_fit`, and where it is cut; None if none in stock does."""
    fit, start_mm = ready_made_fit(one, tail_mm=tail_mm), _start_mm(one, tail_mm)
    for length_mm in sorted(stock_mm):
        if fit.takes(length_mm):
            keeps_stop = one.ends is ZipEnds.SEAMS or fit.is_as_it_is(length_mm)
            return ReadyMadeZip(
                length_mm=length_mm,
                start_mm=start_mm,
                stop_mm=None if keeps_stop else start_mm + one.teeth_mm,
                top_cut_mm=start_mm - _end_to_cut_mm(one),
                bottom_cut_mm=fit.least_mm,
            )
    return None


def _end_to_cut_mm(one: SewnZip) -> float:
    return one.inset_mm + one.under_mm


def _start_mm(one: SewnZip, tail_mm: float) -> float:
    """Where the used teeth begin below the top stops: there, or so far down that the stops are cut off."""
    keeps_top = one.ends is not ZipEnds.SEAMS and _end_to_cut_mm(one) <= tail_mm
    return 0.0 if keeps_top else _end_to_cut_mm(one)
