"""What heat fibres bear and glue needs, where no label says so: typical, never better than the maker's leaflet."""

from __future__ import annotations

import re
from collections.abc import Mapping

from bagwright.model.heat import HeatLayer
from bagwright.model.material import MaterialKind
from bagwright.model.source import Reading, Source, SourceKind

ONE_DOT_C, TWO_DOTS_C, THREE_DOTS_C = 110.0, 150.0, 200.0
"""Care symbols: one dot 110 (no steam), two dots 150, three dots 200 (pages on care symbols; ISO 3758 by title)."""

_CARE = "usual care labels by fibre, from memory; melting points: polymer science page, net and yarn makers"
_FIBRES: Mapping[str, tuple[float, float, float]] = {
    "cotton": (TWO_DOTS_C, THREE_DOTS_C, THREE_DOTS_C),
    "linen": (TWO_DOTS_C, THREE_DOTS_C, THREE_DOTS_C),
    "flax": (TWO_DOTS_C, THREE_DOTS_C, THREE_DOTS_C),
    "hemp": (TWO_DOTS_C, THREE_DOTS_C, THREE_DOTS_C),
    "jute": (ONE_DOT_C, TWO_DOTS_C, THREE_DOTS_C),
    "viscose": (ONE_DOT_C, TWO_DOTS_C, THREE_DOTS_C),
    "rayon": (ONE_DOT_C, TWO_DOTS_C, THREE_DOTS_C),
    "wool": (ONE_DOT_C, TWO_DOTS_C, TWO_DOTS_C),
    "silk": (ONE_DOT_C, TWO_DOTS_C, TWO_DOTS_C),
    "polyester": (ONE_DOT_C, TWO_DOTS_C, TWO_DOTS_C),
    "nylon": (ONE_DOT_C, ONE_DOT_C, TWO_DOTS_C),
    "polyamide": (ONE_DOT_C, ONE_DOT_C, TWO_DOTS_C),
    "elastane": (ONE_DOT_C, ONE_DOT_C, TWO_DOTS_C),
    "spandex": (ONE_DOT_C, ONE_DOT_C, TWO_DOTS_C),
    "acrylic": (90.0, ONE_DOT_C, ONE_DOT_C),
    "acetate": (90.0, ONE_DOT_C, ONE_DOT_C),
    "polypropylene": (80.0, 100.0, ONE_DOT_C),
    "polyethylene": (60.0, 80.0, 100.0),
    "polyurethane": (60.0, 80.0, ONE_DOT_C),
    "pvc": (40.0, 60.0, 80.0),
    "vinyl": (40.0, 60.0, 80.0),
}
"""By fibre: least, usual and most heat of the iron."""
_KINDS: Mapping[MaterialKind, tuple[float, float, float]] = {
    MaterialKind.COATED: (40.0, 80.0, ONE_DOT_C),
    MaterialKind.CORK: (60.0, ONE_DOT_C, TWO_DOTS_C),
    MaterialKind.LEATHER: (40.0, 60.0, 80.0),
    MaterialKind.FOAM: (60.0, ONE_DOT_C, TWO_DOTS_C),
}
_UNKNOWN = (60.0, ONE_DOT_C, THREE_DOTS_C)
_GLUE = Reading(
    140.0,
    125.0,
    150.0,
    Source(SourceKind.TYPICAL, "an interlining maker, 125 to 145 C; a fusible fleece's label, 149 C"),
)


def bears_c(layer: HeatLayer) -> Reading:
    """The heat a layer bears: what is known, else the least of its fibres and its kind.

    Fibres are looked up by their names in the text ("65 % cotton, 35 % polyester" bears what polyester does).

    >>> cloth = HeatLayer(name="shirting", kind=MaterialKind.PLAIN_CLOTH, fibres="65 % cotton, 35 % polyester")
    >>> bears_c(cloth).value
    150.0
    """
    if layer.highest_iron_c is not None:
        return layer.highest_iron_c
    words = set(re.findall(r"[a-z]+", layer.fibres.lower()))
    found = [limits for fibre, limits in _FIBRES.items() if fibre in words]
    if layer.kind in _KINDS:
        found.append(_KINDS[layer.kind])
    least, usual, most = (min(ends) for ends in zip(*(found or [_UNKNOWN]), strict=True))
    said_by = _CARE if found else "neither heat nor fibre is known"
    return Reading(usual, least, most, Source(SourceKind.TYPICAL if found else SourceKind.GUESS, said_by))


def glue_needs_c(layer: HeatLayer) -> Reading:
    """The heat a layer's glue needs: what is known, else what fusibles usually need.

    >>> glue_needs_c(HeatLayer(name="web", kind=MaterialKind.WOVEN_INTERFACING, fusible_sides=1)).value
    140.0
    """
    return layer.glue_needs_c if layer.glue_needs_c is not None else _GLUE


def heat_said(heat_c: float) -> str:
    """A heat in both scales: leaflets use either.

    >>> heat_said(149)
    '149 °C (300 °F)'
    """
    return f"{heat_c:.0f} °C ({heat_c * 9 / 5 + 32:.0f} °F)"


_DOTS = (("one dot", ONE_DOT_C), ("two dots", TWO_DOTS_C), ("three dots", THREE_DOTS_C))


def setting_within(bears_c: float) -> str:
    """The highest setting of an iron that is no hotter than that, in dots; empty if one dot is too hot.

    >>> setting_within(160), setting_within(60)
    ('two dots, 150 °C (302 °F)', '')
    """
    within = [f"{dots}, {heat_said(heat)}" for dots, heat in _DOTS if heat <= bears_c]
    return within[-1] if within else ""


def setting_for(needs_c: float) -> str:
    """The lowest setting of an iron that reaches that heat, in dots.

    >>> setting_for(140)
    'two dots, 150 °C (302 °F)'
    """
    for dots, heat in _DOTS:
        if needs_c <= heat:
            return f"{dots}, {heat_said(heat)}"
    return f"hotter than three dots, {heat_said(THREE_DOTS_C)}"
