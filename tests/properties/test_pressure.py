"""Properties of the window of inflation pressure over its whole range."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.kit.values import Packer
from teewright.pressure.case import WindowCase
from teewright.pressure.ends import BRANCH_CRACKED, carried
from teewright.pressure.host import CrackedBranch, Ground
from teewright.pressure.keeping import STEP, Before, keep_pressure
from teewright.pressure.limits import PipeWall, rating_share
from teewright.pressure.stand_off import blast_distance, stand_off
from teewright.pressure.window import pressure_on_fabric, window_after, window_of
from teewright.units import BAR, KPA, PSI, SHOWN, celsius, hydrostatic, kelvin
from unit.resin.samples import FABRIC, PACKER

HEADS = st.floats(-2.0, 8.0)
PRESSURES = st.one_of(st.none(), st.floats(2e4, 4e5))
ALLOWANCES = st.one_of(st.just(0.0), st.floats(0.0, 8e4))


def packer(rating: float) -> Packer:
    return replace(PACKER, rating=rating)


GROUNDS = st.builds(
    Ground,
    head=HEADS,
    host_diameter=st.floats(0.15, 0.6),
    cover=st.floats(0.0, 6.0),
    host_cracked=st.sampled_from([True, False, None]),
    soil_weight=st.floats(15e3, 19e3),
    soil_weight_saturated=st.floats(19e3, 22e3),
)
PAIRS = (
    st.lists(st.floats(0.0, 1.0), min_size=2, max_size=5)
    .map(lambda shares: sorted(shares, reverse=True))
    .map(lambda shares: tuple((280.0 + 10.0 * i, s) for i, s in enumerate(shares)))
)
CASES = st.builds(
    WindowCase,
    main_diameter=st.floats(0.15, 0.5),
    branch_diameter=st.floats(0.08, 0.2),
    fabric=st.just(FABRIC),
    stretch=st.floats(1.0, 1.2),
    packer=st.floats(4e4, 4e5).map(packer),
    ground=GROUNDS,
    liner_pressure=PRESSURES,
    margin=st.floats(0.0, 5e4),
    landed=st.one_of(st.none(), st.floats(0.0, 8e4)),
    squeeze=ALLOWANCES,
    friction=ALLOWANCES,
    packer_temperature=st.floats(280.0, 290.0),
    derating=st.one_of(st.just(()), PAIRS),
    branch_pressure=PRESSURES,
)


@settings(max_examples=300, deadline=None)
@given(CASES)
def test_the_window_is_shut_exactly_where_its_ends_cross(case: WindowCase) -> None:
    found = window_of(case)
    least = min(value for _, value in found.high_limits)
    most = sum(value for _, value in found.low_parts)
    assert found.high == least
    assert found.low == pytest.approx(most)
    assert found.is_open == (found.low <= least) == (found.set is not None)
    if found.set is not None:
        assert found.low <= found.set <= found.high
        assert pressure_on_fabric(found, case.margin) >= case.margin + case.squeeze - 1e-6


@settings(max_examples=200, deadline=None)
@given(CASES, HEADS)
def test_more_head_never_lowers_the_lower_end(case: WindowCase, head: float) -> None:
    less, more = sorted((case.ground.head, head))
    ends = [window_of(replace(case, ground=replace(case.ground, head=h))).low for h in (less, more)]
    assert ends[0] <= ends[1]


@settings(max_examples=200, deadline=None)
@given(PAIRS, st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_hotter_never_raises_the_limit_of_the_packer(
    pairs: tuple[tuple[float, float], ...], one: float, other: float
) -> None:
    first, last = pairs[0][0], pairs[-1][0]
    cold, hot = sorted(min(first + at * (last - first), last) for at in (one, other))
    assert 0.0 <= rating_share(pairs, hot) <= rating_share(pairs, cold) <= 1.0


@settings(max_examples=150, deadline=None)
@given(CASES, PAIRS, st.floats(280.0, 290.0), st.floats(280.0, 290.0))
def test_hotter_never_raises_the_upper_end(
    case: WindowCase, pairs: tuple[tuple[float, float], ...], one: float, other: float
) -> None:
    cold, hot = sorted((one, other))
    ends = [
        window_of(replace(case, derating=pairs, packer_temperature=t)).high for t in (cold, hot)
    ]
    assert ends[1] <= ends[0] <= window_of(replace(case, derating=())).high


@settings(max_examples=150, deadline=None)
@given(CASES, st.floats(2e4, 4e5), st.floats(0.005, 0.1), st.floats(1e5, 2e7))
def test_another_limit_never_raises_the_upper_end(
    case: WindowCase, branch: float, wall: float, strength: float
) -> None:
    pipe = PipeWall(case.branch_diameter, wall, strength, 2.0, "invented")
    free = replace(case, branch_pressure=None)
    assert window_of(replace(free, branch_pressure=branch)).high <= window_of(free).high
    assert window_of(replace(free, branch_wall=pipe)).high <= window_of(free).high
    for crown in (0.0, wall * 20.0, 9.0):
        held = replace(free, branch_cracked=CrackedBranch(crown, "invented"))
        assert window_of(held).high <= window_of(free).high


@settings(max_examples=150, deadline=None)
@given(CASES, st.floats(0.0, 3.0), st.floats(0.0, 1.0))
def test_a_branch_that_reaches_higher_is_held_by_less(
    case: WindowCase, crown: float, more: float
) -> None:
    low, high = (
        dict(window_of(replace(case, branch_cracked=CrackedBranch(z, "invented"))).high_limits)
        for z in (crown, crown + more)
    )
    assert high[BRANCH_CRACKED] <= low[BRANCH_CRACKED] + 1e-6


@settings(max_examples=150, deadline=None)
@given(CASES, st.floats(0.0, 5.0))
def test_falling_water_never_raises_what_holds_a_cracked_host(
    case: WindowCase, fall: float
) -> None:
    cracked = replace(case, ground=replace(case.ground, host_cracked=True))
    lower = replace(cracked, head_least=cracked.ground.head - fall)
    assert window_of(lower).high <= window_of(cracked).high + 1e-6


@settings(max_examples=100, deadline=None)
@given(st.floats(0.0, 3e5), st.floats(0.0, 3e5), st.floats(0.0, 0.5))
def test_more_pressure_never_calls_for_less_distance(one: float, other: float, gas: float) -> None:
    less, more = (stand_off(p, gas, 0.2) for p in sorted((one, other)))
    assert less.blast <= more.blast
    for found in (less, more):
        assert found.energy == max(found.isothermal, found.adiabatic)
        assert found.blast == blast_distance(found.energy)


@settings(max_examples=200, deadline=None)
@given(CASES, st.floats(0.1, 4.0), st.floats(-5.0, 40.0), st.floats(0.1, 10.0))
def test_units_survive_a_round_trip(
    case: WindowCase, bar: float, warmth: float, head: float
) -> None:
    """In the trade's units and back: a value, and a whole window."""
    assert SHOWN["bar"][0](bar * BAR) == pytest.approx(bar, rel=1e-14)
    assert SHOWN["kPa"][0](bar * BAR) == pytest.approx(100.0 * bar, rel=1e-14)
    assert celsius(kelvin(warmth)) == pytest.approx(warmth, abs=1e-9)
    assert hydrostatic(head) / KPA == pytest.approx(9.81 * head, rel=1e-14)
    found = window_of(case)
    shown = [SHOWN["bar"][0](value) for _, value in found.low_parts]
    assert sum(shown) * BAR == pytest.approx(found.low, rel=1e-12, abs=1e-9)
    in_psi = replace(case, margin=case.margin / PSI * PSI, squeeze=case.squeeze / PSI * PSI)
    assert window_of(in_psi).low == pytest.approx(found.low, rel=1e-12, abs=1e-9)


