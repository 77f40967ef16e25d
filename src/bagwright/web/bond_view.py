"""The page of how firmly two materials hold together, from what is kept and what was typed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from markupsafe import Markup

from bagwright.errors import Problem
from bagwright.model.bag import Workroom
from bagwright.model.material import Held
from bagwright.web.bond_pages import BondsPage, KeptBondView
from bagwright.web.frame import frame
from bagwright.web.measure_pages import FoundView
from bagwright.web.pages import Field, Option
from bagwright.web.ruler_words import (
    CAUTIONS,
    STEPS,
    angle_field,
    faces_fields,
    outlier_checks,
    reading_error_words,
    slope_cards,
)
from bagwright.web.wording import Wording
from bagwright.workflows.bond_words import acts_like, share_words
from bagwright.workflows.bonds import HELD_FLAT, BondOnShelf, TriedBond
from bagwright.workflows.measured_fields import USUAL_ANGLE_DEG
from bagwright.workflows.measuring_pictures import ruler_test_picture
from bagwright.workflows.shelf import Shelf

_MAKE = (
    "Fuse a piece of the two as you do for a bag: the same heat, time and steam, from the same side. Let it cool flat."
)
_CUT = "Cut strips 1 in (25 mm) wide and 8 in (20 cm) long from it, along the selvedge; longer if it is stiff."
_IRON = (
    "Hot iron, steam and fumes: follow the leaflet of the fusible, keep your fingers off, and air the room.",
    *CAUTIONS,
)
LOOK_AGAIN = "Something was changed since this was worked out. This is how it is now: look once more, then save."


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedBond:
    """What was typed, what was refused of it, and what it tells; `seen` stands for what was typed when it was told."""

    texts: Mapping[str, str] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()
    tried: TriedBond | None = None
    seen: str = ""
    has_changed: bool = False
    said: str = ""
    stale: str = ""
    refused: tuple[Problem, ...] = ()


def bonds_page(
    kept: tuple[BondOnShelf, ...], shelf: Shelf, workroom: Workroom, typed: TypedBond, *, is_demo: bool
) -> BondsPage:
    """The pairs that were tested, and how to test another."""
    say, texts, problems = Wording(workroom), typed.texts, typed.problems
    angle = texts.get("angle_deg", f"{USUAL_ANGLE_DEG:g}")
    shown = typed.tried.bond.bond.swatch if typed.tried else None
    return BondsPage(
        frame=frame("How firmly two materials hold together", "/materials", is_demo=is_demo),
        version=typed.tried.version if typed.tried else 0,
        seen=typed.seen,
        said=typed.said,
        stale=typed.stale,
        refused=tuple(problem.sentence() for problem in typed.refused),
        kept=tuple(_kept(one, say) for one in kept),
        pair=_pair_fields(shelf, texts, problems),
        picture=Markup(ruler_test_picture(shown.angle_deg if shown else USUAL_ANGLE_DEG)),
        angle=angle_field(angle, problems),
        cards=slope_cards("" if any(p.place == "angle_deg" for p in problems) else angle),
        steps=(_MAKE, _CUT, *STEPS[1:]),
        cautions=_IRON,
        scrap=faces_fields("scrap", texts, problems, workroom.units),
        found=_found(typed.tried, say) if typed.tried else None,
        found_words=LOOK_AGAIN if typed.has_changed else "",
        has_faults=bool(problems),
    )


def _pair_fields(shelf: Shelf, texts: Mapping[str, str], problems: tuple[Problem, ...]) -> tuple[Field, ...]:
    asked = (texts.get("outer", ""), texts.get("inner", ""))
    sheets = sorted(
        (f"{one.name} (put away)" if one.retired else one.name, one.id)
        for one in shelf.materials.values()
        if one.kind.is_sheet and (not one.retired or one.id in asked)
    )
    materials = [("", "choose one"), *((material_id, name) for name, material_id in sheets)]
    helds = [(held.value, held.value) for held in HELD_FLAT]
    return (
        _choice("outer", "Outer material", "The one that shows on the bag.", materials, texts, problems),
        _choice("inner", "What is behind it", "Fusible, fleece, foam or lining.", materials, texts, problems),
        _choice("held", "How it is held", "Quilted: rows as far apart as on the bag.", helds, texts, problems),
    )


def _choice(
    name: str,
    label: str,
    hint: str,
    options: list[tuple[str, str]],
    texts: Mapping[str, str],
    problems: tuple[Problem, ...],
) -> Field:
    chosen = texts.get(name, options[0][0])
    told = " ".join(problem.words() for problem in problems if problem.place == name)
    choices = tuple(Option(value, words, value == chosen) for value, words in options)
    return Field(id=f"bond-{name}", name=name, label=label, value=chosen, hint=hint, problem=told, choices=choices)


def _title(names: tuple[str, str], held: Held) -> str:
    return f"{names[0]} with {names[1]}, {held.value}"


def _found(tried: TriedBond, say: Wording) -> FoundView:
    share, scrap = tried.finding.share, tried.scrap
    return FoundView(
        title=_title(tried.names, tried.bond.held),
        result=acts_like(share),
        words=(
            share_words(share),
            f"A strip of the two stands {say.band(tried.after)} high by itself. Without this test it could be anything "
            f"from {say.band(tried.before)}.",
            *([reading_error_words(scrap, say.units)] if scrap else []),
        ),
        minds=(
            *([] if _in_reach(tried) else [tried.finding.word]),
            *(scrap.notes if scrap else ()),
        ),
        choices=tuple(outlier_checks("scrap", scrap, say.units)) if scrap else (),
    )


def _in_reach(tried: TriedBond) -> bool:
    unclipped = tried.finding.unclipped
    return unclipped.high >= 0 and unclipped.low <= 1


def _kept(one: BondOnShelf, say: Wording) -> KeptBondView:
    return KeptBondView(
        id=one.kept.id,
        version=one.version,
        title=_title(one.names, one.kept.held),
        words=tuple(_kept_words(one, say)),
        is_removed=one.is_removed,
        can_undo=one.can_undo,
        can_redo=one.can_redo,
    )


def _kept_words(one: BondOnShelf, say: Wording) -> list[str]:
    swatch = one.kept.bond.swatch
    source = [f"Known from: {swatch.overhang_mm.source.said_by}."] if swatch else []
    if one.tested is None:
        return ["One of the two has lost a reading, so this cannot be told now.", *source]
    tested = one.tested
    return [
        acts_like(tested.finding.share) if _in_reach(tested) else tested.finding.word,
        f"A strip of the two stands {say.band(tested.after)} high by itself instead of {say.band(tested.before)}.",
        *source,
    ]
