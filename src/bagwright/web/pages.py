"""The page values: one frozen value per template, holding only words and pictures ready to be shown."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from markupsafe import Markup

from bagwright.web.counting_pages import CountingView
from bagwright.web.folded_pages import FoldedView
from bagwright.web.fusing_pages import FusingView
from bagwright.web.lacks import Lack
from bagwright.web.zip_page import ZipView

if TYPE_CHECKING:
    from bagwright.web.first_views import WantForm
    from bagwright.web.own_pages import OwnView


@dataclass(frozen=True, slots=True)
class Place:
    """A link in the masthead."""

    label: str
    href: str
    is_here: bool


@dataclass(frozen=True, slots=True)
class Frame:
    """What every page has."""

    title: str
    places: tuple[Place, ...]
    is_demo: bool


@dataclass(frozen=True, slots=True)
class Option:
    """One choice of a select."""

    value: str
    label: str
    chosen: bool = False


@dataclass(frozen=True, slots=True)
class OptionGroup:
    """Choices under one heading."""

    label: str
    options: tuple[Option, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One field of a form, with what was typed and what is wrong with it."""

    id: str
    name: str
    label: str
    value: str
    hint: str
    rounded: str = ""
    problem: str = ""
    choices: tuple[Option, ...] = ()


@dataclass(frozen=True, slots=True)
class Check:
    """A box to tick."""

    id: str
    name: str
    label: str
    is_ticked: bool


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table."""

    label: str
    is_number: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """A row of a table; `is_sum` sets it off as a total."""

    cells: tuple[str, ...]
    is_sum: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """A table with its caption; `of` says of what, where a page has several with one caption."""

    caption: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    of: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LayerForm:
    """One layer of a stack as a row of selects."""

    materials: tuple[OptionGroup, ...]
    extents: tuple[Option, ...]
    helds: tuple[Option, ...]
    has_choice: bool
    is_zone: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class RoleForm:
    """The stack of one role. `lost`: layers of which nothing is cut, for their zone is gone."""

    key: str
    name: str
    meaning: str
    is_bought: bool
    layers: tuple[LayerForm, ...]
    fusing: FusingView | None = None
    can_swap: bool = False
    problem: str = ""
    lost: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelView:
    """The body of one panel in words and pictures."""

    name: str
    sentence: str
    doubt: str
    bonds: tuple[str, ...]
    section_svg: Markup
    stance_svg: Markup
    numbers: Table
    how: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ClothView:
    """One material laid out."""

    key: str
    headline: str
    caption: str
    svg: Markup


@dataclass(frozen=True, slots=True, kw_only=True)
class TagLine:
    """One line of the swing tag; `before` is what stood there before the last change, if it moved."""

    label: str
    values: tuple[str, ...]
    before: str = ""
    is_main: bool = False
    is_list: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class AddOnForm:
    """Something that can be added: the choice whether it is, and its sizes once it is."""

    name: str
    choice: Field
    sizes: tuple[Field, ...]
    is_added: bool

    @property
    def is_at_fault(self) -> bool:
        """Whether something typed in it is wrong: it is shown then."""
        return any(field.problem for field in (self.choice, *self.sizes))


@dataclass(frozen=True, slots=True)
class WorkStepView:
    """One step of the work: what to do, to know and to mind; how long it takes, and why; what it sews, drawn."""

    number: int
    name: str
    facts: str
    cautions: tuple[str, ...]
    minutes: str = ""
    why: str = ""
    picture: Markup = field(default_factory=Markup)


@dataclass(frozen=True, slots=True)
class WorkStage:
    """Steps that belong together."""

    name: str
    steps: tuple[WorkStepView, ...]


@dataclass(frozen=True, slots=True)
class Paper:
    """Something to download."""

    label: str
    href: str


@dataclass(frozen=True, slots=True)
class PaperRow:
    """One paper, what it is for, and the files that it comes as."""

    name: str
    purpose: str
    files: tuple[Paper, ...]


@dataclass(frozen=True, slots=True)
class SearchView:
    """A search under way, or just done: then that part of the page at `href` is to be shown anew.

    `best`: what is best so far, where that can be told in words.
    """

    id: str
    href: str
    part: str
    words: str
    percent: int
    is_done: bool
    best: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class BagPage:
    """bag.html"""

    frame: Frame
    bag_id: str
    version: int
    units: str
    fraction: str
    name: str
    form_name: str
    stale: str
    problems: tuple[Lack, ...]
    folded: FoldedView
    name_field: Field
    size_fields: tuple[Field, ...]
    add_ons: tuple[AddOnForm, ...]
    added: str
    run_field: Field
    soundness: str
    is_sound: bool
    own: OwnView | None
    pieces_svg: Markup
    piece_table: Table
    zips: tuple[ZipView, ...]
    work: tuple[WorkStage, ...]
    first: tuple[WantForm, ...]
    roles: tuple[RoleForm, ...]
    panels: tuple[PanelView, ...]
    weight: str
    unweighed: tuple[Lack, ...]
    cloths: tuple[ClothView, ...]
    buying_table: Table | None
    run_words: str
    price_dates: str
    job: SearchView | None
    search_words: str
    time_table: Table | None
    time_how: Table | None
    thread_table: Table | None
    thread_waste: str
    price_table: Table | None
    price_notes: tuple[str, ...]
    price_sure: str
    counting: CountingView
    papers: tuple[PaperRow, ...]
    files: tuple[PaperRow, ...]
    cautions: tuple[str, ...]
    tag: tuple[TagLine, ...]
    tag_short: str
    can_undo: bool
    can_redo: bool


@dataclass(frozen=True, slots=True)
class SearchPage:
    """progress.html"""

    job: SearchView


@dataclass(frozen=True, slots=True, kw_only=True)
class BagCard:
    """One bag on the shelf of bags; `later`: sketch and facts are not worked out yet."""

    name: str
    href: str
    form_name: str
    sketch: Markup
    facts: tuple[tuple[str, str], ...]
    later: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CardPage:
    """bag_card.html: the card of one bag, worked out."""

    bags: tuple[BagCard, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FormCard:
    """One form that a new bag can take."""

    key: str
    name: str
    summary: str
    sketch: Markup


@dataclass(frozen=True, slots=True)
class AwayView:
    """The bag that was just put away."""

    name: str
    undo: str
    version: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BagsPage:
    """bags.html; `finds`: there are so many bags that they can be looked for by name, as in `find`.

    `begins`: the units and the pay that her first bag is reckoned with.
    """

    frame: Frame
    unit: Field
    bags: tuple[BagCard, ...]
    find: str
    finds: bool
    begins: str
    away: AwayView | None
    forms: tuple[FormCard, ...]


@dataclass(frozen=True, slots=True)
class EarlierView:
    """A state of everything that can be gone back to, and where to ask for it."""

    at: str
    action: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldGroup:
    """Settings that belong together."""

    key: str
    title: str
    meaning: str
    fields: tuple[Field, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkroomPage:
    """workroom.html; `refused`: why a file was not taken."""

    frame: Frame
    version: int
    groups: tuple[FieldGroup, ...]
    said: str
    stale: str
    refused: str
    can_undo: bool
    can_redo: bool
    earlier: tuple[EarlierView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultPage:
    """fault.html"""

    frame: Frame
    heading: str
    words: tuple[str, ...]
