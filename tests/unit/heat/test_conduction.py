"""Conduction by itself: exact answers, order of the mesh and of the steps, balance."""

import math
from itertools import pairwise

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.special import j0, j1

from teewright.errors import InputError
from teewright.heat.layers import Layer, Side, graded_mesh, radial_chain
from teewright.heat.march import March, run
from teewright.resin.kinetics import FloatArray, Kinetics
from teewright.resin.path import Path, steady

NONE = Side(0.0, steady(300.0))
RESIN = Kinetics(1.0, 5e4, 1.0, 5e4, 1.0, 1.0, 0.5, 0.9, 3e5, (273.0, 373.0))
ROD = Layer("rod", 0.05, 2.0, 2000.0, 1000.0)


def warm(
    inner: float,
    layers: tuple[Layer, ...],
    *,
    inside: Side = NONE,
    outside: Side = NONE,
    start: float = 300.0,
    end: float = 1000.0,
    cells: int = 20,
    tolerance: float = 1e-6,
) -> tuple[March, FloatArray]:
    mesh = graded_mesh(inner, layers, resin_cells=cells)
    chain = radial_chain(RESIN, mesh, layers, inside=inside, outside=outside)
    count = len(mesh.middles)
    march = run(
        RESIN,
        chain,
        temperature=np.full(count, start),
        conversion=np.zeros(count),
        times=np.array([0.0, end]),
        tolerance=tolerance,
    )
    return march, mesh.middles


def rod(fourier: float, biot: float, share: FloatArray) -> FloatArray:
    """Temperature of a rod over its start's, both over the fluid's: the series of Bessel's."""
    total = np.zeros_like(share)
    for zero in range(30):
        low, high = zero * math.pi + 1e-9, (zero + 1) * math.pi
        z = float(brentq(lambda x: x * j1(x) - biot * j0(x), low, high))
        weight = 2.0 / z * j1(z) / (j0(z) ** 2 + j1(z) ** 2)
        total += weight * math.exp(-z * z * fourier) * j0(z * share)
    return total


def rod_error(cells: int, tolerance: float = 1e-9) -> float:
    # Bi = h R / k = 1, Fo = a t / R2 = 0.2
    outside = Side(40.0, steady(400.0))
    march, r = warm(0.0, (ROD,), outside=outside, end=500.0, cells=cells, tolerance=tolerance)
    exact = 400.0 - 100.0 * rod(0.2, 1.0, r / 0.05)
    return float(np.sqrt(np.mean((march.last[0] - exact) ** 2)))


def test_a_rod_warms_as_the_series_says_with_second_order_in_the_cells() -> None:
    errors = [rod_error(cells) for cells in (10, 20, 40)]
    orders = [math.log2(a / b) for a, b in pairwise(errors)]
    assert errors[-1] < 0.01
    assert min(orders) > 1.8


def test_steps_are_of_second_order() -> None:
    # the error of a step is of third order: a thousandth of the tolerance is ten times the
    # steps, and a hundredth of the error
    outside = Side(40.0, Path((0.0, 500.0), (300.0, 400.0)))

    def centre(tolerance: float) -> tuple[float, int]:
        march, _ = warm(0.0, (ROD,), outside=outside, end=500.0, tolerance=tolerance)
        return float(march.last[0, 0]), march.steps

    exact, _ = centre(1e-11)
    rough, few = centre(1e-5)
    close, many = centre(1e-8)
    order = math.log(abs(rough - exact) / abs(close - exact)) / math.log(many / few)
    assert order > 1.8


