"""The flat map of least energy about targets inside a window."""

import math

import numpy as np
import pytest

from flat_shapes import cap, patch
from teewright.errors import GeometryError
from teewright.flattening.solve import least_energy, least_spread
from teewright.flattening.values import Stiffness

FELT = Stiffness(across=3000.0, along=6000.0, coupling=900.0, shear=1100.0)
TARGETS = np.array([1.03, 1.10])


def test_developable_piece_meets_its_targets() -> None:
    pieces, flat = patch(0.05, 1.5, 0.1)
    found = least_energy(pieces, flat, stiffness=FELT, targets=TARGETS, window=(0.9, 1.3))
    assert np.allclose(found.along, [1.03, 1.10], atol=1e-6)
    width, height = np.ptp(found.flat, axis=0)
    assert width == pytest.approx(np.ptp(flat[:, 0]) / 1.10, rel=1e-5)
    assert height == pytest.approx(0.1 / 1.03, rel=1e-5)


def test_target_outside_the_window_stops_at_it() -> None:
    pieces, flat = patch(0.05, 1.5, 0.1)
    found = least_energy(pieces, flat, stiffness=FELT, targets=TARGETS, window=(0.9, 1.06))
    assert found.stretch.max() < 1.06
    assert found.stretch.max() == pytest.approx(1.06, abs=2e-4)


def test_along_follows_where_across_is_held() -> None:
    # least energy with E_across held: D22 (e - e0) + D12 (a - a0) = 0
    pieces, flat = patch(0.05, 1.5, 0.1)
    found = least_energy(pieces, flat, stiffness=FELT, targets=TARGETS, window=(0.9, 1.06))
    along, across = np.log(found.along).mean(axis=0)
    wanted = math.log(1.03) - 900.0 / 6000.0 * (across - math.log(1.10))
    assert along == pytest.approx(wanted, abs=2e-4)


def test_targets_may_differ_from_triangle_to_triangle() -> None:
    pieces, flat = patch(0.05, 1.5, 0.1)
    same = np.broadcast_to(TARGETS, (len(pieces.triangles), 2))
    one = least_energy(pieces, flat, stiffness=FELT, targets=TARGETS, window=(0.9, 1.3))
    two = least_energy(pieces, flat, stiffness=FELT, targets=same, window=(0.9, 1.3))
    assert np.array_equal(one.flat, two.flat)


def test_isotropic_cloth_does_not_care_for_the_grain() -> None:
    cloth = Stiffness(across=5000.0, along=5000.0, coupling=1500.0, shear=1750.0)
    pieces, flat = cap(0.5, 6)
    turned = flat @ np.array([[0.0, 1.0], [-1.0, 0.0]])
    one, two = (
        least_energy(
            pieces, start, stiffness=cloth, targets=np.array([1.1, 1.1]), window=(0.9, 1.3)
        )
        for start in (flat, turned)
    )
    assert np.allclose(one.stretch, two.stretch, atol=1e-5)


def test_energy_is_stationary() -> None:
    # independent of the solver: no small stretch of the whole piece lowers the mean energy
    pieces, flat = cap(0.5, 6)
    found = least_energy(pieces, flat, stiffness=FELT, targets=TARGETS, window=(0.8, 1.5))
    energy = [mean_energy(found.along, scale) for scale in (0.999, 1.0, 1.001)]
    assert energy[1] == min(energy)


def mean_energy(threads: np.ndarray, scale: float) -> float:
    """Energy of the thread stretches, shear left out: it does not change with the scale."""
    along, across = (np.log(threads * scale) - np.log(TARGETS)).T
    return float(
        np.mean(0.5 * 3000.0 * across**2 + 0.5 * 6000.0 * along**2 + 900.0 * along * across)
    )


def test_window_that_cannot_be_met_is_refused_with_the_ratio() -> None:
    pieces, flat = cap(0.8, 6)
    best = least_spread(pieces, flat)
    with pytest.raises(GeometryError, match=f"{best.ratio:.4f} at best"):
        least_energy(pieces, best.flat, stiffness=FELT, targets=TARGETS, window=(1.0, 1.1))


def test_window_just_wide_enough_is_met() -> None:
    pieces, flat = cap(0.8, 6)
    best = least_spread(pieces, flat)
    window = (1.0, 1.002 * best.ratio)
    found = least_energy(pieces, best.flat, stiffness=FELT, targets=TARGETS, window=window)
    assert window[0] < found.stretch.min()
    assert found.stretch.max() < window[1]


@pytest.mark.parametrize("window", [(1.1, 1.0), (0.0, 1.2), (1.0, math.nan), (1.0, math.inf)])
def test_window_that_is_none_is_refused(window: tuple[float, float]) -> None:
    pieces, flat = patch(0.05, 1.5, 0.1)
    with pytest.raises(GeometryError, match="is none"):
        least_energy(pieces, flat, stiffness=FELT, targets=TARGETS, window=window)


@pytest.mark.parametrize("target", [0.0, -1.0, math.nan])
def test_target_that_is_no_stretch_is_refused(target: float) -> None:
    pieces, flat = patch(0.05, 1.5, 0.1)
    with pytest.raises(GeometryError, match="not above 0"):
        least_energy(
            pieces, flat, stiffness=FELT, targets=np.array([1.0, target]), window=(0.9, 1.3)
        )
