"""Turning a page value into HTML."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape
from markupsafe import Markup, escape
from starlette.responses import HTMLResponse

_FRACTION = re.compile(r"(?<![\d/])(\d{1,3}/\d{1,3})(?![\d/])")


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
    """Escaped text whose fractions are set as fractions.

    >>> fractions("13 3/4 in < 1 yd")
    Markup('13 <span class="fraction">3/4</span> in &lt; 1 yd')
    """
    return Markup(_FRACTION.sub(r'<span class="fraction">\1</span>', str(escape(text))))


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
