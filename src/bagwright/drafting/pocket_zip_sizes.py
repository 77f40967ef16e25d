"""What a zip pocket asks for: its zip, and the size of its window or of what hangs from the top."""

from __future__ import annotations

from dataclasses import dataclass, replace

from bagwright.drafting.faces import Face
from bagwright.drafting.measurements import Choice, MeasurementSpec, Room, Sizes, count_spec, size_spec
from bagwright.drafting.pocket_place import MARGIN_MM, TOO_SMALL
from bagwright.drafting.zips import LEAST_OPENING_MM, line_for_opening_mm, sewn_zip, tab_length_spec, zip_specs
from bagwright.model.sewn_zip import STOP_INSET_MM, SewnZip, ZipEnds

WINDOW, HUNG = 1, 2
BESIDE_MM = 25.4
"""From the ends of the window, and from its upper edge, to the seams of the bag behind it: the tape has to lie within
(common practice, no source)."""
EDGE_MM = STOP_INSET_MM
"""From the folded edge of the window to the stitching round it: so the stops of the zip lie at its ends."""
LEAST_LIP_MM = 8.0
"""The teeth and the slider have to pass the window (common practice, no source)."""
LEAST_DEPTH_MM = 40.0
PLAY_MM = 0.2
"""By so much the deepest pocket leaves more room than it needs, so that its window can be placed to 0.1 mm."""
TAIL_MM = 12.7
CLEAR_MM = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ZipPocket:
    """One zip pocket: `key` counts it and starts the ids of its pieces and the keys of its sizes.

    `with_strap_ends`: two ends of a strap are caught in the top of its face, as far apart as `strap_spacing_mm` says.
    """

    key: str
    said: str
    face: Face
    with_strap_ends: bool = False

    @property
    def name(self) -> str:
        """What its pieces are called by."""
        return f"{self.said[0].upper()}{self.said[1:]}"

    def size(self, name: str) -> str:
        """The key of one of its sizes."""
        return f"{self.key}_{name}"

    def showing_mm(self, sizes: Sizes) -> float:
        """Width of the zip between its stitch lines."""
        return sizes[self.size("tape_width_mm")] - 2 * sizes[self.size("zip_allowance_mm")]

    def lip_mm(self, sizes: Sizes) -> float:
        """Height of the window."""
        return self.showing_mm(sizes) - 2 * EDGE_MM

    def zip(self, sizes: Sizes) -> SewnZip:
        """Its zip: in a window from stitching to stitching across the teeth, hung from tab to tab."""
        key, name, prefix = f"{self.key}_chain", self.name.replace("zip pocket", "pocket zip"), f"{self.key}_"
        if sizes[self.key] == HUNG:
            line = sizes[self.size("width_mm")] - 2 * sizes[self.size("tab_length_mm")]
            return sewn_zip(key, name, line, sizes, prefix=prefix, ends=ZipEnds.TABS)
        line = sizes[self.size("window_mm")] + 2 * EDGE_MM
        return replace(sewn_zip(key, name, line, sizes, prefix=prefix, ends=ZipEnds.STOPS), under_mm=TAIL_MM)


def zip_pocket_specs(
    pocket: ZipPocket, label: str, meaning: str, kinds: tuple[str, ...]
) -> tuple[MeasurementSpec, ...]:
    """The count that adds it, called `label`, and all its sizes; `kinds` are what it can be, none first."""
    count = count_spec(pocket.key, label, meaning, (0, 0, len(kinds) - 1), choices=kinds)
    chosen = Choice(pocket.key)
    zips = zip_specs(f"{pocket.key}_", needs=chosen, least_showing_mm=LEAST_LIP_MM + 2 * EDGE_MM)
    can_hang = len(kinds) > HUNG
    hung = _hung_specs(pocket) if can_hang else ()
    return (count, *zips, _window_spec(pocket), *hung, _depth_spec(pocket, can_hang=can_hang), _below_spec(pocket))


def _window_spec(pocket: ZipPocket) -> MeasurementSpec:
    face, parked = pocket.face, pocket.size("slider_parked_mm")

    def limits(sizes: Sizes) -> tuple[float, float]:
        beside = BESIDE_MM + sizes["seam_allowance_mm"] + CLEAR_MM
        return LEAST_OPENING_MM + sizes[parked], face.box(sizes).width_mm - 2 * beside

    return size_spec(
        pocket.size("window_mm"),
        "Window length",
        "From end to end of the window that shows the zip; the parked slider takes up some of it.",
        (60, 152.4, 500),
        needs=Choice(pocket.key, (WINDOW,)),
        room=Room(
            (*face.keys, parked, "seam_allowance_mm"),
            limits,
            "leaves a zip too short to reach through",
            "leaves no room for the pocket bag beside the window",
        ),
    )


