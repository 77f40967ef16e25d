"""Whether the layers of a stack can be fused, from which side, at what heat, with what cloth between."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bagwright.body.heat_limits import ONE_DOT_C, THREE_DOTS_C, bears_c, glue_needs_c, heat_said, setting_for
from bagwright.body.limits import refuse_empty
from bagwright.model.heat import FusePlan, Fusing, HeatLayer, HeatPlan
from bagwright.model.material import Held, MaterialKind
from bagwright.model.source import Band, Reading, SourceKind

CAUTIONS = (
    "The leaflet of the fusible comes first: heat, time, steam and cloth.",
    "Test on a scrap of the same layers, let it cool flat, then try to peel it.",
    "Raise and press, 10 to 15 seconds a place; do not slide the iron.",
    "Hot iron: stand it on its heel, unplug it when you leave, mind your fingers at the edges of the press cloth.",
    "Open a window: glue, foam and coatings give off fumes when they get too hot.",
)
_SOFT = frozenset({MaterialKind.FLEECE, MaterialKind.FELT, MaterialKind.FOAM})
_NEVER_STEAMED = frozenset({MaterialKind.LEATHER, MaterialKind.COATED, MaterialKind.CORK, MaterialKind.FOAM})
_TENDER = frozenset({MaterialKind.LEATHER, MaterialKind.COATED, MaterialKind.CORK})


def heat_plan(layers: Sequence[HeatLayer]) -> HeatPlan:
    """How the fused layers of a stack are fused, one after the other from the outside inwards.

    A joint needs glue between its two layers: on the inner one's outer face or the outer one's inner face; a layer with
    glue on one side serves one joint only. The glue's heat is held against the layer that bears least of those that
    are there by then. Readings have ranges: what is safe at all of them CAN, what no true number allows CANNOT, the
    rest is PERHAPS. The iron comes down on the face that bears more heat; not on padding, which keeps heat from the
    glue and is crushed.

    Heat and time differ from iron to iron, so the plan says dots of the care label, not degrees of a dial.
    Raises `FaultyInput` if there is no layer.

    >>> from bagwright.model.heat import HeatLayer
    >>> canvas = HeatLayer(name="canvas", kind=MaterialKind.BOTTOM_WEIGHT, fibres="cotton")
    >>> fleece = HeatLayer(name="fleece", kind=MaterialKind.FLEECE, fibres="polyester", fusible_sides=1,
    ...                    held=Held.FUSED)
    >>> plan = heat_plan([canvas, fleece]).joints[0]
    >>> plan.verdict.value, plan.press_on, plan.setting
    ('may be fused: test it', 'canvas', 'two dots, 150 °C (302 °F)')
    """
    refuse_empty(layers)
    joints: list[FusePlan] = []
    free_sides = [layer.fusible_sides for layer in layers]
    start = 0
    for i in range(1, len(layers)):
        if layers[i].held is not Held.FUSED:
            start = i
            continue
        # What the outer one has left serves no other joint, so it goes first.
        glued = next((j for j in (i - 1, i) if free_sides[j] > 0), None)
        if glued is not None:
            free_sides[glued] -= 1
        joints.append(_joint(layers[start : i + 1], None if glued is None else layers[glued]))
    return HeatPlan(
        joints=tuple(joints),
        notes=tuple(_notes(layers, free_sides)),
        assumed=tuple(_assumed(layers)),
        cautions=CAUTIONS if joints else (),
    )


@dataclass(frozen=True, slots=True)
class _Heat:
    """The layers that are there, the glue, and what it needs against what the tenderest layer bears."""

    there: Sequence[HeatLayer]
    glue_on: HeatLayer | None
    needs: Reading | None
    bears: Reading
    tenderest: HeatLayer

    @property
    def verdict(self) -> Fusing:
        if self.needs is None or self.needs.low > min(self.bears.high, THREE_DOTS_C):
            return Fusing.CANNOT
        return Fusing.CAN if self.needs.high <= self.bears.low else Fusing.PERHAPS


def _joint(there: Sequence[HeatLayer], glue_on: HeatLayer | None) -> FusePlan:
    needs = glue_needs_c(glue_on) if glue_on else None
    tenderest = min(there, key=lambda layer: (bears_c(layer).low, bears_c(layer).value))
    heat = _Heat(there, glue_on, needs, _least(there), tenderest)
    press_on = _pressed(there)
    return FusePlan(
        outer=there[-2].name,
        inner=there[-1].name,
        verdict=heat.verdict,
        glue_on=glue_on.name if glue_on else "",
        needs_c=Band(needs.low, needs.high) if needs else None,
        bears_c=Band(heat.bears.low, heat.bears.high),
        least_bearing=tenderest.name,
        press_on=press_on.name,
        setting=setting_for(needs.value) if needs else "",
        press_cloth=_press_cloth(press_on, heat),
        steam=not any(layer.kind in _NEVER_STEAMED for layer in there) and heat.bears.low > ONE_DOT_C,
        conflicts=tuple(_conflicts(heat)),
        ways_out=tuple(_ways_out(heat)),
    )


def _least(there: Sequence[HeatLayer]) -> Reading:
    """What all of them bear together: the least at every end."""
    readings = [bears_c(layer) for layer in there]
    low, value, high = (min(getattr(r, end) for r in readings) for end in ("low", "value", "high"))
    return Reading(value, low, high, min(readings, key=lambda r: r.low).source)


def _pressed(there: Sequence[HeatLayer]) -> HeatLayer:
    """Of the two outer faces the one to press on: not padding, and the one that bears more; else the cloth side."""
    outer, inner = there[0], there[-1]
    if (inner.kind in _SOFT) != (outer.kind in _SOFT):
        return outer if inner.kind in _SOFT else inner
    return inner if bears_c(inner).value > bears_c(outer).value else outer


def _press_cloth(press_on: HeatLayer, heat: _Heat) -> str:
    if press_on.kind in _TENDER:
        return "a thick dry cloth or baking paper, the iron cool: test first whether its face marks"
    if heat.needs is None or bears_c(press_on).low >= heat.needs.value:
        return "a thin cotton cloth, damp if the leaflet says so"
    return "a dry cotton cloth, folded once: the face bears less than the glue needs"


def _conflicts(heat: _Heat) -> Iterator[str]:
    outer, inner = heat.there[-2], heat.there[-1]
    if heat.needs is None or heat.glue_on is None:
        yield f"No glue lies between {outer.name} and {inner.name}."
        return
    needs = f"The glue on {heat.glue_on.name} needs about {heat_said(heat.needs.value)}"
    bears = f"{heat.tenderest.name} bears about {heat_said(heat.bears.value)}"
    if heat.verdict is Fusing.CANNOT:
        yield f"{needs}, but {bears}."
    elif heat.verdict is Fusing.PERHAPS:
        yield f"{needs}; {bears}: too close to be sure."
    for layer in heat.there:
        if layer.kind in _TENDER:
            yield f"{layer.name} marks, shrinks or dulls under an iron."


def _ways_out(heat: _Heat) -> Iterator[str]:
    inner = heat.there[-1]
    if heat.needs is None:
        yield f"Put a fusible web between them, or hold {inner.name} by basting or quilting."
        return
    if heat.verdict is Fusing.CAN and not any(layer.kind in _TENDER for layer in heat.there):
        return
    yield f"Take a sew-in in place of {inner.name}, or baste it in the seam allowance or quilt it: no heat at all."
    if heat.verdict is not Fusing.CANNOT:
        yield "Press longer at a lower heat with a dry cloth between, on a scrap first."
    if heat.tenderest is not inner:
        away = f"and keep {heat.tenderest.name} away from the iron"
        yield f"Fuse {inner.name} to the lining or to a plain cotton that is sewn in, {away}."


def _notes(layers: Sequence[HeatLayer], free_sides: Sequence[int]) -> Iterator[str]:
    for layer, free in zip(layers, free_sides, strict=True):
        if free and layer.fusible_sides:
            yield (
                f"{_count(free)} of {layer.name} is not used here: it may stick to the iron or the board. "
                "Cover it with baking paper, or take the sew-in kind."
            )


def _count(sides: int) -> str:
    return "The glue on one side" if sides == 1 else "The glue on both sides"


def _assumed(layers: Sequence[HeatLayer]) -> Iterator[str]:
    for layer in dict.fromkeys(layers):
        if layer.highest_iron_c is None:
            heat = bears_c(layer)
            how = "its fibre or kind" if heat.source.kind is SourceKind.TYPICAL else "nothing: say what it is made of"
            yield f"{layer.name} is taken to bear {heat_said(heat.low)} to {heat_said(heat.high)}, from {how}."
        if layer.fusible_sides and layer.glue_needs_c is None:
            heat = glue_needs_c(layer)
            usual = f"{heat_said(heat.low)} to {heat_said(heat.high)}"
            yield f"The glue on {layer.name} is taken to need {usual}, as fusibles usually do."
