"""What passes in and out of the body room: sheets of a stack, and how the stack behaves."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from bagwright.model.material import Held
from bagwright.model.source import Band, Reading


@dataclass(frozen=True, slots=True, kw_only=True)
class BondedSwatch:
    """The ruler test on a scrap of two materials bonded to each other as they are in the bag."""

    overhang_mm: Reading
    angle_deg: float = 41.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Bond:
    """What is known of how firmly two materials hold to each other: nothing, the share of bond (0 slides freely, 1
    cannot slide), or a swatch of the two, which counts first."""

    share: Reading | None = None
    swatch: BondedSwatch | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptBond:
    """A bond that the maker has tested, kept for every stack in which these two materials meet, either way round, and
    are held so. A scrap of the two turned over is the same scrap."""

    outer_id: str
    inner_id: str
    bond: Bond
    held: Held = Held.FUSED

    @property
    def id(self) -> str:
        """Alike for the same two materials held in the same way.

        >>> KeptBond(outer_id="felt", inner_id="canvas", bond=Bond()).id
        'canvas+felt+fused'
        """
        return "+".join([*sorted((self.outer_id, self.inner_id)), self.held])


class Stance(StrEnum):
    """What a panel does at its full height: surely stands, may stand or not, surely slumps."""

    STANDS = "stands"
    LEANS = "leans"
    SLUMPS = "slumps"

    @classmethod
    def of(cls, reached: Band, needed: float) -> Stance:
        """Stance of what reaches a band where `needed` is needed.

        >>> Stance.of(Band(180, 240), 200)
        <Stance.LEANS: 'leans'>
        """
        if reached.low >= needed:
            return cls.STANDS
        return cls.SLUMPS if reached.high < needed else cls.LEANS


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One layer as the body room sees it. `overhang_mm` is the ruler test's, at `angle_deg`.

    `bond`: what is known of its hold on the layer outside it, where it is fused or quilted. Layers of the same name and
    readings are of one material: what is in doubt about it is the same in all of them.
    """

    name: str
    mass_gsm: Reading
    thickness_mm: Reading
    overhang_mm: Reading
    angle_deg: float = 41.5
    held: Held = Held.LOOSE
    bond: Bond = Bond()


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """How a stack bends: the least and the most that readings and bonds allow (`body.stack.stack_body`)."""

    mass_gsm: float
    thickness_mm: float
    rigidity_unm: Band
    bending_length_mm: Band
    standing_height_mm: Band


@dataclass(frozen=True, slots=True, kw_only=True)
class Lap:
    """Where a layer of a stack lies double: by how much that is thicker, and how many times as stiff as beside it."""

    step_mm: float
    stiffer: Band


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
    def stance(self) -> Stance:
        """As a strip held at its foot: against the panel's height."""
        return Stance.of(self.body.standing_height_mm, self.height_mm)
