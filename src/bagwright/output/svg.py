"""Drawings as SVG: inline for a page (classes only, its colours from the page's CSS) or as a file at true scale."""

from __future__ import annotations

import base64
import math
import re
import zlib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from xml.sax.saxutils import escape, quoteattr

from bagwright.errors import BrokenPromise
from bagwright.geometry.curves import Point
from bagwright.output.drawing import Anchor, Dot, Drawing, Fill, Hatch, Item, Mark, Path, Photo, Text, Tone, Window
from bagwright.output.hatching import TILES
from bagwright.output.inks import file_css
from bagwright.output.lettering import FRACTION, Run, Weight, fraction_runs, one_line, text_width_mm

PX_PER_MM = 96 / 25.4
"""CSS pixels: exactly 96 to the inch (CSS Values and Units, "Absolute Lengths")."""


def inline_svg(drawing: Drawing, *, id_prefix: str) -> str:
    """The drawing as an `<svg>` element for an HTML page that carries `drawing_css()`.

    `id_prefix` must differ from drawing to drawing on one page, and be a name such as ``pieces`` or ``lay-2``.
    It asks for its natural size; the page's CSS lets it shrink.
    """
    if not re.fullmatch(r"[A-Za-z][\w-]*", id_prefix, re.ASCII):
        raise BrokenPromise(f"not a usable id: {id_prefix!r}")
    size = f'width="{drawing.width_mm * PX_PER_MM:.1f}" height="{drawing.height_mm * PX_PER_MM:.1f}"'
    return _element(drawing, id_prefix, size, head="")


def svg_file(drawing: Drawing, *, css: str = "") -> bytes:
    """The drawing as a file by itself, its width and height in mm, its inks included: as printed, or those of `css`.

    Bare paper is left out, so that a machine that cuts along the paths finds every line once. Every word says how long
    it is, so that it stays in its place whatever font the reader has.
    """
    lines = tuple(_with_data(item) for item in drawing.items if not _is_bare_paper(item))
    drawing = replace(drawing, items=lines)
    size = (
        f'version="1.1" xmlns="http://www.w3.org/2000/svg" width="{_number(drawing.width_mm)}mm" '
        f'height="{_number(drawing.height_mm)}mm"'
    )
    text = _element(drawing, "drawing", size, head=f"<style>{escape(css or file_css())}</style>\n", fitted=True)
    return ('<?xml version="1.0" encoding="UTF-8"?>\n' + text).encode()


def _is_bare_paper(item: Item) -> bool:
    return isinstance(item, Path) and item.ink is None and item.fill is Fill.PAPER


def _with_data(item: Item) -> Item:
    """A picture brings its data along: a file has no page to fetch it from."""
    return replace(item, picture=replace(item.picture, href="")) if isinstance(item, Photo) else item


def _element(drawing: Drawing, prefix: str, size: str, *, head: str, fitted: bool = False) -> str:
    hatches = sorted({m.fill.kind for m in _marks(drawing) if isinstance(m, Path) and isinstance(m.fill, Hatch)})
    patterns = "".join(_pattern(Hatch(kind), prefix) for kind in hatches)
    return (
        f'<svg class="drawing" {size} viewBox="0 0 {_number(drawing.width_mm)} {_number(drawing.height_mm)}" '
        f'role="img" aria-labelledby="{prefix}-title {prefix}-desc">\n'
        f'<title id="{prefix}-title">{_safe(drawing.title)}</title>\n'
        f'<desc id="{prefix}-desc">{_safe(drawing.description)}</desc>\n'
        f"{head}"
        + (f"<defs>{patterns}</defs>\n" if patterns else "")
        + "\n".join(_item(item, prefix, fitted) for item in drawing.items)
        + "\n</svg>\n"
    )


def _marks(drawing: Drawing) -> Iterator[Mark]:
    for item in drawing.items:
        if isinstance(item, Window):
            yield from item.items
        else:
            yield item


def _item(item: Item, prefix: str, fitted: bool) -> str:
    if isinstance(item, Window):
        (x, y), (right, bottom) = item.low, item.high
        frame = " ".join(map(_number, (x, y, right - x, bottom - y)))
        size = f'x="{_number(x)}" y="{_number(y)}" width="{_number(right - x)}" height="{_number(bottom - y)}"'
        inner = "\n".join(_mark(mark, prefix, fitted) for mark in item.items)
        return f'<svg class="window" {size} viewBox="{frame}">\n{inner}\n</svg>'
    return _mark(item, prefix, fitted)


def _mark(item: Mark, prefix: str, fitted: bool) -> str:
    if isinstance(item, Path):
        return _path(item, prefix)
    if isinstance(item, Dot):
        classes = _classes([_css_name(item.ink), _fill_class(item.fill)])
        x, y, radius = map(_number, (*item.centre, item.radius_mm))
        return f'<circle {classes} cx="{x}" cy="{y}" r="{radius}"/>'
    return _photo(item, prefix) if isinstance(item, Photo) else _text(item, fitted)


