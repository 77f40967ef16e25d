"""The barrel bag: two round ends, a body of two halves round them, a zip between their upper edges.

Once round, halves and zip are as long as an end's circle: 2 h + z = pi d, with z what shows of the zip. At its ends the
zip, or its tabs, lies between the outer ends and those of the lining. Seen from outside, the front half ends at the
circle's `round` edge from the zip down, the back half from below up; the lining's copies lie the other way round.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from bagwright.drafting import cautions
from bagwright.drafting.barrel_sizes import BARREL_RULES, BARREL_SPECS, HANDLES, barrel_zip, half_mm
from bagwright.drafting.boxed_panel import bottom_line, bottom_lines_around_gap
from bagwright.drafting.faces import barrel_faces
from bagwright.drafting.form_spec import FormSpec
from bagwright.drafting.key_tab import key_tab
from bagwright.drafting.lined_bag import chain_lines, in_both
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import Sizes
from bagwright.drafting.piping import end_piping
from bagwright.drafting.pocket_add_ons import inside_pocket_add_ons
from bagwright.drafting.quilting import quilting
from bagwright.drafting.roles import LINING, OUTER, SLIDER, STRAP_ROLES, TAB, ZIP_CHAIN
from bagwright.drafting.round_end import zip_end_outline
from bagwright.drafting.side_seams import SideSeam, SideSeams
from bagwright.drafting.steps import Step, StitchLine, against, along
from bagwright.drafting.straps import two_places
from bagwright.drafting.straps_sewn_on import FacePlace, with_straps_sewn_on
from bagwright.drafting.zip_across import chain_note, tab_measure, zip_across_steps, zipped_half
from bagwright.drafting.zips import chain_piece, tab_piece, zip_notions
from bagwright.geometry.outline import rectangle_outline
from bagwright.model.pattern import AssembledMeasure, Panel, SeamKind, SeamSide, Span, Stage
from bagwright.model.piece import Bend, EdgeUse, Notch, Piece
from bagwright.model.sewn_zip import SewnZip, ZipEnds

_ROUND_KEYS = ("diameter_mm", "tape_width_mm", "zip_allowance_mm")


@dataclass(frozen=True, slots=True)
class Barrel:
    """Its pieces: halves and ends of outer and lining, the zip, and tabs if it has any."""

    half: tuple[Piece, Piece]
    end: tuple[Piece, Piece]
    chain: Piece
    tab: Piece | None

    @property
    def pieces(self) -> tuple[Piece, ...]:
        """All of them, the outer first."""
        (outer, lining), (end, lining_end) = self.half, self.end
        return (outer, end, lining, lining_end, *([self.tab] if self.tab else []), self.chain)


def begin_barrel_bag(sizes: Sizes) -> Making:
    """The lined body with its zip, and what it is carried by."""
    one = barrel_zip(sizes)
    barrel = Barrel(
        half=in_both(lambda role: _half(role, one, sizes)),
        end=in_both(lambda role: _end(role, one, sizes)),
        chain=chain_piece(one, note=chain_note(one, "bag"), bends=(_rolled(one.line_mm, one.showing_mm, sizes),)),
        tab=_tab(one, sizes) if one.ends is ZipEnds.TABS else None,
    )
    beside, gap = bottom_lines_around_gap(barrel.half[1])
    making = Making(
        pieces=barrel.pieces,
        steps=(
            *zip_across_steps(*barrel.half, barrel.chain, barrel.tab),
            *_bottoms(barrel, beside),
            *_end_steps(barrel),
        ),
        gap=gap,
        assembled=(*_measures(barrel, sizes), *tab_measure(one)),
        panels=_panels(sizes),
        notions=zip_notions(one),
        cautions=(cautions.TEETH, cautions.SLIDER),
        zips=(one,),
    )
    return _carried(making, sizes)


def _rolled(length_mm: float, height_mm: float, sizes: Sizes, *, sense: float = 1.0) -> Bend:
    """A strip along the barrel bent round it over all its height."""
    radius = sizes["diameter_mm"] / 2
    y = height_mm / 2
    return Bend((0.0, y), (length_mm, y), sense * math.degrees(height_mm / radius), radius)


def _half(role: str, one: SewnZip, sizes: Sizes) -> Piece:
    """Notched besides a quarter of the circle down from the middle of the zip."""
    wide, high = sizes["width_mm"], half_mm(sizes)
    half = zipped_half(role, "half", rectangle_outline(wide, high), one, sizes)
    side = high - (math.pi * sizes["diameter_mm"] / 4 - one.showing_mm / 2)
    return replace(
        half,
        notches=(*half.notches, Notch("right", side), Notch("left", high - side)),
        bends=(_rolled(wide, high, sizes, sense=-1.0 if role == "lining" else 1.0),),
    )


def _end(role: str, one: SewnZip, sizes: Sizes) -> Piece:
    """A circle, its `zip` edge above; notches at the zip's edges and at the quarters."""
    net = zip_end_outline(sizes["diameter_mm"], one.showing_mm)
    half, quarter = net.edge("round").length_mm / 2, math.pi * sizes["diameter_mm"] / 4
    places = (0.0, half - quarter, half, half + quarter, 2 * half)
    return Piece(
        id="end" if role == "outer" else "lining_end",
        name="Round end" if role == "outer" else "Lining end",
        role=role,
        net=net,
        allowance_mm=dict.fromkeys(("zip", "round"), sizes["seam_allowance_mm"]),
        edge_use=dict.fromkeys(("zip", "round"), EdgeUse.SEAM),
        count=2,
        notches=(*(Notch("round", at) for at in places), Notch("zip", one.showing_mm / 2)),
        note="Clip the allowance of the body up to its stitch line before sewing the end in.",
    )


