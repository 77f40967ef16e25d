"""Faults: `Problem` for what is wrong in the maker's data, exceptions with one root for the rest."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One fault in what the maker typed or sent, in words she can act on.

    `place` names the field (``width_mm``, ``pieces[2].outline``), `value` is what was given,
    `what` says what is wrong with it, `allowed` what would be accepted, `remedy` what to do.
    """

    place: str
    value: str
    what: str
    allowed: str
    remedy: str

    def sentence(self) -> str:
        """All of it on one line.

        >>> Problem(place="width_mm", value="-3", what="is negative", allowed="1 to 3000 mm",
        ...         remedy="Type the cloth's width.").sentence()
        'width_mm: "-3" is negative. Allowed: 1 to 3000 mm. Type the cloth\\'s width.'
        """
        given = f'"{self.value}" ' if self.value else ""
        return " ".join(f"{self.place}: {given}{self.what}. Allowed: {self.allowed}. {self.remedy}".split())

    def words(self, *, with_allowed: bool = True) -> str:
        """What to say where the place is plain to see, as beside its field.

        >>> Problem(place="width_mm", value="-3", what="is negative", allowed="1 to 3000 mm",
        ...         remedy="Type the cloth's width.").words()
        "-3 is negative. Allowed: 1 to 3000 mm. Type the cloth's width."
        """
        fault = f"{self.value} {self.what}".strip()
        allowed = f" Allowed: {self.allowed}." if with_allowed else ""
        return f"{fault[:1].upper()}{fault[1:]}.{allowed} {self.remedy}".strip()


class BagwrightError(Exception):
    """Root of every exception that bagwright raises on purpose."""


class FaultyInput(BagwrightError, ValueError):
    """The maker's data has one or more faults; nothing was changed."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(problem.sentence() for problem in self.problems))


class NoAnswer(BagwrightError):
    """The data is sound, but what was asked for does not exist (cloth too narrow in every turn, say)."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        super().__init__(problem.sentence())


class BrokenPromise(BagwrightError, RuntimeError):
    """Our own fault: a result failed its independent check, or a value broke its own rules."""


class StaleSave(BagwrightError):
    """What was to be saved has been saved by someone else in the meantime (another tab); nothing was changed."""

    def __init__(self, what: str, *, expected_version: int, kept_version: int) -> None:
        self.what, self.expected_version, self.kept_version = what, expected_version, kept_version
        super().__init__(
            f"{what} was changed elsewhere: this is version {expected_version}, kept is version {kept_version}. "
            "Load it again and repeat your change."
        )


class NotKept(BagwrightError, LookupError):
    """The store keeps nothing under that id."""

    def __init__(self, what: str) -> None:
        self.what = what
        super().__init__(f"{what} is not in the store.")


class StoreRefused(BagwrightError):
    """The file of the store cannot be used: damaged, foreign, or written by a newer bagwright. It was left as it is."""
