"""Where the ground lies and where each card lies on it, found together: every card is the same square, anywhere.

Gauss-Newton steps with damping (Levenberg 1944, Marquardt 1963, from memory) and weights that let go of stray points
(Huber 1964, from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from bagwright.capture.cards import EdgeSamples, SeenCard
from bagwright.capture.plane import PARAMETERS, Plane, mm_of, plane_of_square, slopes_of

Floats = npt.NDArray[np.float64]
_SHARED: Final = PARAMETERS + 1
"""The plane, and how far black spreads into white (or the other way), in mm, the same on all cards."""
# How far lenses of phones bend lines: a spread, from experience, no source. Keeps what the cards cannot tell near 0.
_LENS_SPREAD: Final = (0.1, 0.05)
_SPREAD_MM: Final = 0.5
_SQUARE: Final = np.array([[-0.5, 0.5], [0.5, 0.5], [0.5, -0.5], [-0.5, -0.5]])


@dataclass(frozen=True, slots=True)
class Fit:
    """A plane, the place (x, y in mm, turn in rad) of each card, and how well edges lie where they should.

    `residual_mm`: by edge point; `by_card_mm`: root mean square by card; `doubt`: covariance of the plane's values;
    `sizes`, `size_doubts`: by how much the side of each card seems to differ, as a share, and its standard error,
    where they were asked for.
    """

    plane: Plane
    poses: Floats
    residual_mm: Floats
    by_card_mm: Floats
    doubt: Floats
    sizes: Floats
    size_doubts: Floats

    @property
    def spread_mm(self) -> float:
        """Root mean square of all residuals but the stray ones."""
        size = np.abs(self.residual_mm)
        return float(np.sqrt(np.mean(np.minimum(size, 4 * np.median(size)) ** 2)))


@dataclass(frozen=True, slots=True)
class _Task:
    u: Floats
    samples: EdgeSamples
    count: int
    side_mm: float
    frees_sizes: bool

    @property
    def unknowns(self) -> int:
        """How many numbers are sought."""
        return _SHARED + (4 if self.frees_sizes else 3) * self.count

    def columns(self, card: int) -> list[int]:
        """Where among all unknowns those lie that points of this card depend on."""
        own = range(_SHARED + card, self.unknowns, self.count)
        return [*range(_SHARED), *own]


def first_fit(cards: list[SeenCard], samples: EdgeSamples, shape: tuple[int, int], side_mm: float) -> Fit:
    """From corners alone, starting with the largest card."""
    centre, unit = _frame(shape)
    corners = [(card.corners - centre) / unit for card in cards]
    largest = max(corners, key=_area)
    values = plane_of_square(largest, _SQUARE * side_mm)
    poses = np.array([_pose(mm_of(values, quad), side_mm) for quad in corners])
    return _fit(_task(samples, shape, len(cards), side_mm, False), shape, values, poses, rounds=30)


def finer_fit(start: Fit, samples: EdgeSamples, shape: tuple[int, int], side_mm: float, *, sizes: bool = False) -> Fit:
    """From all edges, starting with a fit that is near. `sizes`: let the cards differ in size."""
    task = _task(samples, shape, len(start.poses), side_mm, sizes)
    return _fit(task, shape, np.array(start.plane.values), start.poses, rounds=14)


def _frame(shape: tuple[int, int]) -> tuple[Floats, float]:
    return np.array([(shape[1] - 1) / 2, (shape[0] - 1) / 2]), float(np.hypot(shape[0], shape[1])) / 2


def _task(samples: EdgeSamples, shape: tuple[int, int], count: int, side_mm: float, frees_sizes: bool) -> _Task:
    centre, unit = _frame(shape)
    return _Task((samples.at_px - centre) / unit, samples, count, side_mm, frees_sizes)


def _area(quad: Floats) -> float:
    x, y = quad.T
    return float(abs(np.dot(x, np.roll(y, 1)) - np.dot(y, np.roll(x, 1)))) / 2


def _pose(quad: Floats, side_mm: float) -> Floats:
    """The square that lies nearest to four corners."""
    middle = quad.mean(axis=0)
    local, found = _SQUARE * side_mm, quad - middle
    turn = np.arctan2((local[:, 0] * found[:, 1] - local[:, 1] * found[:, 0]).sum(), (local * found).sum())
    return np.array([middle[0], middle[1], turn])


def _residuals(task: _Task, shared: Floats, poses: Floats, sizes: Floats) -> Floats:
    """How far each edge point lies from its edge, in mm."""
    mine = poses[task.samples.card]
    off = mm_of(shared, task.u) - mine[:, :2]
    cos, sin = np.cos(mine[:, 2]), np.sin(mine[:, 2])
    local = np.where(task.samples.axis == 0, cos * off[:, 0] + sin * off[:, 1], cos * off[:, 1] - sin * off[:, 0])
    should = task.samples.value * task.side_mm * (1 + sizes[task.samples.card])
    return np.asarray(local - should + task.samples.dark * shared[PARAMETERS])


def _slopes(task: _Task, shared: Floats, poses: Floats) -> Floats:
    """How the residuals change with what is shared and with the place (and size) of their own card."""
    at, by_value = slopes_of(shared, task.u)
    mine, is_x = poses[task.samples.card], task.samples.axis == 0
    cos, sin = np.cos(mine[:, 2]), np.sin(mine[:, 2])
    way = np.where(is_x, [cos, sin], [-sin, cos])
    off = at - mine[:, :2].T
    turn = np.where(is_x, cos * off[1] - sin * off[0], -cos * off[0] - sin * off[1])
    columns = [*(by_value * way).sum(axis=1), task.samples.dark, *-way, turn]
    if task.frees_sizes:
        columns.append(-task.samples.value * task.side_mm)
    return np.stack(columns, axis=1)


def _normal(task: _Task, slopes: Floats, weights: Floats, now: Floats) -> tuple[Floats, Floats]:
    """The weighted normal matrix of all unknowns and the pull of the residuals, card by card."""
    normal, pull = np.zeros((task.unknowns, task.unknowns)), np.zeros(task.unknowns)
    for card in range(task.count):
        mine = task.samples.card == card
        at, own = task.columns(card), slopes[mine]
        held = own.T * weights[mine]
        normal[np.ix_(at, at)] += held @ own
        pull[at] -= held @ now[mine]
    return normal, pull


def _held(task: _Task, unknowns: int) -> Floats:
    """What holds lens, spread and sizes near 0, as an inverse covariance. Sizes differ; their mean is not free."""
    held = np.zeros(unknowns)
    held[PARAMETERS - 2 : PARAMETERS] = 1 / np.square(_LENS_SPREAD)
    held[PARAMETERS] = 1 / _SPREAD_MM**2
    whole = np.diag(held)
    if task.frees_sizes:
        whole[-task.count :, -task.count :] += np.eye(task.count) / 0.1**2 + 1e8
    return whole


def _fit(task: _Task, shape: tuple[int, int], values: Floats, poses: Floats, *, rounds: int) -> Fit:
    shared, sizes = np.append(values, 0.0), np.zeros(task.count)
    now = _residuals(task, shared, poses, sizes)
    damping = 1e-3
    for _ in range(rounds):
        slopes = _slopes(task, shared, poses)
        limit, scale = _huber_limit(now)
        weights = np.minimum(1.0, limit / np.maximum(np.abs(now), 1e-12)) / scale**2
        held = _held(task, task.unknowns)
        at = _all(task, shared, poses, sizes)
        normal, pull = _normal(task, slopes, weights, now)
        pull -= held @ at
        while damping < 1e6:
            step = np.linalg.solve(normal + held + np.diag(damping * np.diag(normal) + 1e-12), pull)
            tried = _taken(task, at + step)
            after = _residuals(task, *tried)
            if _loss(after, limit, scale, held, _all(task, *tried)) <= _loss(now, limit, scale, held, at):
                break
            damping *= 10
        else:
            break
        shared, poses, sizes = tried
        gain = float(np.abs(after - now).max())
        now, damping = after, max(damping / 10, 1e-9)
        if gain < 1e-4:
            break
    return _finished(task, shape, (shared, poses, sizes), now)


def _huber_limit(residuals: Floats) -> tuple[float, float]:
    scale = max(1.4826 * float(np.median(np.abs(residuals))), 0.005)
    return 2.0 * scale, scale


def _loss(residuals: Floats, limit: float, scale: float, held: Floats, at: Floats) -> float:
    size = np.abs(residuals)
    points = np.where(size < limit, size * size, 2 * limit * size - limit * limit).sum() / scale**2
    return float(points + at @ held @ at) + 1e-12


def _all(task: _Task, shared: Floats, poses: Floats, sizes: Floats) -> Floats:
    return np.concatenate([shared, poses.T.ravel(), sizes] if task.frees_sizes else [shared, poses.T.ravel()])


def _taken(task: _Task, at: Floats) -> tuple[Floats, Floats, Floats]:
    poses = at[_SHARED : _SHARED + 3 * task.count].reshape(3, task.count).T
    return at[:_SHARED], poses, at[_SHARED + 3 * task.count :] if task.frees_sizes else np.zeros(task.count)


def _finished(task: _Task, shape: tuple[int, int], found: tuple[Floats, Floats, Floats], residuals: Floats) -> Fit:
    shared, poses, sizes = found
    slopes = _slopes(task, shared, poses)
    limit, scale = _huber_limit(residuals)
    weights = np.minimum(1.0, limit / np.maximum(np.abs(residuals), 1e-12)) / scale**2
    normal, _ = _normal(task, slopes, weights, residuals)
    doubt = np.asarray(np.linalg.pinv(normal + _held(task, task.unknowns), hermitian=True), dtype=np.float64)
    squares = np.bincount(task.samples.card, residuals**2, minlength=task.count)
    counts = np.maximum(np.bincount(task.samples.card, minlength=task.count), 1)
    centre, unit = _frame(shape)
    plane = Plane((float(centre[0]), float(centre[1])), unit, tuple(float(v) for v in shared[:PARAMETERS]))
    size_doubts = np.sqrt(np.diag(doubt)[-task.count :]) if task.frees_sizes else np.zeros(task.count)
    return Fit(plane, poses, residuals, np.sqrt(squares / counts), doubt[:PARAMETERS, :PARAMETERS], sizes, size_doubts)


def doubt_mm(fit: Fit, at_mm: Floats) -> float:
    """Standard error of the shape of these places (n, 2) as the plane gives it, wherever they lie on the ground."""
    plane = fit.plane
    u = (plane.to_px(at_mm) - np.array(plane.centre_px)) / plane.unit_px
    at, by_value = slopes_of(np.array(plane.values), u)
    slopes = np.stack([_without_motion(moves.T, at.T).ravel() for moves in by_value], axis=1)
    variance = np.einsum("ni,ij,nj->n", slopes, fit.doubt, slopes)
    return float(np.sqrt(2 * np.mean(np.maximum(variance, 0.0))))


def _without_motion(moves: Floats, at: Floats) -> Floats:
    """Moves less the shift and the turn in them."""
    off = at - at.mean(axis=0)
    moves = moves - moves.mean(axis=0)
    around = np.stack([-off[:, 1], off[:, 0]], axis=1)
    return np.asarray(moves - around * ((moves * around).sum() / max(float((around * around).sum()), 1e-12)))
