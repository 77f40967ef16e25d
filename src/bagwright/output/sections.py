"""A stack of layers cut through: thick as they are among themselves, named at the side."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bagwright.model.material import Held, MaterialKind
from bagwright.output.drawing import (
    Anchor,
    Dot,
    Drawing,
    Fill,
    Hatch,
    Ink,
    Item,
    Path,
    Text,
    Tone,
    framed,
    line,
    rectangle,
)
from bagwright.output.hatching import LETTERS
from bagwright.output.lettering import Weight, shortened, text_width_mm
from bagwright.units import MM_PER_INCH, UnitSystem

_BAND_WIDTH_MM = 30.0
_STACK_HEIGHT_MM = 36.0
_QUILTING_ROWS = 3
_NAMES_LEFT_MM = 38.0
_NAME_PITCH_MM = 9.4
_NAME_ROOM_MM = 46.0
_ROUND_TIMES = (40, 30, 25, 20, 15, 12, 10, 8, 6, 5, 4, 3, 2, 1)
_GAPS_MM = {Held.FUSED: 0.0, Held.QUILTED: 0.0, Held.BASTED: 2.0, Held.LOOSE: 2.0}


@dataclass(frozen=True, slots=True)
class SectionLayer:
    """One layer of a section, from the outside inwards; `held` says how it is held to the layer outside it."""

    name: str
    kind: MaterialKind
    thickness_mm: float
    held: Held


@dataclass(frozen=True, slots=True)
class _Laid:
    """A layer where it lies on paper."""

    layer: SectionLayer
    top: float
    bottom: float

    @property
    def middle(self) -> float:
        """Half way down."""
        return (self.top + self.bottom) / 2


def draw_layer_section(layers: Sequence[SectionLayer], *, units: UnitSystem) -> Drawing:
    """The layers in section, the outside of the bag on top; thicker than life by a factor that is stated.

    Beads between layers: fused. A dashed line: basted. Dashed lines through: quilted. A clear gap: loose.
    """
    times = thickness_times([layer.thickness_mm for layer in layers])
    laid = list(_laid(layers, times))
    items: list[Item] = []
    for place in laid:
        items.append(rectangle((0, place.top), (_BAND_WIDTH_MM, place.bottom), Ink.OUTLINE, Hatch(place.layer.kind)))
    for before, place in itertools.pairwise(laid):
        items += _joint(before, place)
    items += _names(laid, units)
    bottom = laid[-1].bottom if laid else 0.0
    items += [
        line((0, 0), (_BAND_WIDTH_MM, 0), Ink.CUT),
        Text((0, -2.2), "outside of the bag", 3.0, tone=Tone.SOFT),
        Text((0, bottom + 4.2), "inside", 3.0, tone=Tone.SOFT),
        Text((_BAND_WIDTH_MM, bottom + 4.2), f"thickness × {times:g}", 3.0, Anchor.END, tone=Tone.SOFT),
    ]
    told = "; ".join(f"{layer.name}, {layer.kind}, {told_thickness(layer.thickness_mm, units)}" for layer in layers)
    return framed(items, margin_mm=1.5, title="Layers, from the outside of the bag inwards", description=told)


def thickness_times(thicknesses_mm: Sequence[float]) -> float:
    """By how much thickness is drawn larger: the largest round number at which the stack has room.

    >>> thickness_times([0.5, 2.0]), thickness_times([0.2])
    (12, 40)
    """
    total = sum(thicknesses_mm)
    return next((times for times in _ROUND_TIMES if times * total <= _STACK_HEIGHT_MM), _STACK_HEIGHT_MM / total)


def told_thickness(thickness_mm: float, units: UnitSystem) -> str:
    """A thickness as the trade tells it.

    >>> told_thickness(0.4, UnitSystem.METRIC), told_thickness(0.4, UnitSystem.INCH)
    ('0.40 mm', '0.016 in')
    """
    return f"{thickness_mm:.2f} mm" if units is UnitSystem.METRIC else f"{thickness_mm / MM_PER_INCH:.3f} in"


def _laid(layers: Sequence[SectionLayer], times: float) -> Iterator[_Laid]:
    y = 0.0
    for number, layer in enumerate(layers):
        y += _GAPS_MM[layer.held] if number else 0.0
        yield _Laid(layer, y, y + layer.thickness_mm * times)
        y += layer.thickness_mm * times


def _joint(before: _Laid, place: _Laid) -> Iterator[Item]:
    """How a layer is held to the one above it."""
    held, middle = place.layer.held, (before.bottom + place.top) / 2
    if held is Held.FUSED:
        for count in range(int(_BAND_WIDTH_MM / 3.1)):
            yield Dot((1.55 + count * 3.1, middle), 0.55, fill=Fill.SOLID)
    elif held is Held.QUILTED:
        for count in range(_QUILTING_ROWS):
            x = (count + 0.5) * _BAND_WIDTH_MM / _QUILTING_ROWS
            yield line((x, before.top), (x, place.bottom), Ink.STITCH)
    elif held is Held.BASTED:
        yield line((0, middle), (_BAND_WIDTH_MM, middle), Ink.STITCH)


def _names(laid: Sequence[_Laid], units: UnitSystem) -> Iterator[Item]:
    """Letter, name, thickness and hold of each layer, with a leader to it."""
    for place, y in zip(laid, spread([place.middle for place in laid], _NAME_PITCH_MM), strict=True):
        layer = place.layer
        elbow = _NAMES_LEFT_MM - 3.0
        yield Path(((_BAND_WIDTH_MM, place.middle), (elbow, y), (_NAMES_LEFT_MM - 1.5, y)), Ink.MEASURE)
        yield Text((_NAMES_LEFT_MM, y), LETTERS[layer.kind], 3.6, weight=Weight.STRONG)
        yield Text((_NAMES_LEFT_MM + 4.6, y), shortened(layer.name, _NAME_ROOM_MM, 3.4), 3.4)
        brief = told_thickness(layer.thickness_mm, units) + ("" if place is laid[0] else f", {layer.held}")
        full = f"{brief}, {layer.kind}"
        note = full if text_width_mm(full, 2.9) <= _NAME_ROOM_MM else brief
        yield Text((_NAMES_LEFT_MM + 4.6, y + 4.0), note, 2.9, tone=Tone.SOFT)


def spread(wanted: Sequence[float], pitch: float) -> list[float]:
    """Places as near to those wanted as keeps them at least `pitch` apart, in the same order.

    >>> spread([0, 1, 20], 4)
    [-1.0, 3.0, 19.0]
    """
    places: list[float] = []
    for place in wanted:
        places.append(max(place, places[-1] + pitch) if places else place)
    shift = sum(place - want for place, want in zip(places, wanted, strict=True)) / max(len(places), 1)
    return [place - shift for place in places]
