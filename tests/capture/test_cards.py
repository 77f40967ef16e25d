"""How large a card seems, against one drawn by hand: right, wherever its corners were first thought to lie."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from bagwright.capture.cards import SeenCard, edge_samples, marker_card
from bagwright.capture.light import Floats
from bagwright.capture.picture import Pixels

SIDE, MIDDLE, OVER = 280.0, np.array([190.3, 189.6]), 3


def drawn(number: int, turn: float) -> tuple[Pixels, Floats]:
    """A card seen from straight above, softened and then sharpened as phones do; its corners."""
    at = (np.arange(380 * OVER) + 0.5) / OVER - 0.5
    local = (np.stack(np.meshgrid(at, at), axis=-1) - MIDDLE) @ turned(turn) / SIDE
    column, row = (np.floor((local + 0.5) * 8).astype(int)).transpose(2, 0, 1)
    black = np.pad([[cell == "#" for cell in cells] for cells in marker_card(number).rows], 1)
    light = np.where(black[(row + 1).clip(0, 9), (column + 1).clip(0, 9)], 0.04, 0.8)
    light = cv2.GaussianBlur(cv2.resize(light, (380, 380), interpolation=cv2.INTER_AREA), (0, 0), 0.75)
    stored = (1.055 * light ** (1 / 2.4) - 0.055) * 255
    stored += 0.5 * (stored - cv2.GaussianBlur(stored, (0, 0), 1.2))
    corners = SIDE / 2 * np.array([(-1.0, -1.0), (1, -1), (1, 1), (-1, 1)]) @ turned(turn).T + MIDDLE
    return np.repeat(stored.round().clip(0, 255).astype(np.uint8)[..., None], 3, axis=2), corners


def turned(turn: float) -> Floats:
    return np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])


@pytest.mark.parametrize("beyond_px", [-0.75, 0.75])
def test_a_card_seems_as_large_as_it_is(beyond_px):
    sizes = []
    for number, turn in ((1, 0.03), (2, 0.2)):
        pixels, corners = drawn(number, turn)
        guess = MIDDLE + (corners - MIDDLE) * (1 + 2 * beyond_px / SIDE)
        seen = edge_samples(pixels, [SeenCard(number, guess)])
        off = (seen.at_px - MIDDLE) @ turned(turn)
        along = np.where(seen.axis == 0, off[:, 0], -off[:, 1])
        known = np.stack([seen.value * SIDE, seen.dark, np.ones(len(along))], axis=1)
        sizes.append(np.linalg.lstsq(known, along, rcond=None)[0][0])
    assert np.mean(sizes) == pytest.approx(1, abs=1.5e-4)
