"""When a main may begin to be blocked, and for how long: by hand, and against the water itself."""

from dataclasses import replace

import numpy as np
import pytest

from teewright.hydraulics.blocking import holds
from teewright.hydraulics.values import FlowForecast
from teewright.job.blocking import LONGER, STEP, flow_forecast
from teewright.job.flow_setting import setting_of
from teewright.job.hold_windows import hold_windows
from teewright.job.resolve import resolve
from teewright.programme.values import HoldWindow
from teewright.units import HOUR
from unit.job import world
from unit.job.test_blocking import BUSY, QUIET, bare_site, blocked, cured


def told(name: str) -> FlowForecast:
    found = blocked(name).forecast
    assert found is not None
    return found


def by_hand(longest: dict[int, float]) -> FlowForecast:
    """A forecast of which each full hour was tried; hours that are not named are refused."""
    hours = range(24)
    return replace(
        told(QUIET),
        duration=1.2 * HOUR,
        starts=tuple(h * HOUR for h in hours),
        allowed=tuple(h in longest for h in hours),
        longest=tuple(longest.get(h, 0.4) * HOUR for h in hours),
    )


def test_a_hold_begins_between_two_starts_that_are_both_allowed() -> None:
    flow = by_hand({3: 4.0, 4: 3.7, 5: 2.5, 6: 1.3, 7: 1.25, 9: 5.0, 23: 5.0, 0: 5.0})
    assert hold_windows(flow) == (
        HoldWindow(3 * HOUR, 4 * HOUR, 3 * HOUR),
        HoldWindow(4 * HOUR, 5 * HOUR, 2 * HOUR),
        HoldWindow(5 * HOUR, 7 * HOUR, 1.2 * HOUR),  # never below what was granted
        HoldWindow(23 * HOUR, 24 * HOUR, 5 * HOUR),  # to the midnight that comes
    )


def test_what_goes_on_alike_is_one_window() -> None:
    assert hold_windows(by_hand(dict.fromkeys(range(24), 5.0))) == (
        HoldWindow(0.0, 24 * HOUR, 5 * HOUR),
    )
    assert hold_windows(by_hand({})) == ()


def test_a_forecast_that_was_kept_before_knows_no_longest() -> None:
    assert hold_windows(replace(told(QUIET), longest=())) is None


def test_an_allowed_start_is_granted_the_whole_hold_and_no_more_than_was_looked_at() -> None:
    flow = told(BUSY)
    for allowed, longest in zip(flow.allowed, flow.longest, strict=True):
        assert not allowed or longest >= flow.duration
        assert longest <= flow.duration + LONGER
    assert min(flow.longest) < flow.duration < max(flow.longest)


@pytest.mark.parametrize("name", [BUSY, "T03-T04/03", "T02-T03/02"])
def test_the_water_allows_every_hold_of_the_windows(name: str) -> None:
    """Each is tried itself, begun at odd minutes between the starts that the windows are of."""
    survey, site, kit = world.survey(), bare_site(), world.kit()
    connection, packer = survey.connection(name), kit.packers[0]
    inputs = resolve(survey, site, connection)
    flow = flow_forecast(survey, site, connection, inputs, packer, cured(), kit=kit).forecast
    assert flow is not None
    windows = hold_windows(flow)
    assert windows
    setting = setting_of(survey, site, connection, inputs, packer, freeboard=kit.rules.freeboard)
    tried = 0
    for window in windows:
        starts = np.arange(window.first, window.last, 660.0) % (24 * HOUR)
        found = holds(setting, window.longest, starts=starts, pump=inputs.over_pumping, step=STEP)
        assert found.allowed.all(), (window, starts[~found.allowed] / HOUR)
        tried += len(starts)
    assert tried > 20
