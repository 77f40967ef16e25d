"""What the stash does today, in words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from bagwright.model.stash import StashPiece
from bagwright.output.rulers import Measuring
from bagwright.workflows.covering import CoveredTemplate, told_minutes
from bagwright.workflows.desk import BagView
from bagwright.workflows.stash_finding import size_of
from bagwright.workflows.stash_today import TodayBag, TodayPiece


def today_in_words(bags: Sequence[TodayBag], all_count: int) -> str:
    """One sentence over these bags, of `all_count` that there are."""
    whose = "your" if len(bags) == all_count else "these"
    served = [bag for bag in bags if bag.is_served]
    may = [bag for bag in bags if not bag.is_served and not bag.is_looked and bag.may_be_served]
    said = [f"{_of(len(served), len(bags), whose)} can take something from the stash."] if served else []
    if may:
        also = " more" if served else ""
        said.append(f"{_bags(len(may), also)} perhaps can: look closely to know.")
    if not said:
        said.append(f"None of {whose} bags can take anything from the stash as it is.")
    return " ".join(said)


def _bags(count: int, also: str) -> str:
    return f"{count}{also} bag{'' if count == 1 else 's'}"


def _of(count: int, all_count: int, whose: str) -> str:
    if whose == "these":
        return f"{count} of these {all_count}"
    if count == all_count:
        return "Your only bag" if count == 1 else f"All {count} bags"
    return f"{count} of your {all_count} bags"


def piece_in_words(bag: TodayBag, piece: TodayPiece) -> str:
    """What becomes of one shape."""
    if not piece.is_served:
        return _not_served(bag, piece)
    said, count = [], 0
    for held, copies in piece.whole:
        said.append(f"{_copies(copies)} whole from {_where(bag.view, held)}")
        count += copies
    for (names, worth), copies in _alike(bag, piece.covered).items():
        said.append(f"{_copies(copies)} {names}; {worth}")
        count += copies
    if piece.wanted > count:
        said.append(f"{_copies(piece.wanted - count)} of new material")
    return ". ".join(one[:1].upper() + one[1:] for one in said) + "."


def _not_served(bag: TodayBag, piece: TodayPiece) -> str:
    if bag.is_looked:
        return "It would fit, but saves nothing." if piece.may_hold else "Nothing that is there will do."
    if piece.may_hold:
        return f"Perhaps {_copies(piece.may_hold)} whole, by area."
    return "Perhaps pieced from scraps, by area." if piece.may_be_covered else "Too small, all that is there."


def _alike(bag: TodayBag, covered: Iterable[CoveredTemplate]) -> Counter[tuple[str, str]]:
    """Copies that are told with the same words, once."""
    return Counter((_scraps(bag, one), _worth(bag.view, one)) for one in covered)


def _scraps(bag: TodayBag, one: CoveredTemplate) -> str:
    pieces = {piece.id: piece for covers in bag.covers for piece in covers.pieces.values()}
    laid = [pieces[place.id] for place in one.covered.cover.placements]
    if len(laid) == 1:
        return f"whole from {_where(bag.view, laid[0])}"
    bins = " and ".join(dict.fromkeys(piece.bin for piece in laid if piece.bin))
    return f"pieced from {len(laid)} scraps{f' in {bins}' if bins else ''}"


def _worth(view: BagView, one: CoveredTemplate) -> str:
    worth = one.worth
    if worth is None:
        return "no price to weigh it by"
    time = f"for {told_minutes(worth)}" if worth.minutes else "and takes no longer"
    gain = f"saves {worth.saved.said()} {time}"
    return f"worth it, {gain}" if worth.is_worth_it else f"not worth it at your pay, {gain}"


def _where(view: BagView, piece: StashPiece) -> str:
    measuring, size = Measuring(view.workroom.units, view.workroom.fraction), size_of(piece)
    where = f" in {piece.bin}" if piece.bin else ""
    return f"the piece{where} that holds {measuring.told_size(size.length_mm, size.width_mm)}"


def _copies(count: int) -> str:
    return "1 copy" if count == 1 else f"{count} copies"


def offers_in_words(bag: TodayBag) -> str:
    """What the shop no longer asks for, all materials of a bag; empty if nothing is cut whole."""
    said = [f"{(one.pays_now - one.pays_then).said()} less for {one.material.name}" for one in bag.offers]
    return f"At the shop: {', '.join(said)}." if said else ""


def lacking_in_words(bag: TodayBag) -> str:
    """Materials that the stash holds nothing of; empty if none."""
    names = [material.name for material in bag.lacking if material.kind.is_sheet]
    return f"Nothing in the stash of {', '.join(names)}." if names else ""
