import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.errors import InputError, RangeError
from teewright.fabric.fit import POISSON, RANGE, fit_strips
from teewright.fabric.law import FabricLaw, estimated_shear
from teewright.fabric.values import Direction, FabricFit, StripReading
from unit.fabric.made import LAW, STRETCHES, rules, strip, three


@given(st.floats(1e3, 5e4), st.floats(1e3, 5e4), st.floats(0.05, 0.9), st.floats(0.2, 1.5))
@settings(max_examples=30)
def test_a_law_is_found_again(across: float, along: float, share: float, shear: float) -> None:
    poisson = share * math.sqrt(along / across)
    law = FabricLaw(across, along, poisson, shear * estimated_shear(along, across, poisson))
    fit = fit_strips(three(law))
    assert fit.stiffness_along == pytest.approx(along, rel=1e-9)
    assert fit.stiffness_across == pytest.approx(across, rel=1e-9)
    held = min(poisson, 0.95 * math.sqrt(along / across))
    assert fit.poisson == pytest.approx(held, rel=1e-9)
    assert fit.shear == pytest.approx(law.shear, rel=1e-6)
    assert fit.shear_measured
    for d in fit.directions:
        assert d.largest <= 1e-9 * d.top
        assert d.low_stiffness == pytest.approx(d.high_stiffness, rel=1e-9)


def test_more_width_and_length_give_the_same_fabric() -> None:
    wide = [r for d in Direction for r in strip(d, width=0.15, gauge=0.1)]
    one, other = fit_strips(three()), fit_strips(wide)
    assert other.stiffness_along == pytest.approx(one.stiffness_along)
    assert other.shear == pytest.approx(one.shear)


def test_noise_is_told_by_the_residual() -> None:
    noise = np.random.default_rng(5)
    readings = [
        replace(r, force=max(0.0, r.force + noise.normal(0.0, 2.0)))
        for k in range(40)
        for r in strip(Direction.ALONG, f"{k}")
    ]
    fit = fit_strips([*readings, *strip(Direction.ACROSS)])
    along = fit.directions[0]
    # 2 N on a strip of 50 mm is 40 N/m, a little more once multiplied by the stretch
    assert along.rms == pytest.approx(40.0 * 1.05, rel=0.15)
    assert along.stiffness == pytest.approx(15e3, rel=0.01)


def test_three_strips_and_their_spread() -> None:
    readings = [
        r for k, f in enumerate((0.9, 1.0, 1.1)) for r in strip(Direction.ALONG, f"{k}", factor=f)
    ]
    fit = fit_strips([*readings, *strip(Direction.ACROSS)])
    assert fit.directions[0].stiffness == pytest.approx(15e3)
    assert fit.directions[0].spread == pytest.approx(0.2)
    assert "fabric-strips-differ" not in rules(fit.findings)


def test_strips_that_differ_are_doubted() -> None:
    readings = [*strip(Direction.ALONG, "a", factor=0.7), *strip(Direction.ALONG, "b")]
    fit = fit_strips([*readings, *strip(Direction.ACROSS)])
    assert "fabric-strips-differ" in rules(fit.findings)


def test_a_curve_that_stiffens_is_told_with_both_halves() -> None:
    bent = [replace(r, force=r.force * (0.5 + 20.0 * r.extension)) for r in three()]
    fit = fit_strips(bent)
    along = fit.directions[0]
    assert along.low_stiffness < along.stiffness < along.high_stiffness
    assert "fabric-not-straight" in rules(fit.findings)


def test_the_range_of_the_fit_is_kept() -> None:
    fit = fit_strips(three(), limits=(math.log(1.03), math.log(1.13)))
    along = fit.directions[0]
    assert along.used == 5
    assert (math.exp(along.least), math.exp(along.most)) == pytest.approx((1.04, 1.12))


def broken(direction: Direction, name: str) -> list[StripReading]:
    whole = strip(direction, name)
    return [*whole, *(replace(r, force=0.3 * r.force) for r in whole[-2:])]


def test_after_the_peak_nothing_counts_and_the_peak_itself_was_not_held() -> None:
    fit = fit_strips([*broken(Direction.ALONG, "a"), *strip(Direction.ACROSS)], share=1.0)
    (a,) = fit.directions[0].specimens
    assert a.broke
    assert a.last == pytest.approx(STRETCHES[-2])
    assert fit.stretch_along == pytest.approx(STRETCHES[-2])
    assert fit.stretch_across == pytest.approx(STRETCHES[-1])
    assert fit.stiffness_along == pytest.approx(15e3)
    assert "fabric-after-peak" in rules(fit.findings)


def test_the_weakest_strip_and_the_share_give_the_largest_stretch() -> None:
    readings = [
        *strip(Direction.ALONG, "a"),
        *strip(Direction.ALONG, "b", stretches=STRETCHES[:8]),
        *strip(Direction.ACROSS),
    ]
    fit = fit_strips(readings, share=0.5)
    assert fit.stretch_along == pytest.approx(math.sqrt(STRETCHES[7]))
    assert fit.stretch_across == pytest.approx(math.sqrt(STRETCHES[-1]))


def test_without_widths_poisson_is_assumed() -> None:
    fit = fit_strips(three(widths=False))
    assert (fit.poisson, fit.poisson_readings) == (POISSON, 0)
    assert math.isnan(fit.poisson_rms)
    assert "fabric-poisson" in rules(fit.findings)


