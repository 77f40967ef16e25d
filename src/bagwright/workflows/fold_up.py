"""The bag folded up: its picture from any side, what it measures and holds, in words and as JSON."""

from __future__ import annotations

import math
from dataclasses import dataclass

from bagwright.drafting.fold_faults import find_fold_faults, sizes_as_asked
from bagwright.drafting.fold_up import fold_up
from bagwright.drafting.own_pieces import OWN_PIECES
from bagwright.model.fold_up import GAP_TOLERANCE_MM, FoldedFacet, FoldUp
from bagwright.model.pattern import Pattern
from bagwright.output.fold_up import STEEPEST_DEG, USUAL_TILT_DEG, USUAL_TURN_DEG, FoldedBag, draw_fold_up, ready_to_see
from bagwright.output.svg import inline_svg, svg_file
from bagwright.units import UnitSystem, print_length
from bagwright.workflows.desk import Remembered

Json = dict[str, object]
FLAT_MM = 1.0
INSIDE_TURN_DEG = 150.0
CUBIC_INCHES_PER_L = 1000 / 2.54**3
_DECIMALS = 3


@dataclass(frozen=True, slots=True)
class Viewpoint:
    """From where the bag is seen: `turn_deg` 0 its front, 90 its right side; `tilt_deg` above 0 from above."""

    turn_deg: float
    tilt_deg: float

    def moved(self, turn_deg: float = 0.0, tilt_deg: float = 0.0) -> Viewpoint:
        """Turned on; never past straight above or below.

        >>> Viewpoint(350.0, 80.0).moved(30.0, 20.0)
        Viewpoint(turn_deg=20.0, tilt_deg=90.0)
        """
        tilt = max(-STEEPEST_DEG, min(STEEPEST_DEG, self.tilt_deg + tilt_deg))
        return Viewpoint((self.turn_deg + turn_deg) % 360.0, tilt)


def usual_viewpoint(pattern: Pattern) -> Viewpoint:
    """A little from the right and from above; what lies flat in use is looked into, unless its inside is its front."""
    lies_flat = pattern.panels and not any(panel.is_upright for panel in pattern.panels)
    is_cover_first = pattern.pieces[0].role not in ("lining", "pocket")
    return Viewpoint(INSIDE_TURN_DEG if lies_flat and is_cover_first else USUAL_TURN_DEG, USUAL_TILT_DEG)


def read_viewpoint(turn: str, tilt: str, pattern: Pattern) -> Viewpoint:
    """A viewpoint from two texts; what is no number stands for the usual.

    >>> from bagwright.drafting.forms import draft_bag
    >>> read_viewpoint("-30", "nonsense", draft_bag("boxed_tote", {}))
    Viewpoint(turn_deg=330.0, tilt_deg=20.0)
    """
    usual = usual_viewpoint(pattern)
    return Viewpoint(_number(turn, usual.turn_deg), _number(tilt, usual.tilt_deg)).moved()


def _number(text: str, usual: float) -> float:
    try:
        number = float(text)
    except ValueError:
        return usual
    return round(number, 2) if abs(number) < 1e6 else usual


def folded(pattern: Pattern) -> FoldedBag:
    """The bag folded up and ready to be seen. It takes a while, so what was folded lately is remembered."""
    key = _folded_by(pattern)
    return _folded.get(key) or _folded.put(key, ready_to_see(fold_up(pattern)))


def is_remembered(pattern: Pattern) -> bool:
    """Whether the bag has been folded up lately, so that it can be seen at once."""
    return _folded.get(_folded_by(pattern)) is not None


def _folded_by(pattern: Pattern) -> str:
    """All that the folded bag depends on, as text."""
    own = (pattern.pieces, pattern.seams, pattern.panels, pattern.assembled)
    return repr(own if pattern.form == OWN_PIECES else (pattern.form, sorted(pattern.measurements_mm.items())))


_folded: Remembered[str, FoldedBag] = Remembered(12)


def folded_picture(pattern: Pattern, view: Viewpoint, *, units: UnitSystem) -> str:
    """The bag from there, to be set into a page."""
    drawing = draw_fold_up(folded(pattern), units=units, turn_deg=view.turn_deg, tilt_deg=view.tilt_deg)
    return inline_svg(drawing, id_prefix="folded-up")


def folded_file(pattern: Pattern, view: Viewpoint, *, units: UnitSystem) -> bytes:
    """The bag from there, as an SVG file."""
    return svg_file(draw_fold_up(folded(pattern), units=units, turn_deg=view.turn_deg, tilt_deg=view.tilt_deg))


