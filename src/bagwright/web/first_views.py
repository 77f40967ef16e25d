"""What the bag waits for, on its page: a small form for each cloth, bought part and thread that is not chosen yet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bagwright.errors import Problem
from bagwright.model.material import MaterialKind
from bagwright.units import UnitSystem
from bagwright.web.lacks import Lack
from bagwright.web.pages import Field, Option
from bagwright.workflows.desk import BagView
from bagwright.workflows.first_materials import PLACE, TAPES, THREAD, Want, wants_of

_SIZES = {
    "by length": ("width_mm",),
    "by count": ("pack_count",),
    "by piece": ("width_mm", "length_mm"),
    "by area": ("usual_area_m2", "usual_width_mm"),
}
_EXAMPLES = {
    MaterialKind.BOTTOM_WEIGHT: "As on its label, such as: blue canvas, 10 oz.",
    MaterialKind.PLAIN_CLOTH: "As on its label, such as: dotted cotton.",
    MaterialKind.THREAD: "As on its label, such as: polyester, all purpose.",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class WantForm:
    """One thing to put on the shelf; `roles`: what is made of it, their keys with commas between."""

    key: str
    title: str
    roles: str
    fields: tuple[Field, ...]
    button: str


def want_forms(
    view: BagView, typed: Mapping[str, str] | None = None, problems: Sequence[Problem] = ()
) -> tuple[WantForm, ...]:
    """A form for each thing that the bag waits for, `typed` and faults in the one that was sent."""
    return tuple(_form(want, view, typed or {}, problems) for want in wants_of(view))


def _form(want: Want, view: BagView, typed: Mapping[str, str], problems: Sequence[Problem]) -> WantForm:
    is_sent = typed.get("want") == want.key
    texts = typed if is_sent else {}
    told = {one.place.removeprefix(f"{PLACE}."): one.words() for one in problems} if is_sent else {}
    names = [role.name for role in want.roles]
    return WantForm(
        key=want.key,
        title=_listed(names) if names else "Thread for all seams",
        roles=",".join(role.key for role in want.roles),
        fields=tuple(_field(want, name, view, texts, told) for name in _names(want)),
        button=f"Make {'it' if len(names) == 1 else 'them'} of this" if names else "Use this thread",
    )


def _names(want: Want) -> tuple[str, ...]:
    kind = want.kinds[0]
    sizes = _SIZES[want.sold] if kind.is_sheet or want.sold != "by length" else ()
    if want.key == THREAD:
        sizes = ("length_each_m",)
    if kind in TAPES:
        sizes = ("thickness_mm",)
    return ("name", *(("kind",) if len(want.kinds) > 1 else ()), "price", *sizes)


def _field(want: Want, name: str, view: BagView, texts: Mapping[str, str], told: Mapping[str, str]) -> Field:
    label, hint = _words(want, name, view)
    usual = {"kind": want.kinds[0].value, "pack_count": "1"}
    value = texts.get(name, usual.get(name, ""))
    choices = tuple(Option(kind.value, kind.value, kind.value == value) for kind in want.kinds)
    return Field(
        id=f"{PLACE}-{want.key}-{name}",
        name=name,
        label=label,
        value=value,
        hint=hint,
        problem=told.get(name, ""),
        choices=choices if name == "kind" else (),
    )


def _words(want: Want, name: str, view: BagView) -> tuple[str, str]:
    is_inch, currency = view.workroom.units is UnitSystem.INCH, view.workroom.currency
    if name == "name":
        return "Name", _EXAMPLES.get(want.kinds[0], "As on its label.")
    if name == "kind":
        return "Kind", "Denim, duck and canvas are bottom-weight."
    if name == "price" and want.sold == "by length":
        return ("Price for 1 yd" if is_inch else "Price for 1 m"), f"What you pay for it, in {currency}."
    if name == "price":
        return "Price", f"Of one {'spool' if want.key == THREAD else 'pack'}, in {currency}."
    if name == "width_mm":
        return "Width", f"From selvedge to selvedge, such as {'58 in' if is_inch else '140 cm'}."
    return {
        "pack_count": ("In a pack", "How many that buys."),
        "length_each_m": ("Length on a spool", "As its label says, such as 250 yd or 229 m."),
        "length_mm": ("Length", "Of one cut piece."),
        "thickness_mm": (
            "Thickness of its tape",
            f"Such as {'1/32 in' if is_inch else '1 mm'}; seams are reckoned with it.",
        ),
        "usual_area_m2": ("Area of one, in m²", "About what one hide has; the price is for 1 m²."),
        "usual_width_mm": ("Width to count on", "What you can lay pieces across."),
    }[name]


def _listed(names: Sequence[str]) -> str:
    """Names as said in one breath.

    >>> _listed(["Outer", "Strap", "Tab"])
    'Outer, strap and tab'
    """
    low = [names[0], *(name[:1].lower() + name[1:] for name in names[1:])]
    return low[0] if len(low) == 1 else f"{', '.join(low[:-1])} and {low[-1]}"


def waiting_lacks(problems: Sequence[Problem], lacks: Sequence[Lack], forms: Sequence[WantForm]) -> tuple[Lack, ...]:
    """What is missing, in one line for all that the forms ask for."""
    if not forms:
        return tuple(lacks)
    asked = {f"stacks.{role}" for form in forms for role in form.roles.split(",")} | {"materials"}
    others = [lack for problem, lack in zip(problems, lacks, strict=True) if problem.place not in asked]
    words = f"Still to choose: {'; '.join(form.title.lower() for form in forms)}."
    return (Lack(words, f"#{PLACE}", "Say what they are made of, and what that costs"), *others)
