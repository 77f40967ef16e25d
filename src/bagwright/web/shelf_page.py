"""The shelf: every material by kind, with what is known of it and how, and what to find out next."""

from __future__ import annotations

from collections.abc import Sequence
from urllib.parse import quote

from markupsafe import Markup

from bagwright.errors import Problem
from bagwright.model.bag import Workroom
from bagwright.model.material import Material, MaterialKind
from bagwright.model.source import Reading, SourceKind
from bagwright.web.frame import frame
from bagwright.web.material_page import GLUE_WORDS, TypedMaterial, picture_href, typed_field
from bagwright.web.material_pages import CardFact, MaterialCard, MaterialGroup, MaterialsPage
from bagwright.web.pages import Field, Option
from bagwright.workflows.material_fields import ReadingField, print_range, print_reading, reading_fields
from bagwright.workflows.pictures import swatch_picture
from bagwright.workflows.shelf import Shelf
from bagwright.workflows.shelf_advice import is_usual, next_steps

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
_MARKS = {
    SourceKind.MEASURED: "measured",
    SourceKind.LABEL: "label",
    SourceKind.TYPICAL: "usual",
    SourceKind.GUESS: "a guess",
}
_CARD_LABELS = {"overhang_mm": "Ruler test", "crosswise_overhang_mm": "Ruler test, across"}


def materials_page(
    shelf: Shelf, workroom: Workroom, typed: TypedMaterial, *, is_demo: bool, said: str = ""
) -> MaterialsPage:
    """Every material by kind, those put away, and the form for a new one."""
    shelves = ((name, _cards(shelf, workroom, kinds)) for name, kinds in _SHELVES)
    away = [material for material in shelf.materials.values() if material.retired]
    fields = [problem for problem in typed.problems if problem.place in ("name", "kind")]
    on_shelf = [material for material in shelf.materials.values() if not material.retired]
    return MaterialsPage(
        frame=frame("Materials", "/materials", is_demo=is_demo),
        groups=tuple(MaterialGroup(name, own) for name, own in shelves if own),
        away=tuple(_card(material, workroom) for material in away),
        has_usual=any(is_usual(r) for m in on_shelf for r in (m.mass_gsm, m.thickness_mm, m.overhang_mm)),
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
    known = ((field, getattr(material, field.name)) for field in fields)
    facts = [_fact(field, reading, workroom) for field, reading in known if reading]
    glue = GLUE_WORDS[material.fusible_sides] if material.fusible_sides else ""
    return MaterialCard(
        name=material.name,
        href=f"/materials/{quote(material.id)}",
        words=" · ".join(filter(None, (material.kind.value, material.fibres, glue))),
        swatch=Markup(swatch_picture(material)),
        picture=picture_href(material),
        facts=tuple(facts[:_CARD_FACTS]),
        next_step="" if material.retired else (next_steps(material) or ("",))[0],
    )


def _fact(field: ReadingField, reading: Reading, workroom: Workroom) -> CardFact:
    """One number; of what is only usual for the kind, the whole range."""
    usual = is_usual(reading)
    text = print_range(field, reading, workroom.units) if usual else print_reading(field, reading, workroom.units)
    label = _CARD_LABELS.get(field.name, field.label)
    value = text if usual else text.partition(" (")[0]
    return CardFact(label=label, value=value, mark=_MARKS[reading.source.kind], is_usual=usual)


def _new_fields(typed: TypedMaterial, problems: Sequence[Problem]) -> tuple[Field, ...]:
    chosen = typed.texts.get("kind", MaterialKind.PLAIN_CLOTH.value)
    kinds = tuple(Option(kind.value, kind.value, kind.value == chosen) for kind in MaterialKind)
    hint = "As on the label: canvas, 10 oz, 60 in. What it says of weight, width and glue is offered to you next."
    name = typed_field("name", "Name", hint, typed.texts.get("name", ""), problems)
    told = "Vinyl and faux leather are coated cloth; denim and canvas are bottom-weight."
    return name, typed_field("kind", "Kind", told, chosen, problems, choices=kinds)
