"""The sentence on how a held panel bows: flat, up to so much, so much or more where it folds."""

from __future__ import annotations

from dataclasses import replace

from bagwright.model.held_panel import Bow, HeldPanelBody
from bagwright.model.source import Band
from bagwright.workflows.bow_words import bow_sentence

FLAT = Bow(bow_mm=0, sink_mm=0, at_share=0.5, folds=False, section=())
SLIGHT = Bow(bow_mm=4, sink_mm=0.3, at_share=0.5, folds=False, section=())
DEEP = Bow(bow_mm=40, sink_mm=15, at_share=0.1, folds=True, section=())


def said(least, most, *, times):
    body = HeldPanelBody(
        name="",
        width_mm=300,
        height_mm=200,
        weight_multiplier=times,
        flat_height_mm=Band(100, 200),
        shape=(),
        least=least,
        most=most,
    )
    return bow_sentence("front", body, lambda mm: f"{mm:g} mm")


def test_what_stands_has_no_numbers():
    assert said(FLAT, FLAT, times=Band(1, 2)) == "The front stands flat, held by its sides and base."


def test_drop_too_slight_to_see_is_not_told():
    sentence = said(SLIGHT, SLIGHT, times=Band(0.8, 0.9))
    assert sentence == "The front bows by up to 4 mm at about half its height."


def test_where_it_folds_the_limpest_case_speaks():
    stiffer = replace(DEEP, bow_mm=30, sink_mm=90, folds=True)
    assert said(DEEP, stiffer, times=Band(0.1, 0.5)) == (
        "The front bows by 40 mm or more low down if its side seams give way; the top edge then sinks by 15 mm or more."
    )
    assert said(DEEP, FLAT, times=Band(0.5, 1.5)).startswith("The front may stay flat, or bow by 40 mm or more")
