"""A whole bag as one file: its sizes and pieces, what it is made of, prices and pictures, to keep or to hand on."""

from __future__ import annotations

import base64
import binascii
import dataclasses
import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

from pydantic import Field

from bagwright.drafting.forms import FORMS, accept_measurements
from bagwright.drafting.own_pieces import OWN_PIECES
from bagwright.errors import BrokenPromise, FaultyInput, Problem
from bagwright.model.bag import Bag
from bagwright.model.material import Layer, Material, MaterialKind, Offer
from bagwright.model.own_pattern import OwnPattern
from bagwright.model.scrap_wishes import ScrapWishes
from bagwright.workflows.bag_pattern import form_of_key
from bagwright.workflows.bag_words import BagWords, bag_from, unknown_in_stacks
from bagwright.workflows.contracts import Contract, Faults, read_contract
from bagwright.workflows.own_as_words import own_as_words
from bagwright.workflows.own_from_words import own_from
from bagwright.workflows.own_words import OwnWords
from bagwright.workflows.scrap_wishes import ScrapWishesWords
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.shelf_as_words import material_as_words, offer_as_words
from bagwright.workflows.shelf_words import MaterialWords, Name, OfferWords, shelf_from
from bagwright.workflows.strip_wish_words import StripWishWords, strip_wish_as_words, strip_wishes_from
from bagwright.workflows.swatches import small_jpeg

LONGEST_PICTURE = 270_000


class PictureWords(Contract):
    """A picture of a material."""

    material_id: str = Field(
        min_length=1, max_length=80, description="the id of a material in this file, 1 to 80 characters"
    )
    base64: str = Field(
        max_length=LONGEST_PICTURE,
        description=f"a JPEG, PNG or WebP file in base64, up to {LONGEST_PICTURE} characters",
    )


class BagFileWords(BagWords):
    """A whole bag as one file."""

    bagwright_bag: Literal[1] = Field(description="1: the version of this format")
    name: Name
    note: str = Field(default="", max_length=2000, description="a note, up to 2000 characters")
    form: str = Field(description="a form of bag: " + ", ".join(FORMS) + f"; {OWN_PIECES}: as `own` has it")
    run_count: int = Field(default=1, ge=1, le=200, description="how many bags are made together, 1 to 200")
    in_rows: bool = Field(default=False, description="true: cloth is laid in straight rows")
    best_only: list[str] = Field(default=[], max_length=500, description="ids of pieces, a list of up to 500")
    matched_seams: list[str] = Field(default=[], max_length=500, description="ids of seams, a list of up to 500")
    any_print: list[str] = Field(default=[], max_length=500, description="ids of pieces, a list of up to 500")
    strip_wishes: list[StripWishWords] = Field(
        default=[], max_length=500, description="how strips are cut, a list of up to 500"
    )
    scraps: ScrapWishesWords = Field(
        default_factory=ScrapWishesWords, description="what is asked of scraps that are pieced under its inner layers"
    )
    own: OwnWords | None = Field(default=None, description="pieces of the maker's own, for form own_pieces only")
    materials: list[MaterialWords] = Field(default=[], max_length=500, description="list of up to 500 materials")
    currency: str = Field(default="USD", pattern="^[A-Z]{3}$", description="three-letter currency code, such as USD")
    offers: list[OfferWords] = Field(default=[], max_length=2000, description="list of up to 2000 offers")
    pictures: list[PictureWords] = Field(default=[], max_length=500, description="list of up to 500 pictures")


@dataclass(frozen=True, slots=True, kw_only=True)
class WholeBag:
    """A bag, the materials in it, the ways they are sold, and pictures (as files) by the id of their material."""

    bag: Bag
    materials: tuple[Material, ...]
    offers: tuple[Offer, ...]
    pictures: Mapping[str, bytes]
    currency: str


def whole_bag(bag: Bag, shelf: Shelf, pictures: Mapping[str, bytes], currency: str) -> WholeBag:
    """The bag, its sizes complete, with what of the shelf it is made of and sewn with.

    Raises `FaultyInput` for refused sizes.
    """
    if bag.own is None:
        bag = replace(bag, measurements_mm=dict(accept_measurements(form_of_key(bag.form), bag.measurements_mm)))
    ids = dict.fromkeys(layer.material_id for stack in bag.stacks.values() for layer in stack)
    sewn_with = [one for one in shelf.materials.values() if one.kind is MaterialKind.THREAD and not one.retired][:1]
    used = [shelf.materials[one] for one in ids if one in shelf.materials]
    materials = tuple(dict.fromkeys([*used, *sewn_with]))
    offers = tuple(offer for material in materials for offer in shelf.offers_for(material.id))
    shown = {one.id: pictures[one.id] for one in materials if one.id in pictures}
    return WholeBag(bag=bag, materials=materials, offers=offers, pictures=shown, currency=currency)


def bag_file(whole: WholeBag) -> bytes:
    """The file, in the fields of docs/json.md. It has been read again: what it holds comes back."""
    data = json.dumps(_as_words(whole), indent=1, ensure_ascii=False, allow_nan=False).encode()
    came_back = read_bag_file(data)
    if _told(came_back) != _told(whole):
        raise BrokenPromise(f"bag {whole.bag.id!r} would not come back from its file as it is")
    return data


