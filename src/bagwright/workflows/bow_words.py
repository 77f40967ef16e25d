"""How a held panel bows, in a sentence."""

from __future__ import annotations

from collections.abc import Callable

from bagwright.model.body import Stance
from bagwright.model.held_panel import Bow, HeldPanelBody
from bagwright.model.source import Band

NOT_COUNTED = "Not counted: what is in the bag, pull on the straps, creases, damp."
_TOP, _MIDDLE = 0.85, 0.35
_LEAST_TOLD_MM = 0.5
Say = Callable[[float], str]
"""Prints a length in mm in her units."""


def bow_sentence(name: str, body: HeldPanelBody, say: Say) -> str:
    """What the panel does between its neighbours and by how much, at the most; `name` without its article.

    >>> flat = Bow(bow_mm=0, sink_mm=0, at_share=1, folds=False, section=())
    >>> deep = Bow(bow_mm=12, sink_mm=3, at_share=1, folds=False, section=())
    >>> body = HeldPanelBody(name="", width_mm=300, height_mm=200, weight_multiplier=Band(0.8, 1.2),
    ...                      flat_height_mm=Band(180, 220), shape=(), least=deep, most=flat)
    >>> bow_sentence("front", body, lambda mm: f"{mm:g} mm")
    'The front may stay flat, or bow by up to 12 mm at its top edge; that edge then sinks by up to 3 mm.'
    """
    if body.stance is Stance.STANDS:
        return f"The {name} stands flat, held by its sides and base."
    where, top = _place(body.least)
    does = "may stay flat, or bow" if body.stance is Stance.LEANS else "bows"
    bow = _reach(body.least.bow_mm, body.bow_mm, body, say)
    sink = _reach(body.least.sink_mm, body.sink_mm, body, say)
    gives = " if its side seams give way" if body.least.folds else ""
    drop = "" if body.sink_mm.high < _LEAST_TOLD_MM else f"; {top} then sinks by {sink}"
    return f"The {name} {does} by {bow} {where}{gives}{drop}."


def told_span(low: str, high: str) -> str:
    """Two ends as they are told; one if they print alike.

    >>> told_span("1/4 in", "3/8 in"), told_span("2 mm", "2 mm")
    ('1/4 in to 3/8 in', '2 mm')
    """
    return low if low == high else f"{low} to {high}"


def _reach(at_least_hold_mm: float, band: Band, body: HeldPanelBody, say: Say) -> str:
    """The most it comes to; where it folds, what it has come to by then, held the least."""
    return f"{say(at_least_hold_mm)} or more" if body.least.folds else f"up to {say(band.high)}"


def _place(bow: Bow) -> tuple[str, str]:
    """Where it bows most, and what sinks there."""
    if bow.at_share >= _TOP:
        return "at its top edge", "that edge"
    return ("at about half its height" if bow.at_share >= _MIDDLE else "low down"), "the top edge"
