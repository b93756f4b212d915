"""What both models share: HiGHS with the settings that make its answers repeatable, and a clock that says when to stop."""

import time
from collections.abc import Callable
from typing import Any

import highspy
import numpy as np

INFINITE = highspy.kHighsInf
OPTIMAL = highspy.HighsModelStatus.kOptimal
INFEASIBLE = highspy.HighsModelStatus.kInfeasible
EMPTY = highspy.HighsModelStatus.kModelEmpty
FEASIBLE = int(highspy.SolutionStatus.kSolutionStatusFeasible)
INTEGER = highspy.HighsVarType.kInteger
CONTINUOUS = highspy.HighsVarType.kContinuous
NEAR = 1e-6  # what is nearer to a whole number than this is that number


class Budget:
    """The seconds that are left. Where they run out, the best plan so far is given, with how far it may be from the best."""

    def __init__(self, seconds: float, clock: Callable[[], float] = time.monotonic) -> None:
        """Start to count."""
        self._clock, self._end = clock, clock() + seconds

    @property
    def left(self) -> float:
        """The seconds that are left, never negative."""
        return max(0.0, self._end - self._clock())


def highs(**options: Any) -> Any:
    """Return a silent HiGHS on one thread."""
    model: Any = highspy.Highs()  # type: ignore[no-untyped-call]
    for name, value in {"output_flag": False, "threads": 1, "random_seed": 0, **options}.items():
        model.setOptionValue(name, value)
    return model


def columns(entries: list[tuple[Any, Any, Any]], count: int) -> tuple[Any, Any, Any]:
    """Return a matrix by columns from (rows, columns, values) triples of equally long lists; rows below 0 are left out.

    One value stands for a list of it.
    """
    rows = np.concatenate([rows for rows, _, _ in entries])
    cols = np.concatenate([cols for _, cols, _ in entries])
    values = np.concatenate([np.broadcast_to(np.asarray(value, dtype=float), len(rows)) for rows, _, value in entries])
    order = np.lexsort((rows, cols))
    order = order[rows[order] >= 0]
    return np.searchsorted(cols[order], np.arange(count + 1)), rows[order], values[order]


def linear(costs: Any, upper: Any, row_bounds: tuple[Any, Any], matrix: tuple[Any, Any, Any]) -> Any:
    """Return a linear programme of columns from 0 to their upper bound."""
    made = highspy.HighsLp()
    made.num_col_, made.num_row_ = len(upper), len(row_bounds[0])
    made.col_cost_, made.col_lower_, made.col_upper_ = np.asarray(costs, float), np.zeros(len(upper)), np.asarray(upper, float)
    made.row_lower_, made.row_upper_ = np.asarray(row_bounds[0], float), np.asarray(row_bounds[1], float)
    made.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    made.a_matrix_.start_, made.a_matrix_.index_, made.a_matrix_.value_ = matrix
    return made
