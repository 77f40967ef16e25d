"""Short handles and loops that can be added to a bag: their ends caught in its top or in a side seam."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from bagwright.drafting.form_spec import AddOn, FitRule
from bagwright.drafting.making import Making
from bagwright.drafting.measurements import Choice, MeasurementSpec, Room, Sizes, count_spec, size_spec
from bagwright.drafting.roles import STRAP_ROLES
from bagwright.drafting.straps import (
    LEAST_DROP_MM,
    STRAPS_APART_MM,
    HeldEnd,
    StrapEnd,
    looped,
    strap_for_drop_mm,
    two_places,
    with_ends_caught,
    with_strip,
)
from bagwright.drafting.strips import ENDS, MadeStrip, Strip, StripKind, make_strip
from bagwright.errors import Problem
from bagwright.model.pattern import AssembledMeasure, Span

MARGIN_MM = 12.7
"""What stays free between a handle or loop and the end of the line it is caught in (common practice, no source)."""
_HANDLE, _LOOP = Choice("grab_handle"), Choice("loop")
_HANDLE_KINDS = ("none", "folded in four", "two layers, turned", "two layers, edges raw", "webbing")
_LOOP_KINDS = ("none", "folded in four", "webbing")


@dataclass(frozen=True, slots=True, kw_only=True)
class SeamPlace:
    """Where on a bag something can be caught: a line of its making, and what of it is free, from and to.

    `said` is what it is basted to; `keys` are the measurements that `free_mm` depends on.
    """

    where: str
    said: str
    keys: tuple[str, ...]
    free_mm: Callable[[Sizes], tuple[float, float]]

    def room_mm(self, sizes: Sizes) -> float:
        """Length of line that is free."""
        low, high = self.free_mm(sizes)
        return high - low

    def middle_mm(self, sizes: Sizes) -> float:
        """Its middle."""
        return sum(self.free_mm(sizes)) / 2


def along_top(where: str, said: str, *lengths: str) -> SeamPlace:
    """The top of a face that is as long as those measurements together."""
    return SeamPlace(
        where=where,
        said=said,
        keys=lengths,
        free_mm=lambda sizes: (MARGIN_MM, sum(sizes[key] for key in lengths) - MARGIN_MM),
    )


def between_straps(where: str, said: str, *lengths: str, share: float = 1.0) -> SeamPlace:
    """The top of a face between two ends of straps; it is `share` of those measurements together long."""

    def free_mm(sizes: Sizes) -> tuple[float, float]:
        middle = share * sum(sizes[key] for key in lengths) / 2
        half = (sizes["strap_spacing_mm"] - sizes["strap_width_mm"]) / 2 - STRAPS_APART_MM
        return middle - half, middle + half

    return SeamPlace(where=where, said=said, keys=(*lengths, "strap_spacing_mm", "strap_width_mm"), free_mm=free_mm)


def up_the_side(where: str, said: str, length: str) -> SeamPlace:
    """A side seam as long as that measurement, from a little above its lower end."""
    return SeamPlace(where=where, said=said, keys=(length,), free_mm=lambda sizes: (MARGIN_MM, sizes[length]))


HUNG_POCKET = 2.0
"""The choice of `zip_pocket` that hangs from the top seam."""


def grab_handle(place: SeamPlace) -> AddOn:
    """A short handle with both ends in one line."""

    def add(making: Making, sizes: Sizes) -> Making:
        made = _made("handle", "handle", sizes, sizes["handle_length_mm"], StripKind(int(sizes["grab_handle"]) - 1))
        places = two_places(place.middle_mm(sizes), sizes["handle_width_mm"], sizes["handle_spacing_mm"])
        held = tuple(HeldEnd(made, 1, edge, StrapEnd(place.where, at)) for edge, at in zip(ENDS, places, strict=True))
        making = with_ends_caught(with_strip(making, made), held, word="the handle", basted_to=place.said)
        return making.having(assembled=_measures("handle", sizes, made, 1.0))

    count = count_spec(
        "grab_handle", "Grab handle", "A short handle, and how it is made.", (0, 0, 4), choices=_HANDLE_KINDS
    )
    return AddOn(
        key="grab_handle",
        name="Grab handle",
        measurements=(count, *_handle_specs(place)),
        add=add,
        rules=(FitRule(("grab_handle", "zip_pocket"), _hung_pocket_there),),
        roles=STRAP_ROLES,
    )


def _hung_pocket_there(sizes: Sizes) -> Problem | None:
    """Both would be caught in the top of the back, the pocket's edge under an end of the handle."""
    if sizes["zip_pocket"] != HUNG_POCKET:
        return None
    return Problem(
        place="grab_handle",
        value=f"{sizes['grab_handle']:g}",
        what="would be caught where the zip pocket hangs",
        allowed="0 with the other sizes as they are",
        remedy="Leave one of the two out, or set the zip pocket into the lining.",
    )


