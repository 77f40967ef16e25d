"""`bagwright bag`: what a file of a whole bag holds, before it is taken in."""

from __future__ import annotations

from bagwright.units import UnitSystem
from bagwright.workflows.bag_file import WholeBag, read_bag_file
from bagwright.workflows.bag_pattern import form_of_key


def bag_of_file(text: bytes) -> WholeBag:
    """The bag that JSON `text` holds, with all that belongs to it. Raises `FaultyInput` with every fault."""
    return read_bag_file(text)


def bag_as_json(whole: WholeBag) -> dict[str, object]:
    """The answer of `bagwright bag`."""
    return {
        "name": whole.bag.name,
        "form": whole.bag.form,
        "run_count": whole.bag.run_count,
        "own_pieces": len(whole.bag.own.pieces) if whole.bag.own else 0,
        "materials": [
            {
                "id": one.id,
                "name": one.name,
                "kind": one.kind.value,
                "offers": sum(offer.material_id == one.id for offer in whole.offers),
                "has_picture": one.id in whole.pictures,
            }
            for one in whole.materials
        ],
        "currency": whole.currency,
    }


def bag_in_words(whole: WholeBag, _units: UnitSystem) -> str:
    """The answer for the maker."""
    form = form_of_key(whole.bag.form).name
    lines = [f"{whole.bag.name}: {form[0].lower()}{form[1:]}, made {whole.bag.run_count} at a time", "Made of:"]
    lines += [f"  {one.name} ({one.kind.value})" for one in whole.materials] or ["  nothing yet"]
    lines.append(f"{len(whole.offers)} prices, in {whole.currency}")
    return "\n".join(lines)
