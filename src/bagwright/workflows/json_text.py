"""JSON text before any contract reads it: its encoding, how much it holds, and names given twice."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from bagwright.errors import FaultyInput, Problem

MOST_NAMES: Final = 50_000
"""Names of fields in one file, all objects together; each of them may turn out to be a fault that takes memory."""
MOST_PARTS: Final = 400_000
"""Lists and objects in one file: every corner of an outline is one."""
_BOM = b"\xef\xbb\xbf"
Step = str | int


@dataclass(frozen=True, slots=True)
class JsonText:
    """`text` is UTF-8 without a byte order mark. `tree` is its value, None if it is not JSON: the contract says why.

    `repeats` says which names stand twice in one object; `tree` holds the last of them.
    """

    text: bytes
    tree: object
    repeats: tuple[Problem, ...]


def opened(data: bytes) -> JsonText:
    """Look into JSON from outside. Raises `FaultyInput` if it is empty, not UTF-8 or has far too many fields.

    >>> [repeat.place for repeat in opened(b'{"pieces": [{"id": "a", "id": "b"}]}').repeats]
    ['pieces[0].id']
    """
    text = data.removeprefix(_BOM)
    try:
        plain = text.decode("utf-8")
    except UnicodeDecodeError as error:
        line = text.count(b"\n", 0, error.start) + 1
        raise _refusal(f"is not written in UTF-8 (line {line})", 'Save it as "UTF-8".') from None
    if not plain.strip():
        raise _refusal("is empty", "Put the values in; docs/json.md has examples.")
    if plain.count("[") + plain.count("{") > MOST_PARTS:
        raise _refusal(f"has more than {MOST_PARTS} lists and objects", "Split it, or give outlines fewer corners.")
    parse = _Parse()
    try:
        tree = json.loads(plain, object_pairs_hook=parse.as_object, parse_int=float)
    except (ValueError, RecursionError):
        return JsonText(text, None, ())
    finally:
        parse.refuse_flood()
    return JsonText(text, tree, tuple(parse.repeats(tree)))


class _Parse:
    """Sees every object of one text while it is read."""

    def __init__(self) -> None:
        self._names = 0
        self._repeated: dict[int, list[str]] = {}
        self._kept: list[object] = []  # so that no identity is used again

    def as_object(self, pairs: list[tuple[str, object]]) -> dict[str, object]:
        value = dict(pairs)
        self._names += len(pairs)
        if self._names > MOST_NAMES:
            raise ValueError("too many names")
        if len(value) < len(pairs):
            times = Counter(name for name, _ in pairs)
            self._repeated[id(value)] = [name for name, count in times.items() if count > 1]
            self._kept.append(value)
        return value

    def refuse_flood(self) -> None:
        if self._names > MOST_NAMES:
            raise _refusal(f"has more than {MOST_NAMES} fields", "Split it, or remove what is not in docs/json.md.")

    def repeats(self, tree: object) -> Iterator[Problem]:
        if not self._repeated:
            return
        for steps, value in _objects_in(tree, ()):
            for name in self._repeated.get(id(value), ()):
                place = place_of([*steps, name])
                remedy = "Keep one of them."
                yield Problem(
                    place=place, value="", what="is given more than once", allowed="each field once", remedy=remedy
                )


def _objects_in(tree: object, steps: tuple[Step, ...]) -> Iterator[tuple[tuple[Step, ...], dict[str, object]]]:
    if isinstance(tree, dict):
        yield steps, tree
        for name, value in tree.items():
            yield from _objects_in(value, (*steps, name))
    elif isinstance(tree, list):
        for number, value in enumerate(tree):
            yield from _objects_in(value, (*steps, number))


def place_of(steps: list[Step]) -> str:
    """A path into a JSON value, as one reads it.

    >>> place_of(["pieces", 2, "outline"])
    'pieces[2].outline'
    """
    named = (f"[{step}]" if isinstance(step, int) else f".{shown(step)}" for step in steps)
    return "".join(named).removeprefix(".")


_LONGEST_SHOWN = 60
_LARGEST_WHOLE = 1e15


def shown(value: object) -> str:
    """A value as the maker wrote it, cut short; lists and objects only by their size.

    >>> shown(True), shown([1, 2]), shown("x" * 70) == "x" * 60 + "..."
    ('true', 'a list of 2', True)
    """
    if isinstance(value, list):
        return f"a list of {len(value)}"
    if isinstance(value, dict):
        return "an object"
    if isinstance(value, float) and abs(value) < _LARGEST_WHOLE and value == int(value):
        value = int(value)
    text = value if isinstance(value, str) else json.dumps(value)
    return text if len(text) <= _LONGEST_SHOWN else text[:_LONGEST_SHOWN] + "..."


def _refusal(what: str, remedy: str) -> FaultyInput:
    allowed = "JSON in UTF-8, up to 5 MB"
    return FaultyInput([Problem(place="file", value="", what=what, allowed=allowed, remedy=remedy)])
