"""The record: what was done at each connection, and what is still to come."""

import math
from collections.abc import Sequence

from teewright.proof.values import HandoverRecord, HandoverState
from teewright.report import words
from teewright.report.index import JobIndex
from teewright.report.sheets.sheet import Json, Sheet
from teewright.site.values import Event, EventKind
from teewright.units import shown

_UNTOUCHED = {HandoverState.PLANNED, HandoverState.NOT_SEALED}
_UNITS = {"pressure": "bar", "temperature": "degC"}


def _datum(name: str, value: str) -> str:
    """A value of an event in the unit of the trade, where it is a quantity that has one."""
    unit = _UNITS.get(name)
    try:
        number = float(value)
    except ValueError:
        return f"{name} {value}"
    if unit is None or not math.isfinite(number):
        return f"{name} {value}"
    return f"{name} {shown(number, unit)} {unit.replace('degC', '°C')}"


def _event(number: int, event: Event) -> dict[str, Json]:
    return {
        "number": str(number),
        "time": f"{words.day(event.at)} {words.at(event.at)}",
        "what": words.capital(event.kind.value.replace("-", " ")),
        "data": words.breakable(", ".join(_datum(n, v) for n, v in event.data)),
        "who": words.breakable(event.person),
        "seal": f"{event.hash[:4]} {event.hash[4:8]}",
    }


def _test(record: HandoverRecord) -> str:
    test = record.test
    if test is None:
        return "no test"
    verdict = {True: "tight", False: "not tight", None: "not decided"}[test.passed]
    if test.method == "W":
        return f"{test.method}: {verdict}, {test.measured * 1e3:.2f} of {test.limit * 1e3:.2f} l"
    return f"{test.method}: {verdict}, {test.measured / 100:.1f} of {test.limit / 100:.1f} mbar"


def _installation(events: Sequence[Event], name: str) -> dict[str, Json]:
    own = [e for e in events if e.installation == name]
    return {
        "name": words.breakable(name.replace("#", ", attempt ")),
        "events": [_event(k, e) for k, e in enumerate(own, 1)],
    }


def _answer(records: Sequence[HandoverRecord], placed: int) -> str:
    tight = sum(1 for r in records if r.state is HandoverState.TIGHT)
    head = words.capital(words.count(placed, "collar has", "collars have"))
    return f"{head} been placed; {words.count(tight, 'is', 'are')} sealed and tight"


def sheets(index: JobIndex) -> list[Sheet]:
    """What was done so far; none before the first event."""
    events = index.job.events
    if not events:
        return []
    begun = [r for r in index.job.records if r.state not in _UNTOUCHED]
    names = list(dict.fromkeys(e.installation for e in events))
    placed = {e.installation.rsplit("#", 1)[0] for e in events if e.kind is EventKind.AT_PRESSURE}
    states: dict[str, int] = {}
    for record in index.job.records:
        states[record.state.value] = states.get(record.state.value, 0) + 1
    next_actions = {
        s.installation: s.next_action for s in index.job.installations if not s.finished
    }
    body: dict[str, Json] = {
        "tally": words.listed([f"{n} {state}" for state, n in states.items()], 9),
        "records": [
            {
                "name": words.breakable(r.connection_id),
                "state": words.capital(r.state.value),
                "test": _test(r),
                "departures": words.breakable("; ".join(r.departures)) or "none",
                "open": words.breakable(
                    "; ".join(
                        [
                            *r.open_points,
                            *(
                                [next_actions[r.installation]]
                                if r.installation in next_actions
                                else []
                            ),
                        ]
                    )
                )
                or "none",
            }
            for r in begun
        ],
        "installations": [_installation(events, n) for n in names],
        "seal": events[-1].hash,
    }
    return [
        Sheet(
            "record",
            "Installation record",
            _answer(index.job.records, len(placed)),
            words.figures(len(names), "installation"),
            "Record",
            body,
        )
    ]
