"""Thread that a seam takes."""

from __future__ import annotations

from bagwright.body.limits import refuse_unless_positive


def thread_ratio_lockstitch(thickness_mm: float, stitch_length_mm: float) -> float:
    """Length of thread, needle and bobbin together, per length of lockstitch (301) seam: 2 (1 + t / p).

    t is the thickness of all that the needle goes through, p the stitch length. Each thread runs once along the
    stitch and, with its share of the way up and down, once through the stack.

    Assumes: threads meet in the middle, run square corners, and cloth is not squeezed by the stitch; that
    overstates a soft stack. Starts, ends and waste are not in it. Raises `FaultyInput` unless both are above zero.

    >>> thread_ratio_lockstitch(1.0, 2.5)
    2.8

    Same as 2 + 2 T S in inches (T seam thickness, S stitches per inch), textilecalculations.com.
    """
    refuse_unless_positive({"thickness_mm": thickness_mm, "stitch_length_mm": stitch_length_mm})
    return 2 * (1 + thickness_mm / stitch_length_mm)
