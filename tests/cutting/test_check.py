"""The judge finds every planted fault, and nothing else."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from bagwright.cutting.check import CHECKS, check_layout, used_length_mm
from bagwright.geometry.region import Region
from bagwright.model.layout import LayPiece, LayRequest, Placement
from bagwright.model.piece import Mirror

PANEL = LayPiece(id="panel", region=Region.rectangle((0, 0), (300, 200)), count=2)
# An L: its mirror image differs from it in every turn.
ELL = LayPiece(
    id="ell",
    region=Region.from_ring([(0, 0), (100, 0), (100, 40), (40, 40), (40, 150), (0, 150)]),
    count=2,
    mirror=Mirror.PAIRS,
)
REQUEST = LayRequest(width_mm=400, gap_mm=5, pieces=(PANEL, ELL))
SOUND = (
    Placement("panel", 0.0, False, 0.0, 0.0),
    Placement("panel", 180.0, False, 300.0, 405.0 - 5),
    Placement("ell", 0.0, False, 305.0, 0.0),
    Placement("ell", 0.0, True, 510.0, 0.0),
)
SOUND = (SOUND[0], replace(SOUND[1], x_mm=300.0, y_mm=400.0), *SOUND[2:])


def _with(at: int, **changes) -> tuple[Placement, ...]:
    spots = list(SOUND)
    spots[at] = replace(SOUND[at], **changes)
    return tuple(spots)


def _apart(request: LayRequest) -> LayRequest:
    """The panels lie 0 apart in `SOUND`: on 400 mm there is no room for a gap, so it is asked for by others only."""
    return replace(request, gap_mm=0)


def test_a_sound_layout_passes():
    verdict = check_layout(_apart(REQUEST), SOUND)
    assert verdict.faults == ()
    assert verdict.checks == CHECKS
    assert used_length_mm(REQUEST, SOUND) == 510.0


@pytest.mark.parametrize(
    ("spots", "word"),
    [
        (_with(2, x_mm=299.0), "panel and ell overlap"),
        (_with(2, turn_deg=90.0), "turned by 90"),
        (_with(2, turn_deg=0.5), "turned by 0.5"),
        (SOUND[:-1], "laid 1 times, asked for 2"),
        ((*SOUND, replace(SOUND[0], x_mm=900.0)), "laid 3 times, asked for 2"),
        (_with(0, mirrored=True, x_mm=300.0), "1 mirrored, none may be"),
        (_with(3, mirrored=False, x_mm=410.0), "0 of 2 mirrored, half must be"),
        (_with(1, y_mm=401.0), "reaches from 201 to 401 mm across a cloth of 400 mm"),
        (_with(1, y_mm=400.002), "across a cloth of 400 mm"),
        (_with(0, x_mm=-1.0), "begins 1 mm before the cloth does"),
        (_with(0, id="flap"), "no such piece"),
        (_with(0, x_mm=math.nan), "no place in the plane"),
        (_with(0, turn_deg=math.inf), "no place in the plane"),
        (_with(3, x_mm=406.0), "ell and ell overlap"),
        ((SOUND[0], SOUND[0], *SOUND[2:]), "panel and panel overlap by 60000 mm2"),
    ],
)
def test_rejects_a_planted_fault(spots, word):
    faults = check_layout(_apart(REQUEST), spots).faults
    assert any(word in fault for fault in faults), faults


def test_rejects_a_gap_that_falls_short():
    assert any("0 mm apart, 5 mm are asked for" in fault for fault in check_layout(REQUEST, SOUND).faults)
    wide = replace(REQUEST, width_mm=405)
    assert check_layout(wide, _with(1, y_mm=405.0)).passed
    short = check_layout(wide, _with(1, y_mm=404.9)).faults
    assert short == ("panel and panel lie 4.9 mm apart, 5 mm are asked for",)


def test_mirrored_at_will_may_be_any_number():
    ell = replace(ELL, mirror=Mirror.EITHER)
    request = replace(_apart(REQUEST), pieces=(PANEL, ell))
    assert check_layout(request, SOUND).passed
    assert check_layout(request, _with(3, mirrored=False, x_mm=410.0)).passed


def test_free_turns_allow_any_angle():
    free = replace(PANEL, count=1, turns_deg=None)
    request = LayRequest(width_mm=400, pieces=(free,))
    assert check_layout(request, [Placement("panel", 33.3, False, 200.0, 0.0)]).passed


def test_an_overlap_of_rounding_size_passes_and_a_larger_one_does_not():
    panels = replace(_apart(REQUEST), pieces=(PANEL,))
    assert check_layout(panels, [SOUND[0], replace(SOUND[0], x_mm=300 - 2e-4)][:2]).passed
    assert not check_layout(panels, [SOUND[0], replace(SOUND[0], x_mm=300 - 4e-4)]).passed
