"""The tablet and the server say the same of any log, word by word."""

import random
from dataclasses import asdict
from datetime import UTC, datetime, timedelta, timezone
from typing import Any

from playwright.sync_api import Page

from faces.web.conftest import OpenPage
from teewright.formats.json_values import plain
from teewright.site.chain import GENESIS, Draft, seal
from teewright.site.clock import deadlines, installations, state
from teewright.site.corrections import effective, of_installation
from teewright.site.order import disorder, happened, next_actions, reached, repeats, steps
from teewright.site.values import Event, EventKind, Limits

K = EventKind
NAMES = ("A-B/01#1", "A-B/01#2", "C/x#1")
USUAL = (K.MIXED, K.WET_OUT, K.LOWERED, K.IN_PLACE, K.AT_PRESSURE, K.RELEASED, K.OUT)
ODD = (
    "62500", "60000", "90000.5", "87500", "0.000001", " 70000 ", "7_0000", "1e5", "+5", "-1",
    "nan", "inf", "1,2", "", "much", "it's", 'a "b"', "it's \"b\"", "tab\there", "é\u00a0\u200b",
    "\x07", "🙂" * 50, "1__0", ".5", "5.", "1e400", "0x10",
)  # fmt: skip
TIMES = ("soon", "2025-05-12T09:30:00", "2025-13-01T09:30:00+02:00", "2025-05-12T25:30:00+02:00")
ASK = """async ([address, cases]) => {
  const s = await import(address + "/static/clock/state.mjs");
  const us = (moment) => (moment === null ? null : moment.us);
  return cases.map(({installation, events, limits}) => {
    const own = s.ofInstallation(events, installation);
    const due = s.deadlines(own, limits);
    const found = s.state(installation, events, limits);
    return {
      ...found, inflateBy: us(found.inflateBy), releaseFrom: us(found.releaseFrom),
      mixed: due ? due.mixed.us : null,
      next: s.nextActions(installation, events), disorder: s.disorder(own),
      happened: s.happened(own).map((e) => e.id), steps: s.steps(own).map((e) => e.id),
      again: s.repeats(own).map((e) => e.id), reached: s.reached(own)?.id ?? null,
      effective: s.effective(events).map((e) => [e.id, e.data]),
      installations: s.installations(events),
    };
  });
}"""


def micro(moment: datetime | None) -> int | None:
    if moment is None:
        return None
    return (moment - datetime(1970, 1, 1, tzinfo=UTC)) // timedelta(microseconds=1)


def a_time(chance: random.Random, now: datetime) -> datetime:
    shift = timedelta(hours=chance.choice((-7, 0, 2, 5.5)))
    back = timedelta(seconds=chance.choice((0, 0, 0, 0, 40, 900)))
    return (now - back).astimezone(timezone(shift))


def some_data(chance: random.Random, kind: EventKind, known: list[str]) -> dict[str, str]:
    if kind is K.MIXED and chance.random() < 0.6:
        return {
            "latest_inflation": chance.choice(("1142.6504801868643", "2400", "90.5", *ODD)),
            "release": chance.choice(("7200.0", "5000.25", *ODD)),
            "pressure_low": chance.choice(("60000.0", "62500", "0")),
            "pressure_high": chance.choice(("90000.0", "87500", "61000", "much")),
        }
    if kind is K.CORRECTED:
        data = {"event": chance.choice([*known, "nothing"])}
        if chance.random() < 0.3:
            data["void"] = chance.choice(("yes", "yes", "no"))
        if chance.random() < 0.5:
            moment = datetime(2025, 5, 12, 7, tzinfo=UTC) + timedelta(
                seconds=chance.randrange(9000)
            )
            data["at"] = chance.choice((*TIMES, moment.isoformat(), moment.isoformat()))
        if chance.random() < 0.4:
            data["pressure"] = chance.choice(ODD)
        if chance.random() < 0.5:
            data |= {"server_ahead": "1.5", "signed_in": "AB"}
        return data
    if kind in {K.AT_PRESSURE, K.READING, K.TEST_READING} and chance.random() < 0.8:
        usual = repr(chance.uniform(5e4, 1e5)) if chance.random() < 0.5 else chance.choice(ODD)
        return {"pressure": usual}
    return {}


def some_lead(chance: random.Random) -> dict[str, str]:
    """How far the server's clock was ahead, as tablets tell it, or not."""
    told = chance.choice(("", "0.0", "-2400.5", "7200.25", "3.1", "much", "-1e12"))
    return {"server_ahead": told} if told and chance.random() < 0.8 else {}


