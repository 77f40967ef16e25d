"""From the bytes of a picture to outlines in mm: cards, ground, parts, edges, in that order."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

import cv2
import numpy as np

from bagwright.capture.camera import brought_down, camera_above
from bagwright.capture.corrections import parted_at_touches
from bagwright.capture.fitting import doubt_mm
from bagwright.capture.ground import Ground, Mask, find_ground, weak_ground
from bagwright.capture.half_seen import holds_a_card
from bagwright.capture.kept_points import holes_within, kept_ring
from bagwright.capture.known_card import checked_scale
from bagwright.capture.light import Floats, median_of
from bagwright.capture.like_ground import LIKE_GROUND, told_round
from bagwright.capture.parts import Part, Parts, find_parts, is_like_ground, refusal_at
from bagwright.capture.picture import Pixels, read_picture
from bagwright.capture.seams import find_seams
from bagwright.capture.shading import Shadow, agreed
from bagwright.capture.template_edges import cleaned
from bagwright.capture.told_focal import told_focal_mm
from bagwright.capture.touching import Neck, find_necks
from bagwright.capture.tracing import LEAST_CONTRAST, Edge, Traced, edge_near, rings_of, traced
from bagwright.capture.trusting import Trusted, cards_as_they_lie, trusted_fit
from bagwright.capture.wide_colour import as_srgb, is_display_p3
from bagwright.errors import NoAnswer, Problem
from bagwright.model.found_outline import FoundOutline, FoundOutlines, OutlineWishes, RefusedOutline, Ring, Touch

LEAST_HOLE_MM2: Final = 20.0
_FINE_MM: Final = 0.08
_FEW_MM: Final = 0.15
_KEPT_WITHIN_PX: Final = 0.3
"""Corners that change an outline by less are left out: few of templates, whose curves are smooth, and where seams are
looked for. Of scraps she has fewer to move so, and their edges and areas are as near to the true ones."""
_STRAIGHT_MM: Final = 0.25
_STRAIGHT_PX: Final = 0.8
_ROUNDING_MM: Final = 2.7
_ROUNDING_PX: Final = 12.0
"""A corner of a template that is rounded by no more is sharp. From rendered pictures: 0.7 to 2.1 mm at 5 px/mm."""
_SHOWN_ROUND: Final = 1.4
_ROW_MM: Final = 90.0
_SYSTEMATIC_PX: Final = 0.4
"""What no look at the picture tells: how the camera sharpens and packs it, the shadow along a thick edge."""
_SHARP_PX: Final = 2.2
"""A wider edge is out of focus or smeared, and less sure by as much."""
_BEND: Final = 1.0
"""How much of what smoothing once more would move an edge by, the first smoothing did. All from rendered pictures."""
_FAINT: Final = (0.2, 0.8)
"""An edge of less contrast than the upper one, for a tenth of its length, is less sure by as much."""
_LEAST_ERROR_MM: Final = 0.1
_FAINTEST: Final = 0.06
"""An edge of less contrast shows nowhere; one of little more is known to two pixels of the copy, and that is told."""


@dataclass(frozen=True, slots=True)
class ReadPhoto:
    """What was found in a picture, with what it takes to show it straightened.

    `is_display_p3`: its pixels are stored so, though the colours that are told are those of sRGB.
    """

    found: FoundOutlines
    pixels: Pixels
    trusted: Trusted
    is_display_p3: bool = False


@dataclass(frozen=True, slots=True)
class _Scene:
    pixels: Pixels
    ground: Ground
    trusted: Trusted
    wishes: OutlineWishes


def find_outlines(data: bytes, wishes: OutlineWishes | None = None) -> FoundOutlines:
    """The outlines of all scraps in a picture file.

    Raises `FaultyInput` for a file that is no sound picture, cards that do not tell the scale beyond doubt, and a
    ground that scraps cannot be told from; `NoAnswer` if nothing whole lies among the cards.
    """
    return read_photo(data, wishes or OutlineWishes()).found


def read_photo(data: bytes, wishes: OutlineWishes) -> ReadPhoto:
    """`find_outlines`, with the picture kept at hand."""
    pixels, cards, was_mirrored = cards_as_they_lie(read_picture(data))
    trusted = trusted_fit(pixels, cards, wishes.card_side_mm)
    hull = np.asarray(
        cv2.convexHull(trusted.squares_mm(wishes.card_side_mm).reshape(-1, 2).astype(np.float32)), dtype=np.float64
    )
    ground = find_ground(pixels, trusted.fit.plane, hull.reshape(-1, 2), _rings(trusted, wishes.card_side_mm))
    scene = _Scene(pixels, ground, trusted, wishes)
    outlines, refused = _outlines(scene, find_parts(ground, trusted, wishes.card_side_mm))
    if not outlines:
        raise _nothing(refused)
    corners = trusted.squares_mm(_SHOWN_ROUND * wishes.card_side_mm).reshape(-1, 2)
    low, high = corners.min(axis=0), corners.max(axis=0)
    found = FoundOutlines(
        outlines=outlines,
        refused=refused,
        cards=tuple(sorted(card.number for card in trusted.cards)),
        ignored=trusted.ignored,
        card_side_mm=wishes.card_side_mm,
        scale_error_share=trusted.scale_error_share,
        fit_mm=trusted.fit.spread_mm,
        ground=_colour(ground.pixels, ground.is_ground),
        low=(float(low[0]), float(low[1])),
        high=(float(high[0]), float(high[1])),
        was_mirrored=was_mirrored,
        camera=camera_above(trusted.fit, told_focal_mm(data)),
    )
    found = checked_scale(found, are_sharpened=wishes.is_template) if wishes.shows_plastic_card else found
    if wishes.splits:
        found = replace(found, outlines=parted_at_touches(found.outlines))
    if wishes.thickness_mm:
        found = replace(found, outlines=_on_the_ground(found, wishes.thickness_mm))
    is_wide = is_display_p3(data)
    return ReadPhoto(_in_srgb(found) if is_wide else found, pixels, trusted, is_wide)


def _in_srgb(found: FoundOutlines) -> FoundOutlines:
    """With the colours of a picture stored in Display P3 told as they look."""

    def told(colour: tuple[int, int, int]) -> tuple[int, int, int]:
        blue, green, red = as_srgb(np.array(colour[::-1], dtype=np.uint8)).tolist()
        return red, green, blue

    outlines = tuple(replace(one, colour=told(one.colour)) for one in found.outlines)
    return replace(found, outlines=outlines, ground=told(found.ground))


def _on_the_ground(found: FoundOutlines, thickness_mm: float) -> tuple[FoundOutline, ...]:
    return tuple(brought_down(one, found.camera, thickness_mm, place="thickness") for one in found.outlines)


def _rings(trusted: Trusted, side_mm: float) -> Floats:
    """Places just outside the paper of each card, for the colour of the ground."""
    share = np.linspace(0, 1, 24, endpoint=False)[:, None]
    rings = []
    for outer in (1.6, 1.8, 2.0):
        for square in trusted.squares_mm(outer * side_mm):
            rings += [a + share * (b - a) for a, b in zip(square, np.roll(square, -1, axis=0), strict=True)]
    return np.concatenate(rings)


def _nothing(refused: tuple[RefusedOutline, ...]) -> NoAnswer:
    why = "; ".join(f"something {one.where} {one.why}" for one in refused[:5])
    what = f"shows no whole scrap among the cards{f': {why}' if why else ''}"
    return NoAnswer(
        Problem(
            place="photo",
            value="The picture",
            what=what,
            allowed="scraps that lie singly, wholly among the cards",
            remedy=refused[0].remedy if refused else "Lay scraps on the mat and take it once more.",
        )
    )


@dataclass(frozen=True, slots=True)
class _Candidate:
    """A part that may be a scrap: its outer edge, then those of its holes, and where it touches another."""

    part: Part
    edges: tuple[Edge, ...]
    touches: tuple[Touch, ...]


def _outlines(scene: _Scene, parts: Parts) -> tuple[tuple[FoundOutline, ...], tuple[RefusedOutline, ...]]:
    refused = list(parts.refused)
    found: list[FoundOutline] = []
    weak = 0
    candidates = [one for part in _in_reading_order(parts.scraps) for one in _candidates(scene, part)]
    shadows = agreed([candidate.edges[0].told for candidate in candidates])
    for candidate, shadow in zip(candidates, shadows, strict=True):
        outline = _outline(scene, candidate, shadow, len(found) + 1)
        if isinstance(outline, RefusedOutline):
            refused.append(outline)
            weak += outline.why == _TOO_LIKE
        else:
            found.append(outline)
    if weak and weak >= len(found):
        raise weak_ground("is too like the scraps")
    return told_round(found), tuple(refused)


def _candidates(scene: _Scene, part: Part) -> Iterator[_Candidate]:
    necks, split = find_necks(part.mask, part.scale)
    touches = () if scene.wishes.splits else tuple(_touch(scene, part, neck) for neck in necks)
    shrink = scene.ground.shrink
    for mask in split if scene.wishes.splits else [part.mask]:
        rings = rings_of(mask, (part.x, part.y), shrink, LEAST_HOLE_MM2 * (part.scale * shrink) ** 2)
        outer, holes = max(rings, key=lambda ring: float(cv2.contourArea(ring[0].astype(np.float32))))
        edges = [edge_near(scene.pixels, scene.ground, outer, is_hole=False)]
        edges += [edge_near(scene.pixels, scene.ground, hole, is_hole=True) for hole in holes]
        yield _Candidate(replace(part, mask=mask), tuple(edges), touches)


def _in_reading_order(parts: tuple[Part, ...]) -> list[Part]:
    """From the top of the mat down, what lies about side by side from left to right."""
    if not parts:
        return []
    top = max(part.middle_mm[1] for part in parts)
    return sorted(parts, key=lambda part: (int((top - part.middle_mm[1]) / _ROW_MM), part.middle_mm[0]))


_HALF_SEEN: Final = (
    "seems to be a card that cannot be read, or to lie on one",
    "Uncover the card or take it away, then take the picture once more.",
)
_TOO_LIKE: Final = "is too like the ground in colour"


def _outline(scene: _Scene, candidate: _Candidate, shadow: Shadow, number: int) -> FoundOutline | RefusedOutline:
    plane, shrink, part, touches = scene.trusted.fit.plane, scene.ground.shrink, candidate.part, candidate.touches
    edges = [traced(edge, shadow) for edge in candidate.edges]
    at_mm = plane.to_mm(edges[0].at_px)
    is_faint = edges[0].contrast < LEAST_CONTRAST or edges[0].seen < 0.7
    if is_faint and edges[0].contrast < _FAINTEST:
        remedy = "Take another colour of ground: one that differs more from this scrap."
        return refusal_at(at_mm.mean(axis=0), scene.trusted, (_TOO_LIKE, remedy))
    if holds_a_card(scene.pixels, plane, at_mm, scene.wishes.card_side_mm):
        return refusal_at(at_mm.mean(axis=0), scene.trusted, _HALF_SEEN)
    px_per_mm, is_template = part.scale * shrink, scene.wishes.is_template
    sound = [_ring(scene, one, px_per_mm, _FINE_MM if is_template else _FEW_MM) for one in edges]
    if sound[0] is None:
        why = ("has an edge that cannot be followed", "Smooth it out and take it once more.")
        return refusal_at(at_mm.mean(axis=0), scene.trusted, why)
    if not touches and not is_template:
        touches = find_seams(scene.pixels, plane, _ring(scene, edges[0], px_per_mm, _FINE_MM) or sound[0])
    return FoundOutline(
        number=number,
        outer=sound[0],
        holes=holes_within(sound[0], (ring for ring in sound[1:] if ring is not None)),
        error_mm=max(_error_mm(scene, edges[0], at_mm), round(2 / part.scale, 3) if is_faint else 0.0),
        colour=_colour(part.window(scene.ground.pixels), part.mask),
        touches=touches,
        notes=(LIKE_GROUND,) if is_faint or is_like_ground(scene.ground, part) else (),
    )


def _ring(scene: _Scene, traced: Traced, px_per_mm: float, within_mm: float) -> Ring | None:
    """The traced edge in mm, cleaned if it is a template's; None if it crosses itself."""
    edge = scene.trusted.fit.plane.to_mm(traced.at_px)
    if scene.wishes.is_template:
        straight_mm = max(_STRAIGHT_MM, _STRAIGHT_PX / px_per_mm)
        edge = cleaned(edge, straight_mm, max(_ROUNDING_MM, _ROUNDING_PX / px_per_mm))
    return kept_ring(edge, max(within_mm, _KEPT_WITHIN_PX / px_per_mm))


