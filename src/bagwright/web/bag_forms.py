"""The forms on the page of a bag: its measurements, its stacks, how many are made."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from bagwright.errors import Problem
from bagwright.model.material import Held, Layer, Material, MaterialKind
from bagwright.web.fusing_views import fusing_view
from bagwright.web.pages import AddOnForm, Field, LayerForm, Option, OptionGroup, RoleForm
from bagwright.web.wording import Wording
from bagwright.web.zone_views import extent_options, lost_lines
from bagwright.workflows.desk import BagView
from bagwright.workflows.reckoning import roles_not_needed
from bagwright.workflows.swap_search import roles_with_swaps
from bagwright.workflows.typed_sizes import SizeSpec
from bagwright.workflows.usual_allowances import allowance_origin

_HELD_WORDS = {
    Held.LOOSE: "lies loose",
    Held.FUSED: "fused",
    Held.BASTED: "basted at the edges",
    Held.QUILTED: "quilted",
}


def size_fields(view: BagView, typed: Mapping[str, str], problems: Sequence[Problem]) -> tuple[Field, ...]:
    """One field for each measurement of the form itself."""
    sizes = view.answer.pattern.measurements_mm
    return tuple(_field(spec, view, typed, problems) for spec in view.form.own_measurements if spec.applies(sizes))


def add_on_forms(view: BagView, typed: Mapping[str, str], problems: Sequence[Problem]) -> tuple[AddOnForm, ...]:
    """Whatever can be added to the form, and the sizes of what is added."""
    sizes = view.answer.pattern.measurements_mm
    forms = []
    for add_on in view.form.add_ons:
        choice, *others = add_on.measurements
        is_added = add_on.chosen.is_made(sizes)
        shown = [spec for spec in others if is_added and spec.applies(sizes)]
        forms.append(
            AddOnForm(
                name=add_on.name,
                choice=_field(choice, view, typed, problems),
                sizes=tuple(_field(spec, view, typed, problems) for spec in shown),
                is_added=is_added,
            )
        )
    return tuple(forms)


def _field(spec: SizeSpec, view: BagView, typed: Mapping[str, str], problems: Sequence[Problem]) -> Field:
    size_mm, say = view.answer.pattern.measurements_mm[spec.key], Wording(view.workroom)
    printed = say.size(size_mm)
    text = typed.get(spec.key, f"{size_mm:.0f}" if spec.is_count else printed.text)
    numbered = enumerate(spec.choices, start=int(spec.low_mm))
    return Field(
        id=spec.key,
        name=spec.key,
        label=spec.label,
        value=text,
        hint=say.hers_first(f"{spec.meaning} {allowance_origin(spec, size_mm, view.workroom)}".strip()),
        rounded="" if spec.is_count or spec.key in typed else printed.rounded,
        problem=say.hers_first(_told(problems, spec.key)),
        choices=tuple(Option(str(number), said, str(number) == text) for number, said in numbered),
    )


def name_field(view: BagView, typed: Mapping[str, str], problems: Sequence[Problem]) -> Field:
    """What the bag is called."""
    return Field(
        id="name",
        name="name",
        label="Name",
        value=typed.get("name", view.answer.bag.name),
        hint="As it stands on the tag and on the papers.",
        problem=_told(problems, "name"),
    )


def run_field(view: BagView, typed: Mapping[str, str], problems: Sequence[Problem]) -> Field:
    """How many bags are cut together."""
    return Field(
        id="run_count",
        name="run_count",
        label="How many in this run",
        value=typed.get("run_count", str(view.answer.bag.run_count)),
        hint="Bags cut from the same cloth at one go.",
        problem=_told(problems, "run_count"),
    )


def _told(problems: Sequence[Problem], place: str) -> str:
    return " ".join(problem.words() for problem in problems if problem.place == place)


def role_forms(view: BagView, problems: Sequence[Problem]) -> tuple[RoleForm, ...]:
    """One form for each role that this pattern uses, sliders left out where zips bring theirs."""
    answer = view.answer
    used = {piece.role for piece in answer.pattern.pieces} | {notion.role for notion in answer.pattern.notions}
    used -= roles_not_needed(answer.bag.stacks, view.shelf)
    swappable = roles_with_swaps(view) if not answer.besides_weight else frozenset()
    forms = []
    for role in view.form.roles:
        if role.key in used:
            stack = answer.bag.stacks.get(role.key, ()) or (Layer(""),)
            layers = tuple(
                _layer_form(
                    layer,
                    view,
                    role.kinds if role.is_notion or number == 0 else None,
                    extent_options(answer.pattern, role.key, layer, may_be_zone=number > 0),
                )
                for number, layer in enumerate(stack)
            )
            own = [p for p in problems if re.match(rf"stacks\.{re.escape(role.key)}\b", p.place)]
            told = " ".join(p.words() for p in own)
            forms.append(
                RoleForm(
                    key=role.key,
                    name=role.name,
                    meaning=role.meaning,
                    is_bought=role.is_notion,
                    layers=layers,
                    fusing=None if role.is_notion else fusing_view(stack, view),
                    can_swap=role.key in swappable,
                    problem=told,
                    lost=lost_lines(answer, view.shelf, role.key),
                )
            )
    return tuple(forms)


def _layer_form(
    layer: Layer, view: BagView, kinds: tuple[MaterialKind, ...] | None, extents: tuple[Option, ...]
) -> LayerForm:
    materials = [m for m in view.shelf.materials.values() if not m.retired or m.id == layer.material_id]
    return LayerForm(
        materials=_groups(materials, layer.material_id, kinds),
        extents=extents,
        helds=tuple(Option(h.value, _HELD_WORDS[h], h is layer.held) for h in Held),
        has_choice=layer.material_id in view.shelf.materials,
        is_zone=bool(layer.zone),
    )


def _groups(
    materials: Sequence[Material], chosen: str, kinds: tuple[MaterialKind, ...] | None
) -> tuple[OptionGroup, ...]:
    """Materials by kind; for an inner layer, every kind of sheet, what stiffens first."""
    shown = kinds or tuple(kind for kind in (*_STIFFENERS, *MaterialKind) if kind.is_sheet)
    groups = []
    for kind in dict.fromkeys((*shown, *(m.kind for m in materials if m.id == chosen))):
        options = tuple(Option(m.id, _listed(m), m.id == chosen) for m in materials if m.kind is kind)
        if options:
            groups.append(OptionGroup(kind.value.capitalize(), options))
    return tuple(groups)


def _listed(material: Material) -> str:
    return f"{material.name} (put away)" if material.retired else material.name


_STIFFENERS = (
    MaterialKind.NONWOVEN_INTERFACING,
    MaterialKind.WOVEN_INTERFACING,
    MaterialKind.FLEECE,
    MaterialKind.FELT,
    MaterialKind.FOAM,
)
