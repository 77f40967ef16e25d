"""The page of one material, from what is kept."""

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
from bagwright.units import UnitSystem
from bagwright.web.frame import frame
from bagwright.web.material_pages import (
    FromName,
    MaterialPage,
    OfferForm,
    ReadingForm,
    ReadingGroup,
)
from bagwright.web.pages import Check, Field, Option
from bagwright.workflows.material_changes import MaterialOnShelf
from bagwright.workflows.material_fields import ReadingField, print_reading, reading_fields
from bagwright.workflows.measured_fields import USUAL_ANGLE_DEG
from bagwright.workflows.name_numbers import NameNumbers, not_yet_used
from bagwright.workflows.offer_fields import offer_fields, print_offer, sold_how, usual_offer, ways_sold
from bagwright.workflows.pictures import swatch_picture
from bagwright.workflows.shelf_advice import is_usual, next_steps

KNOWN_WORDS = {
    SourceKind.MEASURED: "measured by you",
    SourceKind.LABEL: "on the label",
    SourceKind.TYPICAL: "usual for its kind",
    SourceKind.GUESS: "a guess",
}
GLUE_WORDS = ("no glue", "glue on one side", "glue on both sides")
_USUAL_NOTE = "Usual for its kind, not measured on yours."
_READ_OFF_A_RULER = ("overhang_mm", "crosswise_overhang_mm", "selvedge_mm")
_GROUPS = (
    ("How it feels", ("mass_gsm", "thickness_mm", "overhang_mm", "crosswise_overhang_mm", "mass_gpm", "mass_each_g")),
    ("Cutting it", ("selvedge_mm", "shrinkage_share", "crosswise_shrinkage_share")),
    ("Its print", ("repeat_along_mm", "repeat_across_mm", "motif_in_mm")),
    ("Under the iron", ("highest_iron_c", "glue_needs_c")),
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


def picture_href(material: Material) -> str:
    """The address of its picture; empty if it has none."""
    return f"/materials/{quote(material.id)}/swatch.jpg?{material.swatch[:8]}" if material.swatch else ""


def material_page(
    on_shelf: MaterialOnShelf, workroom: Workroom, typed: TypedMaterial, *, is_demo: bool
) -> MaterialPage:
    """One material with all that can be changed about it."""
    material = on_shelf.material
    own = typed if typed.of == "material" else TypedMaterial()
    named = not_yet_used(material, tuple(kept.value for kept in on_shelf.offers))
    return MaterialPage(
        frame=frame(material.name, "/materials", is_demo=is_demo),
        id=material.id,
        version=on_shelf.version,
        name=material.name,
        kind=material.kind.value,
        swatch=Markup(swatch_picture(material)),
        picture=picture_href(material),
        picture_problem=" ".join(p.words() for p in typed.problems) if typed.of == "swatch" else "",
        plain_fields=_plain_fields(material, own),
        traits=_traits(material, own),
        advice=next_steps(material),
        from_name=_from_name(material, named),
        readings=_reading_groups(material, workroom, own),
        overhang_words=_overhang_words(material),
        can_be_measured=material.kind.is_sheet,
        offers=tuple(_offer_form(kept.value, kept.version, workroom, typed) for kept in on_shelf.offers),
        new_offers=tuple(_new_offer(sold, material, workroom, typed, named) for sold in ways_sold(material.kind)),
        dropped_offer=typed.dropped_offer,
        said=typed.said,
        stale=typed.stale,
        is_away=material.retired,
        can_undo=on_shelf.can_undo,
        can_redo=on_shelf.can_redo,
    )


def _overhang_words(material: Material) -> str:
    """The slope that its overhangs belong to, where it is not the usual one."""
    is_at_usual = material.overhang_angle_deg == USUAL_ANGLE_DEG or not material.overhang_mm
    return "" if is_at_usual else f"The ruler tests are those at a slope of {material.overhang_angle_deg:g} degrees."


def _plain_fields(material: Material, typed: TypedMaterial) -> tuple[Field, ...]:
    def text(name: str) -> str:
        return typed.texts.get(name, str(getattr(material, name)))

    fields = [
        typed_field("name", "Name", "As it stands on lists and papers.", text("name"), typed.problems),
        typed_field("fibres", "Made of", "Fibres, coating, tannage.", text("fibres"), typed.problems),
        typed_field("note", "Note", "Anything you want to remember.", text("note"), typed.problems),
    ]
    if material.kind.is_sheet:
        sides = tuple(Option(str(n), said, str(n) == text("fusible_sides")) for n, said in enumerate(GLUE_WORDS))
        told = "Whether an iron makes it stick."
        fields.insert(
            2, typed_field("fusible_sides", "Glue", told, text("fusible_sides"), typed.problems, choices=sides)
        )
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


def _from_name(material: Material, found: NameNumbers) -> FromName | None:
    """What its name tells and nothing on this page does yet."""
    labels = {field.name: field.label for field in reading_fields(material.kind, fusible=False)}
    told = [(labels[name], text) for name, text in found.readings.items()]
    told += [("Made of", found.fibres)] if found.fibres else []
    told += [("Glue", GLUE_WORDS[found.glued_sides])] if found.glued_sides else []
    size = f"{found.width} by {found.length}" if found.length else found.width
    return FromName(facts=tuple(told), width=size) if told or size else None


def _reading_groups(material: Material, workroom: Workroom, typed: TypedMaterial) -> tuple[ReadingGroup, ...]:
    fields = reading_fields(material.kind, fusible=material.fusible_sides > 0)
    groups = (
        (title, tuple(_reading_form(f, material, workroom, typed) for f in fields if f.name in names))
        for title, names in _GROUPS
    )
    return tuple(ReadingGroup(title, forms) for title, forms in groups if forms)


def _reading_form(spec: ReadingField, material: Material, workroom: Workroom, typed: TypedMaterial) -> ReadingForm:
    name, reading = spec.name, getattr(material, spec.name)
    first = SourceKind.MEASURED if name in _READ_OFF_A_RULER else SourceKind.LABEL
    known = typed.texts.get(f"{name}_known", reading.source.kind.value if reading else first.value)
    options = tuple(Option(kind.value, words, kind.value == known) for kind, words in KNOWN_WORDS.items())
    text = typed.texts.get(name, print_reading(spec, reading, workroom.units))
    who = typed.texts.get(f"{name}_said_by", reading.source.said_by if reading else "")
    return ReadingForm(
        value=typed_field(name, spec.label, _hint(spec, reading, workroom), text, typed.problems),
        known=typed_field(f"{name}_known", f"{spec.label}: how you know", "", known, typed.problems, choices=options),
        said_by=typed_field(f"{name}_said_by", f"{spec.label}: who says so", "", who, typed.problems),
        note=_USUAL_NOTE if is_usual(reading) else "",
    )


def _hint(spec: ReadingField, reading: Reading | None, workroom: Workroom) -> str:
    """Felt, foam and vinyl are labelled in millimetres in every country, so inches of thickness get them beside."""
    is_both = spec.name == "thickness_mm" and reading and workroom.units is UnitSystem.INCH
    return f"{round(reading.value, 2):g} mm. {spec.hint}" if reading and is_both else spec.hint


def _offer_form(offer: Offer, version: int, workroom: Workroom, typed: TypedMaterial) -> OfferForm:
    own = typed if typed.of == offer.id else TypedMaterial()
    sold = sold_how(offer)
    headline = f"{offer.seller}: {offer.price.said()}, {sold}, {offer.dated:%d %b %Y}"
    names = [f for f in offer_fields(sold, MaterialKind.PLAIN_CLOTH) if _has(offer, f.name)]
    fields = tuple(
        typed_field(
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


def _new_offer(
    sold: str, material: Material, workroom: Workroom, typed: TypedMaterial, named: NameNumbers
) -> OfferForm:
    own = typed if typed.of == sold else TypedMaterial()
    start = {**usual_offer(sold, workroom, date.today()), "width_mm": named.width, "length_mm": named.length}
    fields = tuple(
        typed_field(
            f.name, f.label, f.hint, own.texts.get(f.name, start.get(f.name, "")), own.problems, of=f"new-{sold}"
        )
        for f in offer_fields(sold, material.kind)
    )
    fits_name = bool(named.width) and sold == ("by piece" if named.length else "by length")
    return OfferForm(
        id="", version=0, sold=sold, headline=f"Add an offer {sold}", fields=fields, is_open=bool(own.of) or fits_name
    )


def typed_field(
    name: str,
    label: str,
    hint: str,
    value: str,
    problems: Sequence[Problem],
    *,
    choices: tuple[Option, ...] = (),
    of: str = "",
) -> Field:
    """A field with what was typed and every fault found in it."""
    told = " ".join(problem.words() for problem in problems if problem.place == name)
    own = f"{of}-{name}".replace(" ", "-") if of else name
    return Field(id=own, name=name, label=label, value=value, hint=hint, problem=told, choices=choices)
