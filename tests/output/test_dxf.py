"""DXF, read again by ezdxf: units, blocks, layers, sizes; names that try to be codes."""

from __future__ import annotations

import io
import itertools
import math
import re

import ezdxf
import pytest
from ezdxf import bbox
from ezdxf.document import Drawing as Document

from bagwright.drafting.forms import FORMS, draft_bag
from bagwright.geometry.region import Region
from bagwright.model.pattern import Pattern
from bagwright.output.dxf import TOLERANCE_MM, Layer, pattern_dxf
from tests.output.samples import folded_body, rounded_front, sample_pattern


def reread(pattern: Pattern) -> Document:
    data = pattern_dxf(pattern)
    stream = io.StringIO(data.decode("cp1252"))
    return ezdxf.read(stream)  # type: ignore[attr-defined]


def only(*pieces) -> Pattern:
    return Pattern(form="sample", measurements_mm={}, pieces=pieces, seams=(), assembled=(), panels=())


def piece_blocks(document: Document) -> list:
    return [block for block in document.blocks if not block.name.startswith("*")]


def on(block, layer: Layer) -> list:
    return [entity for entity in block if entity.dxf.layer == layer.value]


def test_units_are_millimetres():
    document = reread(sample_pattern())
    assert document.header["$INSUNITS"] == 4
    assert document.header["$MEASUREMENT"] == 1


def test_one_block_for_each_piece_that_is_cut():
    document = reread(sample_pattern())
    cut = [piece for piece in sample_pattern().pieces if not piece.is_bought]
    blocks = piece_blocks(document)
    assert len(blocks) == len(cut)
    inserts = document.modelspace().query("INSERT")
    assert sorted(insert.dxf.name for insert in inserts) == sorted(block.name for block in blocks)


def test_audit_finds_no_faults():
    audit = reread(sample_pattern()).audit()
    assert not audit.errors
    assert not audit.fixes


@pytest.mark.parametrize(("piece", "size_mm"), [(rounded_front(), (320.0, 260.0)), (folded_body(), (220.0, 160.0))])
def test_boundary_is_closed_and_agrees_with_ezdxf(piece, size_mm):
    (block,) = piece_blocks(reread(only(piece)))
    (boundary,) = on(block, Layer.BOUNDARY)
    assert boundary.is_closed
    box = bbox.extents([boundary])
    assert (box.size.x, box.size.y) == pytest.approx(size_mm, abs=0.1)


def test_curves_lie_within_the_tolerance():
    """The net corner has a radius of 40 mm, its cut line 50 mm; no point or chord leaves that arc by more than 0.05."""
    (block,) = piece_blocks(reread(only(rounded_front())))
    (boundary,) = on(block, Layer.BOUNDARY)
    points = [(v.dxf.location.x, v.dxf.location.y) for v in boundary.vertices]
    corner = [p for p in points if p[0] <= 40 and p[1] <= 40]
    corner.sort(key=lambda p: math.atan2(p[1] - 40, p[0] - 40) % (2 * math.pi))
    assert len(corner) > 5
    middles = [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in itertools.pairwise(corner)]
    assert max(abs(math.dist(p, (40, 40)) - 50) for p in corner + middles) <= TOLERANCE_MM


def test_turn_and_curve_points_lie_on_the_boundary():
    (block,) = piece_blocks(reread(only(rounded_front())))
    (boundary,) = on(block, Layer.BOUNDARY)
    ring = Region.from_ring([(v.dxf.location.x, v.dxf.location.y) for v in boundary.vertices])
    points = [*on(block, Layer.TURN_POINTS), *on(block, Layer.CURVE_POINTS)]
    assert len(points) == len(boundary.vertices)
    for point in points:
        x, y = point.dxf.location.x, point.dxf.location.y
        spot = Region.rectangle((x - 1e-6, y - 1e-6), (x + 1e-6, y + 1e-6))
        assert ring.distance_mm(spot) == 0.0
        assert not ring.holds(spot)


