import math
from itertools import pairwise

import numpy as np
import pytest

from teewright.errors import InputError, RangeError, UnknownNameError
from teewright.hydraulics.backwater import surface_at
from teewright.hydraulics.blocking import (
    allowed_hours,
    every,
    holds,
    latest_start,
    pump_needed,
    trace,
)
from teewright.hydraulics.holds import Setting, Watch
from teewright.hydraulics.inflow import Inflow, Since, block_rain, hourly_series
from teewright.hydraulics.losses import Bores, bypass_depth
from teewright.hydraulics.part_full import manning_flow
from teewright.hydraulics.storage import (
    PACKER,
    PoolNode,
    PoolPipe,
    Upstream,
    normal_depth,
    upstream_of,
)
from teewright.units import HOUR, SHOWN

NONE = Bores(0, 0.0, 0.0, 0.0)
TWO = Bores(2, 0.065, 1.25, 0.1)
PATTERN = (
    0.4, 0.3, 0.25, 0.25, 0.3, 0.6, 1.2, 1.8, 1.9, 1.7, 1.4, 1.3,
    1.2, 1.1, 1.0, 1.0, 1.1, 1.3, 1.5, 1.6, 1.4, 1.0, 0.8, 0.6,
)  # fmt: skip
CONNECTION = Watch("M1-M0/01", 10.34, "M1", 10.0)


def street() -> Upstream:
    pipes = (
        PoolPipe("M1", PACKER, 0.2, 30.0, 10.15, 10.0),
        PoolPipe("M2", "M1", 0.2, 50.0, 10.42, 10.17),
        PoolPipe("M3", "M1", 0.2, 40.0, 10.4, 10.2, share=0.3),
    )
    nodes = tuple(
        PoolNode(name, floor, rim, 0.785)
        for name, floor, rim in (("M1", 10.35, 12.5), ("M2", 10.62, 12.6), ("M3", 10.6, 12.55))
    )
    return upstream_of(pipes, nodes)


def setting(
    mean: float = 0.006,
    *,
    bores: Bores = TWO,
    pattern: tuple[float, ...] = PATTERN,
    watches: tuple[Watch, ...] = (CONNECTION,),
    freeboard: float = 0.0,
) -> Setting:
    return Setting(street(), bores, Inflow(hourly_series(mean, pattern)), watches, freeboard)


def shaft(area: float, flow: float, bores: Bores = NONE) -> Setting:
    """A manhole so wide that the stub of pipe below it hardly counts."""
    pipe = PoolPipe("M1", PACKER, 0.2, 0.05, 10.001, 10.0, manning=0.011)
    upstream = upstream_of([pipe], [PoolNode("M1", 10.0, 14.0, area)])
    return Setting(upstream, bores, Inflow(hourly_series(flow)), ())


def test_a_shaft_without_bores_fills_at_the_inflow_over_its_area() -> None:
    found = holds(shaft(2.0, 0.002), 1800.0, starts=np.array([0.0]))
    assert found.greatest[0] - found.levels[0, 0] == pytest.approx(0.002 * 1800.0 / 2.0, rel=2e-3)
    assert found.greatest_at[0] == 1800.0


def test_a_shaft_over_bores_follows_the_differential_equation() -> None:
    """Against a fine explicit integration that shares no step with the solver."""
    case = shaft(2.0, 0.008, TWO)
    found = holds(case, 3600.0, starts=np.array([0.0]), step=2.0)
    flows = np.linspace(1e-5, 0.012, 2000)
    depths = np.array([bypass_depth(TWO, float(flow)) for flow in flows])
    z, dt = float(found.levels[0, 0]) - 10.0, 0.5
    for _ in range(7200):
        z += dt * (0.008 - float(np.interp(z, depths, flows, left=0.0))) / 2.0
    assert found.levels[0, -1] - 10.0 == pytest.approx(z, abs=1e-3)


@pytest.mark.parametrize("flow", [0.003, 0.006, 0.009])
def test_a_long_hold_ends_where_the_bores_pass_the_inflow(flow: float) -> None:
    found = holds(setting(flow, pattern=()), 12.0 * HOUR, starts=np.array([0.0]))
    assert found.levels[0, -1] - 10.0 == pytest.approx(bypass_depth(TWO, flow), abs=1e-3)


def test_error_falls_with_the_step() -> None:
    steps = (40.0, 20.0, 10.0)
    fine = holds(setting(), HOUR, step=0.5).levels[:, -1]
    errors = [
        np.abs(holds(setting(), HOUR, step=step).levels[:, -1] - fine).max() for step in steps
    ]
    orders = [math.log2(a / b) for a, b in pairwise(errors)]
    assert all(order > 0.9 for order in orders)  # backward Euler: first order
    assert errors[-1] < 1.5e-3


def test_the_balance_closes() -> None:
    rain = block_rain(0.05, 1800.0, start=600.0)
    case = Setting(street(), TWO, Inflow(hourly_series(0.004, PATTERN), 5e-4, rain), ())
    found = holds(case, 2.0 * HOUR, pump=0.001)
    sums = found.balance
    assert (sums.closure < 1e-3).all()
    assert (sums.spilled > 0.0).any()
    assert (sums.bypass > 0.0).all()
    assert (sums.pumped > 0.0).all()
    assert float(found.greatest.max()) == 12.5
    parts = sums.bypass + sums.pumped + sums.spilled + sums.stored
    assert parts == pytest.approx(sums.inflow, rel=1e-9)


