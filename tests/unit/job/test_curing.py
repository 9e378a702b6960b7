"""The cure of one collar on the day, beside the times of its data sheet."""

from dataclasses import replace
from functools import cache
from itertools import pairwise

import pytest

from teewright.findings import FindingKind
from teewright.heat.values import Forecast
from teewright.job.curing import cure_findings, day_window, forecast, not_computed, packer_findings
from teewright.job.resolve import resolve
from teewright.kit.values import Kit
from teewright.resin.times import cure_times
from teewright.units import kelvin
from unit.job import world

COLLAR = 0.0041


@cache
def found(air: float = 14.0, pipe: float = 11.0, thickness: float = COLLAR) -> Forecast:
    made = told(world.kit(), air, pipe, thickness)
    assert made is not None
    return made


def told(kit: Kit, air: float, pipe: float, thickness: float = COLLAR) -> Forecast | None:
    survey, site = world.survey(), world.site()
    inputs = resolve(survey, site, survey.connections[0])
    inputs = replace(inputs, air=replace(inputs.air, value=kelvin(air)))
    cure = cure_times(
        kit.resin,
        mix_temperature=kelvin(air),
        cure_temperature=kelvin(pipe),
        spare_share=kit.shifts.spare_share,
    )
    return forecast(inputs, kit, cure, thickness=thickness, mixed=kelvin(air), ground=kelvin(pipe))


def test_quantiles_are_in_order_and_the_working_time_comes_before_the_release() -> None:
    one = found()
    assert list(one.working) == sorted(one.working)
    assert list(one.release) == sorted(one.release)
    assert one.working[2] < one.release[0]


def test_a_warmer_day_is_quicker_at_both_ends() -> None:
    cold, warm = found(8.0, 8.0), found(22.0, 20.0)
    assert warm.working[1] < cold.working[1]
    assert warm.release[1] < cold.release[1]
    assert warm.peak > cold.peak


def test_colder_ground_alone_delays_the_release_and_leaves_the_working_time() -> None:
    mild, chilled = found(14.0, 14.0), found(14.0, 6.0)
    assert chilled.release[1] > mild.release[1]
    # the deadline follows the warmer of both, so the same
    assert chilled.working[1] == pytest.approx(mild.working[1], rel=1e-6)


def test_the_chance_wanted_is_reached_where_it_says() -> None:
    one = found()
    assert one.release[1] <= one.sure
    assert one.wanted == 0.95
    assert 0.5 < one.chance < 1.0


def test_the_curve_starts_at_the_pressure_and_ends_hard() -> None:
    curve = found().curve
    times = [row[0] for row in curve]
    assert times[0] == pytest.approx(found().planned)
    assert times == sorted(times)
    assert min(curve[-1][1:]) > 0.9


def test_without_a_heat_of_reaction_nothing_is_computed() -> None:
    kit = world.kit()
    cold = replace(kit, resins=tuple(replace(r, heat=0.0) for r in kit.resins))
    assert told(cold, 14.0, 11.0) is None
    assert cure_findings("T1/1", None) == ()


def test_a_release_less_sure_than_wanted_is_told() -> None:
    one = found()
    assert cure_findings("T1/1", replace(one, chance=0.97)) == ()
    (finding,) = cure_findings("T1/1", replace(one, chance=0.8))
    assert finding.kind is FindingKind.DOUBT
    assert "80 % of the cases" in finding.text
    assert finding.subject == "T1/1"


def test_a_packer_not_rated_for_the_heat_of_the_resin_is_told() -> None:
    one = found()
    packer = replace(
        world.kit().packers[0], rating=2e5, derating=((270.0, 1.0), (300.0, 1.0), (350.0, 0.5))
    )
    hot = replace(one, peak=325.0)  # half-way down: three quarters of 2 bar
    assert packer_findings("T1/1", hot, packer, 1.4e5) == ()
    (finding,) = packer_findings("T1/1", hot, packer, 1.6e5)
    assert "rated 1.50 bar" in finding.text
    (finding,) = packer_findings("T1/1", replace(one, peak=360.0), packer, 1e5)
    assert "above 77 °C" in finding.text
    assert (
        packer_findings("T1/1", replace(one, peak=360.0), replace(packer, derating=()), 1e5) == ()
    )
    assert packer_findings("T1/1", None, packer, 1e5) == ()


def test_the_window_of_the_day_covers_the_data_sheet_and_falls_with_the_heat() -> None:
    survey, site = world.survey(), world.site()
    inputs, kit = resolve(survey, site, survey.connections[0]), world.kit()
    cure = cure_times(
        kit.resin,
        mix_temperature=inputs.air.value,
        cure_temperature=inputs.pipe.value,
        spare_share=kit.shifts.spare_share,
    )
    day = day_window(inputs, kit, cure, thickness=COLLAR, ground=inputs.pipe.value)
    assert day is not None
    assert (day.air[0], day.air[-1]) == (
        kit.resin.working_time[0][0], kit.resin.working_time[-1][0],
    )  # fmt: skip
    for row in day.latest:
        assert list(row) == sorted(row, reverse=True)
    for colder, warmer in pairwise(day.latest):
        assert all(a >= b for a, b in zip(colder, warmer, strict=True))
    assert all(
        r > t
        for a, b in zip(day.latest, day.release, strict=True)
        for t, r in zip(a, b, strict=True)
    )
    unknown = replace(kit, resins=tuple(replace(r, heat=0.0) for r in kit.resins))
    assert day_window(inputs, unknown, cure, thickness=COLLAR, ground=inputs.pipe.value) is None


def test_a_cure_that_cannot_be_computed_refuses_no_collar_and_is_told() -> None:
    """Shifts that take no time to mix and soak leave no batch to follow."""
    kit = world.kit()
    at_once = replace(kit, shifts=replace(kit.shifts, mix=0.0, wet_out=0.0))
    assert told(at_once, 14.0, 11.0) is None
    (finding,) = not_computed(kit.resin, [found(), None])
    assert "1 of 2 collars" in finding.text
    assert not_computed(kit.resin, [found()]) == ()
    assert not_computed(replace(kit.resin, heat=0.0), [None]) == ()
