"""Two tablets at one manhole whose clocks differ: judged by the clock that both know."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta

from teewright.site.clock import state
from teewright.site.one_clock import on_one_clock
from teewright.site.order import happened
from teewright.site.values import Event
from teewright.site.values import EventKind as K
from unit.site.story import LIMITS, usual

ONE = "A-B/01#1"


def by_two(slow: float, *, after: int, tells: bool = True) -> tuple[Event, ...]:
    """Usual work; from one step on a second tablet logs, whose clock is slow by so much [s]."""
    told = []
    for number, event in enumerate(usual()):
        ahead = 0.0 if number < after else slow
        own = replace(event, at=event.at - timedelta(seconds=ahead))
        if number >= after:
            own = replace(own, device="the other")
        data = (*event.data, ("server_ahead", f"{ahead:.1f}")) if tells else event.data
        told.append(replace(own, data=data))
    return tuple(told)


def kinds(events: Sequence[Event]) -> list[K]:
    return [event.kind for event in happened(events)]


def test_what_two_tablets_did_in_order_is_in_order() -> None:
    for slow in (7200.0, -7200.0, 90.0):
        shown = state(ONE, by_two(slow, after=4), LIMITS)
        wrong = ("The clock of the other ran 119 min 59 s ahead.",)
        assert shown.breaches == (wrong if slow < 0.0 else ())
        assert shown.finished
        assert shown.release_from == state(ONE, usual(), LIMITS).release_from
    assert kinds(by_two(7200.0, after=4)) == kinds(usual())


def test_a_slow_clock_hides_no_late_pressure_and_no_early_release() -> None:
    work = by_two(1500.0, after=4)
    late = timedelta(seconds=1500)
    pressed = tuple(replace(e, at=e.at + late) if e.kind is K.AT_PRESSURE else e for e in work)
    assert any("after the latest" in said for said in state(ONE, pressed, LIMITS).breaches)


def test_times_stay_as_they_are_where_no_common_clock_is_known() -> None:
    assert on_one_clock(usual()) == usual()
    alone = tuple(
        replace(e, data=(*e.data, ("server_ahead", str(900.0 * n)))) for n, e in enumerate(usual())
    )
    assert on_one_clock(alone) == alone
    silent = by_two(7200.0, after=4, tells=False)
    assert on_one_clock(silent) == silent
    for odd in ("much", "nan", "1e300", ""):
        strange = tuple(
            replace(e, data=(("server_ahead", odd),)) if e.device == "the other" else e
            for e in by_two(7200.0, after=4)
        )
        assert on_one_clock(strange) == strange


def test_a_tablet_that_hears_the_server_late_had_the_same_clock_before() -> None:
    work = by_two(600.0, after=4)
    first = next(k for k, e in enumerate(work) if e.device == "the other")
    deaf = (*work[:first], replace(work[first], data=()), *work[first + 1 :])
    assert [e.at for e in on_one_clock(deaf)] == [e.at for e in on_one_clock(work)]
