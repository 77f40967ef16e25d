"""What an SVG calls its lines: their names, and what these say of them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from xml.etree.ElementTree import Element

from bagwright.output.drawn_lines import Meaning
from bagwright.output.line_words import MEANINGS, words_of_meaning
from bagwright.output.svg_tree import kind_of

_SHAPES = "path|rect|circle|ellipse|polygon|polyline|line|g|use|layer|svg"
_GIVEN_BY_SOFTWARE = re.compile(rf"(?:{_SHAPES})[-_\d]*", re.ASCII | re.IGNORECASE)
_LONGEST = 60


@dataclass(frozen=True, slots=True)
class LineWords:
    """Name and meaning of one line."""

    name: str
    meaning: Meaning


@dataclass(frozen=True, slots=True)
class Words:
    """Names and words of the groups around, the nearest first."""

    names: tuple[str, ...] = ()
    words: tuple[str, ...] = ()

    @classmethod
    def of(cls, root: Element) -> Words:
        """Outside of all groups."""
        return cls()

    def inside(self, element: Element) -> Words:
        """The same inside one more group."""
        return Words((*_names(element), *self.names), (*_words(element), *self.words))

    def of_line(self, element: Element) -> LineWords | None:
        """What a line is called and means; None if its words say that it is no line of a piece."""
        inner = self.inside(element)
        for word in inner.words:
            meaning = MEANINGS[word]
            return None if meaning is None else LineWords(_first(inner.names), meaning)
        return LineWords(_first(inner.names), Meaning.UNTOLD)

    def place(self, element: Element) -> str:
        """What a fault calls the element."""
        called = element.get("id") or _first(tuple(_names(element))) or _first(self.names)
        return f"{kind_of(element)} {called[:_LONGEST]!r}" if called else kind_of(element)


def _first(names: tuple[str, ...]) -> str:
    return next(iter(names), "")


def _names(element: Element) -> Iterator[str]:
    """Labels, a title, an id that a person gave."""
    labels = [value for key, value in element.attrib.items() if key.rpartition("}")[2] in ("label", "aria-label")]
    title = next((child.text or "" for child in element if kind_of(child) == "title"), "")
    own_id = element.get("id", "")
    for text in (*labels, title, "" if _GIVEN_BY_SOFTWARE.fullmatch(own_id) else own_id):
        plain = " ".join(text.split())[:_LONGEST]
        if plain and plain.isprintable():
            yield plain


def _words(element: Element) -> Iterator[str]:
    labels = [value for key, value in element.attrib.items() if key.rpartition("}")[2] in ("label", "id")]
    return words_of_meaning((*labels, *element.get("class", "").split()))
