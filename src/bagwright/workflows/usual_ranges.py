"""What is known of a kind of material before anything is measured: ranges of named sources, wide where little is known.

A kind or property that is not here has no source worth the name; it is asked for, never guessed.
"""

from __future__ import annotations

from collections.abc import Mapping

from bagwright.model.material import MaterialKind
from bagwright.model.source import Reading, Source, SourceKind

_MILL_CHART = "a mill's weight chart"
_BENDING = (
    "Do the ruler test: weight hardly tells stiffness. From 251 fabrics measured by Feng and others, ACM Trans. "
    "Graph. 2022: a factor of 2.3 in body either way, taken twice"
)
_FELT = "craft felt of 1, 2 and 3 mm; common practice, no source"


def _typical(low: float, value: float, high: float, said_by: str) -> Reading:
    return Reading(value, low, high, Source(SourceKind.TYPICAL, said_by))


_USUAL: Mapping[MaterialKind, Mapping[str, Reading]] = {
    MaterialKind.PLAIN_CLOTH: {
        "mass_gsm": _typical(
            110, 145, 200, f"poplin 110 to 160 ({_MILL_CHART}), quilting cotton 130 to 200 as a class"
        ),
        "thickness_mm": _typical(0.25, 0.35, 0.57, "four plain cloths of 150 to 235 g/m2, Penava 2014, second hand"),
        "overhang_mm": _typical(24, 42, 73, _BENDING),
        "shrinkage_share": _typical(0.02, 0.035, 0.05, "2 to 5 % for cotton, found but weak"),
    },
    MaterialKind.BOTTOM_WEIGHT: {
        "mass_gsm": _typical(200, 330, 500, f"denim 200 to 400, canvas and duck 300 to 500 ({_MILL_CHART})"),
        "thickness_mm": _typical(0.8, 1.0, 1.19, "six denims, J. Textiles 2016, 4614168, Table 5"),
        "overhang_mm": _typical(26, 46, 80, _BENDING),
        "shrinkage_share": _typical(0.02, 0.035, 0.05, "2 to 5 % for cotton, found but weak"),
    },
    MaterialKind.WOVEN_INTERFACING: {
        "mass_gsm": _typical(120, 170, 250, "woven interlinings, a trade association's page"),
    },
    MaterialKind.NONWOVEN_INTERFACING: {
        "mass_gsm": _typical(18, 40, 70, "non-woven interlinings, a trade association's page"),
    },
    MaterialKind.FLEECE: {
        "mass_gsm": _typical(
            108, 150, 200, "one fusible fleece of 108.5 g/m2; high loft 150 to 200 is common practice"
        ),
    },
    MaterialKind.FELT: {
        "mass_gsm": _typical(150, 300, 600, _FELT),
        "thickness_mm": _typical(1, 2, 3, _FELT),
    },
}


def usual_readings(kind: MaterialKind) -> Mapping[str, Reading]:
    """Readings to start a material of that kind from, by property name; empty where nothing is known.

    >>> usual_readings(MaterialKind.FELT)["thickness_mm"].high
    3
    """
    return _USUAL.get(kind, {})
