"""The shelf: materials by id, and the offers for them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from bagwright.costing.working_time import made_before
from bagwright.errors import FaultyInput, Problem
from bagwright.model.body import Bond, KeptBond
from bagwright.model.material import Held, Material, Offer, OfferByArea, OfferByLength, OfferByPiece
from bagwright.model.run_buying import SellerTerms
from bagwright.model.source import Reading
from bagwright.model.timing import Timing


@dataclass(frozen=True, slots=True)
class Shelf:
    """What the maker has or can buy, the bonds and times she has measured, and what sellers ask for besides prices."""

    materials: Mapping[str, Material]
    offers: tuple[Offer, ...]
    bonds: tuple[KeptBond, ...] = ()
    terms: tuple[SellerTerms, ...] = ()
    timings: tuple[Timing, ...] = ()

    @classmethod
    def of(cls, materials: Iterable[Material], offers: Iterable[Offer], bonds: Iterable[KeptBond] = ()) -> Shelf:
        """Index `materials` by id."""
        return cls({material.id: material for material in materials}, tuple(offers), tuple(bonds))

    def material(self, material_id: str, *, place: str) -> Material:
        """The material of that id. Raises `FaultyInput` naming `place` if the shelf has none."""
        found = self.materials.get(material_id)
        if found is None:
            allowed = "a material on the shelf"
            raise FaultyInput(
                [
                    Problem(
                        place=place,
                        value=material_id,
                        what="is not on the shelf",
                        allowed=allowed,
                        remedy="Choose one.",
                    )
                ]
            )
        return found

    def bond(self, outer_id: str, inner_id: str, held: Held = Held.FUSED) -> Bond:
        """What is known of the bond of two materials held so: nothing, unless she has tested it."""
        asked = KeptBond(outer_id=outer_id, inner_id=inner_id, bond=Bond(), held=held).id
        tested = [kept.bond for kept in self.bonds if kept.id == asked]
        return tested[-1] if tested else Bond()

    def readings_of(self, bag_id: str) -> dict[str, list[float]]:
        """Minutes that she has measured on that bag, by the id of the step."""
        readings: dict[str, list[float]] = {}
        for timing in self.timings:
            if timing.bag_id == bag_id and timing.is_done:
                readings.setdefault(timing.step, []).append(timing.minutes)
        return readings

    def made_of(self, bag_id: str) -> int:
        """How many of that bag she has timed, in whole or in part; what a copy took over is not counted."""
        own = tuple(one for one in self.timings if not one.taken_from)
        return made_before(replace(self, timings=own).readings_of(bag_id))

    def offers_for(self, material_id: str) -> tuple[Offer, ...]:
        """Every way that material is sold."""
        return tuple(offer for offer in self.offers if offer.material_id == material_id)

    def widths_mm(self, material_id: str) -> tuple[float, ...]:
        """Widths at which the material is sold as a sheet, widest first."""
        widths = set()
        for offer in self.offers_for(material_id):
            if isinstance(offer, OfferByLength | OfferByPiece):
                widths.add(offer.width_mm)
            elif isinstance(offer, OfferByArea):
                widths.add(offer.usual_width_mm)
        return tuple(sorted((width for width in widths if width > 0), reverse=True))


def known(material: Material, reading: Reading | None, what: str, *, place: str) -> Reading:
    """That reading of the material. Raises `FaultyInput` if it was never given: it is asked for, not guessed."""
    if reading is None:
        problem = Problem(
            place=place,
            value=material.name,
            what=f"has no {what} yet",
            allowed="a measured, printed or typical value",
            remedy="Add it on the shelf, or choose another material.",
        )
        raise FaultyInput([problem])
    return reading
