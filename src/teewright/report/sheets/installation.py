"""Installation records: what was done at one connection, measured against its limits."""

import math
from collections.abc import Sequence
from datetime import timedelta
from itertools import groupby

from teewright.proof.values import HandoverRecord, LeakTest
from teewright.report import letters, words
from teewright.report.figures import readings
from teewright.report.figures.reader import METRIC, Units
from teewright.report.index import JobIndex
from teewright.report.sheets.appendix import Appendix
from teewright.report.sheets.done import Done, done_of, pressure_of
from teewright.report.sheets.measured import measured
from teewright.report.sheets.sheet import Json, Sheet
from teewright.site.corrections import SIGNED_IN
from teewright.site.fields import number
from teewright.site.readings import leak_readings, taken_at
from teewright.site.values import Event, EventKind
from teewright.units import shown

_UNITS = {
    "pressure": ("bar", "bar"),
    "temperature": ("degC", "°C"),
    "volume": ("l", "l"),
    "elapsed": ("s", "s"),
}


def _held_figure(done: Done, units: Units = METRIC) -> str:
    """Pressure over time, where mixing and a pressure were logged."""
    mixed, limits = done.first(EventKind.MIXED), done.limits
    found = sorted(done.pressures, key=taken_at)
    if mixed is None or limits is None or not found:
        return ""
    released = done.last(EventKind.RELEASED)
    by = mixed.at + timedelta(seconds=limits.latest_inflation)
    before_test = [e.at for e in done.steps if e.kind is not EventKind.TEST_READING]
    last = max([by, taken_at(found[-1]), *(e for e in before_test if e is not None)])
    out = done.last(EventKind.OUT) or released
    return readings.held(
        readings.Held(
            tuple((taken_at(e), pressure_of(e) or 0.0) for e in found),
            mixed.at,
            max(out.at, taken_at(found[-1])) if out else last,
            released.at if released else None,
            (limits.pressure_low, limits.pressure_high),
            by,
            mixed.at + timedelta(seconds=limits.release),
        ),
        units,
    )


def _leak_figure(index: JobIndex, done: Done, units: Units = METRIC) -> str:
    """The leak test that counts over its time, where its readings could be judged."""
    found, test = leak_readings(done.name, index.job.events), done.test
    if not found or test is None or test.required_time <= 0.0:
        return ""
    water = test.method == "W"
    logged = found[-1].volumes if water else found[-1].pressures
    if not logged:
        return ""
    start = logged[0][0] + test.began  # before it the air settled
    pairs = tuple((time - start, value) for time, value in logged if time > start - 1e-6)
    limit = test.limit if water else pairs[0][1] - test.limit
    name = "l" if water else "mbar"
    return readings.leak(readings.Leak(name, pairs, limit, not water, test.required_time), units)


def held_figure(index: JobIndex, name: str, units: Units = METRIC) -> str:
    """Pressure in the packer over time, `""` where mixing or a pressure was not logged.

    Args:
        index: The job.
        name: Installation.
        units: In which it is drawn.
    """
    return _held_figure(done_of(index, name), units)


def leak_figure(index: JobIndex, name: str, units: Units = METRIC) -> str:
    """The leak test that counts over its time, `""` where there is none that could be judged.

    Args:
        index: The job.
        name: Installation.
        units: In which it is drawn.
    """
    return _leak_figure(index, done_of(index, name), units)


def leak_words(test: LeakTest | None) -> str:
    """A leak test in a few words: method, verdict, measured and allowed."""
    if test is None:
        return "no test"
    verdict = {True: "tight", False: "not tight", None: "not decided"}[test.passed]
    if test.method == "W":
        return f"{test.method}: {verdict}, {test.measured * 1e3:.2f} of {test.limit * 1e3:.2f} l"
    return f"{test.method}: {verdict}, {test.measured / 100:.1f} of {test.limit / 100:.1f} mbar"


def _datum(name: str, value: str, kind: EventKind) -> str:
    """A value of an event in the unit of the trade, where it is a quantity that has one."""
    found = number(value)
    unit, sign = _UNITS.get(name, ("", ""))
    if name == "pressure" and kind is EventKind.TEST_READING:
        unit = sign = "mbar"
    if not unit or found is None or not math.isfinite(found):
        return value if name == "text" else f"{name} {value}"
    return f"{name} {shown(found, unit)} {sign}"


def _who(event: Event) -> str:
    """Who logged it by the device, and who was signed in where people sign in."""
    name = dict(event.data).get(SIGNED_IN, "")
    if not name:
        return event.person
    return f"{name}, signed in" if name == event.person else f"{event.person}; {name} signed in"


def _told(event: Event) -> list[tuple[str, str]]:
    """Values of an event that stand in its row."""
    return [pair for pair in event.data if pair[0] != SIGNED_IN]


def _event_row(numbers: tuple[int, int], events: Sequence[Event], text: str) -> Json:
    first, last = numbers
    event = events[-1]
    return {
        "number": str(first) if first == last else f"{first}–{last}",
        "time": f"{words.day(event.at)} {words.at(event.at)}",
        "what": words.capital(event.kind.value.replace("-", " ")) + ("s" if first < last else ""),
        "data": words.breakable(text),
        "who": words.breakable(_who(event)),
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
            ends = _told(first), [pair for pair in _told(last) if pair not in first.data]
            text = " … ".join(", ".join(_datum(n, v, kind) for n, v in end) for end in ends)
            rows.append(_event_row((count + 1, count + len(same)), same, text))
        else:
            for k, event in enumerate(same, count + 1):
                text = ", ".join(_datum(n, v, kind) for n, v in _told(event))
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
    said = tuple(point.rstrip(".") for point in record.open_points)
    new = [action for action in following if not (said and action.startswith(said))]
    return list(dict.fromkeys([*record.open_points, *new]))


def _answer(done: Done) -> str:
    if done.record is None:
        back = any(event.kind is EventKind.CORRECTED for event in done.events)
        none = f"attempt {done.attempt} was {'taken back' if back else 'not begun'}: nothing counts"
        said = done.ended.removesuffix(".") or none
        return f"{done.connection_id}: {said[:1].lower()}{said[1:]}"
    state = done.record.state.value
    departures = len(done.record.departures)
    text = f"{done.connection_id} is {state}"
    if departures:
        text += f"; {words.figures(departures, 'departure')}"
    return text


def _remarks(index: JobIndex, name: str) -> tuple[str, ...]:
    """What a reader of the log must know: other limits of the design, steps logged again."""
    found = next((s for s in index.job.installations if s.installation == name), None)
    return (*found.differs, *found.repeats) if found else ()


def _sheet(index: JobIndex, name: str, trace: Appendix) -> Sheet:
    done = done_of(index, name)
    record = done.record
    test = done.test
    body: dict[str, Json] = {
        "held": _held_figure(done),
        "leak": _leak_figure(index, done),
        "limits": measured(done, trace),
        "events": _events(done.events),
        "departures": [words.breakable(d) for d in record.departures] if record else [],
        "test": words.breakable(test.reason) if test else "",
        "remarks": [words.breakable(said) for said in _remarks(index, name)],
        "decided": [words.breakable(d) for d in record.decided] if record else [],
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
