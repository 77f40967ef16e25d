"""Turning a page value into HTML."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape
from markupsafe import Markup, escape
from starlette.responses import HTMLResponse

_FRACTION = re.compile(r"(?<![\d/])(\d{1,3}/\d{1,3})(?![\d/])")
_NUMBER = r"(?:\d[\d,]*(?:\.\d+)?(?: \d{1,3}/\d{1,3})?|\d{1,3}/\d{1,3})"
_UNIT = r"(?: (?:in|yd|ft|mm|cm|m|m²|g|kg|oz|lb|oz/yd²|g/m²|gsm|h|min|minutes|s|%|°C|°F))(?![\w/²])"
_SIZE = re.compile(
    rf"(?<![\w./,])(?:{_NUMBER}(?: x {_NUMBER})*{_UNIT}(?: {_NUMBER}{_UNIT})*|\d+ \d{{1,3}}/\d{{1,3}}(?![\d/]))"
)


def render(template: str, page: object, *, status: int = 200) -> HTMLResponse:
    """The page as a response; the template sees it as `page`."""
    return HTMLResponse(render_text(template, page), status_code=status)


def render_text(template: str, page: object) -> str:
    """The page as HTML text."""
    return _environment().get_template(template).render(page=page)


def templates_ready() -> Iterator[None]:
    """Get every template ready to be rendered, one after the other."""
    for name in _environment().list_templates():
        _environment().get_template(name)
        yield


def fractions(text: str) -> Markup:
    """Escaped text whose fractions are set as fractions, and whose numbers keep their units on their line.

    Of the two numbers of a needle, the first is the larger one: they stay as they are.

    >>> fractions("3/4 < 1 yd"), fractions("100/16")
    (Markup('<span class="fraction">3/4</span> &lt; <span class="size">1 yd</span>'), Markup('100/16'))
    """
    kept = _SIZE.sub(r'<span class="size">\g<0></span>', str(escape(text)))
    return Markup(_FRACTION.sub(_set, kept))


def _set(found: re.Match[str]) -> str:
    top, bottom = found[1].split("/")
    return f'<span class="fraction">{found[1]}</span>' if int(top) < int(bottom) else found[1]


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("bagwright.web"),
        autoescape=select_autoescape(),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["fractions"] = fractions
    return environment