def test_starts_from_the_normal_depth() -> None:
    found = holds(setting(), HOUR)
    flow = np.array([0.006 * factor for factor in PATTERN])
    depth = normal_depth(street().pipes[0], flow)
    assert found.levels[:, 0] == pytest.approx(10.0 + depth)


def test_hours_follow_the_pattern_of_the_day() -> None:
    found = holds(setting(), HOUR)
    assert found.allowed[2:5].all()
    assert not found.allowed[7:10].any()
    assert allowed_hours(found) == tuple(int(h) for h in np.flatnonzero(found.allowed))
    assert latest_start(found) == 23.0 * HOUR
    reached = found.reached[:, 0]
    assert np.isnan(reached[found.allowed]).all()
    late = ~found.allowed
    assert ((reached[late] >= 0.0) & (reached[late] <= HOUR)).all()
    assert (found.freeboards[found.allowed, 0] > 0.0).all()
    assert (found.freeboards[late, 0] <= 0.0).all()
    quarters = holds(setting(), HOUR, starts=every(900.0))
    assert set(allowed_hours(quarters)) <= set(allowed_hours(found))


def test_a_freeboard_shuts_hours_and_no_hour_is_told_as_none() -> None:
    strict = holds(setting(freeboard=0.15), HOUR)
    assert strict.allowed.sum() < holds(setting(), HOUR).allowed.sum()
    never = holds(setting(0.06), HOUR)
    assert latest_start(never) is None
    assert allowed_hours(never) == ()


def test_the_pumps_needed_are_the_least_that_do() -> None:
    case = setting()
    needed = pump_needed(case, HOUR)
    free = holds(case, HOUR)
    assert (needed[free.allowed] == 0.0).all()
    short = needed > 0.0
    assert (short == ~free.allowed).all()
    assert holds(case, HOUR, pump=needed).allowed.all()
    less = np.maximum(needed - 0.006 * 1.9 / 4000.0, 0.0)  # the last round's step
    assert not holds(case, HOUR, pump=less).allowed[short].any()


def test_where_the_water_stands_too_high_before_no_pump_helps() -> None:
    low = Watch("too low", 10.01, "M1", 5.0)
    assert np.isnan(pump_needed(setting(watches=(low,)), HOUR)).all()


def test_a_shower_at_midnight_is_met_only_by_the_holds_that_span_it() -> None:
    rain = block_rain(0.02, 1800.0, start=3.0 * HOUR, since=Since.MIDNIGHT)
    case = Setting(street(), TWO, Inflow(hourly_series(0.001), 0.0, rain), ())
    greatest = holds(case, HOUR).greatest
    assert greatest[3] > greatest[1] + 0.1
    assert greatest[5] == pytest.approx(greatest[1])


def test_the_surface_slopes_up_from_the_packer_as_the_full_pipe_loses_head() -> None:
    upstream, flow = street(), np.array([0.01])
    places = tuple(Watch(str(x), 0.0, "M1", x) for x in (30.0, 15.0))
    top, middle = surface_at(upstream, places, np.array([10.6]), flow)
    slope = (0.01 / manning_flow(0.2, 1.0, 0.013)) ** 2
    assert top[0] == pytest.approx(10.6 + 30.0 * slope)
    assert middle[0] == pytest.approx(10.6 + 15.0 * slope)


def test_a_branch_slopes_by_its_share_of_the_flow() -> None:
    upstream, flow = street(), np.array([0.01])
    places = tuple(Watch(name, 0.0, name, x) for name, x in (("M1", 30.0), ("M3", 40.0)))
    node, top = surface_at(upstream, places, np.array([11.0]), flow)
    slope = (0.3 * 0.01 / manning_flow(0.2, 1.0, 0.013)) ** 2
    assert top[0] - node[0] == pytest.approx(40.0 * slope)


def test_above_the_pool_the_water_keeps_its_normal_depth() -> None:
    upstream, flow = street(), np.array([0.002])
    place = Watch("far", 0.0, "M2", 45.0)
    (surface,) = surface_at(upstream, (place,), np.array([10.1]), flow)
    normal = float(normal_depth(upstream.pipes[1], flow)[0])
    assert surface[0] == pytest.approx(10.17 + 0.005 * 45.0 + normal, abs=1e-6)


def test_the_trace_can_be_shown() -> None:
    rows = trace(holds(setting(), HOUR), 8)
    assert all(row.shown_in in SHOWN for row in rows)
    assert {row.symbol for row in rows} >= {"z_0", "z_max", "V_i"}


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(RangeError, match="duration"):
        holds(setting(), 1.0)
    with pytest.raises(RangeError, match="pumps"):
        holds(setting(), HOUR, pump=-0.1)
    with pytest.raises(InputError, match="starts"):
        holds(setting(), HOUR, starts=np.zeros(0))
    drowned = upstream_of(
        [PoolPipe("M1", PACKER, 0.2, 30.0, 10.15, 10.0)], [PoolNode("M1", 10.0, 10.05, 1.0)]
    )
    with pytest.raises(InputError, match="lowest rim"):
        holds(Setting(drowned, TWO, Inflow(hourly_series(0.01)), ()), HOUR)


def test_a_place_that_is_not_upstream_is_refused() -> None:
    with pytest.raises(UnknownNameError, match="M9"):
        holds(setting(watches=(Watch("lost", 11.0, "M9", 1.0),)), HOUR)
    with pytest.raises(InputError, match="beyond the end"):
        holds(setting(watches=(Watch("lost", 11.0, "M1", 31.0),)), HOUR)
