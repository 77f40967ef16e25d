"""What changes from one stack to another, in words that a maker can act on."""

from __future__ import annotations

from collections.abc import Sequence

from bagwright.model.swaps import Choice


def swap_change(now: Sequence[Choice], then: Sequence[Choice]) -> str:
    """What to take, swap and leave out, and what that does to cost, time, weight and bulk; place by place.

    >>> felt = Choice(name="felt", sheet=None, cost=3, minutes=4, mass_g=60, bulk_mm=2)
    >>> swap_change([felt], [felt])
    'As it is now.'
    """
    changes = [told for before, after in zip(now, then, strict=True) if (told := _change(before, after))]
    if not changes:
        return "As it is now."
    differences = [told for name in _SAID if (told := _difference(name, now, then))]
    return f"{_listed(changes)}: {_listed(differences) or 'all else stays the same'}."


def _change(before: Choice, after: Choice) -> str:
    if before.name == after.name:
        return ""
    if after.sheet is None:
        return f"Leave out {before.name}"
    return f"Take {after.name} in place of {before.name}" if before.sheet else f"Add {after.name}"


_SAID = {
    "cost": ("{:,.2f} less", "{:,.2f} more", 0.005),
    "minutes": ("{:.2g} min less", "{:.2g} min more", 0.05),
    "mass_g": ("{:.0f} g lighter", "{:.0f} g heavier", 0.5),
    "bulk_mm": ("{:.1f} mm thinner", "{:.1f} mm thicker", 0.05),
}
"""How each number is told when it falls and when it grows, and from what change on."""


def _difference(name: str, now: Sequence[Choice], then: Sequence[Choice]) -> str:
    change = sum(getattr(choice, name) for choice in then) - sum(getattr(choice, name) for choice in now)
    less, more, noticed = _SAID[name]
    if abs(change) < noticed:
        return ""
    return (less if change < 0 else more).format(abs(change))


def _listed(parts: Sequence[str]) -> str:
    """Parts in one sentence: the first as it is, the others in lower case.

    >>> _listed(["Add felt", "Leave out fleece", "Take duck in place of canvas"])
    'Add felt, leave out fleece and take duck in place of canvas'
    """
    told = [*parts[:1], *(part[0].lower() + part[1:] for part in parts[1:])]
    return " and ".join([", ".join(told[:-1]), told[-1]]) if len(told) > 1 else "".join(told)