def _touch(scene: _Scene, part: Part, neck: Neck) -> Touch:
    middle, half = np.array([neck.x + part.x, neck.y + part.y]), neck.width / 2 * np.array(neck.way)
    at = (np.stack([middle, middle - half, middle + half]) + 0.5) * scene.ground.shrink - 0.5
    spot, start, end = ((float(x), float(y)) for x, y in scene.trusted.fit.plane.to_mm(at))
    return Touch(spot[0], spot[1], neck.width / part.scale, start, end)


def _error_mm(scene: _Scene, traced: Traced, at_mm: Floats) -> float:
    """Nineteen in twenty places of an outline lie nearer: twice the standard error of its edge and of the ground."""
    scale = scene.trusted.fit.plane.px_per_mm(at_mm.mean(axis=0))
    faint = float(np.clip(traced.faintest, *_FAINT)) / _FAINT[1]
    systematic = _SYSTEMATIC_PX * max(1.0, traced.width_px / _SHARP_PX)
    edge = float(np.linalg.norm([traced.noise_px / faint, systematic / faint, _BEND * traced.bend_px])) / scale
    return round(max(_LEAST_ERROR_MM, 2 * float(np.hypot(edge, doubt_mm(scene.trusted.fit, at_mm[::7])))), 3)


def _colour(pixels: Pixels, mask: Mask) -> tuple[int, int, int]:
    blue, green, red = median_of(pixels, mask)
    return int(red), int(green), int(blue)
