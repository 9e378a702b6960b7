import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from collar_shapes import FABRIC
from teewright.errors import InputError
from teewright.fabric.law import (
    FabricLaw,
    estimated_shear,
    law_of,
    poisson_bound,
    shear_from_bias,
    window,
    window_reasons,
)
from teewright.fabric.maps import thinned

STIFFNESS = st.floats(500.0, 1e5)
SHARE = st.floats(0.0, 0.9)
ANGLES = st.floats(0.0, math.pi / 2.0)


@st.composite
def laws(draw: st.DrawFn) -> FabricLaw:
    across, along = draw(STIFFNESS), draw(STIFFNESS)
    poisson = draw(SHARE) * math.sqrt(along / across)
    return FabricLaw(across, along, poisson, draw(STIFFNESS))


def full(law: FabricLaw) -> np.ndarray:
    across, along, mixed, shear = law.matrix()
    return np.array([[across, mixed, 0.0], [mixed, along, 0.0], [0.0, 0.0, shear]])


def pulled(law: FabricLaw, angle: float) -> np.ndarray:
    """Strains along and across a pull of 1 N/m at an angle to the grain, by the inverse matrix."""
    n = np.array([math.sin(angle), math.cos(angle)])  # (across, along) components
    m = np.array([n[1], -n[0]])
    e = np.linalg.solve(full(law), [n[0] ** 2, n[1] ** 2, n[0] * n[1]])
    tensor = np.array([[e[0], e[2] / 2.0], [e[2] / 2.0, e[1]]])
    return np.array([n @ tensor @ n, m @ tensor @ m])


@given(laws())
def test_the_energy_is_positive(law: FabricLaw) -> None:
    assert np.linalg.eigvalsh(full(law)).min() > 0.0


@given(laws(), ANGLES)
def test_off_axis_formulas_agree_with_the_inverse_of_the_matrix(
    law: FabricLaw, angle: float
) -> None:
    strain = pulled(law, angle)
    assert law.stiffness_at(angle) == pytest.approx(1.0 / strain[0], rel=1e-8)
    expected = -strain[1] / strain[0]
    assert law.poisson_at(angle) == pytest.approx(expected, rel=1e-6, abs=1e-8)


@given(laws(), ANGLES)
def test_the_law_is_the_same_on_both_sides_of_the_grain(law: FabricLaw, angle: float) -> None:
    for turned in (-angle, math.pi - angle, math.pi + angle):
        assert law.stiffness_at(turned) == pytest.approx(law.stiffness_at(angle), rel=1e-9)


@given(laws())
def test_on_the_axes_the_law_gives_its_own_figures(law: FabricLaw) -> None:
    assert law.stiffness_at(0.0) == pytest.approx(law.stiffness_along)
    assert law.stiffness_at(math.pi / 2.0) == pytest.approx(law.stiffness_across)
    assert law.poisson_at(0.0) == pytest.approx(law.poisson)
    assert law.poisson_at(math.pi / 2.0) == pytest.approx(law.poisson_across, abs=1e-12)


@given(laws())
def test_the_bias_strip_gives_the_shear_back(law: FabricLaw) -> None:
    bias = law.stiffness_at(math.pi / 4.0)
    found = shear_from_bias(law.stiffness_along, law.stiffness_across, law.poisson, bias)
    assert found == pytest.approx(law.shear, rel=1e-6)


def test_a_bias_strip_that_is_too_stiff_gives_no_shear() -> None:
    assert shear_from_bias(1e4, 1e4, 0.3, 3.9e4) is None


@pytest.mark.parametrize("poisson", [0.0, 0.3, 0.6])
@given(ANGLES)
def test_an_isotropic_fabric_is_so_at_every_angle(poisson: float, angle: float) -> None:
    law = FabricLaw(1e4, 1e4, poisson, estimated_shear(1e4, 1e4, poisson))
    assert law.shear == pytest.approx(1e4 / (2.0 * (1.0 + poisson)))
    assert law.stiffness_at(angle) == pytest.approx(1e4)
    assert law.poisson_at(angle) == pytest.approx(poisson, abs=1e-9)


@pytest.mark.parametrize(
    ("across", "along", "poisson", "shear", "field"),
    [
        (0.0, 1e4, 0.3, 3e3, "stiffness_across"),
        (1e4, math.nan, 0.3, 3e3, "stiffness_along"),
        (1e4, 1e4, 0.3, -1.0, "shear"),
        (1e4, 1e4, 1.0, 3e3, "poisson"),
        (1e4, 4e3, 0.64, 3e3, "poisson"),
        (1e4, 1e4, math.nan, 3e3, "poisson"),
    ],
)
def test_a_law_that_is_not_stable_is_refused(
    across: float, along: float, poisson: float, shear: float, field: str
) -> None:
    with pytest.raises(InputError, match=field):
        FabricLaw(across, along, poisson, shear)


def test_just_below_the_bound_the_law_stands() -> None:
    bound = poisson_bound(4e3, 1e4)
    law = FabricLaw(1e4, 4e3, 0.999 * bound, 3e3)
    assert np.linalg.eigvalsh(full(law)).min() > 0.0


def test_the_law_of_a_kit_fabric() -> None:
    law = law_of(replace(FABRIC, stiffness_shear=2.5e3))
    assert (law.stiffness_across, law.stiffness_along) == (4e3, 8e3)
    assert (law.poisson, law.poisson_across, law.shear) == (0.3, 0.15, 2.5e3)
    assert law_of(FABRIC).shear == pytest.approx(estimated_shear(8e3, 4e3, 0.3))


def test_an_unstable_fabric_is_refused_by_name() -> None:
    with pytest.raises(InputError, match="Invented felt"):
        law_of(replace(FABRIC, poisson=1.5))


def test_the_window_ends_at_the_weaker_side_and_its_contraction() -> None:
    low, high = window(FABRIC)
    assert high == 1.25
    assert low == pytest.approx(1.25**-0.15)
    below, above = window_reasons(FABRIC)
    assert "across the grain" in below
    assert "0.967" in below
    assert "1.250" in above
    assert "along the grain" in above


@given(laws(), st.floats(1.01, 1.5), st.floats(1.01, 1.5))
def test_in_the_corner_of_the_window_tension_stays(
    law: FabricLaw, along: float, across: float
) -> None:
    fabric = replace(
        FABRIC,
        stiffness_along=law.stiffness_along,
        stiffness_across=law.stiffness_across,
        stiffness_shear=law.shear,
        poisson=law.poisson,
        stretch_along=along,
        stretch_across=across,
    )
    low, high = window(fabric)
    assert low < high
    # pulled to lambda and free to contract, a strip ends at lambda^-nu without tension across
    for angle in (0.0, math.pi / 4.0, math.pi / 2.0):
        assert low >= high ** -law.poisson_at(angle) - 1e-9


def test_thinning_keeps_the_volume() -> None:
    stretch = np.array([[1.0, 1.0], [1.2, 0.98], [1.1, 1.1]])
    thickness = thinned(0.005, stretch)
    assert thickness * stretch.prod(axis=1) == pytest.approx(0.005)
