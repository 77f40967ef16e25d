"""Just enough HTML reading for tests: fields of forms, texts, and whatever could run."""

from __future__ import annotations

import re
from html.parser import HTMLParser


def said(html: str) -> str:
    """The page without the marks that keep a number, its fraction and its unit on one line."""
    for _ in ("fraction", "size around it"):
        html = re.sub(r'<span class="(?:fraction|size)">([^<]*)</span>', r"\1", html)
    return html


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.texts: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.texts.append(data)


def read(html: str) -> _Reader:
    reader = _Reader()
    reader.feed(html)
    reader.close()
    return reader


def fields(html: str, form_action: str) -> dict[str, str]:
    """Names and values of all inputs and chosen options of the form that posts to `form_action`."""
    reader, values, inside, select = read(html), {}, False, ""
    for tag, attributes in reader.tags:
        if tag == "form":
            inside = attributes.get("action") == form_action
        elif inside and tag == "input" and attributes.get("name"):
            values[str(attributes["name"])] = attributes.get("value") or ""
        elif inside and tag == "select":
            select = str(attributes["name"])
        elif inside and tag == "option" and (select not in values or "selected" in attributes):
            values[select] = attributes.get("value") or ""
    return values


def invalid_fields(html: str) -> set[str]:
    """Names of the fields that are marked as faulty."""
    return {str(a.get("name")) for tag, a in read(html).tags if a.get("aria-invalid") == "true"}


def ids(html: str) -> list[str]:
    return [str(attributes["id"]) for _, attributes in read(html).tags if attributes.get("id")]


def what_could_run(html: str) -> list[str]:
    """Every script that is not a file of ours, and every handler in an attribute."""
    found = []
    for tag, attributes in read(html).tags:
        if tag == "script" and not str(attributes.get("src", "")).startswith("/static/"):
            found.append(f"<{tag} {attributes}>")
        if tag in ("iframe", "object", "embed", "foreignobject", "base", "meta") and "http-equiv" in attributes:
            found.append(f"<{tag} {attributes}>")
        found += [f"{tag} {name}" for name in attributes if name.startswith("on")]
        found += [
            f"{tag} {name}={value}"
            for name, value in attributes.items()
            if str(value).strip().lower().startswith(("javascript:", "data:text"))
        ]
    return found


def pictures(html: str) -> list[str]:
    """Every drawing on the page, with those within it."""
    found, depth, start = [], 0, 0
    for tag in re.finditer(r"<svg\b|</svg>", html):
        if tag[0] == "</svg>":
            depth -= 1
            if depth == 0:
                found.append(html[start : tag.end()])
        else:
            start = start if depth else tag.start()
            depth += 1
    return found
