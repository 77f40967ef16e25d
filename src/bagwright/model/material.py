"""Materials on the shelf and the ways they are sold."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from bagwright.model.money import Money
from bagwright.model.source import Reading


class MaterialKind(StrEnum):
    """What a material is, in the trade's words."""

    PLAIN_CLOTH = "plain-weave cloth"
    BOTTOM_WEIGHT = "bottom-weight cloth"
    COATED = "coated cloth"
    CORK = "cork cloth"
    LEATHER = "leather"
    WOVEN_INTERFACING = "woven interfacing"
    NONWOVEN_INTERFACING = "non-woven interfacing"
    FLEECE = "fleece"
    FELT = "felt"
    FOAM = "foam"
    WEBBING = "webbing"
    ZIP = "zip chain"
    HARDWARE = "hardware"
    THREAD = "thread"

    @property
    def is_sheet(self) -> bool:
        """Whether pieces are cut out of it (else it is used by length or by count)."""
        return self not in _NOT_SHEETS

    @property
    def is_hide(self) -> bool:
        """Whether it comes as hides, with flaws and parts of lesser grade."""
        return self is MaterialKind.LEATHER

    @property
    def has_grain(self) -> bool:
        """Whether pieces must lie along its length."""
        return self in _WITH_GRAIN


_NOT_SHEETS = frozenset({MaterialKind.WEBBING, MaterialKind.ZIP, MaterialKind.HARDWARE, MaterialKind.THREAD})
_WITH_GRAIN = frozenset(
    {MaterialKind.PLAIN_CLOTH, MaterialKind.BOTTOM_WEIGHT, MaterialKind.COATED, MaterialKind.WOVEN_INTERFACING}
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """One thing on the shelf. A property that is not known is None: asked for where it is needed, never guessed.

    Sheets use `mass_gsm`, `thickness_mm`, `overhang_mm` (of the ruler test, at `overhang_angle_deg`), `selvedge_mm`
    (lost along each side), the two shrinkages (share of the length lost in the wash) and the two repeats of a print
    (its first motif `motif_in_mm` from the edge), with `half_drop` if every other row lies half a repeat further along.
    `laid_double`: cut from two layers, selvedge on selvedge; printed cloth is laid single all the same. Webbing, zip
    chain and thread use `mass_gpm` (grams a metre), hardware `mass_each_g`.
    `glue_needs_c` is the heat its own adhesive needs, `highest_iron_c` what it bears. `swatch`: id of a kept picture.
    """

    id: str
    name: str
    kind: MaterialKind
    fibres: str = ""
    fusible_sides: int = 0
    directional: bool = False
    holes_stay: bool = False
    half_drop: bool = False
    laid_double: bool = False
    mass_gsm: Reading | None = None
    thickness_mm: Reading | None = None
    overhang_mm: Reading | None = None
    crosswise_overhang_mm: Reading | None = None
    overhang_angle_deg: float = 41.5
    selvedge_mm: Reading | None = None
    shrinkage_share: Reading | None = None
    crosswise_shrinkage_share: Reading | None = None
    repeat_along_mm: Reading | None = None
    repeat_across_mm: Reading | None = None
    motif_in_mm: Reading | None = None
    highest_iron_c: Reading | None = None
    glue_needs_c: Reading | None = None
    mass_gpm: Reading | None = None
    mass_each_g: Reading | None = None
    note: str = ""
    swatch: str = ""
    retired: bool = False

    @property
    def has_print(self) -> bool:
        """Whether its print comes again after a repeat."""
        return any(reading and reading.value for reading in (self.repeat_along_mm, self.repeat_across_mm))


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceBreak:
    """From this quantity on (in the offer's own units) each unit costs `price`."""

    from_quantity: float
    price: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class _Offer:
    id: str
    material_id: str
    seller: str
    price: Money
    dated: date
    price_breaks: tuple[PriceBreak, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferByLength(_Offer):
    """Off a bolt or a reel: `price` for every `priced_per_mm`, cut in steps of `step_mm`. Width 0: no sheet."""

    width_mm: float
    priced_per_mm: float
    step_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferByPiece(_Offer):
    """Cut pieces of a fixed size (a fat quarter, a pack of felt): `price` each."""

    width_mm: float
    length_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferByArea(_Offer):
    """Hides and the like: `price` for every square metre, sold whole, about `usual_area_m2` at a time."""

    usual_area_m2: float
    usual_width_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferByCount(_Offer):
    """Hardware, spools: `price` for a pack of `pack_count` (each thread spool holds `length_each_m`)."""

    pack_count: int
    length_each_m: float | None = None


Offer = OfferByLength | OfferByPiece | OfferByArea | OfferByCount


class Extent(StrEnum):
    """How far a layer reaches."""

    WHOLE = "whole piece"
    NET = "net line only"
    ZONE = "zone"


class Held(StrEnum):
    """How a layer is held to the one outside it."""

    FUSED = "fused"
    BASTED = "basted"
    QUILTED = "quilted"
    LOOSE = "loose"


@dataclass(frozen=True, slots=True)
class Layer:
    """One material in a stack; stacks run from the outside of the bag inwards.

    `zone`: which part it covers where its extent is a zone; of the pieces of its role it lies on those that have it.
    """

    material_id: str
    extent: Extent = Extent.WHOLE
    held: Held = Held.LOOSE
    zone: str = ""
