"""The record: where each connection stands, and what is still to come."""

from collections.abc import Sequence

from teewright.proof.values import HandoverRecord, HandoverState
from teewright.report import words
from teewright.report.index import JobIndex
from teewright.report.sheets import installation
from teewright.report.sheets.appendix import Appendix
from teewright.report.sheets.sheet import Json, Sheet
from teewright.site.values import EventKind

_UNTOUCHED = {HandoverState.PLANNED, HandoverState.NOT_SEALED}


def _row(index: JobIndex, record: HandoverRecord) -> Json:
    return {
        "name": words.breakable(record.connection_id),
        "state": words.capital(record.state.value),
        "test": installation.leak_words(record.test),
        "departures": words.breakable(" ".join((*record.departures, *record.decided))) or "none",
        "open": words.breakable(" ".join(installation.open_words(index, record))) or "none",
    }


def _answer(records: Sequence[HandoverRecord], placed: int) -> str:
    tight = sum(1 for r in records if r.state is HandoverState.TIGHT)
    head = words.capital(words.count(placed, "collar has", "collars have"))
    return f"{head} been placed; {words.count(tight, 'is', 'are')} sealed and tight"


def sheets(index: JobIndex, trace: Appendix) -> list[Sheet]:
    """What was done so far: a list, then a sheet for each installation; none before an event.

    Args:
        index: The job.
        trace: The numbers to which limits point.

    Returns:
        The list first.
    """
    events = index.job.events
    if not events:
        return []
    begun = [r for r in index.job.records if r.state not in _UNTOUCHED]
    names = list(dict.fromkeys(e.installation for e in events))
    placed = {e.installation.rsplit("#", 1)[0] for e in events if e.kind is EventKind.AT_PRESSURE}
    states: dict[str, int] = {}
    for record in index.job.records:
        states[record.state.value] = states.get(record.state.value, 0) + 1
    body: dict[str, Json] = {
        "tally": words.listed([f"{n} {state}" for state, n in states.items()], 9),
        "records": [_row(index, r) for r in begun],
        "seal": events[-1].hash,
        "count": str(len(events)),
    }
    first = Sheet(
        "record",
        "Hand-over record",
        _answer(index.job.records, len(placed)),
        words.figures(len(names), "installation"),
        "Record",
        body,
    )
    return [first, *installation.sheets(index, trace)]
