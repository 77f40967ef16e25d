"""`bagwright cover`: what it takes, what it refuses, and that its answer is what was asked."""

from __future__ import annotations

import json

import pytest
from shapely import affinity
from shapely.geometry import Polygon

from bagwright.errors import FaultyInput
from bagwright.units import UnitSystem
from bagwright.workflows.tell_cover import cover_as_json, cover_in_words, cover_of_file, write_cover

NEED = [[0, 0], [200, 0], [200, 150], [0, 150]]
LEFT = [[0, 0], [120, 0], [80, 150], [0, 150]]
RIGHT = [[40, 0], [120, 0], [120, 150], [0, 150]]
SCRAPS = [
    {"id": "left", "outline": LEFT, "grain_deg": 0},
    {"id": "right", "outline": RIGHT, "grain_deg": 180},
]


def cover(**others):
    asked = {"need": NEED, "scraps": SCRAPS, "turns": "grain", "seconds": 0, **others}
    return cover_of_file(json.dumps(asked).encode())


def refused(**others):
    with pytest.raises(FaultyInput) as fault:
        cover(**others)
    return {problem.place: problem for problem in fault.value.problems}


def test_kept_parts_lie_where_the_mapping_puts_the_scraps():
    answer = json.loads(json.dumps(cover_as_json(cover()), allow_nan=False))
    assert answer["covered_share"] == pytest.approx(1)
    assert (answer["enough"], answer["checked"], answer["cuts"]) == (True, True, 0)
    outlines = {"left": Polygon(LEFT), "right": Polygon(RIGHT)}
    for one in answer["placements"]:
        lies = affinity.rotate(outlines[one["id"]], one["turn_deg"], origin=(0, 0))
        lies = affinity.translate(lies, one["x_mm"], one["y_mm"])
        assert sum(Polygon(ring).symmetric_difference(lies).area for ring in one["kept"]) < 0.1


def test_a_stop_keeps_the_best_cover():
    """Asked to stop at once, with ten minutes allowed: what is told is whole and checked."""
    told = cover_of_file(
        json.dumps({"need": NEED, "scraps": SCRAPS, "seconds": 600}).encode(), should_stop=lambda: True
    )
    assert told.cover.verdict.passed and told.cover.placements


def test_a_hole_needs_no_cover():
    hole = [[20, 20], [60, 20], [60, 60], [20, 60]]
    answer = json.loads(json.dumps(cover_as_json(cover(holes=[hole]))))
    kept = [Polygon(ring) for one in answer["placements"] for ring in one["kept"]]
    assert answer["covered_share"] == pytest.approx(1, abs=1e-3)
    assert sum(part.intersection(Polygon(hole)).area for part in kept) < 0.1


def test_words_for_the_maker():
    said = cover_in_words(cover(), UnitSystem.METRIC)
    assert said.startswith("2 scraps cover 100 % of the template; no gap.")
    poor = cover_in_words(cover(scraps=SCRAPS[:1]), UnitSystem.METRIC)
    assert "1 scrap covers" in poor
    assert "less than you asked for" in poor


def test_a_drawing_is_written_only_where_it_can_be(tmp_path):
    write_cover(cover(), str(tmp_path / "cover.svg"), UnitSystem.METRIC)
    assert b"<svg" in (tmp_path / "cover.svg").read_bytes()
    with pytest.raises(FaultyInput) as fault:
        write_cover(cover(), str(tmp_path / "none" / "cover.svg"), UnitSystem.METRIC)
    assert [problem.place for problem in fault.value.problems] == ["--svg"]


def test_rejects_what_can_not_be_covered():
    assert "scraps[1].id" in refused(scraps=[SCRAPS[0], SCRAPS[0]])
    assert "scraps[0].grain_deg" in refused(scraps=[{**SCRAPS[0], "grain_deg": None}])
    assert "need" in refused(holes=[[[-1, -1], [201, -1], [201, 151], [-1, 151]]])
    assert "need" in refused(need=[[0, 0], [10, 10], [10, 0], [0, 10]])
    assert "max_scraps" in refused(max_scraps=0)