@settings(max_examples=300, deadline=None)
@given(CASES, st.floats(0.0, 1.0))
def test_what_the_run_had_on_the_fabric_keeps_the_pressure_or_raises_it(
    case: WindowCase, share: float
) -> None:
    """A run lands at no more than the pressure that was left on the fabric for it."""
    first = replace(case, landed=None)
    window = window_of(first)
    if window.set is None:
        return
    before = Before(window.set, window.low, first.friction)
    on_fabric = pressure_on_fabric(window, first.margin)
    landed = min(share * on_fabric, 1e6)
    after = window_after(first, landed, before=before)
    assert after.high == window.high
    spare = max(carried(first)) + first.friction - first.margin - first.squeeze
    if landed <= on_fabric + spare - 1e-6:
        assert after.set == window.set
    elif after.set is None:
        assert after.low > after.high
    else:
        assert window.set - 1e-6 <= after.set <= max(after.low + STEP, window.set)
        assert after.low <= after.set <= after.high


@settings(max_examples=200, deadline=None)
@given(st.floats(0.0, 3e5), st.floats(0.0, 3e5), st.floats(0.0, 3e5))
def test_a_kept_pressure_is_none_exactly_where_the_ends_cross(
    low: float, high: float, pressure: float
) -> None:
    kept = keep_pressure(low, high, pressure)
    assert (kept is None) == (low > high)
    if kept is not None:
        assert low <= kept <= high
        assert kept == pressure or not low <= pressure <= high
        assert abs(kept - pressure) <= abs(min(max(pressure, low), high) - pressure) + STEP
