"""Level behind a packer, wired: rooms from the survey, hours, pumps and what is said of both."""

from dataclasses import replace
from itertools import pairwise

import pytest

from teewright.hydraulics.bypass import bypass_check
from teewright.hydraulics.values import BypassCheck, blocked_hours, pump_wanted
from teewright.job.blocking import Blocked, blocked_findings, flow_forecast
from teewright.job.resolve import resolve
from teewright.job.upstream import upstream_rooms, watches_of
from teewright.network.conditions import Shower, Site
from teewright.resin.times import cure_times
from teewright.resin.values import CureTimes
from teewright.units import HOUR, LITRE
from unit.job import world

BUSY = "T03-T04/04"
QUIET = "T01-T02/03"


def cured() -> CureTimes:
    weather, kit = world.site().weather, world.kit()
    assert weather is not None
    return cure_times(
        kit.resin,
        mix_temperature=weather.air,
        cure_temperature=weather.pipe,
        spare_share=kit.shifts.spare_share,
    )


def blocked(name: str, site: Site | None = None) -> Blocked:
    survey, place = world.survey(), world.site() if site is None else site
    connection = survey.connection(name)
    inputs = resolve(survey, place, connection)
    return flow_forecast(survey, place, connection, inputs, world.kit().packers[0], cured())


def steady(name: str, site: Site | None = None) -> BypassCheck:
    survey, place = world.survey(), world.site() if site is None else site
    inputs, packer = resolve(survey, place, survey.connection(name)), world.kit().packers[0]
    return bypass_check(
        main_diameter=inputs.lined_diameter,
        bore_count=packer.bypass_count,
        bore_diameter=packer.bypass_diameter,
        bore_length=packer.length,
        mean_flow=inputs.mean_flow.value,
        pattern=place.flow_pattern,
    )


def fuller(factor: float) -> Site:
    site = world.site()
    runs = tuple(
        replace(r, mean_flow=None if r.mean_flow is None else factor * r.mean_flow)
        for r in site.runs
    )
    return replace(site, runs=runs)


def test_the_tree_upstream_of_the_packer() -> None:
    """T03-T04 takes T02-T03 with T01-T02 behind it, and T06-T03 with T05-T06 behind it."""
    survey, site = world.survey(), world.site()
    inputs = resolve(survey, site, survey.connection(BUSY))
    rooms, used = upstream_rooms(survey, site, survey.run("T03-T04"), 30.0, inputs)
    assert {(p.upstream, p.downstream) for p in rooms.pipes[1:]} == {
        ("T02", "T03"),
        ("T06", "T03"),
        ("T01", "T02"),
        ("T05", "T06"),
    }
    own = rooms.pipes[0]
    assert own.length == pytest.approx(30.0)
    # node levels of the site file, 20.85 and 20.40 over 63.8 m
    assert own.invert_downstream == pytest.approx(20.85 - 0.45 * 30.0 / 63.8)
    assert own.diameter == pytest.approx(0.3 - 2 * 0.007)
    places = watches_of(survey, rooms, used, 30.0)
    assert {w.name for w in places if w.pipe == "T03"} == {
        c.id for c in survey.of_run("T03-T04") if c.chainage <= 30.0
    }
    for watch in (w for w in places if w.pipe == "T03"):
        fallen = 0.45 * survey.connection(watch.name).chainage / 63.8
        assert watch.level == pytest.approx(20.85 - fallen + own.diameter)


