"""Small invented patterns with known sizes, for the tests of the drawings."""

from __future__ import annotations

from bagwright.geometry.curves import Arc, Line
from bagwright.geometry.outline import Edge, Outline, rectangle_outline
from bagwright.model.pattern import Pattern
from bagwright.model.piece import DrillMark, EdgeUse, Mirror, Notch, Piece, PlacementLine

ALLOWANCE_MM = 10.0


def allowances(outline: Outline, **others: float) -> dict[str, float]:
    """The usual allowance on every edge but those named."""
    return {edge.name: others.get(edge.name, ALLOWANCE_MM) for edge in outline.edges}


def rectangle_piece(piece_id: str, name: str, width_mm: float, height_mm: float, **more) -> Piece:
    """A rectangle with the usual allowance all round."""
    net = rectangle_outline(width_mm, height_mm)
    use = {edge.name: EdgeUse.SEAM for edge in net.edges}
    settings = {"role": "outer", "allowance_mm": allowances(net), "edge_use": use, **more}
    return Piece(id=piece_id, name=name, net=net, **settings)


def rounded_front() -> Piece:
    """300 x 240 mm net, lower corners rounded with 40 mm; 320 x 260 mm cut."""
    w, h, r = 300.0, 240.0, 40.0
    bottom = Edge(
        "bottom",
        (Arc((0, r), (r, r), 90), Line((r, 0), (w - r, 0)), Arc((w - r, 0), (w - r, r), 90)),
    )
    net = Outline(
        (
            bottom,
            Edge("right", (Line((w, r), (w, h)),)),
            Edge("top", (Line((w, h), (0, h)),)),
            Edge("left", (Line((0, h), (0, r)),)),
        )
    )
    return Piece(
        id="front",
        name="Front panel",
        role="outer",
        net=net,
        allowance_mm=allowances(net),
        edge_use={edge.name: EdgeUse.SEAM for edge in net.edges},
        count=2,
        notches=(Notch("top", 150), Notch("right", 60), Notch("left", 100), Notch("bottom", 30)),
        lines=(
            PlacementLine("pocket", (70, 160), (230, 160)),
            PlacementLine("left strap", (80, 200), (80, 240)),
            PlacementLine("right strap", (220, 200), (220, 240)),
        ),
        drill_marks=(DrillMark("snap", (150, 215)),),
    )


def folded_body() -> Piece:
    """200 x 150 mm net on the fold along its bottom; cut 220 x 160 mm to the fold."""
    net = rectangle_outline(200, 150, {"bottom": "fold"})
    use = dict.fromkeys(("right", "top", "left"), EdgeUse.SEAM)
    return Piece(
        id="lining",
        name="Lining",
        role="lining",
        net=net,
        allowance_mm=allowances(net, fold=0.0),
        edge_use={**use, "fold": EdgeUse.FOLD},
        count=2,
    )


def sample_pattern(*, front_name: str = "Front panel") -> Pattern:
    """Panels, a fold, a long strap, a pair and a tiny tab."""
    front = rounded_front()
    named = Piece(**{f: getattr(front, f) for f in front.__dataclass_fields__} | {"name": front_name})
    pieces = (
        named,
        folded_body(),
        rectangle_piece("side", "Side gusset", 110, 240, count=2, mirror=Mirror.PAIRS),
        rectangle_piece("strap", "Shoulder strap", 80, 1200, count=1, role="strap"),
        rectangle_piece("tab", "Zip tab", 12, 30, count=2, role="strap"),
        rectangle_piece("zip", "Zip chain", 12, 280, count=1, role="zip", is_bought=True, allowance_mm={}),
    )
    return Pattern(form="sample", measurements_mm={}, pieces=pieces, seams=(), assembled=(), panels=())