def a_log(chance: random.Random) -> tuple[Event, ...]:
    events: list[Event] = []
    ids: list[str] = []
    now = datetime(2025, 5, 12, 21, 40, tzinfo=UTC)
    for number in range(chance.randrange(22)):
        now += timedelta(seconds=chance.choice((0, 1, 33.25, 60, 600, 1811.123456)))
        name = chance.choice(NAMES[:1] * 6 + NAMES)
        follows = next_actions(name, events)
        wild = chance.random() < 0.35
        kind = chance.choice(list(EventKind)) if wild else chance.choice(follows[:2])
        draft = Draft(
            id=f"e{number}",
            installation=name,
            kind=kind,
            at=a_time(chance, now),
            device=chance.choice(("t1", "t1", "t2", "t3")),
            sequence=number + 1,
            person="crew",
            data=tuple({**some_data(chance, kind, ids), **some_lead(chance)}.items()),
        )
        recorded = now + timedelta(seconds=chance.choice((1, 1, 4000, -30, -61.5, -700)))
        previous = events[-1].hash if events else GENESIS
        events.append(seal(draft, recorded=recorded, previous=previous))
        ids.append(draft.id)
    return tuple(events)


def some_limits(chance: random.Random) -> Limits:
    return Limits(
        latest_inflation=chance.choice((1800.0, 1142.6504801868643, 90.5)),
        release=chance.choice((7200.0, 4397.588268619498, 50_000.25)),
        pressure_low=chance.choice((60_000.0, 62_500.0, 61_403.77640845067)),
        pressure_high=chance.choice((90_000.0, 87_500.0, 180_000.0)),
    )


def said_here(name: str, events: tuple[Event, ...], limits: Limits) -> dict[str, Any]:
    own = of_installation(events, name)
    found, due, last = state(name, events, limits), deadlines(own, limits), reached(own)
    return {
        "installation": name,
        "step": found.step,
        "nextAction": found.next_action,
        "inflateBy": micro(found.inflate_by),
        "releaseFrom": micro(found.release_from),
        "breaches": list(found.breaches),
        "finished": found.finished,
        "aborted": found.aborted,
        "repeats": list(found.repeats),
        "differs": list(found.differs),
        "mixed": micro(due.mixed) if due else None,
        "next": [kind.value for kind in next_actions(name, events)],
        "disorder": disorder(own),
        "happened": [e.id for e in happened(own)],
        "steps": [e.id for e in steps(own)],
        "again": [e.id for e in repeats(own)],
        "reached": last.id if last else None,
        "effective": [[e.id, [list(pair) for pair in e.data]] for e in effective(events)],
        "installations": list(installations(events)),
    }


def said_there(page: Page, address: str, cases: list[Any]) -> list[dict[str, Any]]:
    told: list[dict[str, Any]] = page.evaluate(ASK, [address, cases])
    return told


def test_tablet_and_server_say_the_same(empty_server: str, open_page: OpenPage) -> None:
    page = open_page(empty_server, "/")
    chance = random.Random(20270503)
    cases, wanted = [], []
    for _ in range(500):
        events, limits = a_log(chance), some_limits(chance)
        name = chance.choice(NAMES[:1] * 3 + NAMES)
        cases.append({"installation": name, "events": plain(events), "limits": asdict(limits)})
        wanted.append(said_here(name, events, limits))
    for told, here, case in zip(said_there(page, empty_server, cases), wanted, cases, strict=True):
        assert told == here, case
    # the logs are worth comparing: breaches, repeats, corrections and ends are among them
    assert sum(bool(w["breaches"]) for w in wanted) > 100
    assert sum(bool(w["repeats"]) for w in wanted) > 20
    assert sum(bool(w["differs"]) for w in wanted) > 100
    assert any("By the present design" in said for w in wanted for said in w["differs"])
    assert sum(w["finished"] for w in wanted) > 20
    assert {w["step"] for w in wanted} >= {None, *USUAL, K.ABORTED}


def test_times_are_read_as_the_server_reads_them(empty_server: str, open_page: OpenPage) -> None:
    page = open_page(empty_server, "/")
    texts = [
        "2025-05-12T09:30:00+02:00", "2025-05-12T09:30:00.123456-03:30", "20250512T093000Z",
        "2025-05-12 09:30+02", "2025-05-12T09:30:00,5+02:00", "2024-02-29T00:00:00+00:00",
        "2023-02-29T00:00:00+00:00", "2025-05-12T24:00:00+00:00", "2025-05-12", "noon",
        "2025-05-12T09:30:00.1234567+02:00", "2025-05-12T09+02:00", "2025-05-12T09:30:00+02:00:30",
        "1969-12-31T23:59:59.999999+00:00",
    ]  # fmt: skip
    wanted = []
    for text in texts:
        try:
            moment = datetime.fromisoformat(text)
        except ValueError:
            moment = None
        wanted.append(micro(moment) if moment is not None and moment.tzinfo else None)
    told = page.evaluate(
        """async ([address, texts]) => {
          const m = await import(address + "/static/clock/moments.mjs");
          return texts.map((text) => m.read(text)?.us ?? null);
        }""",
        [empty_server, texts],
    )
    assert dict(zip(texts, told, strict=True)) == dict(zip(texts, wanted, strict=True))
    assert sum(w is not None for w in wanted) >= 9
