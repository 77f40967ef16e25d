"""How firmly two sheets hold to each other, in words, and where in a bag a tested bond counts."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

from bagwright.body.bond import IN_REACH, share_of_bond
from bagwright.body.stack import HOLDS_FLAT
from bagwright.model.body import BondedSwatch, Sheet
from bagwright.model.material import Held, Layer
from bagwright.model.source import Reading
from bagwright.workflows.desk import BagView
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.stance import layer_sheets, panel_layers

_LIKE = (
    (0.85, "nearly like one board"),
    (0.5, "more like one board than like two sheets"),
    (0.15, "more like two loose sheets than like one board"),
    (0.0, "nearly like two loose sheets"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class CountedBond:
    """A tested bond that counts in a stack."""

    outer: str
    inner: str
    held: Held
    says: str


def acts_like(share: Reading) -> str:
    """What a share of bond means; the doubt is told where its range reaches further.

    >>> acts_like(Reading.exact(0.9))
    'Together they act nearly like one board.'
    >>> acts_like(Reading(0.9, 0.6, 1, Reading.exact(1).source))
    'Together they act nearly like one board; the readings also allow more like one board than like two sheets.'
    """
    value, low, high = (_like(end) for end in (share.value, share.low, share.high))
    if low == high:
        return f"Together they act {value}."
    other = {low, high} - {value}
    if len(other) == 1:
        return f"Together they act {value}; the readings also allow {other.pop()}."
    return f"Together they act {value}; the readings allow anything from {low} to {high}."


def _like(share: float) -> str:
    return next(words for least, words in _LIKE if share >= least)


def share_words(share: Reading) -> str:
    """The share with its range, and of what.

    >>> share_words(Reading.exact(0.4))
    'That is 40 % of what glue that cannot give at all would add.'
    """
    value, low, high = (f"{end:.0%}".replace("%", " %") for end in (share.value, share.low, share.high))
    band = "" if low == high else f" ({low} to {high})"
    return f"That is {value}{band} of what glue that cannot give at all would add."


def counted_bonds(layers: Sequence[Layer], shelf: Shelf) -> tuple[CountedBond, ...]:
    """The tested bonds that count in a stack, each once. Raises `FaultyInput` for readings that are missing."""
    if not shelf.bonds:
        return ()
    counted: dict[CountedBond, None] = {}
    for outer, inner in itertools.pairwise(layer_sheets(layers, shelf)):
        if inner.held in HOLDS_FLAT and inner.bond.swatch:
            counted[_counted(outer, inner, inner.bond.swatch)] = None
    return tuple(counted)


def panel_bonds(panel_key: str, view: BagView) -> tuple[CountedBond, ...]:
    """The tested bonds that count in one panel of a bag."""
    pattern = view.answer.pattern
    panel = next(one for one in pattern.panels if one.key == panel_key)
    return counted_bonds(panel_layers(panel, pattern, view.answer.bag.stacks), view.shelf)


def _counted(outer: Sheet, inner: Sheet, swatch: BondedSwatch) -> CountedBond:
    finding = share_of_bond(outer, inner, swatch)
    says = acts_like(finding.share) if finding.word == IN_REACH else finding.word
    return CountedBond(outer=outer.name, inner=inner.name, held=inner.held, says=says)
