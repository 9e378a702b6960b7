"""Cure as planned: each batch in the air of its own hours, and deadlines that do not fit it."""

import math
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from types import SimpleNamespace

import pytest

from teewright.findings import FindingKind
from teewright.heat.values import Forecast
from teewright.job.curing import cured, in_place, sheet_times
from teewright.job.day_air import DayAir, day_air
from teewright.job.planned_cure import planned_cure_findings, planned_cures
from teewright.job.resolve import resolve
from teewright.job.values import Designs, PlannedCure
from teewright.kit.values import Kit
from teewright.network.conditions import Site
from teewright.programme.values import Programme, Shift, Visit
from teewright.resin.values import CureTimes
from teewright.units import HOUR, MINUTE, kelvin
from unit.job import world

DAY = date(2027, 5, 3)
COLLAR = 0.0041


def connection_id() -> str:
    return world.survey().connections[0].id


def deadlines(site: Site, kit: Kit) -> tuple[CureTimes, Forecast]:
    inputs = resolve(world.survey(), site, world.survey().connections[0])
    air = day_air(inputs, site, kit.shifts)
    cure, found = cured(
        kit, sheet_times(inputs, kit, air), in_place(inputs, COLLAR, kit.fabric.void_fraction), air
    )
    assert found is not None
    return cure, found


def designs(site: Site, kit: Kit) -> Designs:
    cure, found = deadlines(site, kit)
    known = SimpleNamespace(
        connection_id=connection_id(),
        cure=cure,
        forecast=found,
        wall=SimpleNamespace(provided=COLLAR),
        resin=SimpleNamespace(void_fraction=kit.fabric.void_fraction),
    )
    return Designs((known,), (), ())  # type: ignore[arg-type]


def programme(mixed: datetime, cure: CureTimes, taken: float = 16.0 * MINUTE) -> Programme:
    """One installation, mixed at a time and at pressure so long after it."""
    rules = world.kit().shifts
    pressed = mixed + timedelta(seconds=taken)
    free = mixed + timedelta(seconds=cure.release_time)
    visit = Visit(
        connection_id(), "T01-T02", "T01", "Tee 200", mixed,
        mixed + timedelta(seconds=rules.mix + rules.wet_out), pressed, pressed, pressed,
        mixed + timedelta(seconds=cure.latest_inflation), free, free, free, free,
    )  # fmt: skip
    end = mixed + timedelta(hours=9)
    return Programme((Shift(1, "Crew 1", DAY, mixed, end, (visit,), ()),), (), 1, proved=True)


def at(hour: float) -> datetime:
    """Local wall-clock time, as the programme has it."""
    return datetime.combine(DAY, time(0, 0)) + timedelta(hours=hour)


def planned(site: Site, kit: Kit, hour: float) -> PlannedCure:
    made = designs(site, kit)
    cure = made.designs[0].cure
    return planned_cures(world.survey(), site, kit, made, programme(at(hour), cure))[0]


def test_each_batch_has_the_air_of_its_own_hours() -> None:
    site, kit = world.site(), world.kit()
    early, late = planned(site, kit, 20.0), planned(site, kit, 29.0)
    assert early.air[0] == pytest.approx(kelvin(16.0))
    assert late.air[0] == pytest.approx(kelvin(9.0 + 1.0 / 3.0))
    assert early.latest < late.latest
    assert early.release < late.release
    assert early.peak > late.peak


def test_the_deadlines_of_the_design_are_on_the_safe_side_of_every_hour() -> None:
    site, kit = world.site(), world.kit()
    _, found = deadlines(site, kit)
    for hour in (20.0, 23.0, 26.0, 28.5):
        one = planned(site, kit, hour)
        # the day's safe side is steady air at its warmest, and at its coldest
        assert found.latest is not None
        assert one.latest >= found.latest - 1.0
        assert one.release <= found.sure + 30.0
        assert planned_cure_findings([one], designs(site, kit)) == ()


def test_in_steady_air_the_plan_is_the_forecast_but_for_its_inflation() -> None:
    site, kit = world.site(), world.kit()
    assert site.weather is not None
    still = replace(site, weather=replace(site.weather, air_path=()))
    made = designs(still, kit)
    cure = made.designs[0].cure
    late = programme(at(21.0), cure, taken=cure.latest_inflation)
    one = planned_cures(world.survey(), still, kit, made, late)[0]
    found = made.designs[0].forecast
    assert found is not None
    # a programme counts in microseconds
    assert one.latest == pytest.approx(found.latest, rel=1e-7)
    assert one.release == pytest.approx(found.sure, rel=1e-7)
    assert one.peak == pytest.approx(found.peak, rel=1e-7)
    assert one.chance == pytest.approx(found.chance)


def test_a_deadline_looser_than_the_computed_time_is_told() -> None:
    site, kit = world.site(), world.kit()
    made = designs(site, kit)
    cure = made.designs[0].cure
    one = planned(site, kit, 22.0)
    sooner = replace(one, latest=cure.latest_inflation - 3.0 * MINUTE)
    (gels,) = planned_cure_findings([sooner], made)
    assert (gels.kind, gels.rule) == (FindingKind.DOUBT, "planned-batch-gels-sooner")
    later = replace(one, release=cure.release_time + 9.0 * MINUTE)
    (waits,) = planned_cure_findings([later], made)
    assert waits.rule == "planned-cure-later"
    never = replace(one, release=math.inf, chance=0.8)
    (doubt,) = planned_cure_findings([never], made)
    assert "80 % of the cases only" in doubt.text


def test_packs_that_are_kept_warm_are_mixed_warm() -> None:
    site, kit = world.site(), world.kit()
    assert site.weather is not None
    warm = replace(site, weather=replace(site.weather, pack=kelvin(25.0)))
    assert planned(warm, kit, 26.0).latest < planned(site, kit, 26.0).latest


def test_without_a_law_or_a_forecast_nothing_is_planned() -> None:
    site, kit = world.site(), world.kit()
    made = designs(site, kit)
    shift = programme(at(21.0), made.designs[0].cure)
    cold = replace(kit, resins=tuple(replace(r, heat=0.0) for r in kit.resins))
    assert planned_cures(world.survey(), site, cold, made, shift) == ()
    bare = SimpleNamespace(connection_id=connection_id(), forecast=None)
    none = Designs((bare,), (), ())  # type: ignore[arg-type]
    assert planned_cures(world.survey(), site, kit, none, shift) == ()


def test_the_night_of_the_demo_spans_a_shift() -> None:
    kit = world.kit()
    inputs = resolve(world.survey(), world.site(), world.survey().connections[0])
    air = day_air(inputs, world.site(), kit.shifts)
    assert air == DayAir(kelvin(16.0), kelvin(9.0), None, kelvin(10.0))
    assert kit.shifts.length == 10.0 * HOUR
