"""Layers of a PDF that its reader can switch off: optional content, ISO 32000-1, 8.11."""

from __future__ import annotations

import io
from collections.abc import Mapping

from pypdf import PdfReader, PdfWriter
from pypdf.generic import ArrayObject, DictionaryObject, NameObject, TextStringObject

from bagwright.output.drawing import Ink, Mark, Path, Text

_WORDS = "Names and sizes"
_MARKS = "Placement lines"
LAYERS: tuple[str, ...] = ("Cut line", "Stitch line", "Notches", "Grain and fold", _MARKS, _WORDS)
_OF_INK: Mapping[Ink, str] = {
    Ink.CUT: "Cut line",
    Ink.OUTLINE: "Cut line",
    Ink.STITCH: "Stitch line",
    Ink.NOTCH: "Notches",
    Ink.GRAIN: "Grain and fold",
    Ink.FOLD: "Grain and fold",
}


CLOSING = "EMC"


def layer_of(mark: Mark) -> str:
    """The layer, one of `LAYERS`, that a mark of a template is on."""
    if isinstance(mark, Path):
        return _OF_INK.get(mark.ink, _MARKS) if mark.ink else _MARKS
    return _WORDS if isinstance(mark, Text) else _MARKS


def opening(layer: str) -> str:
    """What stands in a page before the marks of a layer; `CLOSING` stands after them."""
    return f"/OC /{_key(layer)} BDC"


def _key(layer: str) -> str:
    return f"Layer{LAYERS.index(layer)}"


def with_layers(data: bytes) -> bytes:
    """The file with `LAYERS` to switch, all of them shown at first."""
    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(data)))
    groups = {
        layer: writer._add_object(
            DictionaryObject({NameObject("/Type"): NameObject("/OCG"), NameObject("/Name"): TextStringObject(layer)})
        )
        for layer in LAYERS
    }
    named = DictionaryObject({NameObject(f"/{_key(layer)}"): group for layer, group in groups.items()})
    for page in writer.pages:
        resources = page["/Resources"].get_object()
        assert isinstance(resources, DictionaryObject)
        resources[NameObject("/Properties")] = named
    every = ArrayObject(groups.values())
    usual = DictionaryObject({NameObject("/Order"): every, NameObject("/ON"): every})
    writer.root_object[NameObject("/OCProperties")] = DictionaryObject(
        {NameObject("/OCGs"): every, NameObject("/D"): usual}
    )
    written = io.BytesIO()
    writer.write(written)
    return written.getvalue()