def _photo(photo: Photo, prefix: str) -> str:
    """A picture one unit square, moved to where it lies, seen through a path."""
    (left, top), (a, b), (c, d) = photo.corners
    seen = " ".join(_path_data(ring, closed=True) for ring in photo.inside)
    name = f"{prefix}-seen-{zlib.crc32(f'{seen} {photo.corners}'.encode()):08x}"
    matrix = " ".join(map(_number, (a - left, b - top, c - left, d - top, left, top)))
    picture = photo.picture
    href = picture.href or f"data:{picture.media_type};base64,{base64.b64encode(picture.data).decode()}"
    return (
        f'<clipPath id="{name}"><path clip-rule="evenodd" d="{seen}"/></clipPath><g clip-path="url(#{name})">'
        f'<image href={quoteattr(href)} width="1" height="1" preserveAspectRatio="none" transform="matrix({matrix})"/>'
        "</g>"
    )


def _path(path: Path, prefix: str) -> str:
    data = _path_data(path.points, closed=path.closed)
    if not isinstance(path.fill, Hatch):
        return f'<path {_classes([_css_name(path.ink), _fill_class(path.fill)])} d="{data}"/>'
    hatch = path.fill
    pale = "pale" if hatch.pale else ""
    ground = f'<path {_classes(["hatch-ground", pale])} d="{data}"/>'
    classes = _classes(["hatched", pale, _css_name(path.ink)])
    return f'{ground}<path {classes} fill="url(#{_hatch_id(hatch, prefix)})" d="{data}"/>'


def _text(text: Text, fitted: bool) -> str:
    classes = _classes(
        [
            "strong" if text.weight is Weight.STRONG else "",
            "soft" if text.tone is Tone.SOFT else "",
            "halo" if text.halo else "",
        ]
    )
    words = _safe(text.text)
    if text.is_measure:
        words = FRACTION.sub(r'<tspan class="fraction">\1</tspan>', words)
    x, y = _number(text.at[0]), _number(text.at[1])
    anchor = "" if text.anchor is Anchor.START else f' text-anchor="{text.anchor}"'
    turn = f' transform="rotate({_number(-text.turn_deg)} {x} {y})"' if text.turn_deg else ""
    length = f' textLength="{_number(_length_mm(text))}" lengthAdjust="spacingAndGlyphs"' if fitted and words else ""
    return f'<text {classes} x="{x}" y="{y}" font-size="{_number(text.size_mm)}"{anchor}{length}{turn}>{words}</text>'


def _length_mm(text: Text) -> float:
    """How long the words are in our own letters, fractions set small."""
    runs = fraction_runs(text.text) if text.is_measure else [Run(text.text)]
    return math.fsum(text_width_mm(run.text, text.size_mm * run.scale, text.weight) for run in runs)


def _pattern(hatch: Hatch, prefix: str) -> str:
    tile = TILES[hatch.kind]
    strokes = " ".join(_path_data(stroke, closed=False) for stroke in tile.strokes)
    parts = [f'<path class="hatch-line" d="{strokes}"/>'] if strokes else []
    parts += [f'<circle class="hatch-dot" cx="{x}" cy="{y}" r="{r}"/>' for x, y, r in tile.dots]
    parts += [f'<circle class="hatch-line" cx="{x}" cy="{y}" r="{r}"/>' for x, y, r in tile.rings]
    return (
        f'<pattern id="{_hatch_id(hatch, prefix)}" patternUnits="userSpaceOnUse" '
        f'width="{_number(tile.width_mm)}" height="{_number(tile.height_mm)}">{"".join(parts)}</pattern>'
    )


def _hatch_id(hatch: Hatch, prefix: str) -> str:
    return f"{prefix}-hatch-{hatch.kind.name.lower().replace('_', '-')}"


def _path_data(points: Sequence[Point], *, closed: bool) -> str:
    (x, y), *rest = points
    runs = " ".join(f"{_number(a)} {_number(b)}" for a, b in rest)
    return f"M{_number(x)} {_number(y)}" + (f"L{runs}" if runs else "") + ("Z" if closed else "")


def _number(value: float) -> str:
    """To a thousandth of a mm, without needless zeros."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _css_name(name: str | None) -> str:
    return name.replace(" ", "-") if name else ""


def _fill_class(fill: Fill | None) -> str:
    return f"fill-{fill}" if fill else "unfilled"


def _classes(names: Iterable[str]) -> str:
    return f'class="{" ".join(name for name in names if name)}"'


def _safe(text: str) -> str:
    return escape(one_line(text))
