import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.errors import InputError, RangeError
from teewright.resin.times import activation_energy, arrhenius_time, cure_times
from teewright.resin.values import CureTimes
from teewright.units import GAS_CONSTANT, SHOWN, kelvin
from unit.resin.samples import RESIN

POINTS = RESIN.working_time
TEMPERATURES = st.floats(POINTS[0][0], POINTS[-1][0])


def law(energy: float, temperature: float) -> float:
    """A true Arrhenius law, 1 h at 20 degrees Celsius."""
    return 3600.0 * math.exp(energy / GAS_CONSTANT * (1.0 / temperature - 1.0 / kelvin(20.0)))


def cure(mix: float, wall: float, spare: float = 0.1) -> CureTimes:
    return cure_times(
        RESIN, mix_temperature=kelvin(mix), cure_temperature=kelvin(wall), spare_share=spare
    )


def test_the_points_themselves_come_back() -> None:
    assert [arrhenius_time(POINTS, T) for T, _ in POINTS] == pytest.approx([t for _, t in POINTS])


@given(st.floats(20e3, 120e3), st.floats(278.0, 303.0))
@settings(max_examples=40, deadline=None)
def test_a_true_arrhenius_law_is_reproduced(energy: float, temperature: float) -> None:
    points = tuple((T, law(energy, T)) for T in (278.0, 285.0, 303.0))
    assert arrhenius_time(points, temperature) == pytest.approx(law(energy, temperature))
    assert activation_energy(points[0], points[2]) == pytest.approx(energy)


@given(TEMPERATURES, TEMPERATURES)
@settings(max_examples=40, deadline=None)
def test_warmer_is_never_longer(one: float, other: float) -> None:
    cold, warm = sorted((one, other))
    assert arrhenius_time(POINTS, cold) >= arrhenius_time(POINTS, warm) * (1.0 - 1e-12)


def test_the_energy_does_not_ask_which_point_is_first() -> None:
    assert activation_energy(POINTS[0], POINTS[1]) == pytest.approx(
        activation_energy(POINTS[1], POINTS[0])
    )


@pytest.mark.parametrize("celsius", [4.9, 30.1, float("nan")])
def test_outside_the_data_sheet_nothing_is_given(celsius: float) -> None:
    with pytest.raises(RangeError, match="data sheet"):
        arrhenius_time(POINTS, kelvin(celsius))


@pytest.mark.parametrize(
    "points",
    [
        (),
        ((300.0, 60.0), (290.0, 90.0)),
        ((290.0, 60.0), (300.0, 90.0)),
        ((290.0, 60.0), (300.0, 0.0)),
    ],
)
def test_points_that_cannot_be_right_are_refused(points: tuple[tuple[float, float], ...]) -> None:
    with pytest.raises(InputError, match="cannot be right"):
        arrhenius_time(points, 290.0)


def test_equal_temperatures_give_no_energy() -> None:
    with pytest.raises(InputError):
        activation_energy((290.0, 60.0), (290.0, 90.0))


def test_a_single_point_holds_at_its_own_temperature_only() -> None:
    assert arrhenius_time(((290.0, 60.0),), 290.0) == 60.0
    with pytest.raises(RangeError):
        arrhenius_time(((290.0, 60.0),), 290.5)


@pytest.mark.parametrize(("mix", "wall"), [(15.0, 10.0), (10.0, 15.0)])
def test_each_time_is_taken_at_the_worse_temperature(mix: float, wall: float) -> None:
    found = cure(mix, wall)
    assert found.working_time == pytest.approx(3000.0)
    assert found.release_time == pytest.approx(arrhenius_time(RESIN.release_time, kelvin(10.0)))
    assert found.latest_inflation == pytest.approx(2700.0)
    assert (found.mix_temperature, found.cure_temperature) == (kelvin(mix), kelvin(wall))


def test_the_tables_stand_about_the_day_and_keep_to_the_data_sheet() -> None:
    found = cure(15.0, 6.0)
    assert [T for T, _ in found.working_table] == pytest.approx(
        [kelvin(15.0) + step for step in range(-3, 4)]
    )
    assert dict(found.working_table)[kelvin(15.0)] == pytest.approx(found.latest_inflation)
    assert [T for T, _ in found.release_table] == pytest.approx(
        [kelvin(6.0) + step for step in range(-1, 4)]
    )


def test_a_release_before_the_end_of_work_is_refused() -> None:
    resin = replace(RESIN, release_time=((kelvin(5.0), 600.0), (kelvin(30.0), 500.0)))
    with pytest.raises(InputError, match="release time of resin mix"):
        cure_times(
            resin,
            mix_temperature=kelvin(10.0),
            cure_temperature=kelvin(10.0),
            spare_share=0.0,
        )


def test_a_day_outside_the_data_sheet_is_refused_by_name() -> None:
    with pytest.raises(RangeError, match="working temperature"):
        cure(31.0, 10.0)
    with pytest.raises(RangeError, match="curing temperature"):
        cure(15.0, 2.0)
    with pytest.raises(RangeError, match="spare share"):
        cure(15.0, 10.0, spare=1.0)


def test_the_trace_can_be_shown() -> None:
    trace = cure(15.0, 10.0).trace
    assert all(row.shown_in in SHOWN for row in trace)
    assert next(r for r in trace if r.symbol == "t_d").value == pytest.approx(2700.0)
