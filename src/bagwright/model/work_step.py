"""The order of work as it is handed on: numbered steps with what is sewn, what is met, what to mind."""

from __future__ import annotations

from dataclasses import dataclass

from bagwright.model.material import Layer
from bagwright.model.pattern import SeamKind, Stage


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkStep:
    """One step of making a bag.

    `kind`, `length_mm` (of the seams, one row), `rows` and `layers` (the most that the needle meets at one place, each
    fold counted) are there where it is sewn; else `kind` is None and they are 0. `piece_ids`: what is worked on.

    `id` stays the same when steps before it come or go: what she timed is kept under it. `seam_ids`: the seams of a
    step that is sewn; `layer`: what is fused, basted or quilted on.
    """

    number: int
    stage: Stage
    name: str
    kind: SeamKind | None = None
    length_mm: float = 0.0
    rows: int = 0
    layers: int = 0
    piece_ids: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    id: str = ""
    seam_ids: tuple[str, ...] = ()
    layer: Layer | None = None
