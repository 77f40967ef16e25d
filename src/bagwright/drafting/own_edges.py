"""Edges of her own pieces: called otherwise, divided, put together; seams, notches and measures go along."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import TypeVar

from bagwright.drafting.own_pieces import accept_own, piece_of, with_piece
from bagwright.errors import BrokenPromise, FaultyInput, Problem
from bagwright.geometry.outline import Edge, Outline
from bagwright.geometry.splitting import split_edge
from bagwright.model.own_pattern import OwnPattern
from bagwright.model.pattern import SeamSide, Span
from bagwright.model.piece import Notch, Piece

Value = TypeVar("Value")
LEAST_EDGE_MM = 1.0


def rename_edges(own: OwnPattern, piece_id: str, names: Mapping[str, str]) -> OwnPattern:
    """The edges of one piece by other names, old to new. Raises `FaultyInput` if two are called the same."""
    piece = piece_of(own, piece_id)
    called = {edge.name: names.get(edge.name, edge.name) for edge in piece.net.edges}
    taken = [*called.values(), *(line.name for line in piece.lines)]
    for old, new in called.items():
        if taken.count(new) > 1:
            raise _refusal(f"edge.{old}", new, "is the name of another edge or line", "each name once")
    renamed = replace(
        piece,
        net=Outline(tuple(Edge(called[edge.name], edge.curves) for edge in piece.net.edges)),
        allowance_mm={called[name]: width for name, width in piece.allowance_mm.items()},
        edge_use={called[name]: use for name, use in piece.edge_use.items()},
        notches=tuple(replace(notch, edge=called[notch.edge]) for notch in piece.notches),
    )
    parts = {old: (new,) for old, new in called.items()}
    return _with_edges(own, renamed, lambda side: replace(side, edge=called.get(side.edge, side.edge)), parts)


def divide_edge(own: OwnPattern, piece_id: str, name: str, at_mm: float) -> OwnPattern:
    """One edge as two, divided `at_mm` from its start.

    Raises `FaultyInput` if that is not on the edge, or the edge is sewn across that place already.
    """
    piece = piece_of(own, piece_id)
    edge = _edge_of(piece, name)
    if not LEAST_EDGE_MM <= at_mm <= edge.length_mm - LEAST_EDGE_MM:
        allowed = f"{LEAST_EDGE_MM:g} to {edge.length_mm - LEAST_EDGE_MM:.1f} mm"
        raise _refusal("divide_at", f"{at_mm:.2f} mm", f"is no place along {name}", allowed)
    _refuse_if_sewn(own, piece, [name], across_mm=at_mm)
    names = _new_names(piece, name)
    halves = split_edge(edge, at_mm, names)
    edges = [half for one in piece.net.edges for half in (halves if one.name == name else (one,))]

    def moved(side: SeamSide) -> SeamSide:
        if side.edge != name:
            return side
        if max(side.from_mm, side.to_mm) <= at_mm:
            return replace(side, edge=names[0])
        return replace(side, edge=names[1], from_mm=side.from_mm - at_mm, to_mm=side.to_mm - at_mm)

    divided = replace(
        piece,
        net=Outline(tuple(edges)),
        allowance_mm=_spread(piece.allowance_mm, name, names),
        edge_use=_spread(piece.edge_use, name, names),
        notches=tuple(_on_half(notch, name, names, at_mm) for notch in piece.notches),
    )
    return _with_edges(own, divided, moved, {name: names})


def put_edges_together(own: OwnPattern, piece_id: str, name: str) -> OwnPattern:
    """An edge and the one after it, counter-clockwise, as one, with the name, use and allowance of the first.

    Raises `FaultyInput` if only two edges are left, one lies on the fold, or either is sewn or measured already.
    """
    piece = piece_of(own, piece_id)
    edge = _edge_of(piece, name)
    edges = list(piece.net.edges)
    number = edges.index(edge)
    following = edges[(number + 1) % len(edges)]
    if len(edges) < 3:
        raise _refusal("edge", name, "has no other edge left to be put together with", "pieces of three edges or more")
    if piece.fold_edge in (name, following.name):
        raise _refusal("edge", name, "would bend the fold", "edges that do not lie on the fold")
    _refuse_if_sewn(own, piece, [name, following.name])
    joined = Edge(name, (*edge.curves, *following.curves))
    rest = [one for one in edges if one.name not in (name, following.name)]
    # A chain may begin anywhere: the joined edge stands where the first of the two stood.
    place = min(number, len(rest))
    together = replace(
        piece,
        net=Outline((*rest[:place], joined, *rest[place:])),
        allowance_mm={n: w for n, w in piece.allowance_mm.items() if n != following.name},
        edge_use={n: u for n, u in piece.edge_use.items() if n != following.name},
        notches=tuple(
            Notch(name, notch.at_mm + edge.length_mm) if notch.edge == following.name else notch
            for notch in piece.notches
        ),
    )
    return accept_own(with_piece(own, together))


def _edge_of(piece: Piece, name: str) -> Edge:
    try:
        return piece.net.edge(name)
    except BrokenPromise:
        allowed = ", ".join(edge.name for edge in piece.net.edges)
        raise _refusal("edge", name[:40], f"is no edge of {piece.name}", allowed) from None


def _refuse_if_sewn(own: OwnPattern, piece: Piece, names: Sequence[str], *, across_mm: float | None = None) -> None:
    for seam in own.seams:
        for side in seam.sides:
            low, high = sorted((side.from_mm, side.to_mm))
            if (
                side.piece_id == piece.id
                and side.edge in names
                and (across_mm is None or low + 1e-6 < across_mm < high - 1e-6)
            ):
                what = f"is sewn there already, in {seam.name!r}"
                raise _refusal("edge", side.edge, what, "edges in no seam: take the seam out, and join them anew")
    spans = {span.edge for measure in own.measures for span in measure.spans if span.piece_id == piece.id}
    for name in names if across_mm is None else ():
        if name in spans:
            raise _refusal("edge", name, "is part of a measure", "edges in no measure")


def _new_names(piece: Piece, name: str) -> tuple[str, str]:
    """`edge_2` is divided into `edge_2` and the next free number, `top` into `top` and `top_2`."""
    taken = {edge.name for edge in piece.net.edges} | {line.name for line in piece.lines}
    stem = name.rstrip("0123456789").rstrip("_") or name
    return name, next(one for n in range(2, len(taken) + 3) if (one := f"{stem}_{n}") not in taken)


def _spread(by_edge: Mapping[str, Value], name: str, names: tuple[str, str]) -> dict[str, Value]:
    return {**{n: value for n, value in by_edge.items() if n != name}, **dict.fromkeys(names, by_edge[name])}


def _on_half(notch: Notch, name: str, names: tuple[str, str], at_mm: float) -> Notch:
    if notch.edge != name:
        return notch
    return Notch(names[0], notch.at_mm) if notch.at_mm <= at_mm else Notch(names[1], notch.at_mm - at_mm)


def _with_edges(
    own: OwnPattern, piece: Piece, moved: Callable[[SeamSide], SeamSide], parts: Mapping[str, Sequence[str]]
) -> OwnPattern:
    """The pattern with that piece; its sides are `moved`, and a measure counts the `parts` of each edge."""
    seams = tuple(
        replace(seam, sides=tuple(moved(s) if s.piece_id == piece.id else s for s in seam.sides)) for seam in own.seams
    )
    measures = tuple(
        replace(measure, spans=tuple(part for span in measure.spans for part in _spans(span, piece.id, parts)))
        for measure in own.measures
    )
    return accept_own(replace(with_piece(own, piece), seams=seams, measures=measures))


def _spans(span: Span, piece_id: str, parts: Mapping[str, Sequence[str]]) -> Sequence[Span]:
    if span.piece_id != piece_id or span.edge not in parts:
        return (span,)
    return [replace(span, edge=part) for part in parts[span.edge]]


def _refusal(place: str, value: str, what: str, allowed: str) -> FaultyInput:
    return FaultyInput([Problem(place=place, value=value, what=what, allowed=allowed, remedy="Choose another.")])