def test_steps_and_balance_of_the_level() -> None:
    flow = blocked(BUSY).forecast
    assert flow is not None
    cure = cured()
    assert flow.duration == pytest.approx(cure.release_time - cure.latest_inflation)
    assert flow.times[0] == 0.0
    assert flow.times[-1] == pytest.approx(flow.duration)
    assert all(a < b for a, b in pairwise(flow.times))
    assert min(flow.levels) >= flow.invert
    assert max(flow.levels) <= flow.greatest[flow.shown] + 1e-9
    assert flow.allowed[flow.shown]
    inside = [int(start // HOUR) in flow.allowed_hours for start in flow.starts]
    allowed = [g for g, a in zip(flow.greatest, inside, strict=True) if a]
    assert flow.greatest[flow.shown] == max(allowed)
    for start, free in zip(flow.starts, flow.allowed, strict=True):
        assert free or int(start // HOUR) not in flow.allowed_hours


def test_a_pump_is_needed_exactly_where_a_start_is_refused() -> None:
    flow = blocked(BUSY).forecast
    assert flow is not None
    assert not all(flow.allowed)
    for free, pump in zip(flow.allowed, flow.pumps, strict=True):
        assert pump is not None
        assert (pump == 0.0) == free


def test_both_checks_must_hold() -> None:
    flow, bypass = blocked(BUSY).forecast, steady(BUSY)
    hours = set(blocked_hours(bypass, flow))
    assert flow is not None
    assert hours == set(bypass.allowed_hours) & set(flow.allowed_hours)
    assert 0 < len(hours) < 24
    assert blocked_hours(bypass, None) == bypass.allowed_hours


def test_more_flow_raises_the_level_and_takes_hours() -> None:
    low, high = blocked(BUSY).forecast, blocked(BUSY, fuller(1.3)).forecast
    assert low is not None
    assert high is not None
    assert all(a <= b + 1e-9 for a, b in zip(low.greatest, high.greatest, strict=True))
    assert set(high.allowed_hours) < set(low.allowed_hours)


def test_a_shower_counts_from_midnight() -> None:
    rain = Shower(start=2.0 * HOUR, peak=20.0 * LITRE, duration=HOUR)
    dry, wet = blocked(QUIET).forecast, blocked(QUIET, replace(world.site(), rain=rain)).forecast
    assert dry is not None
    assert wet is not None
    assert dry.allowed_hours == tuple(range(24))
    assert 2 not in wet.allowed_hours
    assert 4 in wet.allowed_hours


def test_infiltration_adds_to_the_flow() -> None:
    wet = replace(world.site(), infiltration=1.0 * LITRE)
    dry, more = blocked(BUSY).forecast, blocked(BUSY, wet).forecast
    assert dry is not None
    assert more is not None
    assert len(more.allowed_hours) < len(dry.allowed_hours)


def test_never_says_what_must_be_pumped() -> None:
    """With the whole flow over the bores the least pump lies between its excess and the flow."""
    site = fuller(4.0)
    found, bypass = blocked(BUSY, site), steady(BUSY, site)
    assert found.forecast is not None
    assert blocked_hours(bypass, found.forecast) == ()
    pump = pump_wanted(bypass, found.forecast)
    assert pump is not None
    assert min(bypass.hourly_flow) - bypass.capacity <= pump < max(bypass.hourly_flow)
    (finding,) = blocked_findings(BUSY, bypass, found)
    assert finding.rule == "never-blocked"
    assert f"{pump / LITRE:.2f} l/s" in finding.text


def test_an_unknown_level_falls_back_and_says_so() -> None:
    site = world.site()
    bare = replace(
        site, nodes=tuple(replace(n, invert=None) if n.node == "T03" else n for n in site.nodes)
    )
    found, bypass = blocked(BUSY, bare), steady(BUSY, bare)
    assert found.forecast is None
    (finding,) = blocked_findings(BUSY, bypass, found)
    assert finding.rule == "no-level-behind-packer"
    assert "T03-T04" in finding.text


def test_a_pipe_of_unknown_level_stores_nothing() -> None:
    site = world.site()
    bare = replace(
        site, nodes=tuple(replace(n, invert=None) if n.node == "T02" else n for n in site.nodes)
    )
    whole, less = blocked(BUSY).forecast, blocked(BUSY, bare).forecast
    assert whole is not None
    assert less is not None
    assert max(less.greatest) >= max(whole.greatest) - 1e-6
    assert "T02" not in dict(less.places)
