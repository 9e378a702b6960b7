"""Level behind a packer, wired: rooms from the survey, hours, pumps and what is said of both."""

from dataclasses import replace
from itertools import pairwise

import pytest

from teewright.hydraulics.bypass import Beyond, bypass_check
from teewright.hydraulics.inflow import shower_by_hour
from teewright.hydraulics.values import BypassCheck, blocked_hours, pump_wanted, pumps_by_hour
from teewright.job.blocking import Blocked, flow_forecast
from teewright.job.flow_findings import blocked_findings, level_findings
from teewright.job.flow_setting import longest_hold, shower_of
from teewright.job.resolve import resolve
from teewright.job.upstream import upstream_rooms, watches_of
from teewright.kit.values import Kit
from teewright.network.conditions import ConnectionNote, Shower, Site
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


def bare_site() -> Site:
    """The site without the levels, manholes, roughness and pumps that it declares."""
    site = world.site()
    return replace(
        site,
        nodes=tuple(replace(n, area=None) for n in site.nodes),
        runs=tuple(replace(r, manning=None, over_pumping=0.0) for r in site.runs),
        connections=tuple(replace(c, backwater=None) for c in site.connections),
    )


def blocked(name: str, site: Site | None = None, kit: Kit | None = None) -> Blocked:
    survey, place = world.survey(), bare_site() if site is None else site
    connection, made = survey.connection(name), world.kit() if kit is None else kit
    inputs = resolve(survey, place, connection)
    return flow_forecast(survey, place, connection, inputs, made.packers[0], cured(), kit=made)


def steady(name: str, site: Site | None = None) -> BypassCheck:
    survey, place = world.survey(), bare_site() if site is None else site
    inputs, packer = resolve(survey, place, survey.connection(name)), world.kit().packers[0]
    return bypass_check(
        main_diameter=inputs.lined_diameter,
        bore_count=packer.bypass_count,
        bore_diameter=packer.bypass_diameter,
        bore_length=packer.length,
        mean_flow=inputs.mean_flow.value,
        pattern=place.flow_pattern,
        beyond=Beyond(place.infiltration, shower_by_hour(shower_of(place)), inputs.over_pumping),
    )


def fuller(factor: float) -> Site:
    site = bare_site()
    runs = tuple(
        replace(r, mean_flow=None if r.mean_flow is None else factor * r.mean_flow)
        for r in site.runs
    )
    return replace(site, runs=runs)


def test_the_tree_upstream_of_the_packer() -> None:
    """T03-T04 takes T02-T03 with T01-T02 behind it, and T06-T03 with T05-T06 behind it."""
    survey, site = world.survey(), bare_site()
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
    places = watches_of(survey, site, rooms, used, 30.0)
    assert {w.name for w in places if w.pipe == "T03"} == {
        c.id for c in survey.of_run("T03-T04") if c.chainage <= 30.0
    }
    for watch in (w for w in places if w.pipe == "T03"):
        fallen = 0.45 * survey.connection(watch.name).chainage / 63.8
        assert watch.level == pytest.approx(20.85 - fallen + own.diameter)


def test_steps_and_balance_of_the_level() -> None:
    flow = blocked(BUSY).forecast
    assert flow is not None
    cure, shifts = cured(), world.kit().shifts
    # an inflation as soon as the crew can blocks the main longest
    soonest = shifts.mix + shifts.wet_out + shifts.lower + shifts.position
    assert soonest < cure.latest_inflation
    assert flow.duration == pytest.approx(cure.release_time - soonest)
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


def test_the_forecast_decides_where_there_is_one() -> None:
    """It counts storage and the length of the hold, which the steady check does not know."""
    flow, bypass = blocked(BUSY).forecast, steady(BUSY)
    assert flow is not None
    assert blocked_hours(bypass, flow) == flow.allowed_hours
    assert blocked_hours(bypass, None) == bypass.allowed_hours
    assert 0 < len(flow.allowed_hours) < 24
    assert set(flow.allowed_hours) != set(bypass.allowed_hours)


def test_without_levels_infiltration_and_a_shower_count_in_the_steady_check() -> None:
    dry = steady(BUSY)
    wet = steady(BUSY, replace(bare_site(), infiltration=1.0 * LITRE))
    rain = Shower(start=23.5 * HOUR, peak=20.0 * LITRE, duration=HOUR)
    rainy = steady(BUSY, replace(bare_site(), rain=rain))
    assert wet.worst_flow == pytest.approx(dry.worst_flow + 1e-3)
    assert set(wet.allowed_hours) < set(dry.allowed_hours)
    # from half past eleven to half past midnight: both hours are shut
    assert set(dry.allowed_hours) - set(rainy.allowed_hours) == {23, 0}


