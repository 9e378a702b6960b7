"""Friction of a belt on a drum: the ratio of its tensions."""

import math

import numpy as np
import pytest

from forming_shapes import grid_patch, held, orthotropic
from support import Check
from teewright.forming.build import unsewn
from teewright.forming.solve import form
from teewright.forming.values import Contact, Formed, Load, Setup
from teewright.junction.field import drum_field

RADIUS, WIDTH, TAIL = 0.1, 0.02, 0.05
STIFF, PULL = 1e5, 1e3
"""Of the belt and at its driven end, per width [N/m]."""


def belt(wrap: float, friction: float, cells: int) -> tuple[Formed, np.ndarray]:
    """A belt over a drum about y, held at one end and pulled at the other, and its grid."""
    arc = np.linspace(-wrap / 2.0, wrap / 2.0, cells + 1)
    over = RADIUS * np.column_stack([np.sin(arc), np.zeros_like(arc), np.cos(arc)])
    step = wrap * RADIUS / cells
    tail = step * np.arange(1, round(TAIL / step) + 1)
    out = np.array([math.cos(wrap / 2.0), 0.0, -math.sin(wrap / 2.0)])
    back = out * np.array([-1.0, 1.0, 1.0])
    line = np.vstack([over[0] + tail[::-1, None] * back, over, over[-1] + tail[:, None] * out])
    width = np.array([0.0, WIDTH])
    points = line[None] + width[:, None, None] * np.array([0.0, 1.0, 0.0])
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))])
    flat = np.stack(np.broadcast_arrays(-width[:, None], along[None, :]), axis=2)
    patch = grid_patch(points, flat)
    pull = np.zeros_like(patch.points)
    pull[patch.grid[:, -1]] = 0.5 * PULL * WIDTH * out
    free = np.ones_like(patch.points)
    free[:, 1] = 0.0
    free[patch.grid[:, 0]] = 0.0
    # the pressure that scales the pull is 1e-4 of what the belt presses with, so that a
    # tolerance of 2 of it is 2e-4 of the belt's own forces
    unit = 1e-4 * PULL / RADIUS
    cloth = unsewn(patch.triangles, patch.rest, orthotropic(STIFF, STIFF, 0.0, STIFF / 2.0))
    setup = Setup(
        cloth,
        patch.points,
        Load(unit, pull / unit, np.zeros(0)),
        Contact(drum_field(RADIUS), friction),
        held(free),
    )
    return form(setup, tolerance=2.0, ramp=6000, max_steps=100_000), patch.grid


def ratio(wrap: float, friction: float, cells: int = 60) -> float:
    """Pull over the tension near the held end."""
    formed, grid = belt(wrap, friction, cells)
    cells_in_all = grid.shape[1] - 1
    first = formed.tension.reshape(cells_in_all, 2, 2)[:4, :, 0].mean()
    return float(PULL / first)


def capstan(wrap: float, friction: float) -> Check:
    exact = math.exp(friction * wrap)
    return Check(
        name=f"belt on a drum, {math.degrees(wrap):.0f} degrees, friction {friction}",
        source="Euler and Eytelwein, the capstan equation, in any textbook of statics",
        where="T2/T1 = exp(mu angle)",
        standing="published",
        expected=exact,
        unit="-",
        tolerance=0.01 * exact,
        why="1 %: a chain of chords, and a belt that stretches a little",
        compute=lambda: ratio(wrap, friction),
    )


CHECKS: tuple[Check, ...] = (
    capstan(math.pi, 0.3),
    capstan(math.pi / 2.0, 0.5),
    capstan(math.pi, 0.1),
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()


def test_without_friction_the_pull_goes_round() -> None:
    assert ratio(math.pi, 0.0) == pytest.approx(1.0, rel=2e-3)
