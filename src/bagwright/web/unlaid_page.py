"""The page of a cloth that has no layout: why, and how its strips may be cut so that it has one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bagwright.errors import NotKept, Problem
from bagwright.web.frame import frame
from bagwright.web.pages import Frame
from bagwright.web.strip_views import StripsView, unlaid_strips
from bagwright.workflows.desk import BagView


@dataclass(frozen=True, slots=True, kw_only=True)
class UnlaidPage:
    """unlaid.html"""

    frame: Frame
    bag_id: str
    bag_name: str
    bag_version: int
    material_id: str
    material_name: str
    why: tuple[str, ...]
    strips: tuple[StripsView, ...]
    strip_problems: tuple[str, ...]
    stale: str


def unlaid_page(view: BagView, material_id: str, *, strip_problems: Sequence[Problem], stale: str) -> UnlaidPage:
    """Raises `NotKept` if the bag has no piece of that cloth."""
    bag, material = view.answer.bag, view.shelf.materials.get(material_id)
    if material is None or not any(cut.material_id == material_id for cut in view.answer.cuts):
        raise NotKept(f"cuts of {material_id!r}")
    about = [one for one in view.answer.problems if one.place == f"materials.{material_id}"]
    return UnlaidPage(
        frame=frame(f"{bag.name}: {material.name}", "/", is_demo=view.is_demo),
        bag_id=bag.id,
        bag_name=bag.name,
        bag_version=bag.version,
        material_id=material_id,
        material_name=material.name,
        why=tuple(one.words(with_allowed=False) for one in about),
        strips=unlaid_strips(view, material_id),
        strip_problems=tuple(one.words() for one in strip_problems),
        stale=stale,
    )