def _hung_specs(pocket: ZipPocket) -> tuple[MeasurementSpec, ...]:
    face, chosen, prefix = pocket.face, Choice(pocket.key, (HUNG,)), f"{pocket.key}_"
    parked, tab, tape, allowance = map(
        pocket.size, ("slider_parked_mm", "tab_length_mm", "tape_width_mm", "zip_allowance_mm")
    )

    def across(sizes: Sizes) -> tuple[float, float]:
        least = line_for_opening_mm(LEAST_OPENING_MM, ZipEnds.TABS, sizes[parked]) + 2 * sizes[tab]
        return _off_strap_ends(pocket, sizes, least, face.box(sizes).width_mm - 2 * MARGIN_MM)

    def facing(sizes: Sizes) -> tuple[float, float]:
        left = face.box(sizes).height_mm - MARGIN_MM - pocket.showing_mm(sizes) - LEAST_DEPTH_MM
        return sizes["seam_allowance_mm"], left

    short, wide = "leaves a zip too short to reach through", "is too wide for the face of the bag"
    straps: tuple[str, ...] = ()
    if pocket.with_strap_ends:
        straps, beside = ("strap_spacing_mm", "strap_width_mm"), ", or puts its sides where strap ends lie"
        short, wide = f"{short}{beside}", f"{wide}{beside}"
    thin, deep = "is narrower than its seam allowance", "leaves no pocket below the zip"
    return (
        tab_length_spec(prefix, needs=chosen),
        size_spec(
            pocket.size("width_mm"),
            "Pocket width",
            f"Finished width of the {pocket.said}.",
            (80, 203.2, 600),
            needs=chosen,
            room=Room((*face.keys, parked, tab, *straps), across, short, wide),
        ),
        size_spec(
            pocket.size("facing_mm"),
            "Strip above the zip",
            "From the top seam of the bag to the zip.",
            (15, 31.75, 120),
            needs=chosen,
            room=Room((*face.keys, tape, allowance, "seam_allowance_mm"), facing, thin, deep),
        ),
    )


def _off_strap_ends(pocket: ZipPocket, sizes: Sizes, least_mm: float, most_mm: float) -> tuple[float, float]:
    """What of that range leaves the sides of a hung pocket beside the strap ends in its seam: too thick to sew within.

    Between the straps or past both, whichever lies nearer to the width as it is.
    """
    if not pocket.with_strap_ends:
        return least_mm, most_mm
    inner, outer = (sizes["strap_spacing_mm"] + way * sizes["strap_width_mm"] for way in (-1, 1))
    ranges = [(least_mm, min(inner, most_mm)), (max(outer, least_mm), most_mm)]
    width = sizes[pocket.size("width_mm")]
    fits = [(low, high) for low, high in ranges if high - low >= PLAY_MM]
    return min(fits, key=lambda ends: max(ends[0] - width, width - ends[1]), default=(most_mm + 1.0, most_mm))


def _depth_spec(pocket: ZipPocket, *, can_hang: bool) -> MeasurementSpec:
    face, facing = pocket.face, pocket.size("facing_mm")

    def limits(sizes: Sizes) -> tuple[float, float]:
        high = face.box(sizes).height_mm - MARGIN_MM
        if sizes[pocket.key] == HUNG:
            return sizes[facing] + pocket.showing_mm(sizes) + LEAST_DEPTH_MM, high
        return BESIDE_MM + pocket.lip_mm(sizes) + LEAST_DEPTH_MM, high - sizes["seam_allowance_mm"] - CLEAR_MM - PLAY_MM

    own = (pocket.key, pocket.size("tape_width_mm"), pocket.size("zip_allowance_mm"), *([facing] if can_hang else []))
    return size_spec(
        pocket.size("depth_mm"),
        "Pocket depth",
        "From the upper seam of the pocket to the fold at its foot.",
        (70, 177.8, 600),
        needs=Choice(pocket.key),
        room=Room((*face.keys, *own, "seam_allowance_mm"), limits, TOO_SMALL, "is too deep for the face of the bag"),
    )


def _below_spec(pocket: ZipPocket) -> MeasurementSpec:
    face, depth = pocket.face, pocket.size("depth_mm")

    def limits(sizes: Sizes) -> tuple[float, float]:
        low = BESIDE_MM + sizes["seam_allowance_mm"] + CLEAR_MM
        return low, face.box(sizes).height_mm - MARGIN_MM - sizes[depth] + BESIDE_MM

    return size_spec(
        pocket.size("below_top_mm"),
        "Window below the top",
        "From the finished top edge of the panel to the upper edge of the window.",
        (30, 50.8, 400),
        needs=Choice(pocket.key, (WINDOW,)),
        room=Room(
            (*face.keys, depth, "seam_allowance_mm"),
            limits,
            "leaves no room for the pocket bag above the window",
            "leaves no room for the pocket below it",
        ),
    )
