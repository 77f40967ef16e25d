"""The figure of the bag folded up, with the links that turn it."""

from __future__ import annotations

from urllib.parse import quote

from markupsafe import Markup

from bagwright.model.bag import Workroom
from bagwright.web.folded_pages import FoldedView, TurnLink
from bagwright.workflows.answer import BagAnswer
from bagwright.workflows.fold_up import (
    Viewpoint,
    fold_faults_said,
    folded_picture,
    folded_words,
    is_remembered,
    unplaced_said,
    usual_viewpoint,
)
from bagwright.workflows.pictures import sketch_picture

TURN_STEP_DEG, TILT_STEP_DEG = 30.0, 20.0


def folded_view(answer: BagAnswer, workroom: Workroom, wanted: Viewpoint | None) -> FoldedView:
    """The bag from the wanted side.

    If none is asked for and folding would take a while, the sketch stands in: a script asks for the rest afterwards.
    """
    pattern, bag_id = answer.pattern, quote(answer.bag.id)
    view = wanted or usual_viewpoint(pattern)
    is_ready = wanted is not None or is_remembered(pattern)
    return FoldedView(
        src=f"/bags/{bag_id}/folded",
        href=_href(bag_id, view),
        turn=f"{view.turn_deg:g}",
        tilt=f"{view.tilt_deg:g}",
        svg=Markup(folded_picture(pattern, view, units=workroom.units)) if is_ready else Markup(),
        stand_in=Markup() if is_ready else Markup(sketch_picture(pattern, id_prefix="sketch")),
        words=folded_words(pattern, units=workroom.units, fraction=workroom.fraction) if is_ready else "",
        notes=(*fold_faults_said(pattern), *unplaced_said(pattern)) if is_ready else (),
        steps=_steps(bag_id, view),
    )


def _steps(bag_id: str, view: Viewpoint) -> tuple[TurnLink, ...]:
    moves = {
        "Turn left": view.moved(turn_deg=-TURN_STEP_DEG),
        "Turn right": view.moved(turn_deg=TURN_STEP_DEG),
        "Higher": view.moved(tilt_deg=TILT_STEP_DEG),
        "Lower": view.moved(tilt_deg=-TILT_STEP_DEG),
    }
    return tuple(
        TurnLink(label, _href(bag_id, to), f"{to.turn_deg:g}", f"{to.tilt_deg:g}") for label, to in moves.items()
    )


def _href(bag_id: str, view: Viewpoint) -> str:
    return f"/bags/{bag_id}?turn={view.turn_deg:g}&tilt={view.tilt_deg:g}#folded"
