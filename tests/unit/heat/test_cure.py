"""A curing batch and a curing wall: against a general solver, limits, mesh and balance."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from teewright.errors import ConvergenceError, InputError
from teewright.heat.batch import Pack, Spread, in_pack, on_packer
from teewright.heat.layers import Side, graded_mesh, radial_chain
from teewright.heat.march import run
from teewright.heat.wall import Effort, State, Wall, cure_in_place, usual_wall
from teewright.resin.kinetics import FloatArray, Kinetics, conversion, rate, time_to
from teewright.resin.path import Path, steady
from teewright.units import kelvin

EPOXY = Kinetics(4.5e7, 65e3, 1.1e6, 50e3, 0.8, 1.6, 0.58, 0.9, 350e3, (kelvin(0.0), kelvin(40.0)))
INERT = replace(EPOXY, heat=1e-3)
"""The same cure without its heat."""
PACK = Pack(0.04, 0.2, 1150.0, 1700.0)
SPREAD = Spread(0.005, 1150.0, 1600.0, 950.0)
ROOM, COLD = kelvin(20.0), kelvin(10.0)
FRESH = State(0.0, ROOM)


def wall(ground: float = COLD) -> Wall:
    return usual_wall(
        main_diameter=0.2, collar_thickness=0.004, liner_thickness=0.004, ground=ground
    )


def test_a_batch_at_one_temperature_is_that_of_a_general_solver() -> None:
    air = Path((0.0, 1800.0), (kelvin(12.0), kelvin(24.0)))
    batch = in_pack(EPOXY, PACK, FRESH, air, duration=1800.0, cells=1, tolerance=1e-8)
    heat = EPOXY.heat / PACK.heat_capacity
    loss = PACK.film * 2.0 / (PACK.radius * PACK.density * PACK.heat_capacity)

    def slope(t: float, y: FloatArray) -> list[float]:
        speed = float(rate(EPOXY, min(max(y[1], 0.0), 1.0), y[0]))
        outer = float(np.interp(t, air.times, air.temperatures))
        return [heat * speed - loss * (y[0] - outer), speed]

    times = batch.march.times
    exact = solve_ivp(slope, (0.0, 1800.0), [ROOM, 0.0], rtol=1e-10, atol=1e-10, t_eval=times)
    np.testing.assert_allclose(batch.march.temperatures[:, 0], exact.y[0], atol=0.02)
    np.testing.assert_allclose(batch.march.conversions[:, 0], exact.y[1], atol=2e-4)
    assert exact.y[0].max() > ROOM + 20.0


def test_without_heat_the_batch_cures_as_at_its_temperature() -> None:
    batch = in_pack(INERT, PACK, FRESH, steady(ROOM), duration=7200.0, tolerance=1e-8)
    expected = conversion(INERT, batch.march.times, steady(ROOM))
    np.testing.assert_allclose(batch.march.conversions[:, 3], expected, atol=2e-5)
    assert batch.gel == pytest.approx(float(time_to(INERT, INERT.gel, ROOM)), rel=1e-4)


def test_a_closed_batch_ends_warmer_by_all_its_heat() -> None:
    closed = replace(PACK, film=0.0)
    batch = in_pack(EPOXY, closed, FRESH, steady(ROOM), duration=86400.0, cells=1)
    assert batch.march.last[1, 0] == pytest.approx(1.0, abs=1e-3)
    done = batch.march.last[1, 0]
    assert batch.peak == pytest.approx(ROOM + done * EPOXY.heat / PACK.heat_capacity, abs=1e-3)


def test_a_small_pack_is_one_lump_and_a_large_one_gels_sooner() -> None:
    small = replace(PACK, radius=0.004)
    assert small.biot() < 0.1
    lump = in_pack(EPOXY, small, FRESH, steady(ROOM), duration=7200.0, cells=1)
    fine = in_pack(EPOXY, small, FRESH, steady(ROOM), duration=7200.0, cells=20)
    assert lump.gel == pytest.approx(fine.gel, rel=0.01)
    sizes = [
        in_pack(EPOXY, replace(PACK, radius=r), FRESH, steady(ROOM), duration=9000.0).gel
        for r in (0.0005, 0.002, 0.01, 0.03, 0.1)
    ]
    assert sizes == sorted(sizes, reverse=True)
    # its heat is not lost in the air's film alone: only where that resists nothing is the time
    # that at a steady temperature
    wet = replace(PACK, radius=0.0001, film=1e4)
    held = in_pack(EPOXY, wet, FRESH, steady(ROOM), duration=9000.0, tolerance=1e-7).gel
    assert held == pytest.approx(float(time_to(EPOXY, EPOXY.gel, ROOM)), rel=2e-3)


def test_spread_thin_it_works_longer_and_takes_the_bladder_with_it() -> None:
    pack = in_pack(EPOXY, PACK, FRESH, steady(ROOM), duration=7200.0)
    bare = replace(SPREAD, backing=0.0)
    alone = on_packer(EPOXY, bare, FRESH, steady(ROOM), since=0.0, duration=7200.0)
    backed = on_packer(EPOXY, SPREAD, FRESH, steady(ROOM), since=0.0, duration=7200.0)
    assert pack.gel < alone.gel < backed.gel
    assert backed.march.conversions[:, 0].max() == 0.0  # the bladder holds no resin


def test_warm_resin_on_a_cold_bladder_meets_it_in_the_middle() -> None:
    closed = replace(SPREAD, film=0.0)
    warm = State(0.0, kelvin(30.0))
    batch = on_packer(INERT, closed, warm, steady(COLD), since=0.0, duration=7200.0)
    own = SPREAD.thickness * SPREAD.density * SPREAD.heat_capacity
    both = (own * kelvin(30.0) + SPREAD.backing * COLD) / (own + SPREAD.backing)
    assert batch.state.temperature == pytest.approx(both, abs=0.01)


def test_the_path_of_the_air_counts_from_mixing() -> None:
    air = Path((0.0, 600.0, 601.0), (kelvin(5.0), kelvin(5.0), kelvin(30.0)))
    late = on_packer(EPOXY, SPREAD, FRESH, air, since=601.0, duration=900.0)
    hot = on_packer(EPOXY, SPREAD, FRESH, steady(kelvin(30.0)), since=0.0, duration=900.0)
    assert late.state == hot.state


def test_the_wall_is_firm_last_where_it_is_cold() -> None:
    cure = cure_in_place(EPOXY, wall(), State(0.1, ROOM), hold=6 * 3600.0)
    assert cure.slowest_radius == cure.mesh.faces[cure.faces[2] + 1]
    assert cure.peak_time < cure.gel < cure.firm < math.inf
    assert cure.mesh.middles[cure.faces[0]] <= cure.peak_radius
    assert cure.temperatures.shape == cure.conversions.shape == (121, 3)
    at = np.interp(cure.firm, cure.march.times, cure.conversions[:, 2])
    assert at == pytest.approx(EPOXY.firm, abs=2e-3)
    assert abs(cure.imbalance) < 1e-3


def test_without_heat_a_thin_collar_cures_at_the_grounds_temperature() -> None:
    cure = cure_in_place(INERT, wall(), State(0.0, COLD), hold=12 * 3600.0)
    assert cure.firm == pytest.approx(float(time_to(INERT, INERT.firm, COLD)), rel=1e-3)


def test_hot_water_in_the_bladder_brings_the_release_forward() -> None:
    hot = Side(300.0, Path((0.0, 900.0), (COLD, kelvin(60.0))))
    slow = cure_in_place(EPOXY, wall(), State(0.1, ROOM), hold=6 * 3600.0)
    fast = cure_in_place(EPOXY, replace(wall(), inside=hot), State(0.1, ROOM), hold=6 * 3600.0)
    assert fast.firm < 0.6 * slow.firm


def test_paths_of_the_wall_count_from_mixing() -> None:
    late = Side(300.0, Path((0.0, 1000.0, 1900.0), (COLD, COLD, kelvin(60.0))))
    soon = Side(300.0, Path((0.0, 900.0), (COLD, kelvin(60.0))))
    one = cure_in_place(
        EPOXY, replace(wall(), inside=late), State(0.1, ROOM), inflation=1000.0, hold=7200.0
    )
    other = cure_in_place(EPOXY, replace(wall(), inside=soon), State(0.1, ROOM), hold=7200.0)
    assert one.firm == pytest.approx(other.firm, rel=1e-6)


def test_firm_time_settles_with_the_mesh() -> None:
    # cells halved and their growth rooted: the changes fall by four, second order
    times = [
        cure_in_place(
            EPOXY,
            wall(),
            State(0.1, ROOM),
            hold=6 * 3600.0,
            effort=Effort(cells, growth, 1e-8),
            until="firm",
        ).firm
        for cells, growth in ((8, 1.3), (16, 1.3**0.5), (32, 1.3**0.25), (64, 1.3**0.125))
    ]
    changes = [abs(a - b) for a, b in pairwise(times)]
    assert math.log2(changes[1] / changes[2]) > 1.8
    exact = times[-1] + (times[-1] - times[-2]) / 3.0
    default = cure_in_place(EPOXY, wall(), State(0.1, ROOM), hold=6 * 3600.0).firm
    assert default == pytest.approx(exact, rel=3e-3)


def test_temperatures_while_curing_are_of_second_order_in_the_cells() -> None:
    batch = [
        in_pack(
            EPOXY, PACK, FRESH, steady(ROOM), duration=900.0, cells=cells, tolerance=1e-9
        ).state.temperature
        for cells in (5, 10, 20, 40)
    ]
    changes = [abs(a - b) for a, b in pairwise(batch)]
    assert math.log2(changes[0] / changes[1]) > 1.8
    assert math.log2(changes[1] / changes[2]) > 1.8


def test_stopping_early_does_not_change_what_was_found() -> None:
    full = cure_in_place(EPOXY, wall(), State(0.1, ROOM), hold=6 * 3600.0)
    short = cure_in_place(EPOXY, wall(), State(0.1, ROOM), hold=6 * 3600.0, until="firm")
    assert short.firm == full.firm
    assert short.march.end < full.march.end
    assert short.march.steps < full.march.steps


def test_what_cannot_be_is_refused() -> None:
    layers = wall().layers
    with pytest.raises(InputError, match="exactly one"):
        replace(wall(), layers=layers[2:])
    never = replace(EPOXY, a1=0.0)
    with pytest.raises(InputError, match="never starts"):
        cure_in_place(never, wall(), State(0.0, ROOM))
    mesh = graded_mesh(0.1, layers)
    chain = radial_chain(EPOXY, mesh, layers, inside=wall().inside, outside=wall().far)
    count = np.zeros(len(mesh.middles))
    with pytest.raises(InputError, match="ascend"):
        run(EPOXY, chain, temperature=count + ROOM, conversion=count, times=np.array([1.0, 2.0]))


def test_a_march_that_needs_too_many_steps_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("teewright.heat.march.MOST_STEPS", 10)
    with pytest.raises(ConvergenceError, match="10 iterations"):
        cure_in_place(EPOXY, wall(), State(0.1, ROOM))


def test_where_the_collar_touches_lies_between_its_neighbours_and_settles_with_the_mesh() -> None:
    hot = State(0.2, kelvin(30.0))
    found = {}
    for cells in (8, 32):
        cure = cure_in_place(EPOXY, wall(), hot, hold=3600.0, effort=Effort(resin_cells=cells))
        found[cells] = cure
        march, (first, _, last) = cure.march, cure.faces
        for side, (cell, beyond) in enumerate(((first, first - 1), (last, last + 1))):
            pair = np.sort(march.temperatures[:, [cell, beyond]], axis=1)
            assert np.all(cure.touching[:, side] >= pair[:, 0] - 1e-9)
            assert np.all(cure.touching[:, side] <= pair[:, 1] + 1e-9)
    # two bodies of like effusivity that are laid together meet half-way between
    assert found[32].touching[0, 1] == pytest.approx(0.5 * (kelvin(30.0) + COLD), abs=0.6)
    coarse, fine = found[8].touching[2:], found[32].touching[2:]
    np.testing.assert_allclose(coarse, fine, atol=0.15)
    # the liner lies on cold pipe and soil, the bladder on air
    assert found[32].touching[:, 1].max() < found[32].touching[:, 0].max() <= found[32].peak + 1e-6
