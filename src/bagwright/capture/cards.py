"""The marker cards: their squares of black and white cells, found in a picture, and their edges to a part of a pixel.

The squares are those of ArUco, an open scheme of square markers that the vision library carries.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np

from bagwright.capture.light import Floats, crossings, light_of, stored_at
from bagwright.capture.picture import Pixels, smaller
from bagwright.model.found_outline import MarkerCard

CELLS: Final = 8
CARD_COUNT: Final = 12
_DETECTED_AT_PX: Final = 2000
_DICTIONARY: Final = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_ARUCO_MIP_36h12)
_ALONG: Final = (0.25, 0.5, 0.75)
_PROFILE: Final = np.linspace(-0.4, 0.4, 33)
"""In cells, across an edge: with steps of more than a pixel or so, squares would seem larger by a part of it."""


@dataclass(frozen=True, slots=True)
class SeenCard:
    """A card in the picture: the corners of its square, from its upper left clockwise, in pixels."""

    number: int
    corners: Floats


@dataclass(frozen=True, slots=True)
class EdgeSamples:
    """Points on edges between black and white, in pixels, and where they lie on their card, in sides of the square.

    `card`: index of the card; `axis`: the coordinate that is known, 0 for x and 1 for y; `value` what it is, from the
    middle of the square, y up; `dark`: +1 if black lies on the side of higher values, -1 if not, 0 for unknown.
    """

    at_px: Floats
    card: np.ndarray[tuple[int], np.dtype[np.intp]]
    axis: np.ndarray[tuple[int], np.dtype[np.intp]]
    value: Floats
    dark: Floats


def marker_card(number: int) -> MarkerCard:
    """The card of that number, 1 to `CARD_COUNT`.

    >>> marker_card(1).rows[0]
    '########'
    """
    cells = cv2.aruco.generateImageMarker(_DICTIONARY, number - 1, CELLS)
    return MarkerCard(number, tuple("".join("." if cell else "#" for cell in row) for row in cells))


def find_cards(pixels: Pixels) -> list[SeenCard]:
    """All cards of which all four corners are seen, however they lie."""
    small = smaller(pixels, _DETECTED_AT_PX)
    shrink = pixels.shape[1] / small.shape[1]
    grey = cv2.cvtColor(small, cv2.COLOR_BGR2GRAY)
    settings = cv2.aruco.DetectorParameters()
    settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    settings.minMarkerPerimeterRate = 0.04
    corners, ids, _ = cv2.aruco.ArucoDetector(_DICTIONARY, settings).detectMarkers(grey)
    found = list(corners)
    if not found:
        return []
    return [
        SeenCard(int(number) + 1, (np.asarray(quad, dtype=np.float64).reshape(4, 2) + 0.5) * shrink - 0.5)
        for number, quad in zip(np.asarray(ids).ravel(), corners, strict=True)
        if int(number) < CARD_COUNT
    ]


def corner_samples(cards: list[SeenCard]) -> EdgeSamples:
    """The four corners of each card, each as a point on two edges."""
    count = len(cards)
    at = np.repeat(np.concatenate([card.corners for card in cards]), 2, axis=0)
    value = np.tile(np.array([-0.5, 0.5, 0.5, 0.5, 0.5, -0.5, -0.5, -0.5]), count)
    axis = np.tile(np.array([0, 1]), 4 * count)
    return EdgeSamples(at, np.repeat(np.arange(count), 8), axis, value, np.zeros(8 * count))


def edge_samples(pixels: Pixels, cards: list[SeenCard]) -> EdgeSamples:
    """Points on every edge between a black and a white cell of every card, to a part of a pixel."""
    found = [_edges_of(pixels, card, index) for index, card in enumerate(cards)]
    return EdgeSamples(
        np.concatenate([one.at_px for one in found]),
        np.concatenate([one.card for one in found]),
        np.concatenate([one.axis for one in found]),
        np.concatenate([one.value for one in found]),
        np.concatenate([one.dark for one in found]),
    )


def _edges_of(pixels: Pixels, card: SeenCard, index: int) -> EdgeSamples:
    places, axis, dark = _cell_edges(marker_card(card.number).rows)
    corners = np.array([[-0.5, 0.5], [0.5, 0.5], [0.5, -0.5], [-0.5, -0.5]], dtype=np.float32)
    to_px = cv2.getPerspectiveTransform(corners, card.corners.astype(np.float32))
    across = np.where(axis[:, None] == 0, [1.0, 0.0], [0.0, 1.0]) * dark[:, None]
    ends = [_moved(to_px, places + sign * across / CELLS) for sign in (-1, 1)]
    middle = _moved(to_px, places)
    step = (ends[1] - ends[0]) / 2  # one cell, towards black
    lines = middle[:, None, :] + _PROFILE[None, :, None] * step[:, None, :]
    light = light_of(stored_at(pixels, lines)).mean(axis=2)
    bright, black = light[:, :7].mean(axis=1), light[:, -7:].mean(axis=1)
    contrast = bright - black
    offsets = crossings((bright + black)[:, None] / 2 - light, _PROFILE)
    good = np.isfinite(offsets) & (contrast > 0.4 * np.median(contrast))
    at = middle + np.nan_to_num(offsets)[:, None] * step
    value = places[np.arange(len(places)), axis]
    return EdgeSamples(at[good], np.full(int(good.sum()), index), axis[good], value[good], dark[good])


def _cell_edges(
    rows: tuple[str, ...],
) -> tuple[Floats, np.ndarray[tuple[int], np.dtype[np.intp]], Floats]:
    """Places on edges between unlike cells, in sides from the middle, y up; the axis across; where black lies."""
    black = np.zeros((CELLS + 2, CELLS + 2), dtype=bool)
    black[1:-1, 1:-1] = [[cell == "#" for cell in row] for row in rows]
    black = black[::-1]  # y up
    found = []
    for axis in (0, 1):
        field = black.T if axis == 0 else black  # first index runs across the edge
        across, along = np.nonzero(field[1:] != field[:-1])
        here = np.repeat(across / CELLS - 0.5, len(_ALONG))
        there = ((along[:, None] - 1 + np.array(_ALONG)) / CELLS - 0.5).ravel()
        dark = np.repeat(np.where(field[across + 1, along], 1.0, -1.0), len(_ALONG))
        found.append((np.stack([here, there] if axis == 0 else [there, here], axis=1), np.full(len(here), axis), dark))
    places, axes, darks = (np.concatenate(parts) for parts in zip(*found, strict=True))
    return places, axes, darks


def _moved(matrix: np.ndarray[tuple[int, ...], np.dtype[np.floating | np.integer]], points: Floats) -> Floats:
    return np.asarray(cv2.perspectiveTransform(points.reshape(-1, 1, 2), matrix), dtype=np.float64).reshape(-1, 2)
