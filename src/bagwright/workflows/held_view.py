"""What the front and back of a bag do between their neighbours: an answer that is kept, and its picture."""

from __future__ import annotations

from dataclasses import dataclass, replace
from threading import Lock

from bagwright.body.held_panel import held_panel_body
from bagwright.model.bag import Workroom
from bagwright.model.held_panel import HeldPanel, HeldPanelBody
from bagwright.output.held_panel import SideView, draw_side_view
from bagwright.output.svg import inline_svg
from bagwright.units import print_length
from bagwright.workflows.bow_words import bow_sentence
from bagwright.workflows.desk import BagView, Remembered
from bagwright.workflows.held_stance import held_panel, is_flat_face
from bagwright.workflows.stance import panel_bodies

_kept: Remembered[HeldPanel, HeldPanelBody] = Remembered(200)
_one_at_a_time = Lock()


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldView:
    """One panel: what it does held, in a sentence and a picture; and the height of a free strip, lowest and highest."""

    name: str
    body: HeldPanelBody
    sentence: str
    svg: str
    strip_mm: tuple[float, float]


def held_views(view: BagView) -> tuple[HeldView, ...]:
    """Every flat upright panel of the bag. Raises `FaultyInput` for layers or readings that are missing.

    Panels solved before are told at once; never more than one is solved at a time, whoever asks.
    """
    answer = view.answer
    strips = {
        one.panel_key: one.body.standing_height_mm
        for one in panel_bodies(answer.pattern, answer.bag.stacks, view.shelf)
    }
    views: list[HeldView] = []
    for panel in answer.pattern.panels:
        if is_flat_face(panel, answer.pattern):
            body = solved(held_panel(panel, answer.pattern, answer.bag.stacks, view.shelf))
            depth_mm = answer.pattern.measurements_mm.get("depth_mm", 0.0)
            sentence = bow_sentence(
                panel.name.lower().replace(" and ", " or "), body, lambda mm: _length(mm, view.workroom)
            )
            views.append(
                HeldView(
                    name=panel.name,
                    body=body,
                    sentence=sentence,
                    svg=_side_view(body, depth_mm, sentence, panel.key),
                    strip_mm=(strips[panel.key].low, strips[panel.key].high),
                )
            )
    return tuple(views)


def solved(panel: HeldPanel) -> HeldPanelBody:
    """The body of the panel, kept by what it is made of and how it is held, whatever it is called."""
    key = replace(panel, name="")
    with _one_at_a_time:
        return _kept.get(key) or _kept.put(key, held_panel_body(key))


def _length(length_mm: float, workroom: Workroom) -> str:
    return print_length(length_mm, workroom.units, fraction=workroom.fraction).text


def _side_view(body: HeldPanelBody, depth_mm: float, words: str, key: str) -> str:
    side = SideView(
        height_mm=body.height_mm,
        depth_mm=depth_mm,
        most=body.least.section,
        stance=body.stance.value,
        words=words,
    )
    return inline_svg(draw_side_view(side), id_prefix=f"held-{key}")
