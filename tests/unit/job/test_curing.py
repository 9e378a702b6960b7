"""The cure of one collar on the day, beside the times of its data sheet."""

import math
from dataclasses import replace
from functools import cache
from itertools import pairwise

import numpy as np
import pytest

from teewright.findings import FindingKind
from teewright.heat.values import Forecast
from teewright.job.cure_findings import (
    cure_findings,
    governing_findings,
    liner_findings,
    liner_review,
    not_computed,
    packer_findings,
)
from teewright.job.cure_law import fit_of
from teewright.job.curing import cured, day_window, in_place, sheet_times
from teewright.job.day_air import DayAir
from teewright.job.resolve import resolve
from teewright.kit.cure import CureSeries
from teewright.kit.values import Kit
from teewright.resin.cure_fit import Basis
from teewright.resin.kinetics import Kinetics, conversion, time_to
from teewright.resin.path import steady
from teewright.resin.times import cure_times
from teewright.resin.values import CureTimes, Governs
from teewright.trace import Origin
from teewright.units import kelvin
from unit.job import world

COLLAR = 0.0041


@cache
def found(air: float = 14.0, pipe: float = 11.0, thickness: float = COLLAR) -> Forecast:
    made = told(world.kit(), air, pipe, thickness)
    assert made is not None
    return made


def told(kit: Kit, air: float, pipe: float, thickness: float = COLLAR) -> Forecast | None:
    return both(kit, DayAir(kelvin(air), kelvin(air), None, kelvin(pipe)), pipe, thickness)[1]


def both(
    kit: Kit, air: DayAir, pipe: float, thickness: float = COLLAR
) -> tuple[CureTimes, Forecast | None]:
    survey, site = world.survey(), world.site()
    inputs = resolve(survey, site, survey.connections[0])
    inputs = replace(inputs, pipe=replace(inputs.pipe, value=kelvin(pipe)))
    return cured(
        kit,
        sheet_times(inputs, kit, air),
        in_place(inputs, thickness, kit.fabric.void_fraction),
        air,
    )


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
    # a later release that is sure enough is waited for, and leaves nothing to doubt
    assert cure_findings("T1/1", replace(one, chance=0.8)) == ()
    (finding,) = cure_findings("T1/1", replace(one, chance=0.8, sure=math.inf))
    assert finding.kind is FindingKind.DOUBT
    assert "80 % of the cases" in finding.text
    assert finding.subject == "T1/1"


