from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.errors import InputError, RangeError
from teewright.resin.uptake import demand, mixed_density, stretched_thickness, thickness_at
from teewright.units import SHOWN
from unit.resin.samples import FABRIC, RESIN

AREAS = st.floats(0.05, 5.0)
THICKNESSES = st.floats(1e-3, 2e-2)


def test_thickness_on_points_and_half_way() -> None:
    assert thickness_at(FABRIC, 0.0) == 5.0e-3
    assert thickness_at(FABRIC, 50e3) == pytest.approx(4.5e-3)
    assert thickness_at(FABRIC, 100e3) == pytest.approx(4.25e-3)
    assert thickness_at(FABRIC, 150e3) == pytest.approx(4.0e-3)


@pytest.mark.parametrize("pressure", [-1.0, 150.1e3, float("nan")])
def test_thickness_is_refused_outside_its_points(pressure: float) -> None:
    with pytest.raises(RangeError, match="felt"):
        thickness_at(FABRIC, pressure)


@pytest.mark.parametrize("points", [(), ((10.0, 1e-3), (5.0, 1e-3)), ((5.0, 1e-3), (5.0, 1e-3))])
def test_points_out_of_order_are_named(points: tuple[tuple[float, float], ...]) -> None:
    with pytest.raises(InputError, match="thickness of fabric felt"):
        thickness_at(replace(FABRIC, thickness=points), 5.0)


def test_one_point_holds_at_its_own_pressure() -> None:
    fabric = replace(FABRIC, thickness=((50e3, 4e-3),))
    assert thickness_at(fabric, 50e3) == 4e-3


@given(AREAS, THICKNESSES, st.floats(0.0, 1e-3), st.floats(0.0, 0.5))
@settings(max_examples=40, deadline=None)
def test_mass_and_volume_are_conserved(
    area: float, thickness: float, filling: float, loss: float
) -> None:
    found = demand(area, thickness, FABRIC, RESIN, filling=filling, loss=loss)
    assert found.volume * (1.0 - loss) == pytest.approx(area * thickness * 0.85 + filling)
    assert found.mass_a + found.mass_b == pytest.approx(found.mass)
    assert found.mass_b == pytest.approx(RESIN.ratio_mass * found.mass_a)
    assert found.mass + found.left_over == pytest.approx(found.packs * RESIN.pack_mass)
    assert 0.0 <= found.left_over < RESIN.pack_mass


def test_a_whole_number_of_packs_opens_no_other() -> None:
    area = 3.0 * RESIN.pack_mass / RESIN.density / (5e-3 * 0.85)
    assert demand(area, 5e-3, FABRIC, RESIN, filling=0.0, loss=0.0).packs == 3
    assert demand(1.001 * area, 5e-3, FABRIC, RESIN, filling=0.0, loss=0.0).packs == 4


def test_losses_and_filling_only_add() -> None:
    bare = demand(0.4, 4e-3, FABRIC, RESIN, filling=0.0, loss=0.0)
    assert demand(0.4, 4e-3, FABRIC, RESIN, filling=1e-4, loss=0.0).volume == pytest.approx(
        bare.volume + 1e-4
    )
    assert demand(0.4, 4e-3, FABRIC, RESIN, filling=0.0, loss=0.5).volume == pytest.approx(
        2.0 * bare.volume
    )


def test_mixed_density_has_its_limits() -> None:
    assert mixed_density(1200.0, 1000.0, 1e-12) == pytest.approx(1200.0)
    assert mixed_density(1200.0, 1000.0, 1e12) == pytest.approx(1000.0)
    assert mixed_density(1100.0, 1100.0, 0.4) == pytest.approx(1100.0)
    # 1 kg of each: 2 kg in 1/1200 + 1/1000 m3
    assert mixed_density(1200.0, 1000.0, 1.0) == pytest.approx(2.0 / (1 / 1200.0 + 1 / 1000.0))


def test_the_trace_shows_the_check_of_the_density() -> None:
    trace = demand(0.4, 4e-3, FABRIC, RESIN, filling=0.0, loss=0.1).trace
    row = next(r for r in trace if r.symbol == "ρ_ab")
    assert row.value == pytest.approx(1.4 / (1 / 1200.0 + 0.4 / 1000.0))
    assert all(r.shown_in in SHOWN for r in trace)


@pytest.mark.parametrize(
    ("area", "thickness", "filling", "loss"),
    [
        (0.0, 4e-3, 0.0, 0.1),
        (0.4, 0.0, 0.0, 0.1),
        (0.4, 4e-3, -1e-6, 0.1),
        (0.4, 4e-3, 0.0, 1.0),
        (float("nan"), 4e-3, 0.0, 0.1),
    ],
)
def test_what_cannot_be_is_refused(
    area: float, thickness: float, filling: float, loss: float
) -> None:
    with pytest.raises(RangeError):
        demand(area, thickness, FABRIC, RESIN, filling=filling, loss=loss)


def test_a_void_fraction_of_one_is_refused() -> None:
    with pytest.raises(RangeError, match="void fraction"):
        demand(0.4, 4e-3, replace(FABRIC, void_fraction=1.0), RESIN, filling=0.0, loss=0.1)


def test_stretching_keeps_the_fibre() -> None:
    thin = stretched_thickness(4.3e-3, 1.04)
    # a square metre as cut becomes 1.04 by 1.04 m
    assert thin * 1.04 * 1.04 == pytest.approx(4.3e-3)
    assert stretched_thickness(4.3e-3, 1.0) == 4.3e-3
