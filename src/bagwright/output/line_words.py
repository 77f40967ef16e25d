"""Words in a drawing that say what a line is: "cut", "stitch line", "grain"."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping

from bagwright.output.drawn_lines import Meaning

MEANINGS: Mapping[str, Meaning | None] = {
    "cut": Meaning.CUT,
    "cutting": Meaning.CUT,
    "stitch": Meaning.STITCH,
    "stitching": Meaning.STITCH,
    "sew": Meaning.STITCH,
    "sewing": Meaning.STITCH,
    "seamline": Meaning.STITCH,
    "fold": Meaning.FOLD,
    "grain": Meaning.GRAIN,
    "grainline": Meaning.GRAIN,
    "notch": Meaning.NOTCH,
    "notches": Meaning.NOTCH,
    "mark": Meaning.MARK,
    "marks": Meaning.MARK,
    "placement": Meaning.MARK,
    "measure": None,
    "dimension": None,
    "ruler": None,
    "guide": None,
}
"""What a text makes of a line if it holds no other words; None: it is no line of a piece."""
_AND = frozenset({"line", "lines", "layer"})
_WORD = re.compile(r"[A-Za-z]+")
_LONGEST = 60


def words_of_meaning(texts: Iterable[str]) -> Iterator[str]:
    """The words of `MEANINGS` in texts that say nothing else: "Front, cut 2" is a name and says nothing of the line.

    >>> list(words_of_meaning(["Front, cut 2", "Cut line", "stitch_2"]))
    ['cut', 'stitch']
    """
    for text in texts:
        words = [word.lower() for word in _WORD.findall(text[:_LONGEST])]
        if all(word in MEANINGS or word in _AND for word in words):
            yield from (word for word in words if word in MEANINGS)
