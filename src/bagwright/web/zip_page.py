"""What the page of a bag shows of a zip: words ready to be shown."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ZipWork:
    """Sentences under one heading, in order."""

    heading: str
    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ZipBulk:
    """Where the foot meets bulk, in which steps, and what to do."""

    where: str
    during: str
    advice: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ZipView:
    """One zip, worked out."""

    key: str
    name: str
    headline: str
    facts: tuple[tuple[str, str], ...]
    work: tuple[ZipWork, ...]
    bulk: tuple[ZipBulk, ...]
    cautions: tuple[str, ...]