def _handle_specs(place: SeamPlace) -> tuple[MeasurementSpec, ...]:
    def width(sizes: Sizes) -> tuple[float, float]:
        return 0.0, (place.room_mm(sizes) - STRAPS_APART_MM) / 2

    def spacing(sizes: Sizes) -> tuple[float, float]:
        return sizes["handle_width_mm"] + STRAPS_APART_MM, place.room_mm(sizes) - sizes["handle_width_mm"]

    def length(sizes: Sizes) -> tuple[float, float]:
        return strap_for_drop_mm(LEAST_DROP_MM, sizes["handle_spacing_mm"]), float("inf")

    too_wide = "is too wide for two ends of a handle on this bag"
    return (
        size_spec(
            "handle_width_mm",
            "Handle width",
            "Finished width of the handle.",
            (10, 25.4, 50),
            needs=_HANDLE,
            room=Room(place.keys, width, "is too narrow", too_wide),
        ),
        size_spec(
            "handle_spacing_mm",
            "Handle spacing",
            "From the middle of one end of the handle to the middle of the other.",
            (15, 101.6, 400),
            needs=_HANDLE,
            room=Room(
                (*place.keys, "handle_width_mm"),
                spacing,
                "puts one end of the handle over the other",
                "puts the handle beyond its place on the bag",
            ),
        ),
        size_spec(
            "handle_length_mm",
            "Handle length",
            "Length of the handle that shows.",
            (80, 203.2, 800),
            needs=_HANDLE,
            room=Room(
                ("handle_spacing_mm",), length, "leaves no room for a hand at that spacing", "is too long for a handle"
            ),
        ),
    )


def hanging_loop(place: SeamPlace, *, usual_mm: float = 63.5, said: str = "A loop to hang the bag by") -> AddOn:
    """A strip folded in half, both ends in the middle of one place."""

    def add(making: Making, sizes: Sizes) -> Making:
        return _with_loop(making, sizes, place, place.middle_mm(sizes))

    return _loop_add_on(place, (), add, usual_mm=usual_mm, said=said)


def wrist_loop(place: SeamPlace) -> AddOn:
    """A loop for the wrist in a side seam whose line runs upwards; it ends as far below the top as is asked."""

    def below(sizes: Sizes) -> tuple[float, float]:
        return 0.0, place.room_mm(sizes) - sizes["loop_width_mm"]

    spec = size_spec(
        "loop_below_top_mm",
        "Loop below the top",
        "From the upper end of the side seam down to the loop.",
        (10, 19.05, 300),
        needs=_LOOP,
        room=Room(
            (*place.keys, "loop_width_mm"), below, "is too near the top", "puts the loop below the end of its seam"
        ),
    )

    def add(making: Making, sizes: Sizes) -> Making:
        top = making.line(place.where).length_mm
        middle = top - sizes["loop_below_top_mm"] - sizes["loop_width_mm"] / 2
        return _with_loop(making, sizes, place, middle)

    return _loop_add_on(place, (spec,), add, usual_mm=152.4, said="A loop for the wrist")


def _with_loop(making: Making, sizes: Sizes, place: SeamPlace, middle_mm: float) -> Making:
    kind = StripKind.FOLDED if sizes["loop"] == 1 else StripKind.WEBBING
    made, half = _made("loop", "loop", sizes, 2 * sizes["loop_length_mm"], kind), sizes["loop_width_mm"] / 2
    end = StrapEnd(place.where, (middle_mm - half, middle_mm + half))
    making = with_ends_caught(with_strip(making, made), looped(made, 1, end), word="the loop", basted_to=place.said)
    return making.having(assembled=_measures("loop", sizes, made, 0.5))


def _loop_add_on(
    place: SeamPlace,
    more: tuple[MeasurementSpec, ...],
    add: Callable[[Making, Sizes], Making],
    *,
    usual_mm: float,
    said: str,
) -> AddOn:
    def width(sizes: Sizes) -> tuple[float, float]:
        return 0.0, place.room_mm(sizes)

    return AddOn(
        key="loop",
        name=said.removeprefix("A ").capitalize(),
        measurements=(
            count_spec("loop", "Loop", f"{said}, and how it is made.", (0, 0, 2), choices=_LOOP_KINDS),
            size_spec(
                "loop_width_mm",
                "Loop width",
                "Finished width of the loop.",
                (10, 19.05, 40),
                needs=_LOOP,
                room=Room(place.keys, width, "is too narrow", "is too wide for its place on the bag"),
            ),
            size_spec(
                "loop_length_mm",
                "Loop length",
                "From the seam to the fold of the loop.",
                (25, usual_mm, 300),
                needs=_LOOP,
            ),
            *more,
        ),
        add=add,
        roles=STRAP_ROLES,
    )


def _made(key: str, said: str, sizes: Sizes, length_mm: float, kind: StripKind) -> MadeStrip:
    strip = Strip(
        key=key,
        said=said,
        width_mm=sizes[f"{key}_width_mm"],
        length_mm=length_mm,
        end_allowance_mm=sizes.get("top_allowance_mm", sizes["seam_allowance_mm"]),
        seam_allowance_mm=sizes["seam_allowance_mm"],
    )
    return make_strip(strip, kind)


def _measures(key: str, sizes: Sizes, made: MadeStrip, share: float) -> tuple[AssembledMeasure, AssembledMeasure]:
    length, width = f"{key}_length_mm", f"{key}_width_mm"
    return (
        AssembledMeasure(key=length, asked_mm=sizes[length], spans=(Span(key, "long_left", share),)),
        AssembledMeasure(key=width, asked_mm=sizes[width], spans=(made.width_span(),)),
    )
