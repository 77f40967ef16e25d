"""What passes in and out of the body room: sheets of a stack, and how the stack behaves."""

from __future__ import annotations

from dataclasses import dataclass

from bagwright.model.material import Held
from bagwright.model.source import Band, Reading


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One layer as the body room sees it. `overhang_mm` is the ruler test's, at `angle_deg`."""

    name: str
    mass_gsm: Reading
    thickness_mm: Reading
    overhang_mm: Reading
    angle_deg: float = 41.5
    held: Held = Held.LOOSE


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """How a stack bends. Low: layers slide freely; high: glued so that none can; both at the ends of the readings."""

    mass_gsm: float
    thickness_mm: float
    rigidity_unm: Band
    bending_length_mm: Band
    standing_height_mm: Band


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelBody:
    """The body of one face of the bag, against the height it has to stand."""

    panel_key: str
    name: str
    height_mm: float
    layer_names: tuple[str, ...]
    layer_thicknesses_mm: tuple[float, ...]
    body: Body
    widest_doubt: str

    @property
    def stance(self) -> str:
        """`stands` if even the low bound reaches the panel's height, `slumps` if even the high one does not."""
        stands = self.body.standing_height_mm
        if stands.low >= self.height_mm:
            return "stands"
        return "slumps" if stands.high < self.height_mm else "leans"
