"""The page values of what saves on a bag."""

from __future__ import annotations

from dataclasses import dataclass

from bagwright.web.counting_pages import CountingView
from bagwright.web.lacks import Lack
from bagwright.web.pages import Field, Frame, SearchView, Table


@dataclass(frozen=True, slots=True, kw_only=True)
class SavingView:
    """One change, or several together: what to do, what that does, and the keys to send to try it.

    `money` and `lines` tell what becomes of the bag; `note`: what a copy does not hold. No `keys`: no copy can be made.
    `stale`: prices that only this counts on and that are too old.
    """

    does: tuple[str, ...]
    money: str
    lines: tuple[str, ...]
    keys: tuple[str, ...]
    note: str = ""
    stale: tuple[Lack, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundView:
    """What was found. `reached`: the answer to the price asked for, `way` how; `more`: where to search further.

    `asked`: what was asked for, as the end of an address. `job`: the search that goes on, instead of all else; `wait`:
    where its answer comes once it is there. `told`: that the search ended early; `again`: where to send for another.
    """

    action: str
    version: int
    keep: str = ""
    now: str = ""
    ranked: tuple[SavingView, ...] = ()
    together: SavingView | None = None
    together_told: str = ""
    reached: str = ""
    way: SavingView | None = None
    more: str = ""
    nothing: tuple[str, ...] = ()
    refused: tuple[str, ...] = ()
    without_price: str = ""
    asked: str = ""
    lacks: tuple[Lack, ...] = ()
    job: SearchView | None = None
    wait: str = ""
    told: str = ""
    again: str = ""


@dataclass(frozen=True, slots=True)
class SavingsPart:
    """savings_found.html, as a part of another page"""

    found: FoundView


@dataclass(frozen=True, slots=True, kw_only=True)
class SharedLine:
    """Buying for some other bags in the same go: what that saves, and their ids to start a run with."""

    does: str
    effect: str
    behind: str
    ids: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SharedView:
    """What buying for several bags in one go saves. `job`, `wait`, `told`, `again`: as in `FoundView`."""

    action: str
    lines: tuple[SharedLine, ...] = ()
    lacks: tuple[Lack, ...] = ()
    job: SearchView | None = None
    wait: str = ""
    told: str = ""
    again: str = ""


@dataclass(frozen=True, slots=True)
class SharedPart:
    """savings_shared.html, as a part of another page"""

    shared: SharedView


@dataclass(frozen=True, slots=True, kw_only=True)
class SavingsPage:
    """savings.html; `found` is None while it is worked out, at the address `later` if nothing is wrong.

    `shared` likewise, at the address `shared_later`.
    """

    frame: Frame
    bag_id: str
    bag_name: str
    fields: tuple[Field, ...]
    found: FoundView | None
    later: str
    shared: SharedView | None
    shared_later: str
    counting: CountingView


@dataclass(frozen=True, slots=True, kw_only=True)
class BesidePage:
    """beside.html"""

    frame: Frame
    before_name: str
    before_href: str
    after_name: str
    after_href: str
    after_version: int
    told: str
    numbers: Table
    differences: Table
    lacks: tuple[Lack, ...]
