"""What a form of bag is, and what can be added to one."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from bagwright.drafting.making import Making
from bagwright.drafting.measurements import Choice, MeasurementSpec, Sizes
from bagwright.errors import Problem
from bagwright.model.material import MaterialKind


@dataclass(frozen=True, slots=True, kw_only=True)
class RoleSpec:
    """A stack of materials (or a bought part, `is_notion`) that a bag of this form is made of.

    `kinds` are what its main layer may be, the usual ones first; of several that suit, a new bag takes one whose name
    holds `word`. Only roles that the drafted pattern uses need filling.
    """

    key: str
    name: str
    meaning: str
    kinds: tuple[MaterialKind, ...]
    is_notion: bool = False
    word: str = ""


@dataclass(frozen=True, slots=True)
class FitRule:
    """A rule between measurements; it is asked only when each of `keys` is fine by itself."""

    keys: tuple[str, ...]
    judge: Callable[[Sizes], Problem | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class AddOn:
    """Something that can be added to a form: a pocket, a strap, a fastening.

    The first of `measurements` is the count that adds it; `add` is called only if that is not 0, with complete,
    accepted sizes. `rules` are asked then, too.
    """

    key: str
    name: str
    measurements: tuple[MeasurementSpec, ...]
    add: Callable[[Making, Sizes], Making]
    rules: tuple[FitRule, ...] = ()
    roles: tuple[RoleSpec, ...] = ()

    @property
    def chosen(self) -> Choice:
        """That it is added at all."""
        return Choice(self.measurements[0].key)


@dataclass(frozen=True, slots=True, kw_only=True)
class FormSpec:
    """A form of bag: what it asks for itself, what can be added, and how it is begun.

    `begin` takes a complete, accepted set of measurements; `draft_bag` sees to that.
    """

    key: str
    name: str
    summary: str
    own_measurements: tuple[MeasurementSpec, ...]
    begin: Callable[[Sizes], Making]
    own_rules: tuple[FitRule, ...] = ()
    own_roles: tuple[RoleSpec, ...] = ()
    add_ons: tuple[AddOn, ...] = ()

    @property
    def measurements(self) -> tuple[MeasurementSpec, ...]:
        """Its own, then those of everything that can be added."""
        return (*self.own_measurements, *(spec for add_on in self.add_ons for spec in add_on.measurements))

    @property
    def roles(self) -> tuple[RoleSpec, ...]:
        """Every role once."""
        roles = (*self.own_roles, *(role for add_on in self.add_ons for role in add_on.roles))
        return tuple({role.key: role for role in reversed(roles)}[key] for key in dict.fromkeys(r.key for r in roles))

    def defaults(self) -> dict[str, float]:
        """Every measurement at its default, brought into what the others leave."""
        sizes = {spec.key: spec.default_mm for spec in self.measurements}
        for spec in self.measurements:
            sizes[spec.key] = spec.starting_mm(sizes)
        return sizes

    def used(self, sizes: Sizes) -> dict[str, float]:
        """The sizes that this bag is made by: without those of what is not added or not chosen."""
        return {spec.key: sizes[spec.key] for spec in self.measurements_used(sizes)}

    def measurements_used(self, sizes: Sizes) -> Iterable[MeasurementSpec]:
        """The measurements that apply to a bag of these sizes, those of what is added among them."""
        for spec in (
            *self.own_measurements,
            *(s for add_on in self.add_ons_chosen(sizes) for s in add_on.measurements),
        ):
            if spec.applies(sizes):
                yield spec

    def add_ons_chosen(self, sizes: Sizes) -> Iterable[AddOn]:
        """What these sizes add, in the form's own order."""
        return (add_on for add_on in self.add_ons if add_on.chosen.is_made(sizes))

    def rules_for(self, sizes: Sizes) -> Iterable[FitRule]:
        """The form's rules, and those of what is added."""
        yield from self.own_rules
        for add_on in self.add_ons_chosen(sizes):
            yield from add_on.rules
