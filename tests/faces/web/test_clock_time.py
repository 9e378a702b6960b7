"""Honest time: with clocks that are set, stopped and lost."""

from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from faces.web.conftest import OpenPage

MIN = 60_000
HELP = """
const { HonestClock } = await import("/static/clock/time.mjs");
const { countdown, crossed, heldTo } = await import("/static/clock/countdown.mjs");
let wall = Date.UTC(2027, 4, 3, 18, 0), mono = 1000;
const clocks = { wall: () => wall, mono: () => mono };
const run = (ms) => { wall += ms; mono += ms; };
const live = { hidden: false, live: true };
const asleep = { hidden: true, live: true };
const MIN = 60000;
const start = wall;
/** The page dies; `passed` go by; the clock on the wall is set by `set`; it lives again. */
const reborn = (clock, passed, set = 0) => {
  const kept = JSON.parse(JSON.stringify(clock.ledger()));
  wall += passed + set; mono = 50;
  return new HonestClock(clocks, kept);
};
const span = (clock, made) => {
  const { least, most, unknown } = clock.since(made.stamp, made.at);
  return [least / MIN, most / MIN, unknown];
};
"""


@pytest.fixture
def page(empty_server: str, open_page: OpenPage) -> Page:
    return open_page(empty_server, "/")


def told(page: Page, script: str) -> Any:
    return page.evaluate(f"async () => {{ {HELP} {script} }}")


@pytest.mark.parametrize("change", [60, -60])
def test_a_clock_that_is_set_while_the_page_lives_moves_nothing(page: Page, change: int) -> None:
    found = told(
        page,
        f"""const clock = new HonestClock(clocks); const made = clock.stamp();
        run(5 * MIN); const before = clock.tick(live);
        wall += {change} * MIN; run(1000); const at = clock.tick(live);
        run(4 * MIN); const after = clock.tick(live);
        return [before, at, after, span(clock, made), clock.inDoubt(),
                clock.stamp().at - start];""",
    )
    before, at, after, since, doubt, stamped = found
    assert (before, after, doubt) == (None, None, False)
    assert at["kind"] == "moved"
    assert at["seconds"] == pytest.approx(change * 60)
    exact = 9 + 1 / 60
    assert since == [pytest.approx(exact), pytest.approx(exact), False]
    assert stamped == pytest.approx(exact * MIN)  # later entries do not jump either


def test_time_of_a_dead_page_is_counted_against_the_crew_both_ways(page: Page) -> None:
    found = told(
        page,
        """let clock = new HonestClock(clocks); const made = clock.stamp();
        run(10 * MIN); clock.tick(live);
        clock = reborn(clock, 20 * MIN);
        run(2 * MIN); clock.tick(live);
        const after = clock.stamp(); run(1 * MIN);
        return [span(clock, made), clock.inDoubt(), span(clock, after)];""",
    )
    since, doubt, later = found
    assert since == [pytest.approx(13), pytest.approx(33), False]
    assert doubt
    assert later == [pytest.approx(1), pytest.approx(1), False]  # exact: no gap in between


def test_a_clock_set_forward_while_the_page_is_dead_cannot_bring_the_release_nearer(
    page: Page,
) -> None:
    since = told(
        page,
        """let clock = new HonestClock(clocks); const made = clock.stamp(); run(10 * MIN);
        clock = reborn(clock, 1 * MIN, 60 * MIN); return span(clock, made);""",
    )
    assert since == [pytest.approx(10), pytest.approx(71), False]


def test_a_clock_set_back_while_the_page_is_dead_is_told_as_not_known(page: Page) -> None:
    found = told(
        page,
        """let clock = new HonestClock(clocks); const made = clock.stamp(); run(10 * MIN);
        clock = reborn(clock, 5 * MIN, -60 * MIN);
        const doubt = [span(clock, made), clock.inDoubt(), clock.confirm(null)];
        const told = clock.confirm(start + 15 * MIN);
        return [...doubt, told, span(clock, made), clock.inDoubt()];""",
    )
    since, doubt, same, told_time, after, still = found
    assert since == [pytest.approx(10), pytest.approx(10), True]
    assert (doubt, same, told_time, still) == (True, False, True, True)
    assert after[0] == pytest.approx(15)
    assert after[1] == pytest.approx(16, abs=0.01)  # a watch without seconds
    assert after[2] is False


