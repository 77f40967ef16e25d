"""Thread that a seam takes."""

from __future__ import annotations

import math
from collections.abc import Sequence

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


def thread_ratio_pulled(seam_mm: float, threads_mm: Sequence[float]) -> float:
    """Length of thread per length of seam, from a stretch of a seam of your own that was pulled apart and measured.

    `threads_mm`: every thread of that stretch, straightened. Counts for any stitch type, cloth and tension, unlike a
    formula. Raises `FaultyInput` unless all are above zero.

    >>> round(thread_ratio_pulled(150, [195, 620]), 2)
    5.43
    """
    threads = {f"threads_mm[{i}]": length for i, length in enumerate(threads_mm)}
    refuse_unless_positive({"seam_mm": seam_mm, **threads})
    return math.fsum(threads_mm) / seam_mm


def thread_length_mm(seam_mm: float, ratio: float, *, waste_share: float = 0.15) -> float:
    """Thread to have at hand for a seam: its length times the ratio, and a share for starts, ends and breaks. [mm]

    10 to 15 % waste: apparelscience.com. Raises `FaultyInput` unless length and ratio are above zero.

    >>> round(thread_length_mm(1000, 2.8, waste_share=0), 6)
    2800.0
    """
    refuse_unless_positive({"seam_mm": seam_mm, "ratio": ratio})
    return seam_mm * ratio * (1 + waste_share)
