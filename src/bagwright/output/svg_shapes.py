"""Basic shapes of SVG as path data, as the standard spells them out."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from xml.etree.ElementTree import Element

from bagwright.output.svg_tree import length_px

Lengths = Callable[[str, str], float]
"""Reads an attribute as a length in user units; the second text says of what a percentage is: "x", "y" or ""."""


class OddLength(Exception):
    """An attribute that is no length; it holds its name and text."""

    def __init__(self, name: str, text: str) -> None:
        super().__init__(name)
        self.name, self.text = name, text


def shape_data(element: Element, kind: str, size: tuple[float, float]) -> str:
    """Path data of a basic shape; empty if it is not drawn. `size`: of the viewport, for percentages.

    Raises `OddLength` for an attribute that cannot be read.
    """

    def length(name: str, along: str) -> float:
        text = element.get(name, "0")
        whole = {"x": size[0], "y": size[1]}.get(along, math.hypot(*size) / math.sqrt(2))
        value = length_px(text, whole)
        if value is None or not math.isfinite(value):
            raise OddLength(name, text)
        return value

    return SHAPES[kind](element, length)


def _rect(element: Element, length: Lengths) -> str:
    x, y, wide, high = length("x", "x"), length("y", "y"), length("width", "x"), length("height", "y")
    if wide <= 0 or high <= 0:
        return ""
    rx, ry = _radii(element, length)
    rx, ry = min(rx, wide / 2), min(ry, high / 2)
    if rx == 0 or ry == 0:
        return f"M{x!r} {y!r}h{wide!r}v{high!r}h{-wide!r}z"
    turn = f"A{rx!r} {ry!r} 0 0 1 "
    right, low = x + wide, y + high
    return (
        f"M{x + rx!r} {y!r}L{right - rx!r} {y!r}{turn}{right!r} {y + ry!r}"
        f"L{right!r} {low - ry!r}{turn}{right - rx!r} {low!r}"
        f"L{x + rx!r} {low!r}{turn}{x!r} {low - ry!r}L{x!r} {y + ry!r}{turn}{x + rx!r} {y!r}z"
    )


def _radii(element: Element, length: Lengths) -> tuple[float, float]:
    """Rounding of corners: what is not said of one direction is as in the other."""
    said = {name: element.get(name, "auto").strip() not in ("", "auto") for name in ("rx", "ry")}
    rx = length("rx", "x") if said["rx"] else 0.0
    ry = length("ry", "y") if said["ry"] else 0.0
    return (rx if said["rx"] else ry, ry if said["ry"] else rx) if rx >= 0 and ry >= 0 else (0.0, 0.0)


def _circle(_: Element, length: Lengths) -> str:
    return _round(length("cx", "x"), length("cy", "y"), length("r", ""), length("r", ""))


def _ellipse(element: Element, length: Lengths) -> str:
    return _round(length("cx", "x"), length("cy", "y"), *_radii(element, length))


def _round(x: float, y: float, rx: float, ry: float) -> str:
    if rx <= 0 or ry <= 0:
        return ""
    half = f"A{rx!r} {ry!r} 0 0 1 "
    return f"M{x + rx!r} {y!r}{half}{x - rx!r} {y!r}{half}{x + rx!r} {y!r}z"


def _line(_: Element, length: Lengths) -> str:
    return f"M{length('x1', 'x')!r} {length('y1', 'y')!r}L{length('x2', 'x')!r} {length('y2', 'y')!r}"


def _polyline(element: Element, _: Lengths) -> str:
    points = re.sub(r"[\s,]+", " ", element.get("points", "")).strip()
    return f"M{points}" if points else ""


def _polygon(element: Element, length: Lengths) -> str:
    data = _polyline(element, length)
    return f"{data}z" if data else ""


SHAPES: Mapping[str, Callable[[Element, Lengths], str]] = {
    "rect": _rect,
    "circle": _circle,
    "ellipse": _ellipse,
    "line": _line,
    "polyline": _polyline,
    "polygon": _polygon,
    "path": lambda element, _: element.get("d", ""),
}