def _told(whole: WholeBag) -> object:
    """What a file has to keep; ids and versions of the store, and how pictures are written, are its own affair."""
    stacks = {role: stack for role, stack in whole.bag.stacks.items() if stack}
    bag = replace(whole.bag, id="", version=0, stacks=stacks)
    materials = tuple(replace(one, swatch="", retired=False) for one in whole.materials)
    return bag, materials, whole.offers, set(whole.pictures), whole.currency


def _as_words(whole: WholeBag) -> dict[str, object]:
    bag = whole.bag
    told: dict[str, object] = {
        "bagwright_bag": 1,
        "name": bag.name,
        "note": bag.note,
        "form": bag.form,
        "run_count": bag.run_count,
        "in_rows": bag.in_rows,
        "best_only": list(bag.best_only),
        "matched_seams": list(bag.matched_seams),
        "any_print": list(bag.any_print),
        "strip_wishes": [strip_wish_as_words(wish) for wish in bag.strip_wishes],
        "scraps": dataclasses.asdict(bag.scraps),
        "measurements_mm": dict(bag.measurements_mm),
        "stacks": {role: [_layer(one) for one in stack] for role, stack in bag.stacks.items() if stack},
        "own": own_as_words(bag.own) if bag.own else None,
        "materials": [material_as_words(one) for one in whole.materials],
        "currency": whole.currency,
        "offers": [offer_as_words(one) for one in whole.offers],
        "pictures": [
            {"material_id": one, "base64": base64.b64encode(data).decode()} for one, data in whole.pictures.items()
        ],
    }
    return told


def _layer(layer: Layer) -> dict[str, str]:
    return {
        "material_id": layer.material_id,
        "extent": layer.extent.value,
        "held": layer.held.value,
        "zone": layer.zone,
    }


def read_bag_file(data: bytes) -> WholeBag:
    """What a file from anywhere holds; its bag need not be finished. Raises `FaultyInput` with every fault."""
    words = read_contract(data, BagFileWords)
    bag = bag_from(words.form, words.measurements_mm, words.stacks, run_count=words.run_count, name=words.name)
    bag = replace(bag, note=words.note, in_rows=words.in_rows)
    bag = replace(bag, best_only=tuple(words.best_only), matched_seams=tuple(words.matched_seams))
    bag = replace(bag, any_print=tuple(words.any_print))
    bag = replace(bag, strip_wishes=strip_wishes_from(words.strip_wishes))
    bag = replace(bag, scraps=ScrapWishes(**words.scraps.model_dump()))
    faults = Faults()
    with faults:
        bag = replace(bag, measurements_mm=_sizes(words))
    with faults:
        bag = replace(bag, own=_own(words))
    with faults:
        shelf = shelf_from(words.materials, words.offers, words.currency)
    faults.problems += unknown_in_stacks(words)
    pictures: dict[str, bytes] = {}
    for number, picture in enumerate(words.pictures):
        with faults:
            pictures[picture.material_id] = _picture(picture, words, f"pictures[{number}]")
    faults.raise_if_any()
    materials = tuple(shelf.materials.values())
    return WholeBag(bag=bag, materials=materials, offers=shelf.offers, pictures=pictures, currency=words.currency)


def _sizes(words: BagFileWords) -> dict[str, float]:
    form = form_of_key(words.form)
    if words.form == OWN_PIECES:
        return {}
    try:
        return dict(accept_measurements(form, words.measurements_mm))
    except FaultyInput as fault:
        raise FaultyInput(replace(one, place=f"measurements_mm.{one.place}") for one in fault.problems) from None


def _own(words: BagFileWords) -> OwnPattern | None:
    if (words.form == OWN_PIECES) != (words.own is not None):
        what = "is missing" if words.own is None else f"is for form {OWN_PIECES} only"
        problem = Problem(place="own", value="", what=what, allowed=f"with form {OWN_PIECES}", remedy="Correct either.")
        raise FaultyInput([problem])
    if words.own is None:
        return None
    try:
        return own_from(words.own)
    except FaultyInput as fault:
        raise FaultyInput(replace(one, place=f"own.{one.place}") for one in fault.problems) from None


def _picture(picture: PictureWords, words: BagFileWords, place: str) -> bytes:
    if picture.material_id not in {material.id for material in words.materials}:
        raise FaultyInput([_refused(f"{place}.material_id", picture.material_id[:40], "names no material")])
    try:
        return small_jpeg(base64.b64decode(picture.base64, validate=True))
    except binascii.Error:
        raise FaultyInput([_refused(f"{place}.base64", picture.base64[:20], "is no base64")]) from None
    except FaultyInput as fault:
        raise FaultyInput(replace(one, place=f"{place}.base64") for one in fault.problems) from None


def _refused(place: str, value: str, what: str) -> Problem:
    return Problem(place=place, value=value, what=what, allowed="as docs/json.md says", remedy="Correct it.")
