"""`bagwright bond`: how firmly two materials hold to each other, from a bonded scrap."""

from __future__ import annotations

from dataclasses import asdict

from pydantic import Field

from bagwright.body.bond import BondFinding, share_of_bond
from bagwright.units import UnitSystem
from bagwright.workflows.contracts import Contract, read_contract
from bagwright.workflows.layer_words import SheetWords, SwatchWords, sheet_of_words, swatch_of_words


class BondWords(Contract):
    """What `bagwright bond` reads."""

    outer: SheetWords = Field(description="the outer material, as a layer of bagwright body")
    inner: SheetWords = Field(description="the inner material, as a layer of bagwright body")
    swatch: SwatchWords = Field(description="ruler test on a scrap of the two, bonded as in the bag")


def bond_of_file(text: bytes) -> BondFinding:
    """What the scrap that JSON `text` describes tells. Raises `FaultyInput` with every fault."""
    words = read_contract(text, BondWords)
    outer, inner = sheet_of_words(words.outer, name="outer"), sheet_of_words(words.inner, name="inner")
    return share_of_bond(outer, inner, swatch_of_words(words.swatch))


def bond_as_json(found: BondFinding) -> dict[str, object]:
    """The answer of `bagwright bond`."""
    share = {name: getattr(found.share, name) for name in ("value", "low", "high")}
    return {"share": share, "unclipped": asdict(found.unclipped), "word": found.word}


def bond_in_words(found: BondFinding, units: UnitSystem) -> str:
    """The answer for the maker; a share has no units."""
    share = found.share
    band = f" ({share.low:.0%} to {share.high:.0%})" if share.low != share.high else ""
    return (
        f"The bond gives {share.value:.0%}{band} of what it would if the layers could not slide at all.\n{found.word}\n"
        "It counts wherever these two are bonded in the same way."
    )