def test_steady_flow_through_tubes_is_exact_whatever_the_cells() -> None:
    layers = (Layer("a", 0.01, 0.2, 10.0, 10.0), Layer("b", 0.02, 1.5, 10.0, 10.0))
    inside, outside = Side(25.0, steady(350.0)), Side(10.0, steady(290.0))
    march, r = warm(0.08, layers, inside=inside, outside=outside, end=1e6, cells=3)
    resistances = (
        1.0 / (25.0 * 2.0 * math.pi * 0.08),
        math.log(0.09 / 0.08) / (2.0 * math.pi * 0.2),
        math.log(0.11 / 0.09) / (2.0 * math.pi * 1.5),
        1.0 / (10.0 * 2.0 * math.pi * 0.11),
    )
    flow = 60.0 / sum(resistances)
    first = 350.0 - flow * (resistances[0] + math.log(r[0] / 0.08) / (2.0 * math.pi * 0.2))
    last = 290.0 + flow * (resistances[3] + math.log(0.11 / r[-1]) / (2.0 * math.pi * 1.5))
    assert march.last[0, 0] == pytest.approx(first, abs=1e-4)
    assert march.last[0, -1] == pytest.approx(last, abs=1e-4)


def test_a_held_face_is_held() -> None:
    outside = Side(math.inf, steady(350.0))
    march, _ = warm(0.1, (ROD,), outside=outside, end=1e6)
    np.testing.assert_allclose(march.last[0], 350.0, atol=1e-4)


def test_a_thin_good_conductor_is_one_lump() -> None:
    layer = Layer("foil", 1e-4, 400.0, 2000.0, 1000.0)
    outside = Side(10.0, steady(350.0))
    # C/hA of a metre of tube: rho c (r2^2 - r1^2) / (2 h r2)
    slow = 2000.0 * 1000.0 * (0.1001**2 - 0.1**2) / (2.0 * 10.0 * 0.1001)
    march, _ = warm(0.1, (layer,), outside=outside, end=2.0 * slow)
    assert march.last[0].mean() == pytest.approx(350.0 - 50.0 * math.exp(-2.0), abs=1e-3)


def test_heat_that_comes_in_is_heat_that_is_stored() -> None:
    outside = Side(40.0, Path((0.0, 300.0, 500.0), (300.0, 400.0, 350.0)))
    march, _ = warm(0.0, (ROD,), outside=outside, end=1000.0)
    stored = ROD.density * ROD.heat_capacity * math.pi * 0.05**2 / 400.0
    rings = np.diff(np.linspace(0.0, 1.0, 21) ** 2) * 400.0
    assert march.heat_in[1] == pytest.approx(stored * float(rings @ (march.last[0] - 300.0)))
    assert abs(march.imbalance) < 1e-5


def test_nothing_happens_where_nothing_differs() -> None:
    march, _ = warm(0.0, (ROD,))
    np.testing.assert_array_equal(march.last[0], 300.0)
    assert march.imbalance == 0.0


def test_cells_grow_away_from_the_resin_and_fill_the_layers() -> None:
    layers = (
        Layer("bladder", 0.003, 0.2, 1000.0, 1000.0),
        Layer("collar", 0.004, 0.2, 1000.0, 1000.0, 900.0),
        Layer("soil", 0.3, 2.0, 1000.0, 1000.0),
    )
    mesh = graded_mesh(0.09, layers, resin_cells=8, growth=1.3)
    widths = np.diff(mesh.faces)
    owner = np.array(mesh.owner)
    assert [widths[owner == i].sum() for i in range(3)] == pytest.approx([0.003, 0.004, 0.3])
    np.testing.assert_allclose(widths[owner == 1], 0.0005)
    assert np.all(widths[1:] / widths[:-1] < 1.31)
    assert np.all(np.diff(widths[owner == 2]) > 0.0)
    assert np.all(np.diff(widths[owner == 0]) < 0.0)


@pytest.mark.parametrize("field", ["thickness", "conductivity", "density", "heat_capacity"])
def test_a_layer_that_cannot_be_is_refused(field: str) -> None:
    values = {"thickness": 1.0, "conductivity": 1.0, "density": 1.0, "heat_capacity": 1.0}
    with pytest.raises(InputError, match=field):
        Layer("wall", **{**values, field: 0.0})


def test_more_resin_than_layer_is_refused() -> None:
    with pytest.raises(InputError, match="not a part"):
        Layer("collar", 0.004, 0.2, 1000.0, 1000.0, 1100.0)
    with pytest.raises(InputError, match="film"):
        Side(-1.0, steady(300.0))
