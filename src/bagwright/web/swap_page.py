"""What else a role could be made of, told line by line against what it is now."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from bagwright.errors import Problem
from bagwright.model.material import Held, Layer
from bagwright.model.money import Money
from bagwright.web.frame import frame
from bagwright.web.lacks import lacks_of
from bagwright.web.pages import Option
from bagwright.web.swap_pages import SwapsPage, SwapView
from bagwright.web.wording import Wording
from bagwright.web.zone_views import extent_value
from bagwright.workflows.desk import BagView
from bagwright.workflows.swap_search import Keep, RoleSwaps, SwapLine, role_of

_MOST_NAMED = 8
_NOTHING_TRIED = (
    "Nothing on your shelf can be tried yet. To try a material, its page needs a price, a weight, a thickness and the "
    "ruler test."
)
_HELD_BEHIND = {Held.FUSED: "fused", Held.BASTED: "basted", Held.QUILTED: "quilted", Held.LOOSE: "loose"}
_KEEP_WORDS = {
    Keep.AS_FIRM: "at least as firm as now",
    Keep.STANDS: "surely stands, even as a strip by itself",
    Keep.MAY_STAND: "may stand as a strip by itself",
}
_LIMITS = (
    "Money goes by area at the cheapest price of each material; the bag itself tells what must be bought once you try "
    "one. Whether a real bag stands depends on its seams and corners too: a strip by itself only ranks.",
    "Before you fuse anything new, test it on a scrap, and follow its leaflet.",
)


def swaps_page(view: BagView, found: RoleSwaps) -> SwapsPage:
    """The page of one role's swaps."""
    say, bag = Wording(view.workroom), view.answer.bag
    role = found.role.name.lower()
    more = f" {found.more} more are not shown: each is dearer than these." if found.more else ""
    told = (
        f"Of {found.tried} ways to layer what is on your shelf, these are the ones that no other beats in money, "
        f"firmness, weight, minutes and thickness at once.{more} Reckoned with {say.share(found.waste_share)} of the "
        "cloth wasted, as in the layouts now."
    )
    none = (
        f"None of {found.tried} ways to layer what is on your shelf does that. Ask for less, or add a material to the "
        "shelf."
    )
    stands = say.band(found.now.standing_height_mm)
    return SwapsPage(
        frame=frame(f"{bag.name}: {role}", "/", is_demo=view.is_demo),
        bag_id=bag.id,
        bag_name=bag.name,
        version=bag.version,
        role_key=found.role.key,
        role_name=role,
        now=f"Now a strip of it stands {stands} high by itself; the higher, the firmer.",
        keeps=tuple(Option(keep.value, words, keep is found.keep) for keep, words in _KEEP_WORDS.items()),
        swaps=tuple(_swap(line, found.zoned, view, say) for line in found.lines),
        told=told if found.lines else none if found.tried else _NOTHING_TRIED,
        lacks=(),
        limits=(*_stays(found, view), *_untried(found), *_LIMITS),
    )


def swaps_lacking(view: BagView, role_key: str, problems: Sequence[Problem]) -> SwapsPage:
    """The page while numbers, prices or materials are missing: what to put right, and where."""
    bag, role = view.answer.bag, role_of(view, role_key).name.lower()
    return SwapsPage(
        frame=frame(f"{bag.name}: {role}", "/", is_demo=view.is_demo),
        bag_id=bag.id,
        bag_name=bag.name,
        version=bag.version,
        role_key=role_key,
        role_name=role,
        now="What else would do is told against what it is made of now.",
        keeps=(),
        swaps=(),
        told="",
        lacks=lacks_of(problems, bag.id),
        limits=(),
    )


def _untried(found: RoleSwaps) -> tuple[str, ...]:
    """Materials that would suit if more were known of them."""
    names = found.untried
    more = f" and {len(names) - _MOST_NAMED} more" if len(names) > _MOST_NAMED else ""
    told = ", ".join(names[:_MOST_NAMED])
    return (
        (f"Not tried, as a price, a weight, a thickness or the stiffness is missing: {told}{more}.",) if names else ()
    )


def _stays(found: RoleSwaps, view: BagView) -> tuple[str, ...]:
    """What is said of the layers of zones."""
    zoned = [f"{view.shelf.materials[layer.material_id].name} on the {layer.zone}" for layer in found.zoned]
    if not zoned:
        return ()
    return (
        f"Whatever you take, {' and '.join(zoned)} stays as it is, behind the other layers. It is not in the sums.",
    )


def _swap(line: SwapLine, zoned: Sequence[Layer], view: BagView, say: Wording) -> SwapView:
    outer, *inner = line.names
    behind = [f"{name}, {_HELD_BEHIND[layer.held]}" for name, layer in zip(inner, line.layers[1:], strict=True)]
    headline = f"{outer} with {'; then '.join(behind)}" if behind else f"{outer} alone"
    money = Money(Decimal(f"{abs(line.money_more):.2f}"), view.workroom.currency)
    differences = (
        ("Money for one bag", _change(money.said(), line.money_more, "dearer", "cheaper")),
        ("Minutes", _change(f"{abs(line.minutes_more):.0f} min", line.minutes_more, "more", "less", least=0.5)),
        ("Weight", _change(say.mass(abs(line.mass_more_g)), line.mass_more_g, "heavier", "lighter", least=1.5)),
        ("A strip stands", f"{say.band(line.body.standing_height_mm)} high"),
    )
    return SwapView(
        headline=headline,
        differences=differences,
        layers=tuple((layer.material_id, extent_value(layer), layer.held.value) for layer in (*line.layers, *zoned)),
        is_now=line.is_now,
    )


def _change(size: str, more: float, up: str, down: str, *, least: float = 0.005) -> str:
    if abs(more) < least:
        return "the same"
    return f"{size} {up if more > 0 else down}"
