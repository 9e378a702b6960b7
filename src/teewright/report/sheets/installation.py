"""Installation records: what was done at one connection, measured against its limits."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from itertools import groupby

from teewright.job.values import Design
from teewright.proof.values import HandoverRecord, LeakTest
from teewright.report import letters, words
from teewright.report.figures import readings
from teewright.report.index import JobIndex
from teewright.report.sheets.appendix import Appendix
from teewright.report.sheets.sheet import Json, Sheet
from teewright.site.corrections import of_installation
from teewright.site.fields import number
from teewright.site.naming import split_installation
from teewright.site.order import steps
from teewright.site.readings import leak_readings
from teewright.site.values import Event, EventKind
from teewright.units import shown

_UNITS = {
    "pressure": ("bar", "bar"),
    "temperature": ("degC", "°C"),
    "volume": ("l", "l"),
    "elapsed": ("s", "s"),
}
_HELD = (EventKind.AT_PRESSURE, EventKind.READING)


@dataclass(frozen=True, slots=True)
class _Done:
    """One installation with all that belongs to it.

    Attributes:
        name: Connection id, `#`, attempt.
        connection_id: Connection.
        attempt: From 1.
        events: As they were entered.
        steps: As they count, corrected.
        design: What it was designed for, or None.
        record: Where its connection stands, or None where another attempt counts.
    """

    name: str
    connection_id: str
    attempt: int
    events: tuple[Event, ...]
    steps: tuple[Event, ...]
    design: Design | None
    record: HandoverRecord | None

    def last(self, kind: EventKind) -> Event | None:
        """Last event of a kind that counts."""
        return next((e for e in reversed(self.steps) if e.kind is kind), None)

    def first(self, kind: EventKind) -> Event | None:
        """First event of a kind that counts."""
        return next((e for e in self.steps if e.kind is kind), None)

    @property
    def pressures(self) -> tuple[Event, ...]:
        """Events while it was held that name a pressure."""
        return tuple(e for e in self.steps if e.kind in _HELD and _pressure(e) is not None)

    @property
    def test(self) -> LeakTest | None:
        """The leak test that counts."""
        return self.record.test if self.record else None


def _pressure(event: Event) -> float | None:
    return number(dict(event.data).get("pressure", ""))


def _done(index: JobIndex, name: str) -> _Done:
    connection_id, attempt = split_installation(name)
    own = of_installation(index.job.events, name)
    record = index.records.get(connection_id)
    if record is not None and record.installation != name:
        record = None
    design = index.designs.get(connection_id)
    return _Done(name, connection_id, attempt, own, steps(own), design, record)


def _held_figure(done: _Done) -> str:
    """Pressure over time, where mixing and a pressure were logged."""
    mixed, design = done.first(EventKind.MIXED), done.design
    found = done.pressures
    if mixed is None or design is None or not found:
        return ""
    cure, released = design.cure, done.last(EventKind.RELEASED)
    by = mixed.at + timedelta(seconds=cure.latest_inflation)
    before_test = [e.at for e in done.steps if e.kind is not EventKind.TEST_READING]
    last = max([by, found[-1].at, *(e for e in before_test if e is not None)])
    out = done.last(EventKind.OUT) or released
    return readings.held(
        readings.Held(
            tuple((e.at, _pressure(e) or 0.0) for e in found),
            mixed.at,
            max(out.at, found[-1].at) if out else last,
            released.at if released else None,
            (design.pressure.low, design.pressure.high),
            by,
            mixed.at + timedelta(seconds=cure.release_time),
        )
    )


def _leak_figure(index: JobIndex, done: _Done) -> str:
    """The leak test that counts over its time, where its readings could be judged."""
    found, test = leak_readings(done.name, index.job.events), done.test
    if not found or test is None or test.required_time <= 0.0:
        return ""
    water = test.method == "W"
    pairs = found[-1].volumes if water else found[-1].pressures
    if not pairs:
        return ""
    unit = 1e-3 if water else 100.0
    shown_pairs = tuple((time, value / unit) for time, value in pairs)
    limit = test.limit / unit if water else shown_pairs[0][1] - test.limit / unit
    name = "l" if water else "mbar"
    return readings.leak(readings.Leak(name, shown_pairs, limit, not water, test.required_time))


def held_figure(index: JobIndex, name: str) -> str:
    """Pressure in the packer over time, `""` where mixing or a pressure was not logged.

    Args:
        index: The job.
        name: Installation.
    """
    return _held_figure(_done(index, name))


def leak_figure(index: JobIndex, name: str) -> str:
    """The leak test that counts over its time, `""` where there is none that could be judged.

    Args:
        index: The job.
        name: Installation.
    """
    return _leak_figure(index, _done(index, name))


def leak_words(test: LeakTest | None) -> str:
    """A leak test in a few words: method, verdict, measured and allowed."""
    if test is None:
        return "no test"
    verdict = {True: "tight", False: "not tight", None: "not decided"}[test.passed]
    if test.method == "W":
        return f"{test.method}: {verdict}, {test.measured * 1e3:.2f} of {test.limit * 1e3:.2f} l"
    return f"{test.method}: {verdict}, {test.measured / 100:.1f} of {test.limit / 100:.1f} mbar"


def _row(name: str, measured: str, limit: str, verdict: str, trace: int | None) -> Json:
    return {"name": name, "measured": measured, "limit": limit, "verdict": verdict, "trace": trace}


def _spare(seconds: float, late: str) -> str:
    """`within, 6 min spare`, or how far it is beyond its limit."""
    if seconds < 0.0:
        return f"{late} by {words.span(-seconds, up=True)}"
    return f"within, {words.span(seconds, up=False)} spare"


def _limits(done: _Done, trace: Appendix) -> list[Json]:
    """What was measured against what was allowed."""
    design = done.design
    if design is None:
        return []
    rows = [*_times(done, design, trace), _pressures(done, design, trace)]
    test = done.test
    if test is None:
        rows.append(_row("Leak test", "not yet", "", "open", None))
        return rows
    unit, name = (1e-3, "l") if test.method == "W" else (100.0, "mbar")
    measured = f"{test.measured / unit:.1f} {name} in {test.observed_time:.0f} s"
    limit = f"≤ {test.limit / unit:.1f} {name} in {test.required_time:.0f} s"
    verdict = {True: "tight", False: "not tight", None: "not decided"}[test.passed]
    rows.append(_row(f"Leak test {test.method}", measured, limit, verdict, None))
    return rows


def _times(done: _Done, design: Design, trace: Appendix) -> list[Json]:
    mixed, cure = done.first(EventKind.MIXED), design.cure
    rows: list[Json] = []
    for name, kind, limit, up in (
        ("At pressure after mixing", EventKind.AT_PRESSURE, cure.latest_inflation, False),
        ("Release after mixing", EventKind.RELEASED, cure.release_time, True),
    ):
        event = done.last(kind)
        row = trace.find(design, "Times", limit)
        allowed = f"{'≥' if up else '≤'} {words.span(limit, up=up)}"
        if mixed is None or event is None:
            rows.append(_row(name, "not yet", allowed, "open", row))
            continue
        took = (event.at - mixed.at).total_seconds()
        spare = took - limit if up else limit - took
        said = _spare(spare, "early" if up else "late")
        rows.append(_row(name, words.span(took, up=not up), allowed, said, row))
    return rows


def _pressures(done: _Done, design: Design, trace: Appendix) -> Json:
    low, high = design.pressure.low, design.pressure.high
    allowed = f"{low / 1e5:.2f}–{high / 1e5:.2f} bar"
    row = trace.find(design, "Pressure", low)
    found = [p for e in done.pressures if (p := _pressure(e)) is not None]
    if not found:
        return _row("Pressure while held", "none logged", allowed, "open", row)
    ends = dict.fromkeys(f"{p / 1e5:.2f}" for p in (min(found), max(found)))
    measured = f"{'–'.join(ends)} bar, {words.figures(len(found), 'reading')}"
    inside = low <= min(found) and max(found) <= high
    verdict = "within" if inside else "outside"
    return _row("Pressure while held", measured, allowed, verdict, row)


def _datum(name: str, value: str, kind: EventKind) -> str:
    """A value of an event in the unit of the trade, where it is a quantity that has one."""
    found = number(value)
    unit, sign = _UNITS.get(name, ("", ""))
    if name == "pressure" and kind is EventKind.TEST_READING:
        unit = sign = "mbar"
    if not unit or found is None or not math.isfinite(found):
        return value if name == "text" else f"{name} {value}"
    return f"{name} {shown(found, unit)} {sign}"


def _event_row(numbers: tuple[int, int], events: Sequence[Event], text: str) -> Json:
    first, last = numbers
    event = events[-1]
    return {
        "number": str(first) if first == last else f"{first}–{last}",
        "time": f"{words.day(event.at)} {words.at(event.at)}",
        "what": words.capital(event.kind.value.replace("-", " ")) + ("s" if first < last else ""),
        "data": words.breakable(text),
        "who": words.breakable(event.person),
        "seal": f"{event.hash[:4]} {event.hash[4:8]}",
    }


def _events(events: Sequence[Event]) -> list[Json]:
    """The log of an installation; readings of a test that follow each other stand together."""
    rows: list[Json] = []
    count = 0
    for kind, group in groupby(events, key=lambda e: e.kind):
        same = list(group)
        if kind is EventKind.TEST_READING and len(same) > 2:
            first, last = same[0], same[-1]
            ends = first.data, [pair for pair in last.data if pair not in first.data]
            text = " … ".join(", ".join(_datum(n, v, kind) for n, v in end) for end in ends)
            rows.append(_event_row((count + 1, count + len(same)), same, text))
        else:
            for k, event in enumerate(same, count + 1):
                text = ", ".join(_datum(n, v, kind) for n, v in event.data)
                rows.append(_event_row((k, k), [event], text))
        count += len(same)
    return rows


def open_words(index: JobIndex, record: HandoverRecord) -> list[str]:
    """What is still to be done for a connection, each thing once."""
    following = [
        s.next_action
        for s in index.job.installations
        if not s.finished and s.installation == record.installation
    ]
    return list(dict.fromkeys([*record.open_points, *following]))


def _answer(done: _Done) -> str:
    if done.record is None:
        return f"{done.connection_id}: attempt {done.attempt} was given up"
    state = done.record.state.value
    departures = len(done.record.departures)
    text = f"{done.connection_id} is {state}"
    if departures:
        text += f"; {words.figures(departures, 'departure')}"
    return text


def _sheet(index: JobIndex, name: str, trace: Appendix) -> Sheet:
    done = _done(index, name)
    record = done.record
    test = done.test
    body: dict[str, Json] = {
        "held": _held_figure(done),
        "leak": _leak_figure(index, done),
        "limits": _limits(done, trace),
        "events": _events(done.events),
        "departures": [words.breakable(d) for d in record.departures] if record else [],
        "test": words.breakable(test.reason) if test else "",
        "open": [words.breakable(o) for o in open_words(index, record)] if record else [],
        "seal": done.events[-1].hash,
    }
    answer = letters.shorten(_answer(done), 352.0, 19.0, 700)
    subject = f"{done.connection_id}, attempt {done.attempt}"
    return Sheet("installation", "Installation record", answer, subject, "Record", body)


def sheets(index: JobIndex, trace: Appendix) -> list[Sheet]:
    """One sheet for each installation that was begun."""
    names = dict.fromkeys(e.installation for e in index.job.events)
    return [_sheet(index, name, trace) for name in names]
