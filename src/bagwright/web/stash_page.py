"""The page of the stash, from what is kept."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from urllib.parse import quote, urlencode

from markupsafe import Markup

from bagwright.model.bag import Workroom
from bagwright.model.material import Material
from bagwright.model.money import total
from bagwright.model.stash import SideUp
from bagwright.web.frame import frame
from bagwright.web.pages import Field, Option
from bagwright.web.stash_asks import Asks, TypedStash
from bagwright.web.stash_find import (
    bin_address,
    find_fields,
    is_more_asked,
    more_fields,
    order_words,
    query_of,
    such_as,
)
from bagwright.web.stash_pages import GonePiece, StashCard, StashGroup, StashPage
from bagwright.workflows.pictures import reduction_of, stash_picture
from bagwright.workflows.stash_changes import StashItem, is_plain_rectangle, print_size
from bagwright.workflows.stash_looking import WISH_FIELDS
from bagwright.workflows.stash_wishes import StashOrder
from bagwright.workflows.typed_areas import print_areas, print_place

ON_ONE_PAGE = 40


@dataclass(frozen=True, slots=True)
class StashOnPage:
    """What the page shows: what was found, whether the stash holds anything at all, and what could be added."""

    items: Sequence[StashItem]
    is_empty: bool
    materials: Sequence[Material]
    workroom: Workroom


def stash_page(stash: StashOnPage, find: Mapping[str, str], typed: TypedStash, *, is_demo: bool) -> StashPage:
    """Pieces by material, the form to find some, the form to add one."""
    start = _start(find, typed.at or typed.of, stash.items)
    shown = stash.items[start : start + ON_ONE_PAGE]
    values = [item.piece.value for item in stash.items if item.piece.value]
    currency = stash.workroom.currency
    worth = total([value for value in values if value.currency == currency], currency)
    count = len(stash.items)
    paid = f", worth {worth.said()} at what was paid for them" if worth.amount else ""
    told = f"{told_count(count)}{paid}."
    return StashPage(
        frame=frame("Stash", "/stash", is_demo=is_demo),
        groups=_groups(shown, stash, find, typed),
        total=told if count else "",
        is_empty=stash.is_empty,
        is_asked=any(find.get(name) for name in WISH_FIELDS),
        turns=_turns(find, start, count),
        find=query_of(find),
        find_fields=find_fields(stash.workroom, _sheets(stash), Asks("find", find, typed)),
        more_fields=more_fields(stash.workroom, Asks("find", find, typed)),
        is_open=is_more_asked(find),
        new_fields=_new_fields(stash, typed),
        gone=_gone(typed, stash),
        said=typed.said,
        stale=typed.stale,
        problems=_problems(typed),
    )


def _problems(typed: TypedStash) -> tuple[str, ...]:
    """What has no field of its own to stand beside; of a table with its row and column."""
    if typed.of == "file":
        return tuple(f"{one.place.capitalize()}: {one.words()}" for one in typed.problems)
    return tuple(problem.words() for problem in typed.problems if problem.place not in _PLACES)


_PLACES = frozenset({*WISH_FIELDS, "side_up", "value", "note", "came_from", "corners", "flaws", "lesser"})


def _start(find: Mapping[str, str], of: str, items: Sequence[StashItem]) -> int:
    """Where the part of the list begins that is asked for, or that holds the piece which was typed about."""
    text = find.get("from", "")
    asked = int(text) if text.isascii() and text.isdecimal() and len(text) < 8 else 0
    asked = next((number for number, item in enumerate(items) if item.piece.id == of), asked)
    return max(0, min(asked, len(items) - 1) // ON_ONE_PAGE * ON_ONE_PAGE)


def _turns(find: Mapping[str, str], start: int, count: int) -> tuple[tuple[str, str], ...]:
    """The parts before and after this one, with what is looked for."""
    kept = {name: find[name] for name in WISH_FIELDS if find.get(name)}

    def part(first: int) -> tuple[str, str]:
        last = min(first + ON_ONE_PAGE, count)
        return f"{first + 1} to {last} of {count}", f"/stash?{urlencode({**kept, 'from': first})}"

    before = (part(start - ON_ONE_PAGE),) if start else ()
    after = (part(start + ON_ONE_PAGE),) if start + ON_ONE_PAGE < count else ()
    return (*before, *after)


def _groups(
    shown: Sequence[StashItem], stash: StashOnPage, find: Mapping[str, str], typed: TypedStash
) -> tuple[StashGroup, ...]:
    """By material, by bin, by day, or all together: as they are sorted."""
    order = find.get("order", "")
    if order == StashOrder.WORTH:
        cards = _cards(shown, stash.workroom, typed)
        return (StashGroup(order_words(find).capitalize(), "", told_count(len(stash.items)), cards),) if cards else ()
    of, group = _GROUPED.get(order, (_material_id_of, _of_material))
    counts = Counter(of(item) for item in stash.items)
    alike = ((counts[key], list(items)) for key, items in groupby(shown, key=of))
    return tuple(group(in_all, items, stash.workroom, typed) for in_all, items in alike)


def _bin_of(item: StashItem) -> str:
    return item.piece.bin


def _material_id_of(item: StashItem) -> str:
    return item.material.id


def _in_bin(in_all: int, items: Sequence[StashItem], workroom: Workroom, typed: TypedStash) -> StashGroup:
    name, cards = _bin_of(items[0]), _cards(items, workroom, typed)
    return StashGroup(name or "No place told", bin_address(name) if name else "", told_count(in_all), cards)


def _of_material(in_all: int, items: Sequence[StashItem], workroom: Workroom, typed: TypedStash) -> StashGroup:
    one = items[0].material
    cards = tuple(replace(card, material=("", "")) for card in _cards(items, workroom, typed))
    return StashGroup(one.name, f"/materials/{quote(one.id)}", f"{one.kind}, {told_count(in_all)}", cards)


def _day_of(item: StashItem) -> str:
    return f"{item.piece.dated:%d %b %Y}" if item.piece.dated else ""


def _on_day(in_all: int, items: Sequence[StashItem], workroom: Workroom, typed: TypedStash) -> StashGroup:
    return StashGroup(_day_of(items[0]) or "No day told", "", told_count(in_all), _cards(items, workroom, typed))


_Grouping = tuple[Callable[[StashItem], str], Callable[[int, Sequence[StashItem], Workroom, TypedStash], StashGroup]]
_GROUPED: Mapping[str, _Grouping] = {
    StashOrder.BIN: (_bin_of, _in_bin),
    StashOrder.NEWEST: (_day_of, _on_day),
    StashOrder.OLDEST: (_day_of, _on_day),
}


def told_count(count: int) -> str:
    """So many pieces."""
    return f"{count} {'piece' if count == 1 else 'pieces'}"


def _cards(items: Sequence[StashItem], workroom: Workroom, typed: TypedStash) -> tuple[StashCard, ...]:
    reduction = reduction_of(item.piece for item in items)
    return tuple(_card(item, reduction, workroom, typed) for item in items)


def _card(item: StashItem, reduction: float, workroom: Workroom, typed: TypedStash) -> StashCard:
    piece = item.piece
    facts = [
        ("Side up", piece.side_up.value),
        ("Left from", " · ".join(filter(None, (piece.came_from, _day_of(item))))),
        ("Worth", piece.value.said() if piece.value else ""),
    ]
    return StashCard(
        id=piece.id,
        version=item.kept.version,
        size=told_size(item, workroom),
        picture=Markup(stash_picture(piece, item.material, reduction=reduction)),
        material=(item.material.name, f"/materials/{quote(item.material.id)}"),
        bin=(piece.bin, bin_address(piece.bin)) if piece.bin else ("", ""),
        facts=tuple((label, text) for label, text in facts if text),
        note=piece.note,
        fields=_piece_fields(item, workroom, typed),
        is_open=typed.of == piece.id,
        can_undo=item.can_undo,
    )


def told_size(item: StashItem, workroom: Workroom) -> str:
    """Length along the grain by width; of an odd shape, those of the largest rectangle in it."""
    long, wide = (print_size(size, workroom) for size in (item.size.length_mm, item.size.width_mm))
    size = f"{long.rpartition(' ')[0]} × {wide}"
    return size if is_plain_rectangle(item.piece) else f"odd shape, holds {size}"


def _gone(typed: TypedStash, stash: StashOnPage) -> GonePiece | None:
    if typed.gone is None:
        return None
    piece, version = typed.gone
    name = next((material.name for material in stash.materials if material.id == piece.material_id), "The piece")
    return GonePiece(piece.id, version, f"A piece of {name} is out of the stash.")


def _sheets(stash: StashOnPage) -> tuple[Option, ...]:
    sheets = sorted((m for m in stash.materials if m.kind.is_sheet), key=lambda m: m.name.casefold())
    return tuple(Option(material.id, material.name) for material in sheets)


def _new_fields(stash: StashOnPage, typed: TypedStash) -> tuple[Field, ...]:
    asks, long = Asks("new", {}, typed), such_as(stash.workroom, "18 in", "45 cm").capitalize()
    return (
        asks.field("material", "Material", "From your shelf.", choices=_sheets(stash)),
        asks.field("long", "Length along the grain", f"{long}; of a crooked piece, of the rectangle in it."),
        asks.field("wide", "Width across", f"{such_as(stash.workroom, '11 in', '28 cm').capitalize()}."),
        asks.field(
            "corners",
            "Corners, if it is no rectangle",
            "In order around it, each along x up from its lower left: 0 x 0; 30 x 2; 28 x 20. Sizes stay empty then.",
        ),
        *_areas(asks, {}),
        *((_motif(asks, {}),) if any(one.has_print for one in stash.materials) else ()),
        *_common(asks, {}, stash.workroom),
    )


def _piece_fields(item: StashItem, workroom: Workroom, typed: TypedStash) -> tuple[Field, ...]:
    piece = item.piece
    given = {
        "bin": piece.bin,
        "side_up": piece.side_up.value,
        "value": str(piece.value.for_display()) if piece.value else "",
        "came_from": piece.came_from,
        "note": piece.note,
        "flaws": print_areas(piece.flaws, workroom),
        "lesser": print_areas(piece.lesser, workroom),
        "motif": print_place(piece.motif, workroom),
    }
    asks = Asks(piece.id, given, typed)
    sizes: tuple[Field, ...] = ()
    if is_plain_rectangle(piece):
        long, wide = (print_size(size, workroom) for size in (item.size.length_mm, item.size.width_mm))
        sizes = (
            asks.field("long", "Length along the grain", "What is left of it.", given=long),
            asks.field("wide", "Width across", "", given=wide),
        )
    motif = (_motif(asks, given),) if item.material.has_print or piece.motif else ()
    return (*sizes, *_areas(asks, given), *motif, *_common(asks, given, workroom))


def _areas(asks: Asks, given: Mapping[str, str]) -> tuple[Field, ...]:
    flaws = (
        "Nothing is cut there: 4 x 3 at 10 x 12, its size and where its lower left is; round 2 at 20 x 5, its middle; "
        "or by its corners, 10 x 12 to 14 x 12 to 12 x 16. A semicolon between two."
    )
    lesser = "Good, but not the best: belly, neck. Typed in the same way."
    return (
        asks.field("flaws", "Flaws, holes, brands", flaws, given=given.get("flaws", "")),
        asks.field("lesser", "Second-best parts", lesser, given=given.get("lesser", "")),
    )


def _motif(asks: Asks, given: Mapping[str, str]) -> Field:
    hint = (
        "The middle of one motif, along from the left end x up from the lower edge: 2 x 1 1/2. Empty: nothing that "
        "shows or matches the print is cut from it."
    )
    return asks.field("motif", "Where its print has a motif", hint, given=given.get("motif", ""))


def _common(asks: Asks, given: Mapping[str, str], workroom: Workroom) -> tuple[Field, ...]:
    sides = tuple(Option(side.value, side.value) for side in SideUp)
    return (
        asks.field("bin", "Where it lies", "A box, a drawer, a shelf."),
        asks.field("side_up", "Side that is up", "", given=SideUp.RIGHT.value, choices=sides),
        asks.field("value", f"Worth ({workroom.currency})", "Empty if you don't count it."),
        asks.field("came_from", "Left from", "A bag, a shop, a swap."),
        asks.field("note", "Note", ""),
    )
