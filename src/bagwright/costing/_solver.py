"""The only file that knows the solver: mixed-integer programs through scipy, which brings HiGHS."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from bagwright.errors import BrokenPromise

_ANY_NODES = 2**31 - 1


@dataclass(frozen=True, slots=True)
class Effort:
    """How long to look: seconds, and nodes of the search tree for runs that have to repeat."""

    seconds: float = 1.6
    nodes: int | None = None


@dataclass(frozen=True, slots=True)
class Solved:
    """Values of the variables, and a bound below which no solution lies."""

    values: tuple[float, ...]
    bound: float


@dataclass(slots=True)
class Program:
    """Make as small as can be: the sum of cost x variable, under rows of low <= sum of factor x variable <= high."""

    costs: list[float] = field(default_factory=list)
    highs: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)
    rows: list[tuple[Mapping[int, float], float, float]] = field(default_factory=list)

    def variable(self, *, high: float = math.inf, whole: bool = True, cost: float = 0.0) -> int:
        """A new variable from 0 to `high`; its number."""
        self.costs.append(cost)
        self.highs.append(high)
        self.whole.append(whole)
        return len(self.costs) - 1

    def row(self, factors: Mapping[int, float], *, low: float = -math.inf, high: float = math.inf) -> None:
        """A new condition."""
        self.rows.append((dict(factors), low, high))


def solve(program: Program, effort: Effort, *, close_enough: float) -> Solved | None:
    """The best solution found; None if there is none.

    The search ends when the bound is within `close_enough` of the best, as a share of it. Raises `TimeoutError` if it
    found nothing in its time, so that nothing is known.
    """
    # scipy takes half a second to come in: only those who solve wait for it.
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_array

    if not program.costs:
        return Solved((), 0.0)
    factors = [(number, at, value) for number, (row, _, _) in enumerate(program.rows) for at, value in row.items()]
    rows, columns, values = zip(*factors, strict=True) if factors else ((), (), ())
    shape = (len(program.rows), len(program.costs))
    matrix = csr_array((np.array(values, dtype=float), (np.array(rows, int), np.array(columns, int))), shape=shape)
    limits = [(low, high) for _, low, high in program.rows]
    result = milp(
        np.array(program.costs),
        integrality=np.array(program.whole, dtype=np.int8),
        bounds=Bounds(0.0, np.array(program.highs)),
        constraints=[LinearConstraint(matrix, *map(np.array, zip(*limits, strict=True)))] if limits else [],
        options={
            "time_limit": effort.seconds,
            "mip_rel_gap": close_enough,
            "node_limit": effort.nodes or _ANY_NODES,
        },
    )
    if result.status == 2:
        return None
    if result.x is None:
        if result.status == 1:
            raise TimeoutError("no solution in the time given")
        raise BrokenPromise(f"the solver gave up: {result.message}")
    bound = result.mip_dual_bound
    return Solved(tuple(map(float, result.x)), -math.inf if bound is None else float(bound))
