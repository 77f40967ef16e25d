"""A zip that closes an open bag across its top: between bands caught in the top seam, or recessed into the lining."""

from __future__ import annotations

import math
from dataclasses import replace

from bagwright.drafting import cautions
from bagwright.drafting.form_spec import AddOn
from bagwright.drafting.gusset_shell import LEAST_STRAIGHT_MM
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import Sizes
from bagwright.drafting.recess import FACING, RECESSED, TOP_ZIP
from bagwright.drafting.recessed_zip import with_recessed_zip
from bagwright.drafting.roles import OUTER, SLIDER, TAB, ZIP_CHAIN
from bagwright.drafting.steps import Caught, Step, StitchLine, against, along, part
from bagwright.drafting.top_zip_sizes import OPENING, PREFIX, LeastBelow, beside_ends, flat_band_mm, top_zip_specs
from bagwright.drafting.zip_bands import BandedZip, banded_zip
from bagwright.drafting.zips import sewn_zip, zip_notions
from bagwright.model.pattern import AssembledMeasure, SeamKind, Span, Stage
from bagwright.model.piece import Bend, Piece
from bagwright.model.sewn_zip import SewnZip, ZipEnds

LEAST_BELOW_MM = 60.0
"""What a recess has to leave of the height of a lining (common practice, no source)."""


def boxed_top_zip() -> AddOn:
    """The zip of a bag whose lining is boxed, with two strap ends in the top of front and back."""
    return replace(_top_zip(lambda sizes: LEAST_BELOW_MM, ()), rules=(beside_ends("strap"),))


def gusset_top_zip() -> AddOn:
    """The zip of a bag whose lining has a gusset and whose back may hold a handle.

    Above the round corners some straight side must be left.
    """
    zipped = _top_zip(lambda sizes: sizes["corner_radius_mm"] + LEAST_STRAIGHT_MM, ("corner_radius_mm",))
    return replace(zipped, rules=(beside_ends("handle", "grab_handle"),))


def _top_zip(least_below: LeastBelow, keys: tuple[str, ...]) -> AddOn:
    """`least_below` is the lowest lining that a recess may leave, which depends on `keys`."""
    return AddOn(
        key="top_zip",
        name="Zip across the top",
        measurements=top_zip_specs(least_below, keys),
        add=_with_top_zip,
        roles=(OUTER, FACING, TAB, ZIP_CHAIN, SLIDER),
    )


def _with_top_zip(making: Making, sizes: Sizes) -> Making:
    line_mm = sizes[OPENING] + sizes[f"{PREFIX}slider_parked_mm"]
    if sizes[TOP_ZIP] == RECESSED:
        one = replace(_sewn(line_mm, sizes), tab_mm=(sizes["width_mm"] - line_mm) / 2, facing_mm=flat_band_mm(sizes))
        banded = banded_zip(one, "facing", sizes["seam_allowance_mm"], caps=False)
        making = with_recessed_zip(making, sizes, banded)
    else:
        one = _sewn(line_mm, sizes)
        under_mm = min(one.under_mm, one.tab_mm - 2)
        one = replace(one, facing_mm=sizes["band_width_mm"], under_mm=under_mm)
        making = _with_bands(making, sizes, banded_zip(one, "outer", sizes["top_allowance_mm"], caps=True))
    spans = (Span("zip_chain", "tape_front"), Span("zip_chain", "parked", -1.0))
    return making.having(
        assembled=(AssembledMeasure(key=OPENING, asked_mm=sizes[OPENING], spans=spans),),
        notions=zip_notions(one),
        cautions=(cautions.TEETH, cautions.SLIDER),
        zips=(one,),
    )


def _sewn(line_mm: float, sizes: Sizes) -> SewnZip:
    return sewn_zip("zip_chain", "Zip across the top", line_mm, sizes, prefix=PREFIX, ends=ZipEnds.TABS)


def _with_bands(making: Making, sizes: Sizes, banded: BandedZip) -> Making:
    """Both bands caught in the top seam, in the middle of front and back; their ends are sewn shut."""
    flat, wide = flat_band_mm(sizes), sizes["band_width_mm"]
    slope = math.degrees(math.acos(min(1.0, flat / wide)))
    length = banded.band.edge("top_outside").length_mm
    # The upper layer turns in from the outer with its right side outwards, the lower one from the lining inwards.
    turned = tuple(Bend((0.0, y), (length, y), turn) for y, turn in ((0.0, 90.0 + slope), (2 * wide, -90.0 - slope)))
    banded = replace(banded, band=replace(banded.band, bends=(*banded.band.bends, *turned)))
    lines: list[StitchLine] = []
    for copy, where in ((1, "front"), (2, "back")):
        start = (making.tops[where].length_mm - length) / 2
        caught = [
            Caught(start, start + length, side)
            for side in (against(banded.band, copy, "top_outside"), along(banded.band, copy, "top_inside"))
        ]
        making = making.catching(where, *caught, word="the zip bands")
        edge = part(making.tops[where].through[0], start, start + length)
        lines.append(StitchLine((edge,), tuple(replace(c, start_mm=0.0, end_mm=length) for c in caught)))
    baste = "Open the zip; baste the bands to the top of the outer, right sides together, between notches"
    spans = (Span(banded.band.id, "end_left", 0.5),)
    return making.having(
        pieces=banded.pieces,
        steps=(
            _shut_ends(banded.band, wide),
            *banded.steps(),
            Step("zip-bands-held", baste, SeamKind.BASTE, tuple(lines), stage=Stage.JOIN),
        ),
        assembled=(AssembledMeasure(key="band_width_mm", asked_mm=wide, spans=spans),),
    )


def _shut_ends(band: Piece, wide: float) -> Step:
    """Upper and lower layer of each end, from the fold's side outwards."""
    lines = []
    for copy in (1, 2):
        for end in ("end_left", "end_right"):
            lines.append(StitchLine((part(along(band, copy, end), 0, wide), part(against(band, copy, end), 0, wide))))
    name = "Fold each zip band along its middle, right sides together; sew its short ends, turn it and press"
    return Step("zip-band-ends", name, SeamKind.LOCKSTITCH, tuple(lines), stage=Stage.ZIPS)