def test_layers_carry_what_the_standard_says():
    document = reread(only(rounded_front(), folded_body()))
    front, folded = piece_blocks(document)
    counts = {layer: len(on(front, layer)) for layer in Layer}
    assert counts[Layer.NOTCHES] == 4
    assert counts[Layer.GRAIN] == 1
    assert counts[Layer.INTERNAL_LINES] == 3
    assert counts[Layer.DRILL_HOLES] == 1
    assert counts[Layer.SEW_LINES] == 1
    assert counts[Layer.MIRROR_LINE] == 0
    (fold,) = on(folded, Layer.MIRROR_LINE)
    assert (fold.dxf.start.y, fold.dxf.end.y) == pytest.approx((0.0, 0.0))
    assert abs(fold.dxf.end.x - fold.dxf.start.x) == pytest.approx(220.0)


def test_sew_line_agrees_with_the_net_size():
    (block,) = piece_blocks(reread(only(rounded_front())))
    (sewn,) = on(block, Layer.SEW_LINES)
    box = bbox.extents([sewn])
    assert (box.size.x, box.size.y) == pytest.approx((300.0, 240.0), abs=0.1)


def test_pieces_do_not_lie_on_one_another():
    document = reread(sample_pattern())
    boxes = [bbox.extents([insert]) for insert in document.modelspace().query("INSERT")]
    for i, one in enumerate(boxes):
        assert not any(one.has_overlap(other) for other in boxes[i + 1 :])


@pytest.mark.parametrize(
    "name",
    ["Front\n  0\nEOF", "x" * 300, "50%%d %%u ^J ^M \\U+0041 \\P", "Große 袋 👜", "", "\x00", 'a<>/\\":;?*|=`b'],
)
def test_hostile_names_stay_text(name):
    document = reread(sample_pattern(front_name=name))
    assert not document.audit().errors
    blocks = piece_blocks(document)
    assert len(blocks) == 5
    texts = [entity.dxf.text for entity in on(blocks[0], Layer.ANNOTATION)]
    assert all(len(text) <= 250 and "\n" not in text and "%%" not in text for text in texts)
    (boundary,) = on(blocks[0], Layer.BOUNDARY)
    assert boundary.is_closed


def test_bytes_hold_neither_clock_nor_chance():
    one, other = pattern_dxf(sample_pattern()), pattern_dxf(sample_pattern())
    assert one == other
    text = one.decode("cp1252")
    assert set(re.findall(r"GUID\r?\n *2\r?\n(.*)", text)) == {"{00000000-0000-0000-0000-000000000000}"}
    assert set(re.findall(r"\$TDU?(?:CREATE|UPDATE)\r?\n *40\r?\n(.*)", text)) == {"2451544.5"}
    assert set(re.findall(r" @ (\d{4})-", text)) == {"2000"}


@pytest.mark.parametrize("form", sorted(FORMS))
def test_every_form_agrees_with_its_cut_pieces(form):
    """Width and height of each boundary as ezdxf reads them, against the piece's own cut region."""
    pattern = draft_bag(form, {})
    document = reread(pattern)
    assert not document.audit().errors
    cut = [piece for piece in pattern.pieces if not piece.is_bought]
    for block, piece in zip(sorted(piece_blocks(document), key=lambda b: b.name), cut, strict=True):
        (boundary,) = on(block, Layer.BOUNDARY)
        box = bbox.extents([boundary])
        whole = piece.region()
        across, up = whole.width_mm, whole.height_mm
        if piece.fold_edge:
            start, end = piece.net.edge(piece.fold_edge).start, piece.net.edge(piece.fold_edge).end
            across, up = (across, up / 2) if abs(start[1] - end[1]) < 1e-6 else (across / 2, up)
        assert (box.size.x, box.size.y) == pytest.approx((across, up), abs=0.1)
