"""Level behind the packer as planned: what the crew is told, and when a plan is too long."""

from dataclasses import replace
from datetime import date, datetime, time, timedelta
from typing import cast

import pytest

from teewright.job.blocking import flow_forecast
from teewright.job.planned_flow import BEYOND, planned_findings, planned_flow
from teewright.job.resolve import resolve
from teewright.job.values import Design, Designs, PlannedHold
from teewright.network.conditions import Site
from teewright.programme.values import Programme, Shift, Visit
from teewright.units import HOUR, LITRE
from unit.job import world
from unit.job.test_blocking import BUSY, bare_site, cured, fuller

PACKER = "Tee 300"
DAY = date(2027, 5, 3)
EVENING = datetime.combine(DAY, time(21, 0))
"""Local wall-clock time, as the programme has it."""


class Known:
    """What the planned level asks of a design."""

    def __init__(self, connection_id: str, *, flow: bool = True) -> None:
        self.connection_id, self.flow = connection_id, object() if flow else None


def designs(*known: Known) -> Designs:
    return Designs(cast("tuple[Design, ...]", known), (), ())


def planned(start: datetime, duration: float, packer: str = f"{PACKER} #2") -> Programme:
    """One installation whose inflation starts at a time."""
    pressed = start + timedelta(seconds=world.kit().shifts.inflate)
    release = start + timedelta(seconds=duration)
    moments = (start,) * 4 + (pressed, pressed, release, release, release, release)
    visit = Visit(BUSY, "T03-T04", "T03", packer, *moments)
    end = start + timedelta(hours=10)
    shift = Shift(1, "Crew 1", DAY, start, end, (visit,), ())
    return Programme((shift,), (), 1, proved=True)


def held(start: datetime, duration: float, site: Site | None = None) -> PlannedHold:
    place = bare_site() if site is None else site
    found = planned_flow(
        world.survey(), place, world.kit(), designs(Known(BUSY)), planned(start, duration)
    )
    return found[0]


def test_the_hold_is_that_of_the_forecast_at_the_same_start() -> None:
    survey, site, kit = world.survey(), bare_site(), world.kit()
    packer = next(p for p in kit.packers if p.name == PACKER)
    connection = survey.connection(BUSY)
    inputs = resolve(survey, site, connection)
    flow = flow_forecast(survey, site, connection, inputs, packer, cured(), kit=kit).forecast
    assert flow is not None
    hold = held(EVENING, flow.duration)
    at = flow.starts.index(21 * HOUR)
    assert hold.start == EVENING
    assert hold.greatest == pytest.approx(flow.greatest[at], abs=1e-6)
    assert hold.freeboard == pytest.approx(flow.freeboards[at], abs=1e-6)
    assert hold.places == flow.places
    assert hold.times[-1] == pytest.approx(hold.duration)
    assert max(hold.levels) == pytest.approx(hold.greatest, abs=1e-3)


def test_a_hold_that_does_not_end_reaches_the_place_that_it_fills_first() -> None:
    """A hold up to that time leaves no water below the place; a shorter one leaves some."""
    morning, full = EVENING + timedelta(hours=7), fuller(1.5)
    hold = held(morning, HOUR, full)
    assert hold.reached is not None
    assert HOUR < hold.reached < hold.looked
    until = held(morning, hold.reached + 300.0, full)
    less = held(morning, hold.reached - 600.0, full)
    # 5 mm: the surface upstream is that of the greatest inflow of each hold
    assert until.freeboard < 5e-3
    assert less.freeboard > 0.0
    assert hold.reached_place == until.place


def test_nothing_is_reached_where_little_flows() -> None:
    site = bare_site()
    runs = tuple(replace(r, mean_flow=0.2 * LITRE) for r in site.runs)
    hold = held(EVENING, HOUR, replace(site, runs=runs))
    assert hold.reached is None
    assert hold.reached_place == ""
    assert hold.looked == HOUR + BEYOND


def test_a_plan_that_comes_too_near_is_told_with_its_numbers() -> None:
    morning = EVENING + timedelta(hours=9)
    high, low = held(morning, 2.5 * HOUR), held(EVENING + timedelta(hours=5), HOUR)
    assert high.freeboard < high.kept == world.kit().rules.freeboard <= low.freeboard
    (finding,) = planned_findings([high, low])
    assert finding.rule == "planned-water-too-high"
    assert finding.subject == BUSY
    assert "150 min from 06:00" in finding.text
    assert high.place in finding.text


def test_pumps_of_the_site_lower_the_water() -> None:
    site = bare_site()
    pumped = replace(site, runs=tuple(replace(r, over_pumping=LITRE) for r in site.runs))
    dry, drawn = held(EVENING, HOUR), held(EVENING, HOUR, pumped)
    assert drawn.pumped == LITRE
    assert drawn.greatest < dry.greatest


def test_a_connection_without_levels_or_a_packer_that_is_gone_has_no_trace() -> None:
    survey, site, kit = world.survey(), bare_site(), world.kit()
    plan = planned(EVENING, HOUR)
    assert planned_flow(survey, site, kit, designs(Known(BUSY, flow=False)), plan) == ()
    lost = planned(EVENING, HOUR, "sold")
    assert planned_flow(survey, site, kit, designs(Known(BUSY)), lost) == ()
