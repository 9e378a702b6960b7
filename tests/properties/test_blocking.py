"""Properties of the level behind a blocked main, over streets, bores, days and showers."""

from dataclasses import replace

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from teewright.hydraulics.blocking import holds
from teewright.hydraulics.holds import Holds, Setting, Watch
from teewright.hydraulics.inflow import Inflow, Since, hourly_series, triangular_rain
from teewright.hydraulics.losses import Bores
from teewright.hydraulics.storage import PACKER, PoolNode, PoolPipe, upstream_of

STARTS = np.array([0.0, 3.0, 7.5, 12.0, 19.0]) * 3600.0
HOLD = 2400.0


@st.composite
def cases(draw: st.DrawFn) -> Setting:
    main = draw(st.sampled_from([0.15, 0.2, 0.3, 0.4]))
    slopes = draw(st.tuples(st.floats(1e-3, 0.05), st.floats(1e-3, 0.05), st.floats(1e-3, 0.05)))
    lengths = draw(st.tuples(st.floats(1.0, 60.0), st.floats(5.0, 60.0), st.floats(5.0, 60.0)))
    share = draw(st.floats(0.0, 1.0))
    first = lengths[0] * slopes[0]
    ups = [
        first + main * 0.1 + length * slope for length, slope in zip(lengths, slopes, strict=True)
    ]
    pipes = (
        PoolPipe("A", PACKER, main, lengths[0], first, 0.0),
        PoolPipe("B", "A", main, lengths[1], ups[1], ups[1] - lengths[1] * slopes[1], share=share),
        PoolPipe(
            "C", "A", main, lengths[2], ups[2], ups[2] - lengths[2] * slopes[2], share=1 - share
        ),
    )
    area = draw(st.floats(0.1, 2.0))
    rim = draw(st.floats(1.0, 4.0)) + max(ups)
    nodes = (
        PoolNode("A", first + main, rim, area),
        PoolNode("B", ups[1] + main, rim + 0.1, area),
        PoolNode("C", ups[2] + main, rim + 0.2, area),
    )
    bore = draw(st.floats(0.15, 0.35)) * main
    bores = Bores(draw(st.integers(0, 3)), max(bore, 0.02), draw(st.floats(0.5, 2.0)), main / 2.0)
    pattern = tuple(draw(st.lists(st.floats(0.0, 2.5), min_size=24, max_size=24)))
    rain = triangular_rain(
        draw(st.floats(0.0, 0.02)),
        draw(st.floats(60.0, 1800.0)),
        draw(st.floats(60.0, 3600.0)),
        since=draw(st.sampled_from(Since)),
    )
    inflow = Inflow(hourly_series(draw(st.floats(1e-5, 0.01)), pattern), 1e-4, rain)
    return Setting(upstream_of(pipes, nodes), bores, inflow, ())


@settings(max_examples=60, deadline=None)
@given(case=cases(), pump=st.floats(0.0, 0.01))
def test_what_came_in_went_out_or_is_stored(case: Setting, pump: float) -> None:
    found = holds(case, HOLD, starts=STARTS, pump=pump)
    sums = found.balance
    assert (sums.closure <= 1e-9).all()
    for part in (sums.bypass, sums.pumped, sums.spilled, sums.stored):
        assert (part >= -1e-12).all()
    assert (found.levels >= found.levels[:, :1]).all()
    assert (found.levels <= case.upstream.lowest_rim).all()


@settings(max_examples=60, deadline=None)
@given(case=cases())
def test_more_bores_or_pumps_never_raise_the_level(case: Setting) -> None:
    level = holds(case, HOLD, starts=STARTS).levels
    more = replace(case, bores=replace(case.bores, count=case.bores.count + 1))
    # 1e-9 m: rounding, the tables of all starts are searched as one
    assert (holds(more, HOLD, starts=STARTS).levels <= level + 1e-9).all()
    assert (holds(case, HOLD, starts=STARTS, pump=1e-3).levels <= level + 1e-9).all()


@settings(max_examples=60, deadline=None)
@given(case=cases(), extra=st.floats(1e-5, 5e-3))
def test_more_inflow_never_lowers_the_level(case: Setting, extra: float) -> None:
    less = holds(case, HOLD, starts=STARTS)
    wetter = replace(case, inflow=replace(case.inflow, infiltration=1e-4 + extra))
    assume((less.levels[:, 0] < case.upstream.lowest_rim - 0.1).all())
    more = holds(wetter, HOLD, starts=STARTS)
    # 0.5 mm: the deeper flow before the packer is set has a table of other levels
    assert (more.levels >= less.levels - 5e-4).all()
    assert (more.greatest >= less.greatest - 5e-4).all()


@settings(max_examples=60, deadline=None)
@given(case=cases(), longer=st.integers(1, 200))
def test_a_longer_hold_never_lowers_the_peak(case: Setting, longer: int) -> None:
    short = holds(case, HOLD, starts=STARTS)
    long = holds(case, HOLD + 10.0 * longer, starts=STARTS)
    assert (long.greatest >= short.greatest - 1e-9).all()
    assert (long.freeboards <= short.freeboards + 1e-9).all()
    assert (long.allowed <= short.allowed).all()


@settings(max_examples=60, deadline=None)
@given(case=cases(), more=st.floats(0.0, 0.3), place=st.floats(0.0, 1.0), high=st.floats(0.0, 0.5))
def test_a_wider_freeboard_allows_no_more_and_is_reached_no_later(
    case: Setting, more: float, place: float, high: float
) -> None:
    pipe = case.upstream.pipes[0]
    level = pipe.invert_downstream + pipe.slope * pipe.length + pipe.diameter + high
    watched = replace(case, watches=(Watch("drain", level, "A", place * pipe.length),))
    less = holds(replace(watched, freeboard=0.05), HOLD, starts=STARTS)
    wide = holds(replace(watched, freeboard=0.05 + more), HOLD, starts=STARTS)
    assert (wide.allowed <= less.allowed).all()
    # what is kept moves no water
    assert (wide.levels == less.levels).all()
    assert (wide.freeboards == less.freeboards).all()
    for one, other in zip(less.reached.ravel(), wide.reached.ravel(), strict=True):
        assert np.isnan(one) or other <= one


@settings(max_examples=60, deadline=None)
@given(case=cases(), higher=st.floats(0.0, 0.5))
def test_a_higher_place_never_has_less_water_below_it(case: Setting, higher: float) -> None:
    pipe = case.upstream.pipes[0]
    crown = pipe.invert_upstream + pipe.diameter

    def held(level: float) -> Holds:
        return holds(
            replace(case, watches=(Watch("drain", level, "A", pipe.length),)), HOLD, starts=STARTS
        )

    low, high = held(crown), held(crown + higher)
    # rounding of a difference of two levels
    assert np.abs(high.freeboards[:, 0] - low.freeboards[:, 0] - higher).max() <= 1e-9
    assert (high.allowed >= low.allowed).all()
