"""The crew's deadlines break neither the data sheet's nor the computed ones."""

import math

import pytest

from teewright.resin.governing import LATEST, RELEASE, governed
from teewright.resin.times import cure_times
from teewright.resin.values import CureTimes, Governs
from teewright.units import MINUTE, kelvin
from unit.resin.samples import RESIN


def sheet(coldest: float | None = None) -> CureTimes:
    return cure_times(
        RESIN,
        mix_temperature=kelvin(15.0),
        cure_temperature=kelvin(12.0),
        spare_share=0.2,
        coldest=coldest,
    )


@pytest.mark.parametrize(
    ("earlier", "later"), [(0.0, 0.0), (60.0, 0.0), (0.0, 300.0), (120.0, 600.0)]
)
def test_the_earlier_inflation_and_the_later_release_govern(earlier: float, later: float) -> None:
    told = sheet()
    latest, release = told.latest_inflation - earlier, told.release_time + later
    used = governed(told, latest=latest, release=release)
    assert (used.latest_inflation, used.release_time) == (latest, release)
    assert used.latest_by is (Governs.COMPUTED if earlier else Governs.SHEET)
    assert used.release_by is (Governs.COMPUTED if later else Governs.SHEET)
    assert used.release_time > used.latest_inflation
    assert used.sheet == (told.latest_inflation, told.release_time)
    assert used.computed == (latest, release)


def test_looser_computed_times_change_nothing_that_the_crew_keeps() -> None:
    told = sheet()
    used = governed(told, latest=told.latest_inflation + 90.0, release=told.release_time - 90.0)
    assert (used.latest_inflation, used.release_time) == (told.latest_inflation, told.release_time)
    assert (used.working_table, used.release_table) == (told.working_table, told.release_table)


def test_a_release_that_is_never_reached_leaves_the_data_sheets() -> None:
    told = sheet()
    used = governed(told, latest=math.inf, release=math.inf)
    assert used.release_time == told.release_time
    assert used.release_by is Governs.SHEET
    rows = {row.quantity: row for row in used.trace}
    assert "no t_s is reached" in rows[RELEASE].formula
    # no row of the trace holds a number that cannot be printed
    assert all(math.isfinite(row.value) for row in used.trace)


def test_the_trace_tells_both_and_which_governs() -> None:
    told = sheet()
    used = governed(told, latest=told.latest_inflation - 60.0, release=told.release_time - 60.0)
    rows = {row.symbol: row for row in used.trace}
    assert rows["t_d,c"].value == told.latest_inflation - 60.0
    assert (rows["t_D"].quantity, rows["t_D"].source) == (LATEST, "computed")
    assert (rows["t_R"].quantity, rows["t_R"].source) == (RELEASE, "data sheet")
    assert (rows["t_D"].value, rows["t_R"].value) == (used.latest_inflation, used.release_time)


def test_the_crews_tables_hold_the_deadlines_at_the_days_temperatures() -> None:
    told = sheet(coldest=kelvin(10.0))
    assert (told.warm, told.cold) == pytest.approx((kelvin(15.0), kelvin(10.0)))
    used = governed(told, latest=0.8 * told.latest_inflation, release=1.3 * told.release_time)
    by, free = dict(used.working_table), dict(used.release_table)
    assert by[used.warm] == pytest.approx(used.latest_inflation)
    assert free[used.cold] == pytest.approx(used.release_time)
    assert sorted(by.values(), reverse=True) == list(by.values())


def test_the_coldest_air_of_the_shift_delays_the_release_alone() -> None:
    steady, path = sheet(), sheet(coldest=kelvin(8.0))
    assert path.latest_inflation == steady.latest_inflation
    assert path.release_time > steady.release_time + MINUTE
    symbols = [row.symbol for row in path.trace]
    assert symbols[:2] == ["T_a,w", "T_a,c"]
    assert "T_m" not in symbols
