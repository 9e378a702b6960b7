"""How CP-SAT is called: one thread, one seed, and a limit that does not depend on the clock."""

from dataclasses import dataclass
from typing import Any

from teewright.errors import ConvergenceError


@dataclass(slots=True)
class Budget:
    """Deterministic seconds that are left; about one second each on one core.

    Attributes:
        left: What is left [s].
    """

    left: float

    def share(self, limit: float) -> float:
        """At most `limit`, at most what is left, and never quite nothing."""
        return max(1e-3, min(limit, self.left))

    @property
    def spent(self) -> bool:
        """Whether nothing is left."""
        return self.left <= 0.0


@dataclass(frozen=True, slots=True)
class Solved:
    """What the solver said.

    Attributes:
        solver: Holds the values; None where no solution was found.
        proved: Whether it is proved: the best solution, or that there is none.
    """

    solver: Any
    proved: bool


OVERHEAD = 0.004
"""Charged to the budget for each call: building and presolving a small model [s]."""


def solve(model: Any, budget: Budget, limit: float, *, linear: int = 0) -> Solved:
    """Solve a model within a share of the budget.

    Args:
        model: A CP-SAT model.
        budget: Is charged with the deterministic time used.
        limit: Most of it for this call [s].
        linear: How far a linear relaxation is used, 0 to 2; no help where an order is sought.

    Returns:
        The solver with its values, or None, and whether that is proved.

    Raises:
        ConvergenceError: The model is not valid, which is a fault of the code that built it.
    """
    from ortools.sat.python import cp_model  # noqa: PLC0415 - heavy, only where it is used

    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.linearization_level = linear
    if not linear:  # small models of an order: what presolve costs, search does not win back
        solver.parameters.max_presolve_iterations = 1
        solver.parameters.cp_model_probing_level = 0
        solver.parameters.symmetry_level = 0
    solver.parameters.max_deterministic_time = budget.share(limit)
    status = solver.solve(model)
    budget.left -= solver.response_proto.deterministic_time + OVERHEAD
    if status == cp_model.MODEL_INVALID:
        raise ConvergenceError(f"programme ({model.validate()})", iterations=0, residual=0.0)
    found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return Solved(solver if found else None, status in (cp_model.OPTIMAL, cp_model.INFEASIBLE))
