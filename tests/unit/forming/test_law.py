import itertools
import math

import numpy as np
import pytest

from teewright.forming.build import green_stiffness
from teewright.forming.law import SLACK, TAUT, WRINKLED, relaxed

MIXED = (30.0, 12.0, 7.0)
PLAIN = (13.0, 7.0, 7.0)
"""A, B, C of an orthotropic and of an isotropic cloth (D = 10, nu = 0.3)."""


def test_isotropic_cloth_in_closed_form() -> None:
    """Principal strains e1 > e2: taut if e2 + nu e1 > 0, else S1 = E e1, S2 = 0 if e1 > 0."""
    a, b, _ = PLAIN
    nu = (a - b) / (a + b)
    young = 0.5 * (a + b) * (1.0 - nu * nu)
    for e1, e2, turn in itertools.product((-0.1, 0.05, 0.2), (-0.3, -0.03, 0.01), (0.0, 0.4, 1.3)):
        if e2 > e1:
            continue
        m, half = 0.5 * (e1 + e2), 0.5 * (e1 - e2)
        sm, sd, sg, state = relaxed(m, half * math.cos(2 * turn), half * math.sin(2 * turn), *PLAIN)
        if e1 <= 0.0:
            wanted, s1, s2 = SLACK, 0.0, 0.0
        elif e2 + nu * e1 >= 0.0:
            wanted = TAUT
            s1, s2 = ((e + nu * o) * young / (1.0 - nu * nu) for e, o in ((e1, e2), (e2, e1)))
        else:
            wanted, s1, s2 = WRINKLED, young * e1, 0.0
        assert state == wanted
        assert sm == pytest.approx(0.5 * (s1 + s2), abs=1e-12)
        assert sd == pytest.approx(0.5 * (s1 - s2) * math.cos(2 * turn), abs=1e-10)
        assert sg == pytest.approx(0.5 * (s1 - s2) * math.sin(2 * turn), abs=1e-10)


def test_orthotropic_cloth_pulled_along_an_axis_wrinkles_into_plain_tension() -> None:
    """Pushed together across, it carries what a strip that is free to contract would."""
    a, b, c = MIXED
    d, d12 = 0.5 * (a + b), 0.5 * (a - b)
    e1, e2 = 0.1, -0.2
    sm, sd, sg, state = relaxed(0.5 * (e1 + e2), 0.5 * (e1 - e2), 0.0, a, b, c)
    assert state == WRINKLED
    assert sm + sd == pytest.approx((d - d12 * d12 / d) * e1, rel=1e-9)
    assert sm - sd == pytest.approx(0.0, abs=1e-12)
    assert sg == 0.0


def test_stress_is_continuous_across_the_states() -> None:
    angles = np.linspace(0.0, 2.0 * math.pi, 20001)
    way = [
        relaxed(0.1 * math.sin(t), 0.08 * math.cos(t), 0.06 * math.cos(t), *MIXED) for t in angles
    ]
    stress = np.array([step[:3] for step in way])
    assert {step[3] for step in way} == {TAUT, WRINKLED, SLACK}
    assert np.abs(np.diff(stress, axis=0)).max() < 1.1 * 30.0 * 0.1 * (angles[1] - angles[0])


@pytest.mark.parametrize("size", [0.0, 1e-300, 1e-160, 1e-30, 1e30])
def test_tiny_and_huge_strains_give_numbers(size: float) -> None:
    for m, d, g in itertools.product((-1.0, 0.0, 1e-9, 1.0), (-1.0, 0.0, 1.0), (-1.0, 0.0, 0.5)):
        out = relaxed(size * m, size * d, size * g, *MIXED)
        assert np.isfinite(out).all()


def test_green_and_logarithmic_law_agree_where_asked() -> None:
    hencky = (10.0, 20.0, 3.0, 4.0)
    assert green_stiffness(hencky) == hencky
    for stretch in (0.9, 1.05, 1.3):
        d11 = green_stiffness(hencky, stretch)[0]
        green = d11 * stretch * (stretch**2 - 1.0) / 2.0
        assert green == pytest.approx(hencky[0] * math.log(stretch) / stretch, rel=1e-12)
    assert green_stiffness(hencky, 1.0 + 1e-7)[1] == pytest.approx(20.0, rel=1e-5)
