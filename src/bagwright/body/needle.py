"""Which needle, thread and stitch a seam asks for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from bagwright.body.limits import refuse_unless_positive
from bagwright.errors import FaultyInput, Problem
from bagwright.model.sewing import Cloth, SewingAdvice
from bagwright.model.source import Band

LIGHT_BELOW_GSM = 150.0
HEAVY_FROM_GSM = 300.0
THIN_UNTIL_MM = 3.0
"""Up to this thickness of a seam the cloth alone decides; a thicker one takes the next heavier needle."""

_STEPS = (60, 65, 70, 75, 80, 90, 100, 110, 120, 125, 130, 140, 160, 180)
_NEEDLES: Mapping[Cloth, tuple[float, float]] = {
    Cloth.LIGHT: (65, 75),
    Cloth.MEDIUM: (80, 90),
    Cloth.HEAVY: (100, 110),
    Cloth.HOLES_STAY: (90, 100),
}
_THREADS: Mapping[Cloth, tuple[float, float]] = {
    Cloth.LIGHT: (24, 30),
    Cloth.MEDIUM: (27, 40),
    Cloth.HEAVY: (40, 70),
    Cloth.HOLES_STAY: (40, 70),
}
_STITCHES: Mapping[Cloth, tuple[float, float]] = {
    Cloth.LIGHT: (2.0, 2.5),
    Cloth.MEDIUM: (2.5, 3.0),
    Cloth.HEAVY: (3.0, 3.5),
    Cloth.HOLES_STAY: (3.0, 4.0),
}
_NEEDLE_SOURCE = "needle: ranges by cloth, texpedia (light 65-75, medium 80-90, heavy 100-110)"
_LEATHER_SOURCE = (
    "needle and stitch: sewshare.com (leather needle 90-100, stitch 3-4 mm, no backstitch in thick leather)"
)
_THREAD_SOURCE = "thread: common practice, no source"
_STITCH_SOURCE = "stitch: common practice, no source"
_THREAD_NEEDLE: tuple[tuple[float, float, float], ...] = (
    (30, 75, 90),
    (40, 90, 100),
    (60, 100, 110),
    (70, 100, 110),
    (90, 110, 125),
    (135, 130, 140),
)
"""Up to this tex: needle from, to. From memory."""


def metric_needle(american: int) -> float:
    """Needle in the metric number (hundredths of a mm) from the American one. K18 below 19; 19, 21, 22 by table.

    >>> metric_needle(12), metric_needle(22)
    (80, 140)

    (n - 8) 5 + 60 below 19: apparelscience.com; 16 and 18 are 100 and 110 by it, as on shoemaking.wiki, which has the
    larger ones too. Raises `FaultyInput` for numbers that are not in use.
    """
    if american in _LARGE:
        return _LARGE[american]
    if 8 <= american <= 18:
        return (american - 8) * 5 + 60
    remedy = "Use the metric number, that is the blade in hundredths of a mm."
    problem = Problem(
        place="needle", value=f"{american}", what="is no needle", allowed="8 to 19, 21, 22", remedy=remedy
    )
    raise FaultyInput([problem])


_LARGE = {19: 120, 21: 130, 22: 140}


def american_needle(metric: float) -> str:
    """The same the other way, "14" for 90; an empty text where there is none.

    >>> american_needle(90), american_needle(125)
    ('14', '')
    """
    by_metric = {metric_needle(n): str(n) for n in (*range(8, 19), *_LARGE)}
    return by_metric.get(metric, "")


def cloth_class(mass_gsm: float, *, holes_stay: bool = False) -> Cloth:
    """How heavy the heaviest outer cloth of a seam is: light below 150, heavy from 300 g/m2 on.

    The bounds are common practice without a source. Raises `FaultyInput` unless the mass is above zero.

    >>> cloth_class(340).value
    'heavy'
    """
    refuse_unless_positive({"mass_gsm": mass_gsm})
    if holes_stay:
        return Cloth.HOLES_STAY
    if mass_gsm < LIGHT_BELOW_GSM:
        return Cloth.LIGHT
    return Cloth.HEAVY if mass_gsm >= HEAVY_FROM_GSM else Cloth.MEDIUM


def needle_for_thread(tex: float) -> Band:
    """Metric needles that a thread of that tex runs through: its eye wants to be some 40 % wider than the thread.

    From memory. Raises `FaultyInput` unless tex is above zero.

    >>> needle_for_thread(40)
    Band(low=90, high=100)
    """
    refuse_unless_positive({"tex": tex})
    for most, low, high in _THREAD_NEEDLE:
        if tex <= most:
            return Band(low, high)
    return Band(140, 180)


def sewing_advice(cloth: Cloth, seam_mm: float) -> SewingAdvice:
    """Needle, thread and stitch length for a seam `seam_mm` thick through such cloth.

    A seam thicker than 3 mm takes a needle one step heavier and a stitch half a millimetre longer (common practice, no
    source); holes that stay keep their own. Raises `FaultyInput` unless the thickness is above zero.

    >>> advice = sewing_advice(Cloth.MEDIUM, 1.2)
    >>> advice.needle_nm, advice.stitch_mm
    (Band(low=80, high=90), Band(low=2.5, high=3.0))
    """
    refuse_unless_positive({"seam_mm": seam_mm})
    needle, stitch = Band(*_NEEDLES[cloth]), Band(*_STITCHES[cloth])
    notes: list[str] = []
    if cloth is Cloth.HOLES_STAY:
        notes += ["Take a leather needle for leather.", "Holes stay: clip instead of pinning, and unpick nothing."]
        notes.append("Leave long ends and knot them; do not backstitch through thick leather.")
    elif seam_mm > THIN_UNTIL_MM:
        needle = Band(_heavier(needle.low), _heavier(needle.high))
        stitch = Band(stitch.low + 0.5, stitch.high + 0.5)
        notes.append("Thick: sew slowly, and turn the wheel by hand over the steps.")
    sources = (_LEATHER_SOURCE if cloth is Cloth.HOLES_STAY else _NEEDLE_SOURCE, _THREAD_SOURCE)
    return SewingAdvice(
        needle_nm=needle,
        thread_tex=Band(*_THREADS[cloth]),
        stitch_mm=stitch,
        notes=tuple(notes),
        sources=sources if cloth is Cloth.HOLES_STAY else (*sources, _STITCH_SOURCE),
    )


def within_machine(advice: SewingAdvice, thickest_nm: float) -> SewingAdvice:
    """The same with needles up to the thickest that a machine takes; 0: not known. A note says what that means.

    A needle that is thicker than a machine is made for may strike its hook, so none is asked for (common practice, no
    source; the machine's own book decides). Raises `FaultyInput` for a number below zero.

    >>> advice = within_machine(sewing_advice(Cloth.HEAVY, 1.2), 100)
    >>> advice.needle_nm, advice.notes[-1]
    (Band(low=100, high=100), 'Your machine takes needles up to 100/16: stay at that.')
    """
    needle = advice.needle_nm
    if thickest_nm:
        refuse_unless_positive({"thickest_needle_nm": thickest_nm})
    if not thickest_nm or needle.high <= thickest_nm:
        return advice
    takes = f"Your machine takes needles up to {needle_said(thickest_nm)}"
    if needle.low <= thickest_nm:
        return replace(
            advice, needle_nm=Band(needle.low, thickest_nm), notes=(*advice.notes, f"{takes}: stay at that.")
        )
    note = (
        f"{takes}, and this wants {needle_said(needle.low)}. Do not put a thicker one in: it may strike the hook. Take "
        "a thinner thread and fewer layers, or sew it on a heavier machine or by hand."
    )
    return replace(advice, notes=(*advice.notes, note))


def needle_said(metric: float) -> str:
    """A needle by its metric number, and the American one where there is one.

    >>> needle_said(90), needle_said(125)
    ('90/14', '125')
    """
    return f"{metric:.0f}/{american_needle(metric)}".rstrip("/")


def _heavier(metric: float) -> float:
    return next((step for step in _STEPS if step > metric), metric)
