"""What passes in and out of the body room: sheets of a stack, and how the stack behaves."""

from __future__ import annotations

from dataclasses import dataclass

from bagwright.model.material import Held
from bagwright.model.source import Band, Reading


@dataclass(frozen=True, slots=True, kw_only=True)
class Swatch:
    """The ruler test on a scrap of two materials bonded to each other as they are in the bag."""

    overhang_mm: Reading
    angle_deg: float = 41.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One layer as the body room sees it. `overhang_mm` is the ruler test's, at `angle_deg`.

    What is known about its bond to the layer outside it, where it is fused or quilted: `swatch` of the two, else
    `bond_share` (0 slides freely, 1 cannot slide), else nothing. Layers of the same name and readings are of one
    material: what is in doubt about it is the same in all of them.
    """

    name: str
    mass_gsm: Reading
    thickness_mm: Reading
    overhang_mm: Reading
    angle_deg: float = 41.5
    held: Held = Held.LOOSE
    bond_share: Reading | None = None
    swatch: Swatch | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """How a stack bends: the least and the most that readings and bonds allow (`body.stack.stack_body`)."""

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