def test_the_server_settles_a_doubt(page: Page) -> None:
    found = told(
        page,
        """let clock = new HonestClock(clocks); const made = clock.stamp();
        clock.heard(wall + 7 * MIN, 200); run(10 * MIN);
        clock = reborn(clock, 20 * MIN, 33 * MIN);
        const doubt = span(clock, made); const during = clock.stamp();
        const heard = clock.heard(start + 37 * MIN, 0); run(1 * MIN);
        return [doubt, heard.kind, span(clock, made), clock.inDoubt(), span(clock, during),
                clock.tick(live)];""",
    )
    doubt, kind, since, still, during, tick = found
    assert doubt == [pytest.approx(10), pytest.approx(63), False]
    assert (kind, still, tick) == ("settled", False, None)
    assert since == [pytest.approx(31, abs=0.01), pytest.approx(31, abs=0.01), False]
    assert during[0] == pytest.approx(1)  # what was logged in doubt is not moved by the gap


def test_another_watch_settles_a_doubt_but_cannot_turn_back(page: Page) -> None:
    found = told(
        page,
        """let clock = new HonestClock(clocks); const made = clock.stamp(); run(10 * MIN);
        clock = reborn(clock, 20 * MIN);
        const early = clock.confirm(start + 8 * MIN); const doubt = clock.inDoubt();
        const same = clock.confirm(null);
        return [early, doubt, same, span(clock, made), clock.inDoubt()];""",
    )
    assert found[:3] == [False, True, True]
    assert found[3] == [pytest.approx(30), pytest.approx(30), False]
    assert found[4] is False


def test_a_tablet_that_slept_is_told_from_one_that_was_set(page: Page) -> None:
    found = told(
        page,
        """const clock = new HonestClock(clocks); const made = clock.stamp(); run(5 * MIN);
        clock.tick(live); wall += 12 * MIN; run(1000); const slept = clock.tick(asleep);
        const doubt = span(clock, made);
        const again = new HonestClock(clocks); const mark = again.stamp();
        again.heard(wall, 0); wall += 40 * MIN; run(1000); const moved = again.tick(live);
        const heard = again.heard(wall, 0);
        return [slept.kind, doubt, moved.kind, heard.kind, span(again, mark)];""",
    )
    slept, doubt, moved, heard, since = found
    assert (slept, moved, heard) == ("slept", "moved", "slept")
    assert doubt == [pytest.approx(5 + 1 / 60), pytest.approx(17 + 1 / 60), False]
    assert since[0] == pytest.approx(40, abs=0.1)  # wall and server agree: it had slept


def test_a_server_whose_clock_is_set_moves_nothing(page: Page) -> None:
    found = told(
        page,
        """const clock = new HonestClock(clocks); const made = clock.stamp();
        clock.heard(wall, 0); run(5 * MIN); clock.tick(live);
        const on = clock.heard(wall + 60 * MIN, 0); const on_since = span(clock, made);
        const back = clock.heard(wall - 60 * MIN, 0);
        const slow = clock.heard(wall + 9 * 60 * MIN, 20000);
        return [on.kind, on_since, back.kind, slow, span(clock, made)];""",
    )
    assert found[0] == found[2] == "server"
    assert found[3] is None
    assert found[1] == found[4] == [pytest.approx(5), pytest.approx(5), False]


def test_with_nothing_running_the_clock_on_the_wall_is_taken_as_it_stands(page: Page) -> None:
    found = told(
        page,
        """let clock = new HonestClock(clocks); run(10 * MIN);
        clock = reborn(clock, 600 * MIN); const doubt = clock.inDoubt();
        clock.tick({ hidden: false, live: false });
        const made = clock.stamp(); run(3 * MIN);
        return [doubt, clock.inDoubt(), made.at - wall, span(clock, made)];""",
    )
    assert found == [True, False, -3 * MIN, [pytest.approx(3), pytest.approx(3), False]]


def test_many_short_lives_lose_nothing_that_is_certain(page: Page) -> None:
    found = told(
        page,
        """let clock = new HonestClock(clocks); const made = clock.stamp();
        for (let n = 0; n < 20; n += 1) { run(MIN); clock.tick(live); clock = reborn(clock, 500); }
        return span(clock, made);""",
    )
    assert found[0] == pytest.approx(20)
    assert found[1] == pytest.approx(20 + 20 * 0.5 / 60)


MIXED = """
const event = (id, at, more = {}) => ({ id, installation: "A#1", kind: "mixed", at, recorded: null,
  device: "t1", sequence: 1, person: "crew", data: [], ...more });
const limits = { latest_inflation: 1200, release: 4800, pressure_low: 6e4, pressure_high: 9e4 };
"""


