"""What seams and straps bear: estimates to compare with the pull, never a promise."""

from __future__ import annotations

import math
from collections.abc import Mapping

from bagwright.body.limits import refuse_unless_positive
from bagwright.errors import FaultyInput, Problem
from bagwright.model.sewing import StitchType, StrapJoin
from bagwright.model.source import Band, Reading, Source, SourceKind

NEWTONS_PER_POUND = 4.4482216152605
"""Exact: 0.45359237 kg times 9.80665 m/s2."""
GRAVITY_MPS2 = 9.80665
JERKS = 3.0
"""How many times the resting load a carried bag pulls at its worst: common practice, no source."""
ENOUGH = 2.0
"""Below this the answer says that the join is weak."""
FACTORS: Mapping[StitchType, float] = {StitchType.LOCKSTITCH: 1.5, StitchType.CHAINSTITCH: 1.7}
_LB_PER_TEX = (2.2 / 27, 2.6 / 24)
MOST_ANGLE_DEG = 85.0

CAUTIONS = (
    "An estimate for planning, not a test: the cloth, the strap or a ring may give way before the stitching.",
    "Load the finished bag with twice what it will carry and hang it up over something soft before you use it.",
    "Look at the strap ends now and then, and mend them at the first broken stitch.",
    "For what children use or hang on, follow the rules where you live and ask a qualified laboratory.",
)


def seam_strength_n_per_mm(
    stitch_length_mm: float, thread_strength_n: float, *, stitch: StitchType = StitchType.LOCKSTITCH
) -> float:
    """What a seam of two plies, one on the other, bears across it, per length. [N/mm]

    stitches per length x strength of the thread x 1.5 (lockstitch 301) or 1.7 (chainstitch 401): the factor stands for
    two strands in every stitch, each weakened by its loop. `thread_strength_n`: a single end, pulled straight; with two
    threads the weaker one.

    Assumes that thread gives way first, in a woven cloth that neither tears nor slips; an open weave does sooner.
    Raises `FaultyInput` unless both are above zero.

    >>> round(seam_strength_n_per_mm(2.54, 4 * NEWTONS_PER_POUND), 2)
    10.51

    A thread maker's technical bulletin (in inches and pounds: stitches per inch x pounds x 1.5); ASTM D1683 is the test
    of a sewn seam.
    """
    refuse_unless_positive({"stitch_length_mm": stitch_length_mm, "thread_strength_n": thread_strength_n})
    return FACTORS[stitch] * thread_strength_n / stitch_length_mm


def thread_strength_n(tex: float) -> Reading:
    """Strength of a sewing thread by its size, where its maker's figure is not at hand. [N]

    0.08 to 0.11 lb per tex: what the bulletin gives for a 27 tex spun (2.2 lb) and a 24 tex (2.6 lb) polyester thread,
    taken to other sizes by proportion (derived). Raises `FaultyInput` unless tex is above zero.

    >>> round(thread_strength_n(40).low, 1), round(thread_strength_n(40).high, 1)
    (14.5, 19.3)
    """
    refuse_unless_positive({"tex": tex})
    low, high = (per_tex * tex * NEWTONS_PER_POUND for per_tex in _LB_PER_TEX)
    source = Source(SourceKind.TYPICAL, "a thread maker's bulletin, 24 and 27 tex, in proportion")
    return Reading((low + high) / 2, low, high, source)


def strap_angle_deg(drop_mm: float, spread_mm: float) -> float:
    """Angle of each half of a strap from the upright, hung up by its middle, from its drop and the spread of its ends.

    >>> round(strap_angle_deg(254, 203.2), 1)
    21.8
    """
    refuse_unless_positive({"drop_mm": drop_mm, "spread_mm": spread_mm})
    return math.degrees(math.atan2(spread_mm / 2, drop_mm))


def strap_pull_n(load_n: float, *, angle_deg: float = 0.0, ends: int = 2) -> float:
    """Pull on each end of straps that carry a load between them. [N] F = W / (n cos(angle)), n ends in all.

    `angle_deg` from the upright: the flatter the strap, the harder the pull. Assumes that all ends pull alike.
    Raises `FaultyInput` unless the load is above zero, the angle from 0 to 85 degrees, and there is an end.

    >>> round(strap_pull_n(100, angle_deg=30), 3)
    57.735
    """
    refuse_unless_positive({"load_n": load_n})
    problems = []
    if not 0 <= angle_deg <= MOST_ANGLE_DEG:
        problems.append(_problem("angle_deg", f"{angle_deg:g}", f"0 to {MOST_ANGLE_DEG:.0f} degrees from the upright"))
    if ends < 1:
        problems.append(_problem("ends", f"{ends}", "1 or more"))
    if problems:
        raise FaultyInput(problems)
    return load_n / (ends * math.cos(math.radians(angle_deg)))


def strap_join(pull_n: float, stitched_mm: float, stitch_length_mm: float, thread_n: Reading) -> StrapJoin:
    """How safe one strap end is: `stitched_mm` of lockstitching holds it, all rows together. [N]

    The pull at rest is taken three times for jerks (common practice, no source); what the stitching bears is
    `seam_strength_n_per_mm` times its length, as if every stitch bore its share. It does not: the row nearest the pull
    bears most, so only rows across the strap or in a box count in full.

    Raises `FaultyInput` unless all numbers are above zero.

    >>> join = strap_join(50, 100, 3, Reading.exact(15))
    >>> join.peak_n, join.bears_n.low, join.safety.low
    (150.0, 750.0, 5.0)
    """
    refuse_unless_positive({"pull_n": pull_n, "stitched_mm": stitched_mm, "thread_strength_n": thread_n.low})
    low, high = (stitched_mm * seam_strength_n_per_mm(stitch_length_mm, end) for end in (thread_n.low, thread_n.high))
    peak = JERKS * pull_n
    safety = Band(low / peak, high / peak)
    return StrapJoin(
        pull_n=pull_n, peak_n=peak, bears_n=Band(low, high), safety=safety, word=_word(safety), cautions=CAUTIONS
    )


def _word(safety: Band) -> str:
    if safety.low >= ENOUGH:
        return "The stitching holds that well."
    if safety.high >= ENOUGH:
        return "The stitching may hold that: sew another row, or look up how strong your thread is."
    return "The stitching is weak for that load: sew a longer box of rows, use stronger thread, or carry less."


def _problem(place: str, value: str, allowed: str) -> Problem:
    return Problem(place=place, value=value, what="is out of range", allowed=allowed, remedy="Measure it on the bag.")
