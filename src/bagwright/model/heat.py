"""Heat and glue: what each layer bears and needs, and how a stack can be fused, if it can."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from bagwright.model.material import Held, MaterialKind
from bagwright.model.source import Band, Reading


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatLayer:
    """One layer as an iron meets it, from the outside of the bag inwards. What is not known is None."""

    name: str
    kind: MaterialKind
    fibres: str = ""
    fusible_sides: int = 0
    highest_iron_c: Reading | None = None
    glue_needs_c: Reading | None = None
    held: Held = Held.LOOSE


class Fusing(StrEnum):
    """Whether two layers can be fused: surely, perhaps (test it), not with this iron and these layers."""

    CAN = "can be fused"
    PERHAPS = "may be fused: test it"
    CANNOT = "cannot be fused"


@dataclass(frozen=True, slots=True, kw_only=True)
class FusePlan:
    """How one layer is fused to the one outside it, the layers before it fused already.

    `glue_on`: the layer whose glue is used, empty if there is none. `needs_c` of the glue and `bears_c` of the layer
    that bears least, `least_bearing`; `press_on`: the layer that the iron comes down on. `conflicts` stop it or make it
    doubtful, `ways_out` say what to do instead.
    """

    outer: str
    inner: str
    verdict: Fusing
    glue_on: str
    needs_c: Band | None
    bears_c: Band
    least_bearing: str
    press_on: str
    setting: str
    press_cloth: str
    steam: bool
    conflicts: tuple[str, ...]
    ways_out: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatPlan:
    """All fused joints of a stack in the order of work, what else to mind about its glue, and the usual cautions.

    `assumed`: what was not on the shelf and was taken from fibre or kind instead.
    """

    joints: tuple[FusePlan, ...]
    notes: tuple[str, ...]
    assumed: tuple[str, ...]
    cautions: tuple[str, ...]
