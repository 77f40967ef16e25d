"""The lined zip pouch: outer and lining held by one zip across the top, flat or with boxed corners.

The zip lies flat between front and back; at its ends a folded tab, or its own tape, lies in the side seams. Bends show
it folded along its teeth, as it is where it is sewn in.
"""

from __future__ import annotations

from dataclasses import replace

from bagwright.drafting import cautions
from bagwright.drafting.boxed_panel import (
    box_rules,
    boxed_panel_outline,
    boxed_shell_steps,
    closed_top_bends,
    face_panel,
    shell_measures,
)
from bagwright.drafting.faces import closed_faces
from bagwright.drafting.form_spec import FitRule, FormSpec
from bagwright.drafting.handles import up_the_side, wrist_loop
from bagwright.drafting.key_tab import key_tab
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import COMMON_PRACTICE, Choice, Sizes, size_spec, too_large
from bagwright.drafting.pocket_add_ons import pocket_add_ons
from bagwright.drafting.quilting import boxed_quilting
from bagwright.drafting.roles import LINING, OUTER, SLIDER, TAB, ZIP_CHAIN
from bagwright.drafting.side_seams import boxed_side_seams
from bagwright.drafting.steps import Step
from bagwright.drafting.zip_across import (
    chain_note,
    tab_measure,
    tabs_rule,
    zip_across,
    zip_across_steps,
    zipped_half,
)
from bagwright.drafting.zip_seams import folded_ends
from bagwright.drafting.zips import (
    chain_piece,
    ends_spec,
    tab_length_spec,
    tab_piece,
    zip_notions,
    zip_specs,
)
from bagwright.drafting.zone_names import box_zone_names
from bagwright.errors import Problem
from bagwright.model.piece import Bend, Piece
from bagwright.model.sewn_zip import SewnZip, ZipEnds

DEEPEST_SHARE = 1.8
"""Depth over height. The pouch stands sqrt(H^2 - D^2 / 4) high; at a depth of twice its height it lies flat."""


def pouch_zip(sizes: Sizes) -> SewnZip:
    """The zip across the top, which is as long from side seam to side seam as width and depth together.

    >>> sizes = ZIP_POUCH.defaults() | {"width_mm": 220, "depth_mm": 0, "tab_length_mm": 20}
    >>> pouch_zip(sizes).line_mm, pouch_zip(sizes).opening_mm
    (180, 168.0)
    """
    return zip_across("Zip across the top", sizes, ("width_mm", "depth_mm"))


def begin_zip_pouch(sizes: Sizes) -> Making:
    """Panels, zip, and tabs if there are any."""
    one = pouch_zip(sizes)
    outer, lining = _panel("outer", sizes), _panel("lining", sizes)
    chain, tab = _chain(one), _tab(one) if one.ends is ZipEnds.TABS else None
    lining_steps, gap = boxed_shell_steps(lining, with_gap=True)
    return Making(
        pieces=(outer, lining, *([tab] if tab else []), chain),
        steps=(*zip_across_steps(outer, lining, chain, tab), *_outer_steps(outer, chain, tab), *lining_steps),
        gap=gap,
        assembled=(*shell_measures(outer, sizes), *tab_measure(one)),
        panels=(face_panel(sizes),),
        notions=zip_notions(one),
        cautions=(cautions.TEETH, cautions.SLIDER),
        zips=(one,),
    )


def _panel(role: str, sizes: Sizes) -> Piece:
    net = boxed_panel_outline(sizes["width_mm"], sizes["height_mm"], sizes["depth_mm"])
    panel = zipped_half(role, "panel", net, pouch_zip(sizes), sizes)
    bends = closed_top_bends(sizes, is_lining=role == "lining")
    return replace(panel, bends=bends, zone_names=box_zone_names(sizes))


def _chain(one: SewnZip) -> Piece:
    middle = one.showing_mm / 2
    return chain_piece(one, note=chain_note(one, "pouch"), bends=(Bend((0.0, middle), (one.line_mm, middle), 180.0),))


def _tab(one: SewnZip) -> Piece:
    """Folded across and, with the zip, along its teeth: there the layer below has its right side inwards."""
    length, width, middle = one.tab_mm, one.showing_mm, one.showing_mm / 2
    bends = (
        Bend((length, 0.0), (length, middle), 180.0),
        Bend((length, middle), (length, width), 180.0),
        Bend((0.0, middle), (length, middle), -180.0),
        Bend((length, middle), (2 * length, middle), 180.0),
    )
    return replace(tab_piece(one), bends=bends)


def _outer_steps(outer: Piece, chain: Piece, tab: Piece | None) -> list[Step]:
    sides, *others = boxed_shell_steps(outer)[0]
    across = "folded tab ends" if tab else "zip's ends beyond its stops"
    name = f"Open the zip; sew the sides of the outer, across the {across}"
    return [replace(sides, name=name, lines=(*sides.lines, *folded_ends(chain, tab))), *others]


def _too_deep_to_close(sizes: Sizes) -> Problem | None:
    deepest = DEEPEST_SHARE * sizes["height_mm"]
    return too_large(sizes, "depth_mm", deepest, "is too much for front and back to meet at the zip")


ZIP_POUCH = FormSpec(
    key="zip_pouch",
    name="Lined zip pouch",
    summary="A lined pouch with a zip across the top: flat (depth 0), or boxed, standing on a base.",
    own_measurements=(
        size_spec("width_mm", "Width", "Finished width of the base, side to side.", (100, 228.6, 600)),
        size_spec(
            "height_mm", "Height", "Finished height from the base to the stitch line of the zip.", (60, 152.4, 500)
        ),
        size_spec(
            "depth_mm",
            "Depth",
            "Finished depth of the base, front to back: the corners are boxed; 0 for a flat pouch.",
            (0, 50.8, 200),
        ),
        ends_spec(),
        tab_length_spec(needs=Choice("zip_ends", (0,))),
        *zip_specs(),
        size_spec(
            "seam_allowance_mm",
            "Seam allowance",
            "Cloth outside the stitch line at the sides, the bottom and the ends of the zip.",
            (6, 9.525, 20),
            source=COMMON_PRACTICE,
        ),
    ),
    begin=begin_zip_pouch,
    own_rules=(
        *box_rules(may_be_flat=True),
        FitRule(("depth_mm", "height_mm"), _too_deep_to_close),
        tabs_rule(("width_mm", "depth_mm")),
    ),
    own_roles=(OUTER, LINING, TAB, ZIP_CHAIN, SLIDER),
    add_ons=(
        *pocket_add_ons(closed_faces()),
        key_tab(boxed_side_seams()),
        wrist_loop(up_the_side("outer-sides:0", "the front", "height_mm")),
        boxed_quilting(),
    ),
)
