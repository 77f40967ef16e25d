"""Savings in sentences to act on: what to do, what it saves, what becomes of body and weight."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bagwright.model.money import Money
from bagwright.model.saving import Outcome, Reached, Saving
from bagwright.model.source import Band
from bagwright.units import print_length, print_mass
from bagwright.workflows.savings import BagSavings

_SAME_G = 1.5
_SAME_MIN = 0.5
_SAME_SHARE = 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class SavingSaid:
    """One saving told part by part; `says` is all of it in one sentence."""

    does: tuple[str, ...]
    effect: str
    price: str
    body: str
    weight: str

    @property
    def says(self) -> str:
        """What to do, and then what it does."""
        return f"{join_words(self.does)}: {self.effect}. {self.price} {self.body}; {self.weight}."


def saving_said(found: BagSavings, saving: Saving) -> SavingSaid:
    """The saving against the bag as it is."""
    now, then = found.savings.now, saving.outcome
    return SavingSaid(
        does=tuple(change.does for change in found.of(saving.changes)),
        effect=_effect(now, then),
        price=_price(now, then),
        body=_body(found, now, then),
        weight=_weight(found, now, then),
    )


def join_words(words: Sequence[str]) -> str:
    """Several things to do as one.

    >>> join_words(["Use felt", "Leave out the pocket", "Make 5 at a time"])
    'Use felt; leave out the pocket; and make 5 at a time'
    """
    first, *others = words or ("Change nothing",)
    lower = [one[:1].lower() + one[1:] for one in others]
    return "; ".join([first, *lower[:-1], *(f"and {one}" for one in lower[-1:])])


def _effect(now: Outcome, then: Outcome) -> str:
    money, minutes = now.cost - then.cost, now.minutes - then.minutes
    told_money, told_minutes = _told(money), _minutes(minutes)
    if money.for_display() >= 0 and minutes >= -_SAME_MIN:
        saved = [one for one in (told_money, told_minutes) if one]
        return f"saves {' and '.join(saved)} a bag" if saved else "costs and takes the same"
    if money.for_display() < 0 and minutes < -_SAME_MIN:
        return f"costs {told_money} and takes {told_minutes} more a bag"
    if money.for_display() < 0:
        return (
            f"saves {told_minutes} a bag, for {told_money} more" if told_minutes else f"costs {told_money} more a bag"
        )
    if not told_money:
        return f"takes {told_minutes} more a bag"
    return f"saves {told_money} a bag, for {told_minutes} more work"


def _told(money: Money) -> str:
    size = Money(abs(money.amount), money.currency)
    return size.said() if size.for_display() else ""


def _minutes(minutes: float) -> str:
    return f"{abs(minutes):.0f} min" if abs(minutes) >= _SAME_MIN else ""


def _price(now: Outcome, then: Outcome) -> str:
    less = now.price - then.price
    if not less.for_display():
        return f"The price that pays you stays at {now.price.said()}."
    way = "falls" if less.amount > 0 else "rises"
    return f"The price that pays you {way} by {_told(less)}, to {then.price.said()}."


def _body(found: BagSavings, now: Outcome, then: Outcome) -> str:
    """The panel that loses most; or else the one that gains most."""
    names = {panel.panel_key: panel.name for panel in found.view.answer.panels}
    ratios = {
        key: then.stands_mm[key].low / band.low
        for key, band in now.stands_mm.items()
        if key in then.stands_mm and band.low > 0
    }
    if not ratios or all(abs(ratio - 1) < _SAME_SHARE for ratio in ratios.values()):
        return "As firm as now"
    least = min(ratios, key=lambda key: ratios[key])
    key = least if ratios[least] < 1 - _SAME_SHARE else max(ratios, key=lambda key: ratios[key])
    way = "less firm" if ratios[key] < 1 else "firmer"
    bands = [_band(found, outcome.stands_mm[key]) for outcome in (then, now)]
    return f"{names[key]} {way}: a strip of it stands {bands[0]} high, {bands[1]} now"


def _band(found: BagSavings, band: Band) -> str:
    room = found.view.workroom
    low, high = (print_length(mm, room.units, fraction=room.fraction).text for mm in (band.low, band.high))
    if low == high:
        return low
    number, _, unit = low.rpartition(" ")
    return f"{number if high.endswith(unit) else low} to {high}"


def _weight(found: BagSavings, now: Outcome, then: Outcome) -> str:
    more = then.mass_g - now.mass_g
    if abs(more) < _SAME_G:
        return "about as heavy"
    return f"{print_mass(abs(more), found.view.workroom.units).text} {'heavier' if more > 0 else 'lighter'}"


def refused_said(found: BagSavings, key: str) -> str:
    """A change that is refused, and what is missing if that is why.

    What loses the stance lacks nothing, so nothing more is told of it.
    """
    does, lacks = found.changes[key].does, found.lacks.get(key, ())
    return f"{does}: {lacks[0].words(with_allowed=False)}" if lacks else does


def stale_said(found: BagSavings, saving: Saving) -> tuple[str, ...]:
    """Prices that only this saving counts on and that are too old: it may save less than it says."""
    return tuple(problem.words(with_allowed=False) for problem in found.stale_of.get(saving.changes, ()))


def search_said(found: BagSavings) -> str:
    """How far the search for the best together went."""
    tried = found.savings.tried
    if found.savings.is_proven:
        return "No other changes of these, taken together, come to less."
    return f"Of the {tried} ways tried this is the best; others were not tried."


def reached_said(found: BagSavings, reached: Reached) -> str:
    """Whether the price is reached, how, and how sure that is."""
    target, now = reached.target.said(), found.savings.now.price.said()
    if reached.found and not reached.found.changes:
        return f"The bag pays you at {now} already, which is not over {target}."
    if reached.found:
        count = len(reached.found.changes)
        how = "One change brings" if count == 1 else f"{count} changes together bring"
        price = reached.found.outcome.price.said()
        sure = (
            "No smaller set of changes does, and none as small changes the bag less."
            if reached.is_proven
            else f"Found among {reached.tried} ways tried; fewer changes may do, that is not proven."
        )
        return f"{how} the price that pays you to {price}. {sure}"
    if reached.is_proven:
        return f"None of the changes on this page, alone or together, reaches {target}: that is proven."
    return f"No way to {target} was found among {reached.tried} ways tried. That is not proven: others were not tried."
