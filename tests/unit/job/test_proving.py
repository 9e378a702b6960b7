"""Readings of a leak test, judged with what was logged and nothing else."""

from dataclasses import replace

import pytest

from teewright.errors import InputError
from teewright.job.proving import judge, not_judged
from teewright.site.readings import LeakReadings

AIR = ((0.0, 10_000.0), (90.0, 9_700.0), (240.0, 9_500.0))
WATER = ((0.0, 0.0), (900.0, 2e-5), (1800.0, 4e-5))


def readings(method: str, *, pressures: object = (), volumes: object = ()) -> LeakReadings:
    return LeakReadings("1", method, pressures, volumes)  # type: ignore[arg-type]


def test_a_method_that_was_not_logged_is_said() -> None:
    assert "none was logged" in judge(readings("", pressures=AIR), 0.189).reason
    named = judge(readings("LC", pressures=AIR), 0.189)
    assert named.passed is True
    assert "none was logged" not in named.reason


def test_a_water_test_needs_its_pressure() -> None:
    with pytest.raises(InputError, match="pressure of a water test") as caught:
        judge(readings("W", volumes=WATER), 0.189)
    assert not_judged(readings("W"), caught.value).passed is None


def test_a_water_test_with_its_pressure() -> None:
    kept = ((0.0, 30_000.0), (1800.0, 29_500.0))
    test = judge(readings("W", pressures=kept, volumes=WATER), 0.189)
    assert test.passed is True
    assert {r.symbol: r.value for r in test.trace}["p"] == 30_000.0
    lost = ((0.0, 30_000.0), (900.0, 27_000.0), (1800.0, 30_000.0))
    assert judge(readings("W", pressures=lost, volumes=WATER), 0.189).passed is None


def test_what_one_metre_of_main_may_lose() -> None:
    kept = ((0.0, 30_000.0), (1800.0, 30_000.0))
    # 0.15 l/m2 on pi 0.189 m2: 0.0891 l
    loses = ((0.0, 0.0), (1800.0, 9.0e-5))
    assert judge(readings("W", pressures=kept, volumes=loses), 0.189).passed is False


def test_a_logged_volume_scales_the_time_of_the_standard() -> None:
    # DN 200, LC: 2.802 min for a whole pipe (EN 1610), 0.010 m3 between seals 1 m apart:
    # 0.010 / (pi 0.1^2) x 2.802 min = 0.892 min (Stein 2001, F. 4.5.1.4.2.1-1)
    pressures = ((0.0, 10_000.0), (54.0, 9_500.0))
    readings = LeakReadings("1", "LC", pressures, (), test_volume=0.010, section_length=1.0)
    scaled = judge(readings, 0.2)
    assert scaled.required_time == pytest.approx(60 * 0.892, abs=0.05)
    assert scaled.passed is True
    whole = judge(replace(readings, test_volume=None, section_length=None), 0.2)
    assert whole.required_time == 180.0
    assert whole.passed is None


def test_a_low_pressure_test_is_judged_by_its_standard() -> None:
    # ASTM F1417: 3.5 to 2.5 psi; 8 in (0.2032 m): 2 x 3:47 min
    fell = ((0.0, 24_132.0), (200.0, 20_000.0), (460.0, 18_000.0))
    for name in ("F1417", "f1417"):
        test = judge(readings(name, pressures=fell), 0.2032)
        assert (test.method, test.passed) == ("F1417", True)
        assert test.required_time == pytest.approx(454.0, abs=2.6)
    assert judge(readings("F1417-HALF", pressures=fell), 0.2032).passed is False
    kept = judge(readings("lc", pressures=AIR), 0.189)
    assert (kept.method, kept.passed) == ("LC", True)


def test_a_method_that_is_none_is_told_with_those_that_are() -> None:
    with pytest.raises(InputError, match=r"'LX' is no method .* LA, LB, LC, LD, F1417, .*, W"):
        judge(readings("LX", pressures=AIR), 0.189)
