"""Zip pockets as add-ons: inside set into the lining or hung from the top, outside set into the back."""

from __future__ import annotations

from bagwright.drafting.faces import Face
from bagwright.drafting.form_spec import AddOn
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import Sizes
from bagwright.drafting.pocket_zip_hung import with_hung_pocket
from bagwright.drafting.pocket_zip_sizes import HUNG, ZipPocket, zip_pocket_specs
from bagwright.drafting.pocket_zip_window import with_window_pocket
from bagwright.drafting.roles import POCKET, SLIDER, TAB, ZIP_CHAIN


def inside_zip_pocket(face: Face, *, with_strap_ends: bool = False) -> AddOn:
    """One zip pocket on a face of the lining; it can hang from the top only where the face reaches one.

    `with_strap_ends`: two ends of a strap are caught there, too, as far apart as `strap_spacing_mm` says.
    """
    pocket = ZipPocket(key="zip_pocket", said="inside zip pocket", face=face, with_strap_ends=with_strap_ends)
    kinds = ("none", "set into the lining", *(["hung from the top"] if face.top else []))
    specs = zip_pocket_specs(
        pocket, "Zip pocket", "Whether the lining has a pocket with a zip, and how it is made.", kinds
    )

    def add(making: Making, sizes: Sizes) -> Making:
        is_hung = sizes[pocket.key] == HUNG
        return with_hung_pocket(making, pocket, sizes) if is_hung else with_window_pocket(making, pocket, sizes)

    return AddOn(
        key="inside_zip_pocket",
        name="Zip pocket inside",
        measurements=specs,
        add=add,
        roles=(POCKET, ZIP_CHAIN, SLIDER, *([TAB] if face.top else [])),
    )


def outside_zip_pocket(face: Face) -> AddOn:
    """One zip pocket set into a face of the outer."""
    pocket = ZipPocket(key="outside_zip_pocket", said="outside zip pocket", face=face)
    meaning = "Whether the back of the outer has a pocket with a zip set into it."
    specs = zip_pocket_specs(pocket, "Outside zip pocket", meaning, ("none", "set into the back"))

    def add(making: Making, sizes: Sizes) -> Making:
        return with_window_pocket(making, pocket, sizes)

    roles = (POCKET, ZIP_CHAIN, SLIDER)
    return AddOn(key="outside_zip_pocket", name="Zip pocket outside", measurements=specs, add=add, roles=roles)
