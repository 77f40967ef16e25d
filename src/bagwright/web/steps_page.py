"""The order of work with a picture for each step, to stand beside the machine."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from bagwright.model.work_step import WorkStep
from bagwright.web.frame import frame
from bagwright.web.served import desk_of
from bagwright.web.steps_pages import StepsPage
from bagwright.web.templates_at import render
from bagwright.web.wording import Wording
from bagwright.web.work_views import work_stages
from bagwright.workflows.desk import BagView, view_bag
from bagwright.workflows.step_drawings import HOW_STEPS_ARE_DRAWN, step_picture

_PICTURE_MM = 110.0


def show_steps(request: Request) -> Response:
    """Every step of a bag."""
    return render("steps.html", steps_page(view_bag(desk_of(request), request.path_params["bag_id"])))


def steps_page(view: BagView) -> StepsPage:
    """The page of one bag; no steps before every part is made of something."""
    answer = view.answer

    def draw(step: WorkStep) -> str:
        return step_picture(answer.pattern, step, width_mm=_PICTURE_MM)

    return StepsPage(
        frame=frame(f"{answer.bag.name}: step by step", "/", is_demo=view.is_demo),
        bag_id=answer.bag.id,
        bag_name=answer.bag.name,
        stages=work_stages(answer.work, answer.steps, Wording(view.workroom), draw=draw),
        how=HOW_STEPS_ARE_DRAWN,
    )


ROUTES = [Route("/bags/{bag_id}/steps", show_steps)]
