"""What form a bag has and what pattern follows from it: one of our forms, or pieces of the maker's own."""

from __future__ import annotations

from bagwright.drafting.form_spec import FormSpec
from bagwright.drafting.forms import draft_bag, find_form
from bagwright.drafting.own_pieces import OWN_FORM, OWN_PIECES, draft_own
from bagwright.errors import BrokenPromise
from bagwright.model.bag import Bag
from bagwright.model.pattern import Pattern


def form_of_key(form_key: str) -> FormSpec:
    """The form of that key, her own pieces among them. Raises `FaultyInput` for any other."""
    return OWN_FORM if form_key == OWN_PIECES else find_form(form_key)


def pattern_of_bag(bag: Bag) -> Pattern:
    """The pattern of a bag; that of her own pieces may be unsound. Raises `FaultyInput` if it cannot be drafted."""
    if bag.form != OWN_PIECES:
        return draft_bag(bag.form, bag.measurements_mm)
    if bag.own is None:
        raise BrokenPromise(f"bag {bag.id!r} is of own pieces, but has none")
    return draft_own(bag.own)