def test_more_flow_raises_the_level_and_takes_hours() -> None:
    low, high = blocked(BUSY).forecast, blocked(BUSY, fuller(1.3)).forecast
    assert low is not None
    assert high is not None
    assert all(a <= b + 1e-9 for a, b in zip(low.greatest, high.greatest, strict=True))
    assert set(high.allowed_hours) < set(low.allowed_hours)


def test_a_shower_counts_from_midnight() -> None:
    rain = Shower(start=2.0 * HOUR, peak=20.0 * LITRE, duration=HOUR)
    dry, wet = blocked(QUIET).forecast, blocked(QUIET, replace(bare_site(), rain=rain)).forecast
    assert dry is not None
    assert wet is not None
    assert dry.allowed_hours == tuple(range(24))
    assert 2 not in wet.allowed_hours
    assert 4 in wet.allowed_hours


def test_a_hold_that_passes_midnight_meets_the_shower_of_the_small_hours() -> None:
    rain = Shower(start=0.2 * HOUR, peak=20.0 * LITRE, duration=0.5 * HOUR)
    wet = blocked(QUIET, replace(bare_site(), rain=rain)).forecast
    assert wet is not None
    assert 23 not in wet.allowed_hours
    assert 21 in wet.allowed_hours


def test_infiltration_adds_to_the_flow() -> None:
    wet = replace(bare_site(), infiltration=0.5 * LITRE)
    dry, more = blocked(BUSY).forecast, blocked(BUSY, wet).forecast
    assert dry is not None
    assert more is not None
    assert len(more.allowed_hours) < len(dry.allowed_hours)


def test_never_says_what_must_be_pumped() -> None:
    """With the pump that is named some start is allowed, with a tenth less none is."""
    site = fuller(4.0)
    found, bypass = blocked(BUSY, site), steady(BUSY, site)
    assert found.forecast is not None
    assert blocked_hours(bypass, found.forecast) == ()
    pump = pump_wanted(bypass, found.forecast)
    assert pump is not None
    for share, some in ((1.0, True), (0.9, False)):
        runs = tuple(replace(r, over_pumping=share * pump) for r in site.runs)
        again = blocked(BUSY, replace(site, runs=runs)).forecast
        assert again is not None
        assert any(again.allowed) == some
    (finding,) = blocked_findings(BUSY, bypass, found)
    assert finding.rule == "never-blocked"
    assert f"{pump / LITRE:.2f} l/s" in finding.text


def test_an_unknown_level_falls_back_and_says_so() -> None:
    site = bare_site()
    bare = replace(
        site, nodes=tuple(replace(n, invert=None) if n.node == "T03" else n for n in site.nodes)
    )
    found, bypass = blocked(BUSY, bare), steady(BUSY, bare)
    assert found.forecast is None
    (finding,) = blocked_findings(BUSY, bypass, found)
    assert finding.rule == "no-level-behind-packer"
    assert "T03-T04" in finding.text
    full = steady(BUSY, replace(bare, infiltration=50.0 * LITRE))
    _, never = blocked_findings(BUSY, full, found)
    assert never.rule == "never-blocked"
    short = min(full.hourly_flow) - full.capacity
    assert f"needs {short / LITRE:.2f} l/s pumped" in never.text


def test_a_pipe_of_unknown_level_stores_nothing() -> None:
    site = bare_site()
    bare = replace(
        site, nodes=tuple(replace(n, invert=None) if n.node == "T02" else n for n in site.nodes)
    )
    whole, less = blocked(BUSY).forecast, blocked(BUSY, bare).forecast
    assert whole is not None
    assert less is not None
    assert max(less.greatest) >= max(whole.greatest) - 1e-6
    assert "T02" not in dict(less.places)


def noted(chainage: float, level: float, run: str = "T03-T04") -> Site:
    note = ConnectionNote(run, chainage, backwater=level, backwater_source="gully, invented")
    return replace(bare_site(), connections=(note,))


