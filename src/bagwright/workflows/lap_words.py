"""The ridge of a lap in words."""

from __future__ import annotations

from bagwright.model.body import Lap
from bagwright.model.source import Band
from bagwright.units import UnitSystem, print_thickness


def told_thick(thickness_mm: float, units: UnitSystem) -> str:
    """A thickness in her unit; in inches with the millimetres behind, as thin things are sold by these.

    >>> told_thick(0.35, UnitSystem.INCH)
    '0.014 in (0.35 mm)'
    """
    metric = print_thickness(thickness_mm, UnitSystem.METRIC)
    return metric if units is UnitSystem.METRIC else f"{print_thickness(thickness_mm, units)} ({metric})"


def told_stiffer(stiffer: Band) -> str:
    """How many times as stiff.

    >>> told_stiffer(Band(1.16, 3.42)), told_stiffer(Band(2, 2))
    ('1.2 to 3.4 times as stiff', '2 times as stiff')
    """
    low, high = f"{stiffer.low:.2g}", f"{stiffer.high:.2g}"
    return f"{low} times as stiff" if low == high else f"{low} to {high} times as stiff"


def lap_in_words(lap: Lap, units: UnitSystem) -> str:
    """Both steps in one sentence.

    >>> lap_in_words(Lap(step_mm=0.35, stiffer=Band(1.16, 3.42)), UnitSystem.METRIC)
    'Where that layer laps, the stack is 0.35 mm thicker and 1.2 to 3.4 times as stiff as beside.'
    """
    thick = told_thick(lap.step_mm, units)
    return f"Where that layer laps, the stack is {thick} thicker and {told_stiffer(lap.stiffer)} as beside."
