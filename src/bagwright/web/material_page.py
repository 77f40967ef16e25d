"""The shelf and the page of one material, from what is kept."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from urllib.parse import quote

from markupsafe import Markup

from bagwright.errors import Problem
from bagwright.model.bag import Workroom
from bagwright.model.material import Material, MaterialKind, Offer
from bagwright.model.source import Reading, SourceKind
from bagwright.web.frame import frame
from bagwright.web.material_pages import (
    MaterialCard,
    MaterialGroup,
    MaterialPage,
    MaterialsPage,
    OfferForm,
    ReadingForm,
)
from bagwright.web.pages import Check, Field, Option
from bagwright.workflows.material_changes import MaterialOnShelf
from bagwright.workflows.material_fields import ReadingField, print_reading, reading_fields
from bagwright.workflows.measured_fields import USUAL_ANGLE_DEG
from bagwright.workflows.offer_fields import offer_fields, print_offer, sold_how, usual_offer, ways_sold
from bagwright.workflows.pictures import swatch_picture
from bagwright.workflows.shelf import Shelf

_KNOWN_WORDS = {
    SourceKind.MEASURED: "measured by me",
    SourceKind.LABEL: "on the label",
    SourceKind.TYPICAL: "usual range",
    SourceKind.GUESS: "a guess",
}
_SIDES = ("no glue", "glue on one side", "glue on both sides")
_CARD_FACTS = 3
_STIFFENERS = (
    *(MaterialKind.WOVEN_INTERFACING, MaterialKind.NONWOVEN_INTERFACING),
    *(MaterialKind.FLEECE, MaterialKind.FELT, MaterialKind.FOAM),
)
_SHELVES = (
    ("Cloth and leather", tuple(k for k in MaterialKind if k.is_sheet and k not in _STIFFENERS)),
    ("Interfacing and padding", _STIFFENERS),
    ("By length and by count", tuple(kind for kind in MaterialKind if not kind.is_sheet)),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedMaterial:
    """What was typed and refused; `of` names the form: "material", "swatch", the id of an offer or a way sold."""

    of: str = ""
    texts: Mapping[str, str] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()
    stale: str = ""
    said: str = ""
    dropped_offer: str = ""


def materials_page(
    shelf: Shelf, workroom: Workroom, typed: TypedMaterial, *, is_demo: bool, said: str = ""
) -> MaterialsPage:
    """Every material by kind, those put away, and the form for a new one."""
    shelves = ((name, _cards(shelf, workroom, kinds)) for name, kinds in _SHELVES)
    away = [material for material in shelf.materials.values() if material.retired]
    fields = [problem for problem in typed.problems if problem.place in ("name", "kind")]
    return MaterialsPage(
        frame=frame("Materials", "/materials", is_demo=is_demo),
        groups=tuple(MaterialGroup(name, own) for name, own in shelves if own),
        away=tuple(_card(material, workroom) for material in away),
        new_fields=_new_fields(typed, fields),
        said=said,
        problems=tuple(problem.sentence() for problem in typed.problems if problem not in fields),
    )


def _cards(shelf: Shelf, workroom: Workroom, kinds: tuple[MaterialKind, ...]) -> tuple[MaterialCard, ...]:
    own = [material for material in shelf.materials.values() if material.kind in kinds and not material.retired]
    in_order = sorted(own, key=lambda material: (kinds.index(material.kind), material.name.casefold()))
    return tuple(_card(material, workroom) for material in in_order)


def _card(material: Material, workroom: Workroom) -> MaterialCard:
    fields = reading_fields(material.kind, fusible=material.fusible_sides > 0)
    known = [(f.label, print_reading(f, getattr(material, f.name), workroom.units)) for f in fields]
    facts = [(label, text.partition(" (")[0]) for label, text in known if text]
    glue = _SIDES[material.fusible_sides] if material.fusible_sides else ""
    return MaterialCard(
        name=material.name,
        href=f"/materials/{quote(material.id)}",
        words=" · ".join(filter(None, (material.kind.value, material.fibres, glue))),
        swatch=Markup(swatch_picture(material)),
        picture=_picture(material),
        facts=tuple(facts[:_CARD_FACTS]),
    )


def _picture(material: Material) -> str:
    return f"/materials/{quote(material.id)}/swatch.jpg?{material.swatch[:8]}" if material.swatch else ""


def _new_fields(typed: TypedMaterial, problems: Sequence[Problem]) -> tuple[Field, ...]:
    chosen = typed.texts.get("kind", MaterialKind.PLAIN_CLOTH.value)
    kinds = tuple(Option(kind.value, kind.value, kind.value == chosen) for kind in MaterialKind)
    name = _field("name", "Name", "As you call it: pond canvas, 10 oz.", typed.texts.get("name", ""), problems)
    kind = _field("kind", "Kind", "It starts from what is usual for its kind.", chosen, problems, choices=kinds)
    return name, kind


def material_page(
    on_shelf: MaterialOnShelf, workroom: Workroom, typed: TypedMaterial, *, is_demo: bool
) -> MaterialPage:
    """One material with all that can be changed about it."""
    material = on_shelf.material
    own = typed if typed.of == "material" else TypedMaterial()
    return MaterialPage(
        frame=frame(material.name, "/materials", is_demo=is_demo),
        id=material.id,
        version=on_shelf.version,
        name=material.name,
        kind=material.kind.value,
        swatch=Markup(swatch_picture(material)),
        picture=_picture(material),
        picture_problem=" ".join(p.words() for p in typed.problems) if typed.of == "swatch" else "",
        plain_fields=_plain_fields(material, own),
        traits=_traits(material, own),
        readings=tuple(
            _reading_form(f, getattr(material, f.name), workroom, own)
            for f in reading_fields(material.kind, fusible=material.fusible_sides > 0)
        ),
        overhang_words=_overhang_words(material),
        can_be_measured=material.kind.is_sheet,
        offers=tuple(_offer_form(kept.value, kept.version, workroom, typed) for kept in on_shelf.offers),
        new_offers=tuple(_new_offer(sold, material, workroom, typed) for sold in ways_sold(material.kind)),
        dropped_offer=typed.dropped_offer,
        said=typed.said,
        stale=typed.stale,
        is_away=material.retired,
        can_undo=on_shelf.can_undo,
        can_redo=on_shelf.can_redo,
    )


def _overhang_words(material: Material) -> str:
    """The slope that its overhangs belong to, where it is not the usual one."""
    is_usual = material.overhang_angle_deg == USUAL_ANGLE_DEG or not material.overhang_mm
    return "" if is_usual else f"The overhangs are those at a slope of {material.overhang_angle_deg:g} degrees."


def _plain_fields(material: Material, typed: TypedMaterial) -> tuple[Field, ...]:
    def text(name: str) -> str:
        return typed.texts.get(name, str(getattr(material, name)))

    fields = [
        _field("name", "Name", "As it stands on lists and papers.", text("name"), typed.problems),
        _field("fibres", "Made of", "Fibres, coating, tannage.", text("fibres"), typed.problems),
        _field("note", "Note", "Anything you want to remember.", text("note"), typed.problems),
    ]
    if material.kind.is_sheet:
        sides = tuple(Option(str(n), said, str(n) == text("fusible_sides")) for n, said in enumerate(_SIDES))
        told = "Whether an iron makes it stick."
        fields.insert(2, _field("fusible_sides", "Glue", told, text("fusible_sides"), typed.problems, choices=sides))
    return tuple(fields)


def _traits(material: Material, typed: TypedMaterial) -> tuple[Check, ...]:
    if not material.kind.is_sheet:
        return ()
    traits = (
        ("directional", "Has a right way up (nap or print): all pieces lie the same way"),
        ("holes_stay", "Pin and needle holes stay: use clips"),
        ("laid_double", "Laid double for cutting, selvedge on selvedge (printed cloth with a repeat stays single)"),
        ("half_drop", "Every other row of the print lies half a repeat further along"),
    )
    return tuple(
        Check(name, name, label, name in typed.texts if typed.texts else getattr(material, name))
        for name, label in traits
    )


def _reading_form(spec: ReadingField, reading: Reading | None, workroom: Workroom, typed: TypedMaterial) -> ReadingForm:
    name, said = spec.name, reading.source.said_by if reading else ""
    known = typed.texts.get(f"{name}_known", reading.source.kind.value if reading else SourceKind.MEASURED.value)
    options = tuple(Option(kind.value, words, kind.value == known) for kind, words in _KNOWN_WORDS.items())
    text = typed.texts.get(name, print_reading(spec, reading, workroom.units))
    who = typed.texts.get(f"{name}_said_by", said)
    return ReadingForm(
        value=_field(name, spec.label, spec.hint, text, typed.problems),
        known=_field(f"{name}_known", f"{spec.label}: how you know", "", known, typed.problems, choices=options),
        said_by=_field(f"{name}_said_by", f"{spec.label}: who says so", "", who, typed.problems),
    )


def _offer_form(offer: Offer, version: int, workroom: Workroom, typed: TypedMaterial) -> OfferForm:
    own = typed if typed.of == offer.id else TypedMaterial()
    sold = sold_how(offer)
    headline = f"{offer.seller}: {offer.price.said()}, {sold}, {offer.dated:%d %b %Y}"
    names = [f for f in offer_fields(sold, MaterialKind.PLAIN_CLOTH) if _has(offer, f.name)]
    fields = tuple(
        _field(
            f.name,
            f.label,
            f.hint,
            own.texts.get(f.name, print_offer(offer, f.name, workroom)),
            own.problems,
            of=offer.id,
        )
        for f in names
    )
    return OfferForm(id=offer.id, version=version, sold=sold, headline=headline, fields=fields, is_open=bool(own.of))


def _has(offer: Offer, name: str) -> bool:
    """A reel or a zip has no width to ask for."""
    return name != "width_mm" or bool(getattr(offer, "width_mm", 0))


def _new_offer(sold: str, material: Material, workroom: Workroom, typed: TypedMaterial) -> OfferForm:
    own = typed if typed.of == sold else TypedMaterial()
    usual = usual_offer(sold, workroom, date.today())
    fields = tuple(
        _field(f.name, f.label, f.hint, own.texts.get(f.name, usual.get(f.name, "")), own.problems, of=f"new-{sold}")
        for f in offer_fields(sold, material.kind)
    )
    return OfferForm(id="", version=0, sold=sold, headline=f"Add an offer {sold}", fields=fields, is_open=bool(own.of))


def _field(
    name: str,
    label: str,
    hint: str,
    value: str,
    problems: Sequence[Problem],
    *,
    choices: tuple[Option, ...] = (),
    of: str = "",
) -> Field:
    told = " ".join(problem.words() for problem in problems if problem.place == name)
    own = f"{of}-{name}".replace(" ", "-") if of else name
    return Field(id=own, name=name, label=label, value=value, hint=hint, problem=told, choices=choices)