def _tab(one: SewnZip, sizes: Sizes) -> Piece:
    """Folded across, and bent round with the zip: the layer below has its right side inwards."""
    length, width = one.tab_mm, one.showing_mm
    over, under = (_rolled(length, width, sizes, sense=sense) for sense in (1.0, -1.0))
    over = replace(over, start=(length, width / 2), end=(2 * length, width / 2))
    return replace(tab_piece(one), bends=(Bend((length, 0.0), (length, width), 180.0), over, under))


def _bottoms(barrel: Barrel, beside: tuple[StitchLine, ...]) -> tuple[Step, ...]:
    outer, lockstitch = barrel.half[0], SeamKind.LOCKSTITCH
    gap = "Sew the halves of the lining together along the bottom, leaving a gap between notches"
    name = "Sew the halves of the outer together along the bottom"
    return (
        Step("lining-bottom", gap, lockstitch, beside, stage=Stage.LINING),
        Step("outer-bottom", name, lockstitch, (bottom_line(outer),), stage=Stage.OUTER),
    )


def _end_steps(barrel: Barrel) -> tuple[Step, ...]:
    """Across the zip through all layers, then each end round its own body."""
    lockstitch = SeamKind.LOCKSTITCH
    outer, lining = (
        tuple(line for copy in (1, 2) for line in _round(half, end, copy))
        for half, end in zip(barrel.half, barrel.end, strict=True)
    )
    across = "the raw end of each tab" if barrel.tab else "each end of the zip"
    first = f"Open the zip; lay {across} between a round end and a lining end, and stitch across"
    return (
        Step("ends", first, lockstitch, tuple(_across(barrel, copy) for copy in (1, 2)), stage=Stage.ZIPS),
        Step("outer-ends", "Sew the round ends into the outer, notch to notch", lockstitch, outer, stage=Stage.OUTER),
        Step(
            "lining-ends", "Sew the lining ends into the lining, notch to notch", lockstitch, lining, stage=Stage.LINING
        ),
    )


def _across(barrel: Barrel, copy: int) -> StitchLine:
    """The zip's left end with outer end 1 and lining end 2, its right end with 2 and 1."""
    end, lining_end = barrel.end
    tab, key = barrel.tab, "end_left" if copy == 1 else "end_right"
    zipped: Sequence[SeamSide] = (along(barrel.chain, 1, key),)
    if tab:
        zipped = (along(tab, copy, "end_over"), against(tab, copy, "end_under"))
    return StitchLine((against(end, copy, "zip"), along(lining_end, 3 - copy, "zip"), *zipped))


def _round(half: Piece, end: Piece, copy: int) -> tuple[StitchLine, ...]:
    """From the zip down one half and up the other."""
    first, other = (2, 1) if copy == 1 else (1, 2)
    return chain_lines([along(end, copy, "round")], [against(half, first, "right"), against(half, other, "left")])


def _measures(barrel: Barrel, sizes: Sizes) -> tuple[AssembledMeasure, ...]:
    """The diameter as the halves and the zip go round it."""
    over = barrel.tab or barrel.chain
    spans = {
        "width_mm": (Span("outer", "bottom"),),
        "diameter_mm": (
            Span("outer", "right", 2 / math.pi),
            Span(over.id, "end_over" if barrel.tab else "end_right", 1 / math.pi),
        ),
    }
    return tuple(AssembledMeasure(key=key, asked_mm=sizes[key], spans=found) for key, found in spans.items())


def _panels(sizes: Sizes) -> tuple[Panel, Panel]:
    high = sizes["diameter_mm"]
    return (
        Panel(key="body", name="Front and back", piece_ids=("outer", "lining"), height_mm=high, copies=2),
        Panel(key="ends", name="Round ends", piece_ids=("end", "lining_end"), height_mm=high, copies=2),
    )


def _carried(making: Making, sizes: Sizes) -> Making:
    """Two handles below the zip, or one strap near the top of the ends."""
    wide, down, width = sizes["width_mm"], sizes["strap_down_mm"], sizes["strap_width_mm"]
    if HANDLES.is_made(sizes):
        y = half_mm(sizes) - down
        left, right = (sum(place) / 2 for place in two_places(wide / 2, width, sizes["strap_spacing_mm"]))
        both = [(FacePlace("outer", copy, left, y), FacePlace("outer", copy, right, y)) for copy in (1, 2)]
        return with_straps_sewn_on(making, sizes, both, said="handle", where="the outer halves")
    middle, high = sizes["diameter_mm"] / 2, sizes["diameter_mm"] - down
    ends = (FacePlace("end", 1, middle, high), FacePlace("end", 2, middle, high))
    return with_straps_sewn_on(making, sizes, [ends], said="strap", where="the round ends")


def _end_seam(role: str) -> SideSeam:
    """From the zip down to the bottom, at one end."""
    said = f"an end of the {role}"
    return SideSeam(where=f"{role}-ends:0", said=said, keys=_ROUND_KEYS, free_mm=half_mm, runs_up=False)


BARREL_BAG = FormSpec(
    key="barrel_bag",
    name="Barrel bag",
    summary="A round body with a zip along its top between two round ends, a lining, and two handles or one strap.",
    own_measurements=BARREL_SPECS,
    begin=begin_barrel_bag,
    own_rules=BARREL_RULES,
    own_roles=(OUTER, LINING, TAB, ZIP_CHAIN, SLIDER, *STRAP_ROLES),
    add_ons=(
        *inside_pocket_add_ons(barrel_faces(_ROUND_KEYS[1:], half_mm)),
        key_tab(SideSeams(_end_seam("lining"), _end_seam("outer"))),
        quilting("outer", ("width_mm", *_ROUND_KEYS), lambda sizes: (sizes["width_mm"], half_mm(sizes))),
        end_piping(),
    ),
)
