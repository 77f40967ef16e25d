"""Prints of nearly the ground's hue, on colours laid out by hand: no reading of a picture is asked."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from bagwright.capture.near_hues import patches_aside, patches_of_print
from bagwright.capture.parts import _without_dots, _without_gaps_of_print

SIZE = 160
GROUND = np.array([0.20, -0.12, 0.25])
"""Two of colour, one of brightness: any strong colour."""
SPOT = slice(60, 100), slice(60, 100)
Floats32 = npt.NDArray[np.float32]


def a_mat(spot: Floats32, light: Floats32 | None = None) -> npt.NDArray[np.bool_]:
    """What is told to be print on ground that wavers by 1 % from pixel to pixel, colours times `spot` in its middle."""
    noise = np.random.default_rng(7).normal(1, 0.01, (SIZE, SIZE, 3))
    colours = (GROUND * noise * (1 if light is None else light[..., None])).astype(np.float32)
    local = np.tile(GROUND, (SIZE // 8, SIZE // 8, 1)).astype(np.float32)
    colours *= spot
    everywhere = np.ones((SIZE, SIZE), np.bool_)
    return patches_of_print(patches_aside(colours, local, everywhere, everywhere), everywhere)[0]


def of_hue(off: float) -> Floats32:
    """Times that in the middle, its hue is off by so much along both of its numbers, its brightness the same."""
    spot = np.ones((SIZE, SIZE, 3), np.float32)
    spot[SPOT] = (1 + off, 1 - off, 1.0)
    return spot


def test_a_spot_six_hundredths_off_the_hue_is_print_and_a_shadow_is_not():
    found = a_mat(of_hue(0.06))
    assert found[SPOT].mean() > 0.95
    assert found.sum() < 1.2 * 40 * 40
    assert not a_mat(of_hue(0.0)).any()
    shadow = np.ones((SIZE, SIZE), np.float32)
    shadow[SPOT] = 0.4
    assert not a_mat(of_hue(0.0), shadow).any()


def test_a_hue_that_changes_by_and_by_is_a_lamps_and_no_print():
    fading = np.clip(1.5 - np.abs(np.arange(SIZE) - SIZE / 2) / 50, 0, 1)
    cast = np.ones((SIZE, SIZE, 3), np.float32)
    cast[..., 0] += 0.08 * fading[:, None] * fading[None, :]
    assert not a_mat(cast).any()


def test_a_hole_is_filled_if_it_is_off_the_ground_s_hue_and_kept_if_it_shows_ground():
    scrap = np.zeros((SIZE, SIZE), np.bool_)
    scrap[30:130, 30:130] = True
    scrap[SPOT] = False
    aside = np.random.default_rng(3).normal(0, 0.2, (2, SIZE, SIZE)).astype(np.float32)
    assert (_without_gaps_of_print(scrap, aside) == scrap).all()
    aside[1][SPOT] -= 0.5
    assert np.count_nonzero(_without_gaps_of_print(scrap, aside)) == 100 * 100
    bay = scrap.copy()
    bay[60:100, 100:130] = False
    aside[1, 60:100, 100:130] -= 0.5
    assert np.count_nonzero(_without_gaps_of_print(bay, aside)) > 0.98 * 100 * 100


def test_several_holes_of_one_size_are_dots_of_a_print_and_fewer_or_a_far_larger_one_are_holes():
    scrap = np.ones((SIZE, SIZE), np.bool_)
    scrap[[0, -1]] = scrap[:, [0, -1]] = False
    whole = np.count_nonzero(scrap)
    scrap[100:140, 100:140] = False
    for x in (20, 50, 80, 110):
        scrap[20:28, x : x + 8] = False
    assert np.count_nonzero(_without_dots(scrap)) == whole - 40 * 40
    scrap[20:28, 110:118] = True
    assert (_without_dots(scrap) == scrap).all()
