"""Which test at the kitchen table tells most about a bag: page values, words, routes."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from bagwright.errors import FaultyInput
from bagwright.model.paying import HomeTest
from bagwright.web.frame import frame
from bagwright.web.lacks import Lack, lacks_of
from bagwright.web.pages import Frame
from bagwright.web.served import desk_of
from bagwright.web.templates_at import render
from bagwright.workflows.desk import view_bag
from bagwright.workflows.paying_bag import PayingForBag, PayingLine, paying_for_bag

_SURE = "Nothing is in doubt here that a test at home would settle."
_FIRM = "No test would change whether a panel stands. How firm it is would be known better."
_NEXT = "Then, if you like:"


@dataclass(frozen=True, slots=True)
class PayingLineView:
    """One test: what to do, what it brings, where to type what was read."""

    says: str
    brings: str
    href: str
    label: str


@dataclass(frozen=True, slots=True)
class PayingView:
    """What is in doubt, the best test, and the next ones."""

    told: str
    best: PayingLineView | None
    others: tuple[PayingLineView, ...] = ()
    others_told: str = ""
    lacks: tuple[Lack, ...] = ()


@dataclass(frozen=True, slots=True)
class PayingPart:
    """paying.html, as a part of another page; `level`: of its heading"""

    paying: PayingView
    level: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PayingPage:
    """measuring.html"""

    frame: Frame
    bag_id: str
    bag_name: str
    paying: PayingView
    level: str = "h2"


def paying_view(found: PayingForBag) -> PayingView:
    """What pays, in words."""
    if not found.lines:
        return PayingView(_SURE, None)
    best, *others = (_line(line, found) for line in found.lines)
    doubt = f"{_listed(found.open_panels)} may stand or slump: the readings allow both." if found.open_panels else _FIRM
    return PayingView(doubt, best, tuple(others), _NEXT if others else "")


def _line(line: PayingLine, found: PayingForBag) -> PayingLineView:
    test, is_pair = line.test, line.test.test is HomeTest.SCRAP
    label = "Type in what you read"
    if is_pair:
        outer, inner = line.material_ids
        href = "/bonds?" + urlencode({"outer": outer, "inner": inner, "held": str(line.held)})
    else:
        href = f"/materials/{line.material_ids[0]}/measure"
    return PayingLineView(f"{test.says}.", _brings(line, found), href, label)


def _brings(line: PayingLine, found: PayingForBag) -> str:
    narrows = f"{line.test.narrows:.0%}".replace("%", " %")
    if not found.open_panels or not line.test.settles:
        return f"That takes about {narrows} off the doubt."
    cases = f"{line.test.settles:.0%}".replace("%", " %")
    return f"In about {cases} of cases you then know whether it stands, and {narrows} of the doubt is gone."


def _listed(names: tuple[str, ...]) -> str:
    return " and ".join([", ".join(names[:-1]), names[-1]]) if len(names) > 1 else names[0]


def show_paying(request: Request) -> Response:
    """The test that tells most: a part of the bag's page, or a page of its own without script."""
    desk = desk_of(request)
    view = view_bag(desk, request.path_params["bag_id"])
    try:
        paying = paying_view(paying_for_bag(view))
    except FaultyInput as fault:
        paying = PayingView("", None, lacks=lacks_of(fault.problems, view.answer.bag.id))
    if "hx-request" in request.headers:
        return render("paying.html", PayingPart(paying, "h2" if "top" in request.query_params else "h3"))
    bag = view.answer.bag
    page = PayingPage(
        frame=frame(f"Measuring for {bag.name}", "/", is_demo=desk.is_demo),
        bag_id=bag.id,
        bag_name=bag.name,
        paying=paying,
    )
    return render("measuring.html", page)


ROUTES = [Route("/bags/{bag_id}/measuring", show_paying)]
