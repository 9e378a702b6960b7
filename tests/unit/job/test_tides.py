"""Groundwater that follows open water: what counts greatest and what counts least."""

import math
from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from teewright.job.beginning import begin
from teewright.job.resolve import heads_of, resolve, rows
from teewright.job.tides import swing_of
from teewright.network.conditions import Damping, Site, WaterLevel
from teewright.network.levels import Levels
from teewright.pressure.ends import CRACKED
from teewright.trace import Origin
from unit.job import world

START = datetime.fromisoformat("2027-05-03T18:00")
TIDE = Damping(period=12.4 * 3600.0, diffusivity=0.5, source="pumping test")


def at(*levels: float, hours: float = 6.2) -> tuple[WaterLevel, ...]:
    return tuple(WaterLevel(START + timedelta(hours=i * hours), z) for i, z in enumerate(levels))


def place(groundwater: float | None = 21.5, bank: float | None = None) -> Levels:
    return Levels(invert=20.0, ground=24.0, groundwater=groundwater, bank=bank)


def test_without_open_water_the_groundwater_stands_still() -> None:
    heads = heads_of(Site(), place())
    assert (heads.greatest.value, heads.least, heads.trace) == (1.5, None, ())
    assert heads_of(Site(water_levels=at(20.0, 23.0)), Levels(None, 24.0, 21.0)).least is None


def test_undamped_the_groundwater_is_the_open_water() -> None:
    swing = swing_of(Site(water_levels=at(20.5, 22.5, 20.4)), place())
    assert swing is not None
    assert (swing.greatest, swing.least) == pytest.approx((22.5, 20.4))
    row = next(r for r in swing.trace if r.symbol == "s_o")
    assert (row.value, row.origin) == (1.0, Origin.ASSUMED)


def test_the_mean_is_that_of_time_and_not_of_readings() -> None:
    late = (*at(20.0, 20.0), WaterLevel(START + timedelta(hours=9.3), 23.0))
    swing = swing_of(Site(water_levels=late), place())
    assert swing is not None
    mean = next(r.value for r in swing.trace if r.symbol == "z_o")
    assert mean == pytest.approx((20.0 * 6.2 + 21.5 * 3.1) / 9.3)


def test_the_ground_damps_about_the_mean() -> None:
    """Half of the swing is left where x sqrt(pi/(t0 D)) = ln 2."""
    distance = math.log(2.0) / math.sqrt(math.pi / (TIDE.period * TIDE.diffusivity))
    site = Site(water_levels=at(20.0, 22.0, 20.0, 22.0, 20.0), damping=TIDE)
    swing = swing_of(site, place(bank=distance))
    assert swing is not None
    assert (swing.greatest, swing.least) == pytest.approx((21.5, 20.5))
    assert swing_of(site, place()) == swing_of(replace(site, damping=None), place())


def test_the_greatest_and_the_least_of_nodes_and_open_water_count() -> None:
    high = heads_of(Site(water_levels=at(20.5, 22.5), water_levels_source="gauge"), place())
    assert (high.greatest.value, high.least) == pytest.approx((2.5, 1.5 - 2.0))
    assert high.greatest.source == "open water: gauge"
    low = heads_of(Site(water_levels=at(19.5, 21.0)), place())
    assert (low.greatest.value, low.least) == pytest.approx((1.5, 1.5 - 1.5))
    assert low.greatest.source == "levels of the nodes"
    alone = heads_of(Site(water_levels=at(20.5, 22.5)), place(groundwater=None))
    assert (alone.greatest.value, alone.least) == pytest.approx((2.5, 0.5))
    assert not alone.greatest.assumed


def test_far_from_the_bank_the_groundwater_keeps_its_own_level() -> None:
    """A river far below it neither raises nor lowers it."""
    site = Site(water_levels=at(12.0, 16.0, 12.0), damping=TIDE)
    heads = heads_of(site, place(bank=5000.0))
    assert (heads.greatest.value, heads.least) == pytest.approx((1.5, 1.5), abs=1e-6)


def test_window_and_wall_take_the_greatest_and_a_cracked_host_the_least() -> None:
    survey, kit = world.survey(), world.kit()
    connection = survey.connections[0]
    still = replace(
        world.site(),
        water_levels=(),
        damping=None,
        runs=tuple(replace(r, host_cracked=True) for r in world.site().runs),
    )
    before = resolve(survey, still, connection)
    top = max(n.groundwater or 0.0 for n in still.nodes) + 0.3
    tidal = replace(still, water_levels=at(top - 1.5, top), water_levels_source="gauge")
    after = resolve(survey, tidal, connection)
    assert after.head.value > before.head.value
    assert after.head_least == pytest.approx(before.head.value - 1.5)
    dry, wet = (begin("X", inputs, kit).window for inputs in (before, after))
    more = 9810.0 * (after.head.value - before.head.value)
    assert wet.low - dry.low == pytest.approx(more)
    assert dict(wet.high_limits)[CRACKED] < dict(dry.high_limits)[CRACKED]
    symbols = [r.symbol for r in rows(after)]
    assert symbols.index("z_g,max") < symbols.index("h_min") < symbols.index("h")
    assert next(r for r in rows(after) if r.symbol == "h").source == "open water: gauge"
    assert next(r.value for r in wet.trace if r.symbol == "h_min") == after.head_least
