"""Side seams of a bag that something small can be caught in: a key tab, a loop."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from bagwright.drafting.measurements import Sizes
from bagwright.drafting.recess import RECESS_KEYS, below_recess


@dataclass(frozen=True, slots=True, kw_only=True)
class SideSeam:
    """A side seam: its line of the making, what a step calls it, how much of it from the top down can be used.

    `runs_up`: the line is walked from the base to the top. `keys` are the measurements that `free_mm` depends on.
    """

    where: str
    said: str
    keys: tuple[str, ...]
    free_mm: Callable[[Sizes], float]
    runs_up: bool = True


@dataclass(frozen=True, slots=True)
class SideSeams:
    """One in the lining and one in the outer."""

    inside: SideSeam
    outside: SideSeam


def boxed_side_seams(*, may_be_recessed: bool = False) -> SideSeams:
    """Those of two panels of the same height; `may_be_recessed`: the lining can end below a recessed zip.

    A loop for the wrist is caught in the other side (`outer-sides:0`).
    """
    seams = _both("sides:1", ("height_mm",), lambda sizes: sizes["height_mm"])
    return _below_recess(seams) if may_be_recessed else seams


def backpack_side_seams() -> SideSeams:
    """Those of a backpack: outside the lower ends of its straps come first, each within a third of the height."""
    seams = boxed_side_seams()
    return replace(seams, outside=replace(seams.outside, free_mm=lambda sizes: sizes["height_mm"] / 2))


def based_side_seams() -> SideSeams:
    """Those of a tote on a base: outside only what stands above it."""
    seams, keys = boxed_side_seams(may_be_recessed=True), ("height_mm", "rise_mm")
    above = replace(seams.outside, keys=keys, free_mm=lambda sizes: sizes["height_mm"] - sizes["rise_mm"])
    return replace(seams, outside=above)


def bucket_side_seams() -> SideSeams:
    """Those of a round wall: in the lining the one without the gap for turning."""
    seams = boxed_side_seams()
    return replace(seams, inside=replace(seams.inside, where="lining-sides:2"))


def gusset_side_seams() -> SideSeams:
    """Where the gusset is sewn to the front, down to the round corners."""
    seams = _both(
        "front:0", ("height_mm", "corner_radius_mm"), lambda sizes: sizes["height_mm"] - sizes["corner_radius_mm"]
    )
    return _below_recess(SideSeams(*(replace(seam, runs_up=False) for seam in (seams.inside, seams.outside))))


def _below_recess(seams: SideSeams) -> SideSeams:
    """Those of a bag whose lining ends below a recessed zip where there is one."""
    inside = seams.inside
    keys = (*inside.keys, *RECESS_KEYS)
    return replace(seams, inside=replace(inside, keys=keys, free_mm=lambda sizes: inside.free_mm(below_recess(sizes))))


def _both(line: str, keys: tuple[str, ...], free_mm: Callable[[Sizes], float]) -> SideSeams:
    inside, outside = (
        SideSeam(where=f"{role}-{line}", said=f"a side of the {role}", keys=keys, free_mm=free_mm)
        for role in ("lining", "outer")
    )
    return SideSeams(inside, outside)
