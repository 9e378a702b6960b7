"""The fewest patterns that hold all jobs."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from teewright.errors import ConvergenceError
from teewright.programme.patterns import Kin, Pattern
from teewright.programme.sequence import Van
from teewright.programme.solving import Budget


@dataclass(frozen=True, slots=True)
class Column:
    """A pattern that may be used.

    Attributes:
        van: Packers of the crew that does it.
        counts: Jobs of each kin.
        cost: Told apart by it where the number of shifts is the same; small and whole.
    """

    van: Van
    counts: Pattern
    cost: int


@dataclass(frozen=True, slots=True)
class Cover:
    """Patterns that together hold all jobs.

    Attributes:
        columns: One for each shift, which may hold more than there is; None where none were
            found in time.
        bound: Number of shifts that is surely needed with the columns given.
    """

    columns: tuple[Column, ...] | None
    bound: int


def cover(
    columns: list[Column], groups: tuple[Kin, ...], crews: dict[Van, int], budget: Budget
) -> Cover:
    """Choose the fewest columns; then such as keep all crews busy; then the cheapest.

    The linear relaxation gives a first number and what each column falls short of it. A cover
    with so many columns, or one more, can use no column that falls short by more than that
    number exceeds the relaxation; only the few that are left are searched.

    Args:
        columns: What may be used, each as often as wanted; together they hold every kin.
        groups: Kinds of job.
        crews: How many crews have each van.
        budget: Is charged.

    Returns:
        The choice and the bound.
    """
    counts = np.array([c.counts for c in columns])
    least, short = _relaxed(counts, np.array([len(g.jobs) for g in groups]))
    number = math.ceil(least - 1e-6)
    while not budget.spent:
        few = [c for c, s in zip(columns, short, strict=True) if s <= number - least + 1e-6]
        sample = few[:: 1 + len(few) // SAMPLE]
        budget.left -= CHARGE + CHARGE_EACH * (len(columns) + len(sample))
        found = _with(number, sample, groups, crews)
        if found.columns is None and len(sample) < len(few):
            budget.left -= CHARGE + CHARGE_MANY * len(few)
            found = _with(number, few, groups, crews)
        if found.columns is not None or found.bound == number:
            return found
        number = found.bound
    return Cover(None, number)


CHARGE = 0.006
CHARGE_EACH = 4e-5
CHARGE_MANY = 2e-4
"""Charged to the budget for a search, and for each column in it, as measured [s]."""
SAMPLE = 800
"""Of more columns than this a sample is searched first."""
NODES = 40
"""Most branches of a search; a limit in seconds would make it depend on the machine."""


def _relaxed(
    counts: NDArray[np.int64], jobs: NDArray[np.int64]
) -> tuple[float, NDArray[np.float64]]:
    """Fewest columns where parts of one may be used, and reduced costs, shape (P, G) -> (P,)."""
    from scipy.optimize import linprog  # noqa: PLC0415 - heavy, only where it is used

    solved = linprog(np.ones(len(counts)), A_ub=-counts.T, b_ub=-jobs, method="highs")
    if solved.fun is None:
        raise ConvergenceError("cover of all installations", iterations=solved.nit, residual=0.0)
    return float(solved.fun), 1.0 + counts @ solved.ineqlin.marginals


def _with(
    number: int, columns: list[Column], groups: tuple[Kin, ...], crews: dict[Van, int]
) -> Cover:
    """A cover with at most so many columns, or a higher bound where there is none.

    The last unknown is the number of rounds that the busiest kind of crew needs.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp  # noqa: PLC0415 - heavy

    size = len(columns)
    hold = np.array([[*(c.counts[k] for c in columns), 0] for k in range(len(groups))])
    turns = np.array([[*(-(c.van == van) for c in columns), n] for van, n in crews.items()])
    cost = np.array([c.cost for c in columns])
    solved = milp(
        np.array([*cost, number * max(cost) + 1.0]),
        constraints=[
            LinearConstraint(hold, lb=[len(g.jobs) for g in groups]),
            LinearConstraint(turns, lb=np.zeros(len(crews))),
            LinearConstraint(np.array([[*np.ones(size), 0]]), ub=[number]),
        ],
        integrality=np.ones(size + 1, dtype=np.int64),
        bounds=Bounds(0, number),
        options={"node_limit": NODES, "mip_rel_gap": 0.5},
    )
    if solved.x is None:
        return Cover(None, number + (solved.status == INFEASIBLE))
    used = np.rint(solved.x[:size]).astype(int)
    return Cover(tuple(c for c, u in zip(columns, used, strict=True) for _ in range(u)), number)


INFEASIBLE = 2
"""Status of the solver where there is no solution."""
