"""Gradient and Hessian of the compiled kernel against differences."""

from dataclasses import replace

import numpy as np
import pytest

from flat_shapes import cap
from teewright.flattening import kernel
from teewright.flattening.system import Objective, System, objective, system_of
from teewright.flattening.values import FloatArray

QUAD = np.array([[3.0, -0.6, 0.0], [-0.6, 1.4, 0.0], [0.0, 0.0, 0.8]])


def shaken() -> tuple[System, FloatArray]:
    """A system and corners at which nothing vanishes."""
    pieces, flat = cap(0.7, 3)
    rng = np.random.default_rng(3)
    return system_of(pieces), flat * np.array([1.1, 0.9]) + 0.01 * rng.normal(size=flat.shape)


def derivatives(
    system: System, aim: Objective, flat: FloatArray, limit: float
) -> tuple[FloatArray, FloatArray]:
    """Gradient and full Hessian, both as matrices of the unknowns."""
    band = np.zeros((system.unknowns, system.width))
    down, cross = np.zeros(system.unknowns), np.zeros(system.unknowns)
    soft = aim.width > 0.0
    law = np.array([aim.width, limit, 0.0]) if soft else aim.law
    second = kernel.assemble(
        flat, (system.triangles, system.grads, system.weight), aim.aims,
        (aim.quad, law, soft), system.slots, True, (band, down, cross),  # noqa: FBT003 -- compiled code takes no keywords
    )  # fmt: skip
    full = np.zeros((system.unknowns, system.unknowns))
    for column in range(system.unknowns):
        for below in range(min(system.width, system.unknowns - column)):
            full[column + below, column] = full[column, column + below] = band[column, below]
    if soft:
        full -= np.outer(cross, cross) / second
    return down, full


@pytest.mark.parametrize("width", [0.0, 0.05, 0.5])
def test_derivatives_agree_with_differences(width: float) -> None:
    system, flat = shaken()
    count = len(system.triangles)
    aims = np.broadcast_to(np.array([-0.05, 0.02, 0.0]), (count, 3)).copy()
    aim = Objective(width, QUAD, aims, np.array([0.01, 0.6, 0.7]))
    limit = objective(system, aim, flat) if width > 0.0 else 0.0
    down, full = derivatives(system, aim, flat, limit)
    rng = np.random.default_rng(5)
    for _ in range(4):
        way = rng.normal(size=flat.shape)
        places = [flat + step * way for step in (-1e-5, 1e-5)]
        values = [objective(system, aim, place) for place in places]
        unknown = np.empty(2 * len(flat))
        unknown[system.slots.ravel()] = way.ravel()
        assert (values[1] - values[0]) / 2e-5 == pytest.approx(down @ unknown, rel=1e-5, abs=1e-8)
        slopes = []
        for place in places:
            there = objective(system, aim, place) if width > 0.0 else 0.0
            slopes.append(derivatives(system, aim, place, there)[0])
        change = (slopes[1] - slopes[0]) / 2e-5
        assert np.allclose(change, full @ unknown, rtol=1e-4, atol=1e-5 * np.abs(change).max())


def test_turning_the_formed_triangles_changes_nothing() -> None:
    pieces, flat = cap(0.7, 3)
    order = np.roll(np.arange(3), 1)
    other = replace(pieces, triangles=pieces.triangles[:, order], sides=pieces.sides[:, order])
    aim = Objective(0.0, QUAD, np.zeros((len(pieces.triangles), 3)), np.array([0.01, 0.6, 0.7]))
    one, two = (objective(system_of(p), aim, flat) for p in (pieces, other))
    assert one == pytest.approx(two, rel=1e-12)
