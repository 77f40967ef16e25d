"""A slip pocket on one lining panel: hemmed along the top, stitched down on three sides."""

from __future__ import annotations

from collections.abc import Mapping

from bagwright.drafting.measurements import FitRule, size_spec, too_large
from bagwright.drafting.size_specs import count_spec
from bagwright.drafting.steps import Step, StitchLine, along
from bagwright.errors import Problem
from bagwright.geometry.outline import rectangle_outline
from bagwright.model.pattern import AssembledMeasure, SeamKind, Span
from bagwright.model.piece import EdgeUse, Piece, PlacementLine

POCKET_BELOW_TOP_MM = 38.1
POCKET_MARGIN_MM = 12.7
POCKET_HEM_MM = 25.4

Sizes = Mapping[str, float]

POCKET_SPECS = (
    count_spec("inside_pockets", "Inside pockets", "How many slip pockets lie on the lining, none or one.", (0, 1, 1)),
    size_spec(
        "pocket_width_mm", "Pocket width", "Finished width of the slip pocket, if there is one.", (60, 177.8, 600)
    ),
    size_spec(
        "pocket_height_mm", "Pocket height", "Finished height of the slip pocket, if there is one.", (60, 152.4, 600)
    ),
)


def slip_pocket(sizes: Sizes) -> Piece | None:
    """The pocket, if one is asked for."""
    if not sizes["inside_pockets"]:
        return None
    net = rectangle_outline(sizes["pocket_width_mm"], sizes["pocket_height_mm"])
    allowance = dict.fromkeys(("bottom", "right", "left"), sizes["seam_allowance_mm"])
    return Piece(
        id="pocket",
        name="Inside pocket",
        role="pocket",
        net=net,
        allowance_mm={**allowance, "top": POCKET_HEM_MM},
        edge_use={**dict.fromkeys(allowance, EdgeUse.SEAM), "top": EdgeUse.HEM},
        note="Turn the top down twice for its hem; turn the other three edges under.",
    )


def pocket_lines(sizes: Sizes, *, middle_mm: float, top_mm: float) -> tuple[PlacementLine, ...]:
    """Where the pocket lies on a panel whose top edge is at `top_mm`, walked the same way round as its own edges."""
    if not sizes["inside_pockets"]:
        return ()
    left, right = middle_mm - sizes["pocket_width_mm"] / 2, middle_mm + sizes["pocket_width_mm"] / 2
    top = top_mm - POCKET_BELOW_TOP_MM
    bottom = top - sizes["pocket_height_mm"]
    return (
        PlacementLine("pocket_left", (left, top), (left, bottom)),
        PlacementLine("pocket_bottom", (left, bottom), (right, bottom)),
        PlacementLine("pocket_right", (right, bottom), (right, top)),
    )


def pocket_steps(lining: Piece, pocket: Piece | None) -> list[Step]:
    """Hem the pocket, stitch it on."""
    if pocket is None:
        return []
    hem = (StitchLine((along(pocket, 1, "top"),)),)
    edges = tuple(
        StitchLine((along(pocket, 1, edge), along(lining, 1, f"pocket_{edge}"))) for edge in ("left", "bottom", "right")
    )
    return [
        Step("pocket-hem", "Hem the top of the pocket", SeamKind.HEM, hem),
        Step("pocket", "Stitch the pocket to one lining panel, on its lines", SeamKind.LOCKSTITCH, edges),
    ]


def pocket_measures(sizes: Sizes) -> tuple[AssembledMeasure, ...]:
    """Width and height of the pocket, if there is one."""
    edges = (("pocket_width_mm", "top"), ("pocket_height_mm", "left")) if sizes["inside_pockets"] else ()
    return tuple(AssembledMeasure(key=key, asked_mm=sizes[key], spans=(Span("pocket", edge),)) for key, edge in edges)


def _too_wide(sizes: Sizes) -> Problem | None:
    widest = sizes["width_mm"] - 2 * POCKET_MARGIN_MM
    unused = not sizes["inside_pockets"]
    return None if unused else too_large(sizes, "pocket_width_mm", widest, "is too wide for the face of the bag")


def _too_tall(sizes: Sizes) -> Problem | None:
    tallest = sizes["height_mm"] - POCKET_BELOW_TOP_MM - POCKET_MARGIN_MM
    unused = not sizes["inside_pockets"]
    return None if unused else too_large(sizes, "pocket_height_mm", tallest, "is too tall for the face of the bag")


POCKET_RULES = (
    FitRule(("pocket_width_mm", "width_mm", "inside_pockets"), _too_wide),
    FitRule(("pocket_height_mm", "height_mm", "inside_pockets"), _too_tall),
)
