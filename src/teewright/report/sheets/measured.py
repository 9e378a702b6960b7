"""Rows of an installation record: what was measured against what was allowed."""

from collections.abc import Mapping

from teewright.job.values import Design
from teewright.proof.values import LeakTest
from teewright.report import words
from teewright.report.sheets.appendix import Appendix
from teewright.report.sheets.done import Done, pressure_of
from teewright.report.sheets.sheet import Json
from teewright.site.values import EventKind, Limits

OPEN = "open"
"""Verdict on what is still to come."""
Row = Mapping[str, Json]


def _row(name: str, measured: str, limit: str, verdict: str, trace: int | None) -> Row:
    return {"name": name, "measured": measured, "limit": limit, "verdict": verdict, "trace": trace}


def _spare(seconds: float, late: str) -> str:
    """`within, 6 min spare`, or how far it is beyond its limit."""
    if seconds < 0.0:
        return f"{late} by {words.span(-seconds, up=True)}"
    return f"within, {words.span(seconds, up=False)} spare"


def measured(done: Done, trace: Appendix) -> list[Row]:
    """What was measured against what was allowed, a row each.

    Args:
        done: The installation.
        trace: Numbers of the rows of the appendix.
    """
    design, limits = done.design, done.limits
    if design is None or limits is None or not done.steps:
        return []
    if done.record is None:  # another attempt counts: of this one nothing is still to come
        return [row for row in _rows(done, limits, design, trace) if row["verdict"] != OPEN]
    return _rows(done, limits, design, trace)


def _rows(done: Done, limits: Limits, design: Design, trace: Appendix) -> list[Row]:
    rows = [*_times(done, limits, design, trace), _pressures(done, limits, design, trace)]
    if done.test is None:
        return [*rows, _row("Leak test", "not yet", "", OPEN, None)]
    earlier = done.tests[:-1]
    label = done.tests[-1][0] if earlier else ""
    return [*rows, *(_tested(*one) for one in earlier), _tested(label, done.test)]


def _tested(label: str, test: LeakTest) -> Row:
    """One leak test; where there are several it has a label."""
    unit, name = (1e-3, "l") if test.method == "W" else (100.0, "mbar")
    verdict = {True: "tight", False: "not tight", None: "not decided"}[test.passed]
    title = f"Leak test {label}, {test.method}" if label else f"Leak test {test.method}"
    if test.required_time <= 0.0:
        return _row(title, "not judged", "", verdict, None)
    measured = f"{test.measured / unit:.1f} {name} in {test.observed_time:.0f} s"
    limit = f"≤ {test.limit / unit:.1f} {name} in {test.required_time:.0f} s"
    return _row(title, measured, limit, verdict, None)


def _times(done: Done, limits: Limits, design: Design, trace: Appendix) -> list[Row]:
    mixed = done.first(EventKind.MIXED)
    rows: list[Row] = []
    for name, kind, limit, up in (
        ("At pressure after mixing", EventKind.AT_PRESSURE, limits.latest_inflation, False),
        ("Release after mixing", EventKind.RELEASED, limits.release, True),
    ):
        event = done.last(kind)
        row = trace.find(design, "Times", limit)
        allowed = f"{'≥' if up else '≤'} {words.span(limit, up=up)}"
        if mixed is None or event is None:
            rows.append(_row(name, "not yet", allowed, OPEN, row))
            continue
        took = (event.at - mixed.at).total_seconds()
        spare = took - limit if up else limit - took
        said = _spare(spare, "early" if up else "late")
        rows.append(_row(name, words.span(took, up=not up), allowed, said, row))
    return rows


def _pressures(done: Done, limits: Limits, design: Design, trace: Appendix) -> Row:
    low, high = limits.pressure_low, limits.pressure_high
    allowed = f"{low / 1e5:.2f}–{high / 1e5:.2f} bar"
    row = trace.find(design, "Pressure", low)
    found = [p for e in done.pressures if (p := pressure_of(e)) is not None]
    if not found:
        return _row("Pressure while held", "none logged", allowed, OPEN, row)
    ends = dict.fromkeys(f"{p / 1e5:.2f}" for p in (min(found), max(found)))
    measured = f"{'–'.join(ends)} bar, {words.figures(len(found), 'reading')}"
    inside = low <= min(found) and max(found) <= high
    verdict = "within" if inside else "outside"
    return _row("Pressure while held", measured, allowed, verdict, row)
