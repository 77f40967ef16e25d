"""The strips of one cloth on its page: what each way takes, and how they are to be cut."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bagwright.model.bands import StripWay, StripWish
from bagwright.model.piece import CutPiece
from bagwright.web.pages import Field, Option
from bagwright.workflows.cutting_table import TablePlan
from bagwright.workflows.desk import BagView
from bagwright.workflows.strip_changes import strip_cuts
from bagwright.workflows.strip_ways import BIAS_WAYS, STRAIGHT_WAYS, StripGroup
from bagwright.workflows.strip_words import WAY_NAMES, group_in_words, group_title, title_of, told_cuts

_BANDS = "Bands lie across the cloth only; each by itself keeps to its own grain. "
ALL = "all"
PIECE = "piece "


@dataclass(frozen=True, slots=True, kw_only=True)
class StripsView:
    """Strips that are cut alike: what there is to say, and a choice for all of them and for each."""

    id: str
    title: str
    least: str
    lines: tuple[str, ...]
    for_all: Field
    for_each: tuple[Field, ...]


def strips_views(groups: Sequence[StripGroup], wishes: Sequence[StripWish], plan: TablePlan) -> tuple[StripsView, ...]:
    """One view for each group."""
    own = [wish for wish in wishes if wish.material_id == plan.material.id]
    return tuple(_view(group, own, plan) for group in groups)


def unlaid_strips(view: BagView, material_id: str) -> tuple[StripsView, ...]:
    """The same for a cloth that has no layout: the choices alone, straight strips first."""
    own = [wish for wish in view.answer.bag.strip_wishes if wish.material_id == material_id]
    cuts = strip_cuts(view, material_id)
    found = []
    for ways in (STRAIGHT_WAYS, BIAS_WAYS):
        group = [cut for cut, its_ways in cuts if its_ways == ways]
        if group:
            found.append(_choices(group, own, ways, told_cuts(group, view.workroom)))
    return tuple(found)


def _choices(
    cuts: Sequence[CutPiece], wishes: Sequence[StripWish], ways: tuple[StripWay, ...], told: str
) -> StripsView:
    names = {cut.id: cut.name for cut in cuts}
    is_bias = ways == BIAS_WAYS
    return StripsView(
        id="bias" if is_bias else "straight",
        title=title_of(is_bias=is_bias),
        least=told,
        lines=(),
        for_all=_for_all(wishes, ways, names),
        for_each=tuple(_each(number, name, names, wishes, ways) for number, name in enumerate(names))
        if len(names) > 1
        else (),
    )


def _for_all(wishes: Sequence[StripWish], ways: tuple[StripWay, ...], names: Mapping[str, str]) -> Field:
    all_way = next((one.way for one in wishes if not one.piece_id and one.way in ways), StripWay.LAID)
    name = "bias" if ways == BIAS_WAYS else "straight"
    return Field(
        id=f"strips-{name}",
        name=f"{ALL} {name}",
        label="All of these strips" if len(names) > 1 else next(iter(names.values())),
        value="",
        hint=f"{'' if name == 'bias' else _BANDS}Kept with the bag; Undo on the bag's page takes it back.",
        choices=tuple(Option(way.value, WAY_NAMES[way], way is all_way) for way in ways),
    )


def _view(group: StripGroup, wishes: Sequence[StripWish], plan: TablePlan) -> StripsView:
    ways = BIAS_WAYS if group.is_bias else STRAIGHT_WAYS
    name = "bias" if group.is_bias else "straight"
    names = {strip.piece.id: plan.names.get(strip.piece.id, strip.piece.id) for strip in group.strips}
    least, *lines = group_in_words(group, plan.material, plan.names, plan.measuring)
    many = len(group.strips) > 1
    return StripsView(
        id=name,
        title=group_title(group),
        least=least,
        lines=tuple(lines),
        for_all=_for_all(wishes, ways, names),
        for_each=tuple(
            _each(number, strip.piece.id, plan.names, wishes, ways) for number, strip in enumerate(group.strips)
        )
        if many
        else (),
    )


def _each(
    number: int, piece_id: str, names: Mapping[str, str], wishes: Sequence[StripWish], ways: Sequence[StripWay]
) -> Field:
    way = next((one.way for one in wishes if one.piece_id == piece_id), None)
    return Field(
        id=f"strip-{'bias' if len(ways) > 2 else 'straight'}-{number}",
        name=f"{PIECE}{piece_id}",
        label=names.get(piece_id, piece_id),
        value="",
        hint="",
        choices=(
            Option("", "As all of these", way is None),
            *(Option(one.value, WAY_NAMES[one], one is way) for one in ways),
        ),
    )


def strip_ways_of(texts: Mapping[str, str]) -> list[tuple[str, str]]:
    """What the form says: piece, or nothing for all strips, and way."""
    found = []
    for name, way in texts.items():
        if name.startswith(PIECE):
            found.append((name.removeprefix(PIECE)[:200], way[:40]))
        elif name.startswith(f"{ALL} "):
            found.append(("", way[:40]))
    return found