def test_a_declared_level_takes_the_place_of_the_crown() -> None:
    survey = world.survey()
    near = max(
        (c for c in survey.of_run("T03-T04") if c.chainage < survey.connection(BUSY).chainage - 1),
        key=lambda c: c.chainage,
    )
    flow = blocked(BUSY, noted(near.chainage, 22.0)).forecast
    crowns = blocked(BUSY).forecast
    assert flow is not None
    assert crowns is not None
    assert dict(flow.places)[near.id] == 22.0
    assert dict(flow.places).keys() == dict(crowns.places).keys()
    changed = {n for n, z in flow.places if z != dict(crowns.places)[n]}
    assert changed == {near.id}
    # a level higher than the crown leaves at least as many hours
    assert set(flow.allowed_hours) >= set(crowns.allowed_hours)


def test_the_freeboard_of_the_kit_is_kept() -> None:
    flows = [
        blocked(BUSY, kit=world.with_rules(freeboard=kept)).forecast for kept in (0.0, 0.1, 0.15)
    ]
    hours = []
    for flow, kept in zip(flows, (0.0, 0.1, 0.15), strict=True):
        assert flow is not None
        assert flow.kept == kept
        for free, left in zip(flow.allowed, flow.freeboards, strict=True):
            # 1 mm: the surface is read between levels of a grid
            assert left >= kept - 1e-3 if free else left <= kept + 1e-3
        hours.append(set(flow.allowed_hours))
    assert hours[0] > hours[1] > hours[2]


def test_pumps_that_are_set_up_open_hours() -> None:
    site = bare_site()
    runs = tuple(replace(r, over_pumping=LITRE) if r.upstream == "T03" else r for r in site.runs)
    bare, pumped = blocked(BUSY).forecast, blocked(BUSY, replace(site, runs=runs)).forecast
    assert bare is not None
    assert pumped is not None
    assert pumped.pumped == LITRE
    assert pumped.pumps == bare.pumps
    for free, needed in zip(pumped.allowed, pumped.pumps, strict=True):
        assert needed is not None
        # the least pump is rounded up by at most a step of its search
        assert free == (needed <= LITRE) or needed == pytest.approx(LITRE, rel=2e-3)
    told = dict(pumps_by_hour(pumped))
    assert told.keys() == set(range(24)) - set(pumped.allowed_hours)
    assert all(flow is not None and flow > LITRE for flow in told.values())


def test_a_wider_manhole_and_a_rougher_main() -> None:
    site = bare_site()
    wide = replace(site, nodes=tuple(replace(n, area=30.0) for n in site.nodes))
    rough = replace(site, runs=tuple(replace(r, manning=0.02) for r in site.runs))
    plain, roomy, slow = (blocked(BUSY, each).forecast for each in (site, wide, rough))
    assert plain is not None
    assert roomy is not None
    assert slow is not None
    assert max(roomy.greatest) < max(plain.greatest)
    # before the packer is set rougher pipes are fuller
    assert min(slow.freeboards) < min(plain.freeboards)
    rows = {row.symbol: row for row in slow.trace}
    assert (rows["n_M"].value, rows["n_M"].source) == (0.02, "site")


def test_assumptions_are_told_once_for_all_connections() -> None:
    survey, site = world.survey(), world.site()
    flows = [f for name in (BUSY, QUIET) if (f := blocked(name, site).forecast) is not None]
    found = {f.rule: f for f in level_findings(survey, site, flows)}
    assert {"default-backwater-level", "default-chamber-area", "default-manning"} <= set(found)
    # declared for Quay Street and its upper manhole
    assert "T03" not in found["default-chamber-area"].text
    assert "T03-T04" not in found["default-manning"].text
    assert "0.013" in found["default-manning"].text
    nothing = replace(noted(60.0, 25.0, "T04-T07"), nodes=site.nodes)
    near = survey.of_run("T04-T07")[0]
    unused = noted(near.chainage, 25.0, "T04-T07")
    rules = {f.rule for f in level_findings(survey, unused, flows)}
    assert "backwater-not-used" in rules
    assert "backwater-not-used" not in {f.rule for f in level_findings(survey, nothing, [])}


def test_the_longest_hold_starts_with_the_soonest_inflation() -> None:
    cure, shifts = cured(), world.kit().shifts
    late = replace(shifts, wet_out=10.0 * HOUR)
    # a crew slower than the batch cannot inflate later than the batch allows
    assert longest_hold(cure, late) == pytest.approx(cure.release_time - cure.latest_inflation)
    assert longest_hold(cure, shifts) > longest_hold(cure, late)
