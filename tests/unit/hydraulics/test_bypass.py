import math

import pytest
from scipy.optimize import brentq

from teewright.errors import InputError, RangeError
from teewright.hydraulics.bypass import DRY, Beyond, bypass_check, capacity
from teewright.hydraulics.colebrook import colebrook_velocity
from teewright.hydraulics.values import BypassCheck
from teewright.units import GRAVITY, SHOWN

PATTERN = (*(0.5,) * 6, *(1.2,) * 16, *(0.65,) * 2)


def check(
    *,
    count: int = 1,
    mean_flow: float = 1e-3,
    pattern: tuple[float, ...] = PATTERN,
    bore: float = 0.065,
    beyond: Beyond = DRY,
) -> BypassCheck:
    return bypass_check(
        main_diameter=0.2,
        bore_count=count,
        bore_diameter=bore,
        bore_length=1.25,
        mean_flow=mean_flow,
        pattern=pattern,
        beyond=beyond,
    )


def test_bores_add() -> None:
    assert check(count=3).capacity == pytest.approx(3.0 * check(count=1).capacity)


def test_the_depth_at_the_crown_is_what_drives_the_flow() -> None:
    """Entry, friction, velocity head and the end of a free outlet add up to the depth."""
    flow = check().capacity
    area, d = math.pi * 0.065**2 / 4.0, 0.065
    v = flow / area

    # the friction slope from the explicit form, which shares no step with the factor's
    def slower(slope: float) -> float:
        return colebrook_velocity(d, slope, 0.6e-3) - v

    friction = brentq(slower, 3e-3, 1.0, xtol=1e-12) * 1.25

    # critical depth from the angle of the wetted arc: Q^2 T = g A^3
    def over(angle: float) -> float:
        wet, top = d**2 / 8.0 * (angle - math.sin(angle)), d * math.sin(angle / 2.0)
        return flow**2 * top - GRAVITY * wet**3

    critical = d / 2.0 * (1.0 - math.cos(brentq(over, 0.5, 6.2) / 2.0))
    end = 0.1 - d / 2.0 + (critical + d) / 2.0  # the bore's invert lies half a bore under the axis
    assert end + friction + 1.5 * v**2 / (2.0 * GRAVITY) == pytest.approx(0.2, rel=2e-3)


def test_hours_within_the_capacity() -> None:
    capacity = check().capacity
    found = check(mean_flow=capacity)
    assert found.allowed_hours == (0, 1, 2, 3, 4, 5, 22, 23)
    assert found.worst_flow == pytest.approx(1.2 * capacity)
    assert found.hourly_flow == pytest.approx([capacity * f for f in PATTERN])


def test_infiltration_and_the_shower_add_to_each_hour_and_pumps_take_away() -> None:
    shower = (0.0,) * 8 + (2e-3,) + (0.0,) * 15
    found = check(beyond=Beyond(3e-4, shower, 1e-3))
    wanted = [1e-3 * f + 3e-4 + s for f, s in zip(PATTERN, shower, strict=True)]
    assert found.hourly_flow == pytest.approx(wanted)
    most = found.capacity + 1e-3
    assert found.allowed_hours == tuple(h for h, q in enumerate(wanted) if q <= most)
    assert {row.symbol: row.value for row in found.trace}["Q_i"] == 3e-4
    with pytest.raises(InputError, match="shower"):
        check(beyond=Beyond(shower=(0.0,) * 23))
    with pytest.raises(RangeError, match="infiltration"):
        check(beyond=Beyond(infiltration=-1e-3))


def test_without_bores_only_a_dry_hour_is_allowed() -> None:
    found = check(count=0, bore=0.0, pattern=(0.0, *(1.0,) * 23))
    assert found.capacity == 0.0
    assert found.allowed_hours == (0,)


def test_without_a_pattern_the_flow_is_steady() -> None:
    found = check(pattern=())
    assert found.hourly_flow == (1e-3,) * 24
    assert any("steady flow" in row.source for row in found.trace)
    assert len(found.allowed_hours) == 24


@pytest.mark.parametrize("pattern", [(1.0,) * 23, (-1.0, *(1.0,) * 23), (math.nan,) * 24])
def test_a_pattern_that_is_no_day_is_refused(pattern: tuple[float, ...]) -> None:
    with pytest.raises(InputError, match="flow pattern"):
        check(pattern=pattern)


def test_a_bore_wider_than_the_main_is_refused() -> None:
    with pytest.raises(RangeError, match="diameter of the bore"):
        check(bore=0.25)


def test_the_trace_can_be_shown() -> None:
    assert all(row.shown_in in SHOWN for row in check().trace)


def test_the_capacity_is_that_of_the_check_and_less_through_smaller_or_longer_bores() -> None:
    def of(count: int, bore: float, length: float = 1.25) -> float:
        return capacity(main_diameter=0.2, bore_count=count, bore_diameter=bore, bore_length=length)

    assert of(1, 0.065) == check().capacity
    assert of(2, 0.065) == pytest.approx(2.0 * of(1, 0.065))
    assert of(2, 0.065 / math.sqrt(2.0)) < of(1, 0.065)
    assert of(1, 0.065, 2.0) < of(1, 0.065)
    assert of(0, 0.065) == 0.0
