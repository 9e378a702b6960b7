"""Air of the hours of work: extremes on the safe side, and the path from one moment on."""

from dataclasses import replace
from datetime import datetime

import pytest

from teewright.job.day_air import at, day_air, extremes, path_from, repeated, short_path
from teewright.job.resolve import resolve
from teewright.kit.values import ShiftRules
from teewright.network.conditions import Site, Weather
from teewright.units import HOUR, kelvin
from unit.job import world

NIGHT = ((20.0 * HOUR, kelvin(16.0)), (24.0 * HOUR, kelvin(12.0)), (30.0 * HOUR, kelvin(9.0)))


def shifts(start: float, length: float) -> ShiftRules:
    return replace(world.kit().shifts, start=start * HOUR, length=length * HOUR)


def site(**weather: object) -> Site:
    told = Weather(kelvin(14.0), kelvin(11.0))
    return replace(world.site(), weather=replace(told, **weather))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("start", "length", "cold", "warm"),
    [
        (20.0, 10.0, 9.0, 16.0),
        # half-way between two times at both ends: 14 at 22 h, 10.5 at 3 h
        (22.0, 5.0, 10.5, 14.0),
        # told after midnight, at 2 and 5 o'clock of the same night
        (2.0, 3.0, 9.5, 11.0),
    ],
)
def test_the_extremes_are_those_between_start_and_end_of_the_shift(
    start: float, length: float, cold: float, warm: float
) -> None:
    found = extremes(NIGHT, shifts(start, length))
    assert found == pytest.approx((kelvin(cold), kelvin(warm)))


def test_a_time_within_the_shift_may_be_the_warmest() -> None:
    day = ((8.0 * HOUR, kelvin(10.0)), (13.0 * HOUR, kelvin(19.0)), (18.0 * HOUR, kelvin(12.0)))
    assert extremes(day, shifts(8.0, 10.0)) == pytest.approx((kelvin(10.0), kelvin(19.0)))


def test_a_path_starts_at_its_moment_and_goes_on_into_the_next_day() -> None:
    inputs = resolve(world.survey(), site(), world.survey().connections[0])
    path = path_from(site(air_path=NIGHT), inputs, datetime(2027, 5, 3, 22, 0))  # noqa: DTZ001
    assert at(path, 0.0) == pytest.approx(kelvin(14.0))
    assert at(path, 2.0 * HOUR) == pytest.approx(kelvin(12.0))
    after = path_from(site(air_path=NIGHT), inputs, datetime(2027, 5, 4, 3, 0))  # noqa: DTZ001
    assert at(after, 0.0) == pytest.approx(kelvin(10.5))
    # a day later it is the same hour again
    assert at(after, 17.0 * HOUR) == pytest.approx(kelvin(16.0))
    steady = path_from(site(), inputs, datetime(2027, 5, 3, 22, 0))  # noqa: DTZ001
    assert steady.temperatures == (kelvin(14.0),)


def test_without_a_path_the_air_keeps_its_one_temperature() -> None:
    inputs = resolve(world.survey(), site(), world.survey().connections[0])
    found = day_air(inputs, site(), world.kit().shifts)
    assert (found.coldest, found.warmest, found.changes) == (kelvin(14.0), kelvin(14.0), False)
    assert found.ground == kelvin(11.0)
    told = day_air(inputs, site(ground=kelvin(9.0), pack=kelvin(18.0)), world.kit().shifts)
    assert (told.ground, told.pack) == (kelvin(9.0), kelvin(18.0))


def test_a_path_that_leaves_hours_of_the_shifts_out_is_told() -> None:
    assert short_path(site(), world.kit().shifts) == ()
    assert short_path(site(air_path=NIGHT), shifts(20.0, 10.0)) == ()
    (finding,) = short_path(site(air_path=NIGHT), shifts(19.0, 10.0))
    assert (finding.rule, finding.value) == ("air-path-short", "1.0 h")
    (late,) = short_path(site(air_path=NIGHT), shifts(21.0, 11.0))
    assert late.value == "2.0 h"


def test_a_repeated_path_is_the_same_every_day() -> None:
    path = repeated(NIGHT, 0.0)
    for hour in (1.0, 7.5, 21.0):
        assert at(path, hour * HOUR) == pytest.approx(at(path, (hour + 24.0) * HOUR))
