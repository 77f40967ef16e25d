"""Read what a form sent."""

from __future__ import annotations

from collections.abc import Mapping

from starlette.datastructures import UploadFile

NO_VERSION = -1
_LONGEST_VERSION = 9


def texts_of(form: Mapping[str, object]) -> dict[str, str]:
    """The texts in a form, files left out."""
    return {key: value for key, value in form.items() if isinstance(value, str)}


def text_of(form: Mapping[str, object], name: str) -> str:
    """The text of one field, empty if there is none."""
    value = form.get(name, "")
    return value if isinstance(value, str) else ""


def version_of(form: Mapping[str, object], name: str = "version") -> int:
    """The version that the form was made from, or one that nothing ever has.

    >>> version_of({"version": "3"}), version_of({"version": "3 "}), version_of({})
    (3, -1, -1)
    """
    text = text_of(form, name)
    return int(text) if text.isascii() and text.isdecimal() and len(text) <= _LONGEST_VERSION else NO_VERSION


async def file_of(form: Mapping[str, object], name: str) -> bytes:
    """What the file of one field holds, nothing if there is none; the guard bounds how large it can be."""
    file = form.get(name)
    return await file.read() if isinstance(file, UploadFile) else b""
