"""What the front and back do between their neighbours, as a page and as a part of the bag's page."""

from __future__ import annotations

from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from bagwright.errors import FaultyInput
from bagwright.model.held_panel import Bow
from bagwright.model.source import Band
from bagwright.web.frame import frame
from bagwright.web.held_pages import HeldPage, HeldPanelView
from bagwright.web.lacks import Lack, lacks_of
from bagwright.web.pages import Column, Row, Table
from bagwright.web.served import desk_of
from bagwright.web.templates_at import render
from bagwright.web.wording import Wording
from bagwright.workflows.desk import BagView, view_bag
from bagwright.workflows.held_view import HeldView, held_views

_LEFT_OUT = (
    "The panel is taken as a thin flat rectangle: the side seams keep its sides in line, the base its foot. "
    "At the least they turn like hinges; at the most they hold square and pull the sides of the bag along.",
    "How deep it bows is the most to reckon with: as if the cloth gave way slantwise and the side seams came in. Felt, "
    "foam and fused layers, and firm side seams, leave less of it: down to a few times the panel's thickness.",
    "Left out: what is in the bag, pull on the straps, creases, damp, zips and bindings at the top edge, pockets, "
    "round corners, darts and openings. A layer that ends at the net line counts as if it reached all over, and "
    "so does one that covers a zone if that is the front and back or more than half of its piece; others do not count.",
)
_NONE = (
    "This picture is for the flat front and back of a bag that stands. Round walls, flaps and what lies flat in use "
    "have none: go by the strip of each panel."
)


def show_held(request: Request) -> Response:
    """The held panels of a bag."""
    desk = desk_of(request)
    return render("held.html", held_page(view_bag(desk, request.path_params["bag_id"])))


def held_page(view: BagView) -> HeldPage:
    """The page of one bag's held panels; what is missing is told in a line."""
    say, bag, none = Wording(view.workroom), view.answer.bag, _NONE
    views: tuple[HeldView, ...] = ()
    lacks: tuple[Lack, ...] = ()
    try:
        views = held_views(view)
    except FaultyInput as fault:
        none, lacks = "", lacks_of(fault.problems, bag.id)
    return HeldPage(
        frame=frame(f"{bag.name}: stands or slumps", "/", is_demo=view.is_demo),
        bag_id=bag.id,
        bag_name=bag.name,
        panels=tuple(_panel(one, say) for one in views),
        none="" if views else none,
        lacks=lacks,
        left_out=_LEFT_OUT if views else (),
    )


def _panel(one: HeldView, say: Wording) -> HeldPanelView:
    strip = say.band(Band(*one.strip_mm))
    return HeldPanelView(
        name=one.name,
        svg=Markup(one.svg),
        sentence=one.sentence,
        strip=f"A strip of the same layers, cut free, stands {strip} high by itself; the panel is "
        f"{say.length(one.body.height_mm)} high. Firm side seams, felt and foam leave less of a bow.",
        numbers=_numbers(one, say),
    )


def _numbers(one: HeldView, say: Wording) -> Table:
    body = one.body
    least, most = body.least, body.most
    times = body.weight_multiplier
    rows = (
        Row(("Bears, in times its own weight", f"{times.low:.2g}", f"{times.high:.2g}")),
        Row(("Would stay flat up to", say.length(body.flat_height_mm.low), say.length(body.flat_height_mm.high))),
        Row(("Bows by up to", _told(least, least.bow_mm, say), _told(most, most.bow_mm, say))),
        Row(("Its top sinks by up to", _told(least, least.sink_mm, say), _told(most, most.sink_mm, say))),
    )
    columns = (Column("What"), Column("Least body and hold", True), Column("Most", True))
    return Table("In numbers", columns, rows, of=one.name)


def _told(bow: Bow, length_mm: float, say: Wording) -> str:
    if bow.folds:
        return "it folds"
    return say.length(length_mm) if bow.bow_mm > 0 else "stays flat"


ROUTES = [Route("/bags/{bag_id}/held", show_held)]