def test_a_packer_not_rated_for_the_heat_of_the_resin_is_told() -> None:
    one = found()
    packer = replace(
        world.kit().packers[0], rating=2e5, derating=((270.0, 1.0), (300.0, 1.0), (350.0, 0.5))
    )
    # the resin is hotter within than at the bladder, which is what heats the packer
    hot = replace(one, peak=360.0, peak_bladder=325.0)  # half-way down: three quarters of 2 bar
    assert packer_findings("T1/1", hot, packer, 1.4e5) == ()
    (finding,) = packer_findings("T1/1", hot, packer, 1.6e5)
    assert "rated 1.50 bar" in finding.text
    (finding,) = packer_findings("T1/1", replace(one, peak_bladder=360.0), packer, 1e5)
    assert "above 77 °C" in finding.text
    assert (
        packer_findings("T1/1", replace(one, peak_bladder=360.0), replace(packer, derating=()), 1e5)
        == ()
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
    collar = in_place(inputs, COLLAR, kit.fabric.void_fraction)
    day = day_window(inputs, kit, cure, collar=collar, ground=inputs.pipe.value)
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
    assert day_window(inputs, unknown, cure, collar=collar, ground=inputs.pipe.value) is None


def test_a_cure_that_cannot_be_computed_refuses_no_collar_and_is_told() -> None:
    """Shifts that take no time to mix and soak leave no batch to follow."""
    kit = world.kit()
    at_once = replace(kit, shifts=replace(kit.shifts, mix=0.0, wet_out=0.0))
    assert told(at_once, 14.0, 11.0) is None
    (finding,) = not_computed(kit.resin, [found(), None])
    assert "1 of 2 collars" in finding.text
    assert not_computed(kit.resin, [found()]) == ()
    assert not_computed(replace(kit.resin, heat=0.0), [None]) == ()


def with_resin(**changes: object) -> Kit:
    kit = world.kit()
    own = kit.rules.resin
    return replace(
        kit,
        resins=tuple(replace(r, **changes) if r.name == own else r for r in kit.resins),  # type: ignore[arg-type]
    )


def test_the_working_time_is_that_of_the_warmest_air_and_the_release_that_of_the_coldest() -> None:
    kit = world.kit()
    cure, one = both(kit, DayAir(kelvin(16.0), kelvin(9.0), None, kelvin(10.0)), 11.0)
    _, warm = both(kit, DayAir(kelvin(16.0), kelvin(16.0), None, kelvin(10.0)), 11.0)
    _, cold = both(kit, DayAir(kelvin(9.0), kelvin(9.0), None, kelvin(10.0)), 11.0)
    assert one is not None
    assert warm is not None
    assert cold is not None
    assert (one.working, one.peak) == (warm.working, warm.peak)
    # the cold air alone would let the packer be inflated later, and the release counts from mixing
    assert one.release[1] == pytest.approx(cold.release[1], rel=0.01)
    assert (cure.warm, cure.cold) == pytest.approx((kelvin(16.0), kelvin(9.0)))
    names = [row.quantity for row in cure.trace]
    assert names[:2] == ["air at its warmest", "air at its coldest"]


def test_where_the_computed_times_are_looser_the_data_sheet_governs() -> None:
    cure, one = both(world.kit(), DayAir(kelvin(14.0), kelvin(14.0), None, kelvin(11.0)), 11.0)
    assert one is not None
    assert (cure.latest_by, cure.release_by) == (Governs.SHEET, Governs.SHEET)
    assert cure.sheet == (cure.latest_inflation, cure.release_time)
    assert cure.computed == (one.latest, one.sure)
    assert one.planned == cure.latest_inflation
    assert governing_findings([cure]) == ()


def test_a_large_batch_that_warms_itself_brings_the_deadline_forward() -> None:
    """Forty kilograms keep their heat: the packer must be at pressure before the sheet says."""
    kit = with_resin(pack_mass=40.0, heat=400e3)
    slow_to_soak = replace(kit, shifts=replace(kit.shifts, mix=400.0, wet_out=600.0))
    air = DayAir(kelvin(20.0), kelvin(20.0), None, kelvin(11.0))
    cure, one = both(slow_to_soak, air, 11.0)
    assert one is not None
    assert one.latest is not None
    assert cure.sheet is not None
    assert cure.latest_by is Governs.COMPUTED
    assert cure.latest_inflation == one.latest < cure.sheet[0]
    # the cure that is told starts from the deadline that the crew keeps
    assert one.planned == pytest.approx(max(one.latest, 1000.0))
    (finding,) = [f for f in governing_findings([cure]) if f.rule == "computed-latest"]
    assert "1 of 1 collars" in finding.text


def test_a_stricter_chance_makes_the_crew_wait() -> None:
    kit = with_resin(time_spread=0.3)
    strict = replace(kit, rules=replace(kit.rules, release_chance=0.98))
    air = DayAir(kelvin(14.0), kelvin(14.0), None, kelvin(6.0))
    loose, _ = both(world.kit(), air, 11.0)
    cure, one = both(strict, air, 11.0)
    assert one is not None
    if math.isfinite(one.sure):
        assert cure.release_time == max(one.sure, cure.sheet[1] if cure.sheet else 0.0)
    else:
        assert cure.release_time == loose.release_time
        assert cure_findings("T1/1", one) != ()


def series(k: Kinetics, warmths: tuple[float, ...] = (5.0, 15.0, 30.0)) -> tuple[CureSeries, ...]:
    """What a laboratory would read of a resin of that law."""
    made = []
    for T in map(kelvin, warmths):
        times = np.linspace(0.1, 1.4, 14) * float(time_to(k, 0.9, T, beyond=True))
        done = conversion(k, times, steady(T), beyond=True)
        made.append(CureSeries(f"{T:.0f}", T, tuple(times.tolist()), tuple(done.tolist()), ()))
    return tuple(made)


def test_readings_take_the_place_of_the_data_sheet_and_stand_beside_it() -> None:
    base = fit_of(world.kit().resin).kinetics
    slower = replace(base, a1=0.7 * base.a1, a2=0.7 * base.a2)
    kit = with_resin(readings=series(slower), readings_source="resin-readings.csv")
    fit = fit_of(kit.resin)
    assert fit.basis is Basis.CONVERSIONS
    assert np.abs(fit.residuals).max() < 1e-4
    air = DayAir(kelvin(14.0), kelvin(14.0), None, kelvin(10.0))
    cure, one = both(kit, air, 11.0)
    by_sheet, other = both(world.kit(), air, 11.0)
    assert one is not None
    assert other is not None
    same = with_resin(readings=series(base), readings_source="resin-readings.csv")
    _, again = both(same, air, 11.0)
    assert again is not None
    # readings of the sheet's own law give its times back; the middle of the sheet's wide spread
    # and the one set of the exact readings differ by a little
    assert again.release[1] == pytest.approx(other.release[1], rel=0.04)
    # at 0.7 of the rate all takes 1/0.7 of the time at the least: it warms itself less
    assert one.release[1] / again.release[1] > 1.0 / 0.7
    assert cure.release_by is Governs.COMPUTED
    assert cure.release_time == one.sure > by_sheet.release_time
    assert cure.sheet == (by_sheet.latest_inflation, by_sheet.release_time)
    sources = {row.symbol: row.source for row in one.trace}
    assert "resin-readings.csv" in sources["E_2"]
    (finding,) = governing_findings([cure])
    assert finding.rule == "computed-release"


def test_marks_that_the_kit_tells_are_no_choice_of_the_engineer() -> None:
    air = DayAir(kelvin(14.0), kelvin(14.0), None, kelvin(11.0))
    _, chosen = both(with_resin(gel=None, firm=None, sheet_mass=None), air, 11.0)
    _, told_ = both(with_resin(gel=0.5, firm=0.85, sheet_mass=0.05), air, 11.0)
    assert chosen is not None
    assert told_ is not None
    rows = [{r.symbol: r for r in one.trace} for one in (chosen, told_)]
    assert [r["α_g"].origin for r in rows] == [Origin.ASSUMED, Origin.TABLE]
    assert (rows[1]["α_g"].value, rows[1]["α_f"].value) == (0.5, 0.85)
    assert any("chosen" in s for s in chosen.assumed if "working time ends" in s)
    assert not any("chosen" in s for s in told_.assumed if "working time ends" in s)
    assert any("pot of 36 mm" in s for s in told_.assumed)


def test_a_liner_that_stands_less_than_the_resin_makes_is_told() -> None:
    one = found()
    assert one.peak_liner is not None
    assert one.peak_bladder is not None
    # the liner and the cold ground behind it take heat away, still air in the bladder hardly does
    assert one.peak_liner < one.peak_bladder <= one.peak
    assert liner_findings("T1/1", one, None) == ()
    assert liner_findings("T1/1", one, one.peak_liner + 0.1) == ()
    assert liner_review(one, one.peak_liner + 0.1) == ()
    assert "and it stands" in liner_review(one, one.peak_liner - 1.0)[0]
    (finding,) = liner_findings("T1/1", one, one.peak_liner - 1.0)
    assert finding.rule == "liner-too-hot"
    assert f"{one.peak_liner - 273.15:.0f} °C" in finding.text