def test_widths_across_alone_give_the_same_ratio() -> None:
    readings = [*strip(Direction.ALONG, widths=False), *strip(Direction.ACROSS)]
    assert fit_strips(readings).poisson == pytest.approx(LAW.poisson)


def test_widths_that_no_symmetric_law_has_are_doubted() -> None:
    across = [
        replace(r, stretched_width=r.width * (1.0 + r.extension / r.gauge) ** -0.5)
        for r in strip(Direction.ACROSS)
    ]
    fit = fit_strips([*strip(Direction.ALONG), *across])
    assert "fabric-poisson-differs" in rules(fit.findings)


def test_a_ratio_beyond_the_bound_is_held() -> None:
    along = [
        replace(r, stretched_width=r.width * (1.0 + r.extension / r.gauge) ** -2.0)
        for r in strip(Direction.ALONG)
    ]
    fit = fit_strips([*along, *strip(Direction.ACROSS, widths=False)])
    bound = math.sqrt(15.0 / 9.0)
    assert 0.9 * bound < fit.poisson < bound
    assert "fabric-poisson-held" in rules(fit.findings)


def test_without_a_bias_strip_shear_is_estimated() -> None:
    fit = fit_strips([*strip(Direction.ALONG), *strip(Direction.ACROSS)])
    assert not fit.shear_measured
    assert fit.shear == pytest.approx(estimated_shear(15e3, 9e3, LAW.poisson))
    assert "fabric-shear" in rules(fit.findings)


def test_a_bias_strip_that_is_too_stiff_is_doubted() -> None:
    fit = fit_strips([*three(), *strip(Direction.BIAS, "stiff", factor=9.0)])
    assert not fit.shear_measured
    assert any("how they were cut" in f.text for f in fit.findings)


@pytest.mark.parametrize("present", [Direction.ALONG, Direction.ACROSS])
def test_one_direction_stands_for_the_other(present: Direction) -> None:
    fit = fit_strips(strip(present))
    assert fit.stiffness_along == fit.stiffness_across
    assert "fabric-direction-missing" in rules(fit.findings)


def test_odd_readings_are_doubted() -> None:
    slack = [replace(r, extension=r.extension + 0.01) for r in strip(Direction.ALONG)]
    slipped = [
        replace(r, force=0.4 * r.force if 5 <= k <= 6 else r.force)
        for k, r in enumerate(strip(Direction.ACROSS))
    ]
    short = strip(Direction.BIAS, stretches=(1.0, 1.03))
    found = rules(fit_strips([*slack, *slipped, *short]).findings)
    assert {"fabric-offset", "fabric-force-falls", "fabric-few-readings"} <= found
    assert {"fabric-not-reached", "fabric-one-strip"} <= found


def test_a_stiffness_of_another_unit_is_doubted() -> None:
    kilo = [replace(r, force=r.force / 1000.0) for r in three()]
    assert "fabric-units" in rules(fit_strips(kilo).findings)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"width": 0.06}, "width of strip 1 along the grain"),
        ({"gauge": 0.3}, "gauge"),
        ({"force": -1.0}, "force"),
        ({"force": math.nan}, "force"),
        ({"extension": -0.2}, "extension"),
        ({"width": 0.0}, "width"),
    ],
)
def test_a_strip_that_contradicts_itself_is_refused(change: dict[str, float], words: str) -> None:
    readings = strip(Direction.ALONG)
    readings[3] = replace(readings[3], **change)  # type: ignore[arg-type]
    with pytest.raises(InputError, match=words):
        fit_strips(readings)


def test_nothing_to_fit_is_refused() -> None:
    with pytest.raises(InputError, match="along or across"):
        fit_strips(strip(Direction.BIAS))
    with pytest.raises(InputError, match="along or across"):
        fit_strips([])
    with pytest.raises(InputError, match="10 % of extension"):
        fit_strips(strip(Direction.ALONG, stretches=(1.2, 1.3)))
    early = strip(Direction.ALONG)
    early[0] = replace(early[0], force=1e4)
    with pytest.raises(InputError, match="no reading with tension"):
        fit_strips(early)


def test_a_strip_that_gave_way_at_once_is_named() -> None:
    early = strip(Direction.ALONG, "bad")
    early[1] = replace(early[1], force=1e4)
    with pytest.raises(InputError, match="strip bad along the grain gave way"):
        fit_strips([*early, *strip(Direction.ALONG, "good")])


@pytest.mark.parametrize("limits", [(0.0, 2.0), (-0.1, 0.1), (0.0, math.nan)])
def test_a_range_that_no_textile_has_is_refused(limits: tuple[float, float]) -> None:
    with pytest.raises(RangeError, match="range of the fit"):
        fit_strips(three(), limits=limits)


def test_a_range_that_ends_before_it_begins_is_refused() -> None:
    with pytest.raises(InputError, match="ends before"):
        fit_strips(three(), limits=(0.1, 0.1))
    with pytest.raises(RangeError, match="share"):
        fit_strips(three(), share=0.0)


@given(st.permutations(range(3)))
@settings(max_examples=6)
def test_the_order_of_strips_changes_nothing(order: list[int]) -> None:
    strips = [strip(d) for d in Direction]
    shuffled = fit_strips([r for k in order for r in strips[k]])
    whole: FabricFit = fit_strips(three())
    assert shuffled == replace(whole, poisson_rms=shuffled.poisson_rms)
    assert whole.range == RANGE
