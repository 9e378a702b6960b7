"""Random small jobs: planned, then held against every rule by the checker."""

from datetime import date, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.kit.values import Crew, ShiftRules
from teewright.programme.check import check
from teewright.programme.optimise import plan
from teewright.programme.values import HoldWindow, Installation

MINUTE = 60.0
HOUR = 3600.0
FIRST = date(2024, 5, 3)
REASONS = {"packer", "working-time", "shift-length", "access", "flow", "last-day", "max-collars"}

ANY_HOUR = tuple(range(24))

whole_minutes = st.integers(1, 20).map(lambda n: n * MINUTE)
durations = st.one_of(whole_minutes, st.floats(1.0, 1200.0))
# what bars nothing stands often, so that most examples have something to plan
hours = st.sampled_from(
    [*[ANY_HOUR] * 12, (22, 23, 0, 1, 2, 3, 4), (6, 7, 8, 12, 13, 14, 15), (3,), ()]
)
# as a forecast of the level gives them: None for none, a quiet night, an edge by steps, a gap
holds = st.sampled_from(
    [
        *[None] * 6,
        (HoldWindow(0.0, 24 * HOUR, 5 * HOUR),),
        (HoldWindow(20 * HOUR, 26 * HOUR, 4 * HOUR), HoldWindow(2 * HOUR, 4 * HOUR, 90 * MINUTE)),
        (HoldWindow(7 * HOUR, 9 * HOUR, 70 * MINUTE), HoldWindow(12 * HOUR, 15.5 * HOUR, HOUR)),
        (),
    ]
)
windows = st.sampled_from(
    [
        *[()] * 4,
        ((7 * HOUR, 17 * HOUR),),
        ((20 * HOUR, 30 * HOUR),),
        ((0.0, 5 * HOUR), (21.5 * HOUR, 24 * HOUR)),
        ((9 * HOUR, 11 * HOUR), (13 * HOUR, 18 * HOUR)),
    ]
)


@st.composite
def rules(draw: st.DrawFn) -> ShiftRules:
    return ShiftRules(
        start=draw(st.sampled_from([6.5, 7.0, 20.0, 23.75])) * HOUR,
        length=draw(st.sampled_from([5.0, 8.0, 10.0])) * HOUR,
        set_up=draw(durations),
        clear=draw(durations),
        move=draw(durations),
        mix=draw(whole_minutes) / 2,
        wet_out=draw(durations) / 2,
        lower=draw(durations) / 3,
        travel_speed=draw(st.sampled_from([0.07, 0.1, 0.3])),
        position=draw(durations) / 3,
        inflate=draw(durations) / 3,
        remove=draw(durations),
        test=draw(durations),
        spare_share=0.2,
        max_collars=draw(st.integers(1, 5)),
    )


@st.composite
def wishes(draw: st.DrawFn) -> tuple[Installation, ...]:
    """Up to seven connections in up to three runs; a run may be entered from either end."""
    count = draw(st.sampled_from([0, 1, 3, 4, 5, 6, 7]))
    access = {m: draw(windows) for m in "MN"}
    found = []
    for k in range(count):
        manhole = draw(st.sampled_from("MN"))
        found.append(
            Installation(
                connection_id=f"C{k}",
                run_id=draw(st.sampled_from("RST")),
                manhole=manhole,
                distance=draw(st.floats(0.0, 60.0)),
                packers=draw(st.sampled_from([*[("P", "Q")] * 6, ("P",), ("Q",), ("X",)])),
                latest_inflation=draw(st.sampled_from([30, 60, 90])) * MINUTE,
                release=draw(st.sampled_from([35, 90, 240])) * MINUTE,
                allowed_hours=draw(hours),
                access=access[manhole],
                not_before=FIRST + timedelta(days=draw(st.sampled_from([0, 0, 0, 2, 4]))),
                holds=draw(holds),
            )
        )
    return tuple(found)


crews = st.sampled_from(
    [
        (Crew("East", 2, ("P",)),),
        (Crew("East", 3, ("P", "Q")), Crew("West", 3, ("P", "Q"))),
        (Crew("East", 3, ("P", "P")), Crew("West", 3, ("Q",))),
    ]
)


@settings(max_examples=40, deadline=None)
@given(
    rules=rules(),
    asked=wishes(),
    crews=crews,
    weekdays=st.sampled_from([(1, 2, 3, 4, 5), (7,), (1, 2, 3, 4, 5, 6, 7)]),
    last=st.sampled_from([None, 3, 10]),
)
def test_every_programme_keeps_every_rule(
    rules: ShiftRules,
    asked: tuple[Installation, ...],
    crews: tuple[Crew, ...],
    weekdays: tuple[int, ...],
    last: int | None,
) -> None:
    last_day = None if last is None else FIRST + timedelta(days=last)
    found = plan(
        asked,
        crews=crews,
        shifts=rules,
        first_day=FIRST,
        days=weekdays,
        last_day=last_day,
        seconds=0.6,
    )
    assert (
        check(
            found,
            asked,
            crews=crews,
            shifts=rules,
            days=weekdays,
            first_day=FIRST,
            last_day=last_day,
        )
        == ()
    )
    for refused in found.unplanned:
        assert refused.rule in REASONS
        assert refused.text.endswith(".")