def folded_words(pattern: Pattern, *, units: UnitSystem, fraction: int = 8) -> str:
    """What the bag measures and holds as it stands, in a sentence or two.

    >>> from bagwright.drafting.forms import draft_bag
    >>> folded_words(draft_bag("boxed_tote", {}), units=UnitSystem.INCH)
    'Folded up it stands 13 in wide, 5 in deep and 14 in high, and holds about 15 litres (910 cubic inches).'
    """
    fold = folded(pattern).fold
    if says_no_bends(pattern):
        return "These pieces do not say where they bend: they lie flat at their seams, and what must bend gapes."

    def told(length_mm: float) -> str:
        return print_length(length_mm, units, fraction=fraction).text

    width, depth, height = fold.assembled_size_mm
    if depth < FLAT_MM:
        return f"Folded up it lies flat, {told(width)} wide and {told(height)} high."
    holds = f", and holds about {_capacity_said(fold.capacity_l, units)}" if fold.capacity_l else ""
    stands = f"Folded up it stands {told(width)} wide, {told(depth)} deep and {told(height)} high{holds}."
    if fold.lean_mm < FLAT_MM:
        return stands
    asked = sizes_as_asked(fold)
    along = f"its base is {told(asked['width_mm'])} wide, and along a face it is {told(asked['height_mm'])} high"
    return f"{stands} Front and back lean in: {along}."


def _capacity_said(litres: float, units: UnitSystem) -> str:
    said = f"{litres:.0f}" if litres >= 10 else f"{litres:.1f}" if litres >= 1 else f"{litres:.2f}"
    if units is UnitSystem.METRIC:
        return f"{said} litres"
    inches = litres * CUBIC_INCHES_PER_L
    step = 10 ** max(0, math.floor(math.log10(inches)) - 1)
    return f"{said} litres ({round(inches / step) * step:g} cubic inches)"


def says_no_bends(pattern: Pattern) -> bool:
    """Whether her own pieces would have to bend to close their seams, and do not say where."""
    bent = any(piece.bends for piece in pattern.pieces)
    return pattern.form == OWN_PIECES and not bent and folded(pattern).fold.worst_seam.gap_mm > GAP_TOLERANCE_MM


def fold_faults_said(pattern: Pattern) -> tuple[str, ...]:
    """What is wrong with the bag as it folds up; nothing for a sound pattern, or where nobody said how it bends."""
    if says_no_bends(pattern):
        return ()
    return tuple(fault.words for fault in find_fold_faults(pattern, folded(pattern).fold))


def unplaced_said(pattern: Pattern) -> tuple[str, ...]:
    """What is not in the picture, if anything."""
    names = {piece.id: piece.name for piece in pattern.pieces}
    missing = dict.fromkeys(names[piece_id] for piece_id, _ in folded(pattern).fold.unplaced)
    return (f"Not joined to the rest yet, and so not shown: {', '.join(missing)}.",) if missing else ()


def fold_up_as_json(pattern: Pattern) -> Json:
    """Lengths in mm, x to the right, y away from the front, z up from the ground; capacity in litres or null."""
    fold = folded(pattern).fold
    width, depth, height = fold.assembled_size_mm
    return {
        "assembled_size_mm": {"width": _mm(width), "depth": _mm(depth), "height": _mm(height)},
        "base_width_mm": _mm(fold.base_width_mm),
        "lean_mm": _mm(fold.lean_mm),
        "capacity_l": None if fold.capacity_l is None else _mm(fold.capacity_l),
        "worst_seam": _worst(fold),
        "unplaced": [{"piece": piece_id, "copy": copy} for piece_id, copy in fold.unplaced],
        "faults": list(fold_faults_said(pattern)),
        "facets": [_facet(facet) for facet in fold.facets],
    }


def _worst(fold: FoldUp) -> Json | None:
    return {"id": fold.worst_seam.seam_id, "gap_mm": _mm(fold.worst_seam.gap_mm)} if fold.gaps else None


def _facet(facet: FoldedFacet) -> Json:
    corners = [[_mm(x), _mm(y), _mm(z)] for x, y, z in facet.points]
    return {"piece": facet.piece_id, "copy": facet.copy, "corners": corners}


def _mm(value: float) -> float:
    """Rounded to a thousandth, so that every machine prints the same."""
    return round(value, _DECIMALS) + 0.0  # turns -0.0 into 0.0
