"""The pages of the mat, from what is asked and what was found."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from markupsafe import Markup

from bagwright.errors import Problem
from bagwright.model.brought_photo import PhotoLine
from bagwright.model.stash import SideUp
from bagwright.units import UnitSystem
from bagwright.web.frame import frame
from bagwright.web.mat_pages import HeldPhoto, MatPage, MatPhotoPage, OutlineForm
from bagwright.web.pages import Check, Field, Option, Paper
from bagwright.workflows.mat_photo import OutlineLook, PhotoLook
from bagwright.workflows.scraps_of_photo import GRAINS
from bagwright.workflows.tell_outline import MARKER_CARDS, MAT_COLOURS, MAT_SIZES

_CHECKS = (
    ("template", "They are paper templates: straight edges, sharp corners (also those rounded below 1/8 in, 3 mm)"),
    ("split", "Part outlines where two scraps seem to touch"),
    ("plastic", "A bank card, or another plastic card of that size, lies there to check the scale"),
)
_MEASURED = (
    ("square", "a black square (50 mm)"),
    ("100 mm", "the line of 100 mm"),
    ("4 in", "the line of 4 in"),
)
_SHARPENED = (
    "Corners rounded by less than about 1/8 in (3 mm) are told sharp here, up to 3/64 in (1 mm) outside the paper. "
    "Round them again when you cut."
)
_SHELF = "From your shelf. If it is not there yet, add it under Materials: this picture waits here."
_WORTH = "In the money of your workroom, as 1.50; empty if you don’t count it."
_AS_ABOVE = Option("", "as above")


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedMat:
    """What was typed on one of the two pages, and what is wrong with it. `is_sent`: the form was sent."""

    texts: Mapping[str, str] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()
    is_sent: bool = False

    def problem(self, name: str) -> str:
        """What is wrong with one field."""
        return next((problem.words() for problem in self.problems if problem.place == name), "")


def mat_page(typed: TypedMat, kept_side: str, held: Sequence[PhotoLine], *, is_demo: bool) -> MatPage:
    """How to take the photo, the form that takes it in, and the photos that are held."""
    return MatPage(
        frame=frame("Scraps from a photo", "/stash", is_demo=is_demo),
        problems=tuple(
            problem.words() for problem in typed.problems if problem.place not in {"card", "measured", "thickness"}
        ),
        held=tuple(_held(line) for line in held),
        ruler=_ruler(typed, kept_side),
        checks=tuple(Check(name, name, label, name in typed.texts) for name, label in _CHECKS),
        cards=tuple(
            Paper(f"Marker cards, {paper} (PDF)", f"/mat/cards/{name}") for name, paper in MARKER_CARDS.items()
        ),
        mats=tuple(
            Paper(f"{size.replace('in', ' in').replace('x', ' x ')}, {colour}", f"/mat/whole/{size}/{colour}")
            for size in MAT_SIZES
            for colour in MAT_COLOURS
        ),
    )


def _held(line: PhotoLine) -> HeldPhoto:
    found = f"{line.outlines} outline{'' if line.outlines == 1 else 's'}"
    put = f"{line.in_stash} of them in the stash" if line.in_stash else "none in the stash yet"
    return HeldPhoto(line.name or "a picture without a name", f"/mat/{line.token}", f"{found}, {put}")


def _ruler(typed: TypedMat, kept_side: str, thickness: str = "") -> tuple[Field, Field, Field]:
    """What her ruler says, and along what; how thick the scraps are."""
    along = typed.texts.get("measured", "square")
    kept = f" Kept from your last picture: {kept_side}." if kept_side else ""
    return (
        Field(
            id="card",
            name="card",
            label="What your ruler says",
            value=typed.texts.get("card", kept_side),
            hint=f"Kept for this stack of cards until you change it. Empty: printed at their full size.{kept}",
            problem=typed.problem("card"),
        ),
        Field(
            id="measured",
            name="measured",
            label="Measured along",
            value=along,
            hint="A line is surer: half a mm is 1 % of a square and half a percent of a line.",
            problem=typed.problem("measured"),
            choices=tuple(Option(value, words, value == along) for value, words in _MEASURED),
        ),
        Field(
            id="thickness",
            name="thickness",
            label="How thick they are",
            value=typed.texts.get("thickness", thickness),
            hint="Of foam, felt or board, as it lies: 1/8 in, 3 mm. Empty: by the material that you name for each.",
            problem=typed.problem("thickness"),
        ),
    )


def mat_photo_page(look: PhotoLook, typed: TypedMat, done: str = "") -> MatPhotoPage:
    """What is in a photo, and what she has to say of it. `done`: what was just put right."""
    count = len(look.outlines)
    fields = _fields(look, typed, "")
    outlines = tuple(_outline(one, look, typed) for one in look.outlines)
    named = {one.name for one in (*fields, *(field for one in outlines for field in one.fields))}
    named |= {f"{name}-{one.number}" for one in outlines for name in ("line", "join", "corners")}
    ignored = ", ".join(str(number) for number in look.ignored)
    wishes = {
        "template": look.wishes.is_template,
        "split": look.wishes.splits,
        "plastic": look.wishes.shows_plastic_card,
    }
    return MatPhotoPage(
        frame=frame("Scraps from a photo", "/stash", is_demo=look.is_demo),
        token=look.token,
        file_name=look.file_name,
        picture=Markup(look.picture_svg),
        told=f"{count} outline{'' if count == 1 else 's'} found",
        scale=look.scale,
        refused=look.refused,
        sharpened=_SHARPENED if look.wishes.is_template else "",
        ignored=f"Cards {ignored} do not fit the others and were not used: bent, or partly covered." if ignored else "",
        problems=tuple(problem.words() for problem in typed.problems if problem.place not in named),
        fields=fields,
        outlines=outlines,
        check=look.check,
        ruler=_ruler(typed, look.card_side, look.thickness),
        checks=tuple(Check(name, name, label, wishes[name]) for name, label in _CHECKS),
        can_undo=look.can_undo,
        done=done,
        units=look.units.value,
        fraction=look.fraction,
    )


def _outline(one: OutlineLook, look: PhotoLook, typed: TypedMat) -> OutlineForm:
    name = f"keep-{one.number}"
    fields, corners = _fields(look, typed, f"-{one.number}"), _corners(one, look, typed)
    line, join = _line(one, look, typed), _join(one, look, typed)
    return OutlineForm(
        number=one.number,
        check=Check(name, name, f"Keep {one.number}", name in typed.texts if typed.is_sent else _is_taken(one)),
        in_stash=one.in_stash,
        size=one.size,
        found=one.corners,
        asks=one.asks,
        line=line,
        join=join,
        corners=corners,
        fields=fields,
        is_open=any(field.problem for field in (*fields, line, join, corners) if field),
    )


def _is_taken(one: OutlineLook) -> bool:
    """Until she says otherwise."""
    return not one.asks and not one.in_stash


def _line(one: OutlineLook, look: PhotoLook, typed: TypedMat) -> Field:
    """Along which it is parted."""
    name = f"line-{one.number}"
    such = "in inches" if look.units is UnitSystem.INCH else "in mm"
    example = "0 x 1 1/2; 5 x 1 1/2" if look.units is UnitSystem.INCH else "0 40; 120 40"
    return Field(
        id=name,
        name=name,
        label="Part it along the line",
        value=typed.texts.get(name, one.line),
        hint=f"Two places {such}, across and up from its lower left: {example}. "
        "Or press “Part it in two” under the picture.",
        problem=typed.problem(name),
    )


def _join(one: OutlineLook, look: PhotoLook, typed: TypedMat) -> Field | None:
    """With which other it is made one."""
    name, others = f"join-{one.number}", [other.number for other in look.outlines if other.number != one.number]
    if not others:
        return None
    value = typed.texts.get(name, str(others[0]))
    choices = tuple(Option(str(other), str(other), str(other) == value) for other in others)
    gap = "9/16 in" if look.units is UnitSystem.INCH else "15 mm"
    hint = f"Of a scrap that was taken for two; a gap of up to {gap} is closed."
    problem = typed.problem(name)
    return Field(id=name, name=name, label="Join it with", value=value, hint=hint, problem=problem, choices=choices)


def _corners(one: OutlineLook, look: PhotoLook, typed: TypedMat) -> Field | None:
    """Its corners, where there are few enough to type."""
    name = f"corners-{one.number}"
    if not one.corners:
        return None
    such = f"In inches, rounded to 1/{look.fraction}" if look.units is UnitSystem.INCH else "In mm, rounded to 0.1"
    return Field(
        id=name,
        name=name,
        label="Corners",
        value=typed.texts.get(name, one.corners),
        hint=f"{such}; what you leave alone stays exactly as found. Across and up from its lower left, round it: "
        "drag them in the picture, or type.",
        problem=typed.problem(name),
    )


def _fields(look: PhotoLook, typed: TypedMat, end: str) -> tuple[Field, ...]:
    """The fields for all (`end` empty) or for one outline, where all may be left as above."""
    as_above = (_AS_ABOVE,) if end else ()
    first = _AS_ABOVE if end else Option("", "Choose…")
    materials = (first, *(Option(one.id, one.name) for one in look.materials))
    grains = (*as_above, *(Option(key, label) for key, label in GRAINS.items() if key or not end))
    sides = (*as_above, *(Option(side.value, side.value) for side in SideUp))

    def asked(name: str, label: str, hint: str, choices: Sequence[Option] = ()) -> Field:
        value = typed.texts.get(name + end, choices[0].value if choices else "")
        return Field(
            id=name + end,
            name=name + end,
            label=label,
            value=value,
            hint=hint,
            problem=typed.problem(name + end),
            choices=tuple(Option(one.value, one.label, one.value == value) for one in choices),
        )

    own = (asked("value", "Worth", _WORTH), asked("note", "Name or note", "")) if end else ()
    return (
        asked("material", "Material", _SHELF, materials),
        asked("grain", "Lengthwise grain runs", "Left out for materials without grain.", grains),
        asked(
            "grain_deg",
            "Or turned by",
            "Degrees against the clock, from left to right; empty: as chosen. Or turn the arrow in the picture.",
        ),
        asked("side_up", "Side that is up", "Of a fusible: the side with glue is its wrong side.", sides),
        asked("bin", "Where it lies", "A box, a drawer, a shelf."),
        *own,
    )
