"""The elements of an SVG file from outside: parsed without entities or outside references, within bounds."""

from __future__ import annotations

import io
import re
from xml.etree.ElementTree import Element, ParseError

from defusedxml.common import DefusedXmlException
from defusedxml.ElementTree import iterparse

from bagwright.errors import FaultyInput, Problem

DEEPEST = 100
MOST_ELEMENTS = 50_000
_SVG = "http://www.w3.org/2000/svg"
_UNITS_PX = {"px": 1.0, "in": 96.0, "cm": 96 / 2.54, "mm": 96 / 25.4, "q": 96 / 101.6, "pt": 96 / 72, "pc": 16.0}
"""CSS pixels in one unit: an inch is 96 of them (CSS Values and Units, "Absolute Lengths")."""
_LENGTH = re.compile(r"\s*([-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?)\s*([a-z%]*)\s*", re.ASCII | re.IGNORECASE)


def parse_svg(data: bytes) -> Element:
    """The root element. Raises `FaultyInput` for what is no SVG, or too deep or large to be a pattern."""
    depth = elements = 0
    root: Element | None = None
    try:
        for event, element in iterparse(io.BytesIO(data), events=("start", "end")):
            depth += 1 if event == "start" else -1
            elements += event == "start"
            root = element if root is None else root
            if depth > DEEPEST or elements > MOST_ELEMENTS:
                deep, many = f"is nested more than {DEEPEST} deep", f"has more than {MOST_ELEMENTS} elements"
                what = deep if depth > DEEPEST else many
                raise file_fault(what, "Take out what is no outline, or save it anew as plain SVG.")
    except FaultyInput:
        raise
    except ParseError as error:
        raise file_fault(f"cannot be read as XML: {error}", "Save it anew as plain SVG.") from None
    except DefusedXmlException:
        what = "declares entities or refers to other files, which may be a trap"
        raise file_fault(what, "Save it anew as plain SVG.") from None
    except (LookupError, ValueError) as error:
        raise file_fault(f"is written in letters that cannot be read: {error}", 'Save it as "UTF-8".') from None
    if root is None or kind_of(root) != "svg":
        raise file_fault("is XML, but no SVG drawing", "Save it anew as plain SVG.")
    return root


def file_fault(what: str, remedy: str) -> FaultyInput:
    """A fault of the whole file."""
    allowed = "a plain SVG drawing, up to 5 MB"
    return FaultyInput([Problem(place="file", value="", what=what, allowed=allowed, remedy=remedy)])


def kind_of(element: Element) -> str:
    """The name of an SVG element, without its namespace; empty for what belongs to another language."""
    space, _, name = element.tag.rpartition("}")
    return name if space in ("", "{" + _SVG) else ""


def style_of(element: Element, name: str) -> str:
    """A property, from the style attribute or else the attribute of that name."""
    for part in element.get("style", "").split(";"):
        key, _, value = part.partition(":")
        if key.strip() == name:
            return value.strip()
    return element.get(name, "").strip()


def length_px(text: str, whole_px: float) -> float | None:
    """A length in CSS pixels, a percentage of `whole_px`; None if it is none.

    >>> length_px("1in", 0), length_px("50%", 300), length_px("3 ells", 0)
    (96.0, 150.0, None)
    """
    found = _LENGTH.fullmatch(text)
    if not found:
        return None
    number, unit = float(found[1]), found[2].lower()
    if unit == "%":
        return number * whole_px / 100
    return number * _UNITS_PX[unit or "px"] if (unit or "px") in _UNITS_PX else None


def is_physical(text: str) -> bool:
    """Whether a length is told in a unit that one can lay a ruler to."""
    found = _LENGTH.fullmatch(text)
    return bool(found) and found[2].lower() in ("in", "cm", "mm", "q", "pt", "pc") if found else False
