"""What was typed on the page of the stash, and the fields of its forms."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from bagwright.errors import Problem
from bagwright.model.stash import StashPiece
from bagwright.web.pages import Field, Option


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedStash:
    """What was typed and refused; `of` names the form: "find", "new" or the id of a piece. `at`: a piece to show."""

    of: str = ""
    texts: Mapping[str, str] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()
    stale: str = ""
    said: str = ""
    at: str = ""
    gone: tuple[StashPiece, int] | None = None


@dataclass(frozen=True, slots=True)
class Asks:
    """Makes the fields of one form, with what was typed in it and what is wrong with that."""

    form: str
    texts: Mapping[str, str]
    typed: TypedStash

    def field(self, name: str, label: str, hint: str, *, given: str = "", choices: tuple[Option, ...] = ()) -> Field:
        is_here = self.typed.of == self.form
        texts = self.typed.texts if is_here else self.texts
        problem = next((p.words() for p in self.typed.problems if p.place == name), "") if is_here else ""
        value = texts.get(name, given)
        chosen = tuple(Option(one.value, one.label, one.value == value) for one in choices)
        return Field(
            id=f"{self.form}-{name}",
            name=name,
            label=label,
            value=value,
            hint=hint,
            problem=problem,
            choices=chosen,
        )
