"""The finished bag folded up from its pieces, bends and seams alone. It knows no forms."""

from __future__ import annotations

import itertools
import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

from bagwright.drafting.fold_assembly import Assembly, SoftCopy
from bagwright.drafting.fold_layers import layer_ranks
from bagwright.drafting.fold_measures import body_facets, capacity_mm3, size_of, upright
from bagwright.drafting.fold_placing import place_copies
from bagwright.drafting.fold_tracks import Track, fold_bodies, seam_tracks, stitched_lines
from bagwright.errors import BrokenPromise
from bagwright.geometry.facets import Facet
from bagwright.geometry.folding import Segment3
from bagwright.geometry.solids import planes_of
from bagwright.geometry.space import Motion, Point3, mean
from bagwright.model.fold_up import GAP_TOLERANCE_MM, Copy, FoldedFacet, FoldUp, SeamGap
from bagwright.model.pattern import Pattern
from bagwright.model.piece import Piece

MM3_PER_L = 1e6


def fold_up(pattern: Pattern) -> FoldUp:
    """Every copy folded along its bends and laid where the joining seams put it.

    Flat and bent panels without thickness or weight; straps hang in arches. Where sides of a seam do not fit, the copy
    lies between them and the seam gapes: see `FoldUp.gaps`. Takes any pattern whose seams name pieces, copies and edges
    that exist, sound or not. Raises `BrokenPromise` for one without pieces.
    """
    if not pattern.pieces:
        raise BrokenPromise("there is nothing to fold up")
    bodies = fold_bodies(pattern)
    assembly = place_copies(bodies, seam_tracks(pattern, bodies))
    lying = {copy: list(assembly.facets(copy)) for copy in assembly.order}
    capacity = capacity_mm3(assembly, lying)
    stand = upright(assembly, lying)
    facets = {copy: [facet.moved(stand) for facet in found] for copy, found in lying.items()}
    size, base_width, lean = size_of(body_facets(pattern, facets, assembly.soft))
    lines = _lines(assembly, stitched_lines(pattern, bodies), stand)
    return FoldUp(
        facets=tuple(_told(assembly, facets, lines)),
        gaps=tuple(_gaps(assembly, stand)),
        assembled_size_mm=size,
        base_width_mm=base_width,
        lean_mm=lean,
        capacity_l=None if capacity is None else capacity / MM3_PER_L,
        unplaced=tuple(copy for copy in bodies if assembly.waits(copy)),
    )


_Lines = Mapping[tuple[Copy, int], Sequence[Segment3]]


def _lines(assembly: Assembly, drawn: Mapping[Copy, Sequence[tuple[int, Segment3]]], stand: Motion) -> _Lines:
    """What is stitched on each facet of the stiff copies, as the bag stands."""
    found: defaultdict[tuple[Copy, int], list[Segment3]] = defaultdict(list)
    for copy, parts in drawn.items():
        if copy in assembly.motions:
            motion = stand.after(assembly.motions[copy])
            for number, (start, end) in parts:
                found[copy, number].append((motion.apply(start), motion.apply(end)))
    return found


def _told(assembly: Assembly, facets: Mapping[Copy, Sequence[Facet]], lines: _Lines) -> Iterator[FoldedFacet]:
    """The facets as the value that others see; of cloth that lies double, one for both layers."""
    owners = [copy for copy, found in facets.items() for _ in found]
    numbers = [number for found in facets.values() for number, _ in enumerate(found)]
    flat = [facet for found in facets.values() for facet in found]
    normals = [facet.normal for facet in flat]
    planes = planes_of(normals, [facet.points for facet in flat])
    ranks = layer_ranks(owners, normals, planes, assembly)
    for copy, number, facet, plane, rank in zip(owners, numbers, flat, planes, ranks, strict=True):
        piece, soft = assembly.bodies[copy].piece, assembly.soft.get(copy)
        yield FoldedFacet(
            piece_id=copy[0],
            copy=copy[1],
            role=piece.role,
            points=facet.points,
            edges=facet.edges,
            normal=facet.normal,
            plane=plane,
            rank=rank,
            is_double=_is_double(piece, soft),
            lines=tuple(lines.get((copy, number), ())),
        )


def _is_double(piece: Piece, soft: SoftCopy | None) -> bool:
    """Whether both faces are right sides: cloth folded on itself, or webbing."""
    return piece.fold_edge is not None or piece.role == "webbing" or (soft is not None and soft.folds_mm != ())


def _gaps(assembly: Assembly, stand: Motion) -> Iterator[SeamGap]:
    """Every joining seam of which at least two layers have a place."""
    for seam_id, tracks in assembly.tracks.items():
        lies = [(track, assembly.points(track)) for track in tracks if not assembly.waits(track.copy)]
        if len(lies) > 1:
            gaps = [(_gap_mm(a, b, assembly), a[1], b[1]) for a, b in itertools.combinations(lies, 2)]
            gap_mm, one, other = max(gaps, key=lambda gap: gap[0])
            threads = tuple((stand.apply(a), stand.apply(b)) for a, b in zip(one, other, strict=True))
            yield SeamGap(seam_id, gap_mm, threads if gap_mm > GAP_TOLERANCE_MM else ())


_Lying = tuple[Track, Sequence[Point3]]


def _gap_mm(one: _Lying, other: _Lying, assembly: Assembly) -> float:
    softs = [assembly.soft.get(track.copy) for track, _ in (one, other)]
    if softs[0] is not None and one[0].copy == other[0].copy:
        return 0.0  # turned back on itself, which is not drawn
    if any(soft is not None and soft.is_held_by_ends for soft in softs):
        # The end of a strap follows any curve it is sewn to: it only has to reach there.
        return math.dist(mean(one[1]), mean(other[1]))
    ease = 0.0 if one[0].side == other[0].side else abs(one[0].side.ease_mm) + abs(other[0].side.ease_mm)
    return max(0.0, max(math.dist(a, b) for a, b in zip(one[1], other[1], strict=True)) - ease)