def test_the_times_of_a_batch(page: Page) -> None:
    found = told(
        page,
        MIXED
        + """let clock = new HonestClock(clocks); const made = clock.stamp();
        const log = [event("m", new Date(made.at).toISOString())];
        const stamps = new Map([["m", made.stamp]]);
        run(5 * MIN); clock.tick(live); wall -= 30 * MIN; run(1000); clock.tick(live);
        const first = countdown(clock, log, "A#1", limits, stamps);
        clock = reborn(clock, 8 * MIN, 30 * MIN);
        const second = countdown(clock, log, "A#1", limits, stamps);
        return [first, second].map((t) => [t.since, t.left, t.wait].map((ms) => ms / MIN));""",
    )
    live = 5 + 1 / 60
    assert found[0] == pytest.approx([live, 20 - live, 80 - live])
    # the clock on the wall says 38 min; only 5 are certain
    assert found[1] == pytest.approx([live + 38, 20 - live - 38, 80 - live])


def test_a_mixing_of_another_tablet_is_put_on_this_ones_scale(page: Page) -> None:
    found = told(
        page,
        MIXED
        + """const clock = new HonestClock(clocks); clock.heard(wall + 10 * MIN, 0); run(2 * MIN);
        const other = event("m", new Date(start - 3 * MIN).toISOString(),
          { device: "t2", data: [["server_ahead", "900"]] });
        const known = countdown(clock, [other], "A#1", limits, new Map());
        const plain = countdown(clock, [{ ...other, data: [] }], "A#1", limits, new Map());
        return [known.since / MIN, plain.since / MIN];""",
    )
    # the other runs 15 min behind the server, this one 10: its 3 min before were 2 min after
    assert found == pytest.approx([0, 5])


def test_a_corrected_mixing_time_moves_the_times(page: Page) -> None:
    found = told(
        page,
        MIXED
        + """const clock = new HonestClock(clocks); const made = clock.stamp();
        const log = [event("m", new Date(made.at).toISOString()), { ...event("c",
          new Date(made.at + MIN).toISOString()), kind: "corrected", data: [["event", "m"],
          ["at", new Date(made.at - 4 * MIN).toISOString()]] }];
        run(5 * MIN);
        const times = countdown(clock, log, "A#1", limits, new Map([["m", made.stamp]]));
        return [times.since / MIN, times.left / MIN, (times.inflateBy - start) / MIN];""",
    )
    assert found == pytest.approx([9, 11, 16])


def test_limits_that_changed_since_mixing_are_taken_at_their_strictest(page: Page) -> None:
    found = told(
        page,
        MIXED
        + """const mixed = (a, b) => event("m", "", { data: [["latest_inflation", a],
          ["release", b]] });
        return [heldTo(limits, mixed("1000", "5000")), heldTo(limits, mixed("1300", "4000")),
          heldTo(limits, event("m", "")), heldTo(limits, null)]
          .map((l) => [l.latest_inflation, l.release]);""",
    )
    assert found == [[1000, 5000], [1200, 4800], [1200, 4800], [1200, 4800]]


def test_thresholds_are_told_once_each(page: Page) -> None:
    found = told(
        page,
        """const lefts = [null, 12, 10.01, 10, 9, 4.9, 4.8, 1.5, 0.1, -0.1, -3].map(
          (m) => m === null ? null : m * MIN);
        return lefts.slice(1).map((now, n) => crossed(lefts[n], now));""",
    )
    assert found == [None, None, 10, None, 5, None, 2, None, 0, None]


def test_a_slow_answer_moves_no_clock(page: Page) -> None:
    """Answers of 9 s: the server may have read its clock at their start or at their end."""
    found = told(
        page,
        """const clock = new HonestClock(clocks); clock.heard(wall - 9000, 9000); run(MIN);
        const late = clock.heard(wall, 9000); run(MIN);
        const moved = clock.heard(wall + 60 * MIN, 9000);
        return [late, moved.kind];""",
    )
    assert found == [None, "server"]


def test_a_deadline_tells_its_zone_in_the_hour_that_a_night_has_twice(
    empty_server: str, browser: Browser, open_page: OpenPage
) -> None:
    context = browser.new_context(timezone_id="Europe/Vienna")
    page = open_page(empty_server, "/", context=context)
    shown = page.evaluate("""async () => {
      const { deadlineTime } = await import("/static/clock/units.mjs");
      const at = (hour, minute) => deadlineTime(Date.UTC(2027, 9, 31, hour, minute));
      return [at(0, 31), at(1, 31), at(2, 31), deadlineTime(Date.UTC(2027, 4, 3, 18, 31))];
    }""")
    context.close()
    assert shown == ["02:31 (UTC+2)", "02:31 (UTC+1)", "03:31", "20:31"]
