"""Rows of the work: shifts, price, findings, records and the log."""

from datetime import timedelta

from teewright.formats.list_values import Cell, Listed, columns
from teewright.job.values import Job, PlannedHold
from teewright.units import MM


def shifts(job: Job) -> Listed:
    """Every visit of every shift; times are local."""
    heads = columns(
        "shift", "crew", "connection", "run", "manhole", "packer", "mix", "wet-out by", "lower",
        "in place", "at pressure", "at pressure by", "release", "release from", "out", "tested",
        "water deep, m", ("water below place, mm", 0), "place", "if it stays, reached",
    )  # fmt: skip
    held = {hold.connection_id: hold for hold in job.holds}
    rows = tuple(
        (
            s.number, s.crew, v.connection_id, v.run_id, v.manhole, v.packer, v.mix, v.wet_out,
            v.lower, v.in_place, v.at_pressure, v.latest_pressure, v.release, v.earliest_release,
            v.out, v.tested, *_water(held.get(v.connection_id)),
        )
        for s in job.programme.shifts
        for v in s.visits
    )  # fmt: skip
    return Listed("shifts", heads, rows)


def _water(hold: PlannedHold | None) -> tuple[Cell, ...]:
    """Greatest depth at the packer, what is left below the nearest place, when it is reached."""
    if hold is None:
        return (None,) * 4
    end = None if hold.reached is None else hold.start + timedelta(seconds=round(hold.reached))
    return hold.greatest - hold.invert, hold.freeboard / MM, hold.place, end


def price(job: Job) -> Listed:
    """Every line of the quotation and its totals."""
    quote = job.quote
    heads = columns(
        "item", "quantity", "unit", f"rate, {quote.currency}", f"sum, {quote.currency}", "note"
    )
    lines: list[tuple[Cell, ...]] = [
        (q.item, q.quantity, q.unit, q.rate, q.sum, q.note) for q in quote.lines
    ]
    totals: list[tuple[Cell, ...]] = [
        ("net", None, None, None, quote.net, None),
        ("overhead", None, None, None, quote.overhead, None),
        ("total without tax", None, None, None, quote.total, None),
        ("total if every open one is sealed", None, None, None, quote.if_open_sealed, None),
    ]
    return Listed("price", heads, (*lines, *totals))


def findings(job: Job) -> Listed:
    """Every single finding."""
    heads = columns("what was done", "rule", "text", "file", "line", "field", "value", "subject")
    rows = tuple(
        (
            f.kind.value,
            f.rule,
            f.text,
            f.place.file,
            f.place.line,
            f.place.field,
            f.value,
            f.subject,
        )
        for f in job.findings
    )
    return Listed("findings", heads, rows)


def records(job: Job) -> Listed:
    """Hand-over state of every connection."""
    heads = columns(
        "connection", "state", "installation", "test", "passed", "measured, SI", "limit, SI",
        "departures", "still open", "decided",
    )  # fmt: skip
    rows: list[tuple[Cell, ...]] = []
    for r in job.records:
        t = r.test
        tested: tuple[Cell, ...] = (t.method, t.passed, t.measured, t.limit) if t else (None,) * 4
        ends = ("; ".join(r.departures), "; ".join(r.open_points), "; ".join(r.decided))
        rows.append((r.connection_id, r.state.value, r.installation, *tested, *ends))
    return Listed("records", heads, tuple(rows))


def events(job: Job) -> Listed:
    """The log, as it was entered."""
    heads = columns(
        "installation", "event", "at", "recorded", "person", "data", "device", "sequence", "id",
        "hash", "hash before",
    )  # fmt: skip
    rows = tuple(
        (
            e.installation, e.kind.value, e.at.isoformat(), e.recorded.isoformat(), e.person,
            "; ".join(f"{name} = {value}" for name, value in e.data), e.device, e.sequence, e.id,
            e.hash, e.previous,
        )
        for e in job.events
    )  # fmt: skip
    return Listed("events", heads, rows)
