"""`bagwright body`: how a stack of layers bends and stands."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field

from pydantic import Field

from bagwright.body.lap import lap_of
from bagwright.body.stack import stack_body
from bagwright.errors import FaultyInput, Problem
from bagwright.model.body import Body, Lap
from bagwright.units import MM_PER_INCH, UnitSystem, print_length, print_mass_gsm
from bagwright.workflows.contracts import read_contract
from bagwright.workflows.lap_words import lap_in_words
from bagwright.workflows.layer_words import (
    LayerWords,
    StackWords,
    crosswise_sheets,
    lengthwise_sheets,
    seam_allowance_sheets,
    zone_names,
    zone_sheets,
)


class BodyWords(StackWords):
    """What `bagwright body` reads."""

    lapped_layer: int | None = Field(
        default=None, ge=2, le=40, description="which layer would lap, 2 to 40, the outermost being layer 1, or null"
    )


@dataclass(frozen=True, slots=True)
class ToldBody:
    """The body of a stack lengthwise; crosswise if any layer was tested so; in the seam allowances if any layer ends
    before them and any does not; in each zone that has layers of its own, which do not count elsewhere. `lap`: where
    a layer lies double, if that is asked."""

    lengthwise: Body
    crosswise: Body | None
    seam_allowance: Body | None = None
    zones: Mapping[str, Body] = field(default_factory=dict)
    lap: Lap | None = None


def body_of_file(text: bytes) -> ToldBody:
    """Body of the stack that JSON `text` describes. Raises `FaultyInput` with every fault."""
    words = read_contract(text, BodyWords)
    layers = words.layers
    across, allowance = crosswise_sheets(layers), seam_allowance_sheets(layers)
    return ToldBody(
        stack_body(lengthwise_sheets(layers)),
        stack_body(across) if across else None,
        stack_body(allowance) if allowance else None,
        {name: stack_body(zone_sheets(layers, name)) for name in zone_names(layers)},
        _lap(layers, words.lapped_layer) if words.lapped_layer else None,
    )


def _lap(layers: Sequence[LayerWords], number: int) -> Lap:
    """Where layer `number` laps: in its zone, if it covers one. Raises `FaultyInput` if there is no such layer."""
    if number > len(layers):
        what, allowed = "is no layer of the stack", f"2 to {len(layers)}" if len(layers) > 1 else "null"
        remedy = "Count from the outside: the outermost is layer 1."
        problem = Problem(place="lapped_layer", value=str(number), what=what, allowed=allowed, remedy=remedy)
        raise FaultyInput([problem])
    zone = layers[number - 1].zone
    return lap_of(zone_sheets(layers, zone), sum(one.zone in ("", zone) for one in layers[: number - 1]))


def body_as_json(told: ToldBody) -> dict[str, object]:
    """The answer of `bagwright body`."""
    body = told.lengthwise
    return {
        "mass_gsm": body.mass_gsm,
        "thickness_mm": body.thickness_mm,
        **_bands(body),
        "crosswise": _bands(told.crosswise) if told.crosswise else None,
        "seam_allowance": _bands(told.seam_allowance) if told.seam_allowance else None,
        "zones": [{"zone": name, **_bands(body)} for name, body in told.zones.items()],
        "lap": asdict(told.lap) if told.lap else None,
    }


def _bands(body: Body) -> dict[str, object]:
    return {
        "rigidity_unm": asdict(body.rigidity_unm),
        "bending_length_mm": asdict(body.bending_length_mm),
        "standing_height_mm": asdict(body.standing_height_mm),
    }


def body_in_words(told: ToldBody, units: UnitSystem) -> str:
    """The answer for the maker.

    >>> from bagwright.model.source import Band
    >>> body = Body(mass_gsm=340, thickness_mm=0.6, rigidity_unm=Band(52, 52), bending_length_mm=Band(25, 25),
    ...             standing_height_mm=Band(50, 50))
    >>> print(body_in_words(ToldBody(body, None), UnitSystem.METRIC).splitlines()[0])
    The stack weighs 340 g/m² and is about 0.6 mm thick.
    """
    body = told.lengthwise
    thick = f"{body.thickness_mm:.1f} mm" if units is UnitSystem.METRIC else f"{body.thickness_mm / MM_PER_INCH:.3f} in"
    across = f"Cut crosswise, it stands {_stands(told.crosswise, units)}.\n" if told.crosswise else ""
    turned = f"In the seam allowances it stands {_stands(told.seam_allowance, units)}.\n" if told.seam_allowance else ""
    zones = "".join(
        f"{name[:1].upper()}{name[1:]}: it stands {_stands(inside, units)} there.\n"
        for name, inside in told.zones.items()
    )
    lap = f"{lap_in_words(told.lap, units)}\n" if told.lap else ""
    outside = " outside its zones" if told.zones else ""
    return (
        f"The stack weighs {print_mass_gsm(body.mass_gsm, units).text} and is about {thick} thick.\n"
        f"A strip of it{outside}, held at its foot, stands {_stands(body, units)} high by itself.\n"
        f"{zones}{across}{turned}{lap}"
        "Use this to compare stacks: the sides and corners of a bag hold it higher."
    )


def _stands(body: Body, units: UnitSystem) -> str:
    low, high = (print_length(end, units).text for end in (body.standing_height_mm.low, body.standing_height_mm.high))
    return low if low == high else f"{low} to {high}"
