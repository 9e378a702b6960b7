"""A forming run under way."""

import math
from collections.abc import Callable

import numpy as np

from teewright.errors import ConvergenceError
from teewright.forming.arrays import LANDED, SLID, body_of, nodes_of, touching, wall_of
from teewright.forming.check import check_setup
from teewright.forming.outcome import mean_area, strained
from teewright.forming.relax import REFRESH, Stage, advance
from teewright.forming.values import FloatArray, Formed, Moment, Setup
from teewright.junction.field import Field, distances

Progress = Callable[[Moment], None]
"""Told of each place on the way of the pressure."""


class Run:
    """The arrays of a forming run, and what it has reached.

    Args:
        setup: Cloth, load, surface and restraint.
        max_steps: Steps at most.
        progress: Told of each place on the way.

    Raises:
        GeometryError: A triangle as cut has no area or is turned over.
        InputError: As `check.check_setup`, or a stiffness is not positive.
    """

    def __init__(
        self,
        setup: Setup,
        *,
        max_steps: int,
        progress: Progress | None = None,
    ) -> None:
        check_setup(setup)
        load, contact = setup.load, setup.contact
        self.body = body_of(setup.cloth, load.bladder)
        self.wall = wall_of(contact)
        self.nodes = nodes_of(setup.start, load, setup.restraint, wall=contact is not None)
        self.field = None if contact is None else Field(self.wall.numbers, self.wall.table)
        self.area = mean_area(self.body, len(self.nodes.x))
        self.target = load.pressure
        self.enough, self.clamped = load.clamped, math.inf
        self.max_steps, self.progress = max_steps, progress
        self.pressure, self.steps, self.residual = 0.0, 0, 0.0
        self.path: list[Moment] = []
        self.track: list[FloatArray] = []
        self._note()

    def raise_to(self, pressure: float, steps: int) -> None:
        """Raise the pressure evenly.

        Args:
            pressure: To be reached [Pa].
            steps: In which it is reached.

        Raises:
            ConvergenceError: The motion has blown up, or the steps are used up.
        """
        if self.steps >= self.max_steps:
            self._fail()
        # a cloth that starts against the wall leaps from it, and its stiffness changes as fast
        refresh = REFRESH if self.steps else 1
        self._advance(Stage(self.pressure, pressure, steps, steps, 0.0, self.clamped, refresh))
        self.pressure = pressure
        self._note()

    def settle(self, tolerance: float) -> None:
        """Hold the pressure until the forces balance.

        Args:
            tolerance: As for `solve.form` [-].

        Raises:
            ConvergenceError: They do not within the steps that are left.
        """
        left = max(self.max_steps - self.steps, 1)
        limit = tolerance * self.area
        self._advance(Stage(self.pressure, self.pressure, 0, left, limit, self.clamped))
        if self.residual > tolerance:
            self._fail()
        self._note()

    def _advance(self, stage: Stage) -> None:
        done, worst = advance(self.body, self.nodes, self.wall, stage)
        self.steps += done
        self.residual = worst / self.area
        if not (math.isfinite(self.residual) and np.isfinite(self.nodes.x).all()):
            self._fail()

    def _fail(self) -> None:
        raise ConvergenceError(
            "the forming of the cloth", iterations=self.steps, residual=self.residual
        )

    def _note(self) -> None:
        share = float(touching(self.nodes).mean())
        if share >= self.enough:
            self.clamped = min(self.clamped, self.pressure)
        moment = Moment(self.pressure, self.steps, self.residual, share)
        self.path.append(moment)
        self.track.append(self.nodes.x.copy())
        if self.progress is not None:
            self.progress(moment)

    def formed(self) -> Formed:
        """Gather the result.

        Returns:
            All of it.
        """
        nodes, x = self.nodes, self.nodes.x.copy()
        landed = nodes.state[:, LANDED]
        touches, normal = touching(nodes), nodes.normal
        gap = np.full(len(x), math.inf)
        if self.field is not None:
            gap, normal = distances(self.field, x)
        into = np.where(touches, -(nodes.f * normal).sum(axis=1), 0.0)
        return Formed(
            positions=x,
            touching=touches,
            gap=gap,
            landed=np.where(np.isfinite(landed), landed, math.nan),
            slid=nodes.state[:, SLID].copy(),
            reaction=np.maximum(into, 0.0),
            **strained(self.body, x)._asdict(),
            pressure=self.pressure,
            steps=self.steps,
            residual=self.residual,
            path=tuple(self.path),
            track=np.array(self.track),
        )
