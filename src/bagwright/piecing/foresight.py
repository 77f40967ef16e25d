"""Looking ahead: which few poses cover most together, on a raster, before any of them is laid exactly.

One row of squares for each pose; what two poses cover together is the sum of their rows less their product, so all
pairs are weighed at once, and a beam over chains of poses costs one product of matrices a step.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from bagwright.piecing.heap import Heap
from bagwright.piecing.poses import Poses, turned
from bagwright.piecing.rings import Whole
from bagwright.piecing.screening import Mask

_SQUARES = 3_000
_WIDTH = 40
_LONGEST = 4
_Rows = npt.NDArray[np.float32]


def chains_that_cover(poses: Poses, heap: Heap, mask: Mask, *, most: int, toll: float) -> list[Whole]:
    """Numbers of poses, each of another scrap, that together cover most of the mask; the best chains first.

    `toll`: what one more pose must cover, as a share of the mask, to be worth it.
    """
    rows = _covered(poses, heap, mask)
    if not len(rows):
        return []
    total = float(np.float32(rows.shape[1]))
    areas = rows.sum(axis=1)
    chains, unions = np.zeros((1, 0), dtype=np.intp), np.zeros((1, rows.shape[1]), dtype=np.float32)
    best: list[tuple[float, Whole]] = []
    for step in range(1, min(most, _LONGEST) + 1):
        covered = unions.sum(axis=1)[:, None] + areas[None] - unions @ rows.T
        covered[_uses_again(chains, poses)] = -1.0
        chains, picked, before = _widened(chains, covered, len(rows) if step == 1 else _WIDTH)
        unions = np.maximum(unions[before], rows[picked])
        worths = unions.sum(axis=1) / total - toll * step
        best += list(zip(worths.tolist(), chains, strict=True))
    best.sort(key=lambda one: -one[0])
    return [chain for _, chain in best]


def _covered(poses: Poses, heap: Heap, mask: Mask) -> _Rows:
    """Which squares inside the mask each pose covers."""
    coarse = mask.thinned(_SQUARES)
    points = coarse.middles()
    rows = np.zeros((len(poses.scrap), len(points)), dtype=np.float32)
    for number, (scrap, turn, shift) in enumerate(zip(poses.scrap, poses.turn, poses.shift, strict=True)):
        back = turned((points - shift)[None], np.array([-turn]))[0]
        rows[number] = heap.filled(int(scrap)).holds(back)
    return rows


def _uses_again(chains: npt.NDArray[np.intp], poses: Poses) -> npt.NDArray[np.bool_]:
    again = np.zeros((len(chains), len(poses.scrap)), dtype=np.bool_)
    for column in chains.T:
        again |= poses.scrap[column][:, None] == poses.scrap[None]
    return again


def _widened(chains: npt.NDArray[np.intp], covered: _Rows, width: int) -> tuple[npt.NDArray[np.intp], Whole, Whole]:
    """The best longer chains, each set of poses once: the chains, what they end with, what they were before."""
    most = min(covered.size, 3 * width)
    flat = np.argpartition(-covered.ravel(), most - 1)[:most]
    flat = flat[np.argsort(-covered.ravel()[flat], kind="stable")]
    before, picked = np.unravel_index(flat, covered.shape)
    longer = np.sort(np.column_stack([chains[before], picked]), axis=1)
    _, first = np.unique(longer, axis=0, return_index=True)
    kept = np.sort(first)[:width]
    kept = kept[covered[before[kept], picked[kept]] > 0]
    return np.column_stack([chains[before], picked])[kept], picked[kept], before[kept]
