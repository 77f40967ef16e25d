"""The page that asks for the password, where bagwright is opened to a network."""

from __future__ import annotations

from dataclasses import dataclass

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from bagwright.web.door import COOKIE, SIGN_IN, Door, place_within
from bagwright.web.form_reading import text_of
from bagwright.web.frame import frame
from bagwright.web.pages import Frame
from bagwright.web.served import desk_of
from bagwright.web.templates_at import render


@dataclass(frozen=True, slots=True, kw_only=True)
class SignInPage:
    """`to`: where she was going; `fault`: why she was not let in."""

    frame: Frame
    to: str
    fault: str


def routes_of(door: Door) -> list[Route]:
    """The page's routes over one door."""

    def show(request: Request) -> Response:
        return _shown(request, request.query_params.get("to", ""), "", 200)

    async def sign_in(request: Request) -> Response:
        form = await request.form()
        to = text_of(form, "to")
        token = door.try_password(text_of(form, "password"))
        if not token and door.is_closed:
            return _shown(request, to, "Too many tries. Wait a minute, then try again.", 429)
        if not token:
            return _shown(request, to, "That is not the password. It stands where bagwright was started.", 401)
        answer = RedirectResponse(place_within(to), status_code=303)
        answer.set_cookie(COOKIE, token, httponly=True, samesite="strict")
        return answer

    return [Route(SIGN_IN, show), Route(SIGN_IN, sign_in, methods=["POST"])]


def _shown(request: Request, to: str, fault: str, status: int) -> Response:
    page = SignInPage(frame=frame("Sign in", "", is_demo=desk_of(request).is_demo), to=place_within(to), fault=fault)
    return render("sign_in.html", page, status=status)
