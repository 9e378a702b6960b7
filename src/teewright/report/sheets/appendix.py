"""The calculation appendix: each number once, equal results side by side."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from teewright.hydraulics.values import FlowForecast
from teewright.job.values import Design, PlannedHold
from teewright.report import words
from teewright.report.figures.hold import hold_figure
from teewright.report.index import JobIndex, short
from teewright.report.sheets.sheet import Json, Sheet
from teewright.trace import Origin, TraceRow
from teewright.units import shown

COLUMNS = 8
"""Value columns of one table."""
_DITTO = 20


def wall_section(design: Design) -> str:
    """Name of the section of the part that governs."""
    return "Wall, branch" if design.walls.governing_part == "branch" else "Wall"


_SECTIONS: tuple[tuple[str, Callable[[Design], tuple[TraceRow, ...]]], ...] = (
    ("Connection", lambda d: d.trace),
    ("Collar", lambda d: d.collar.trace),
    ("Resin", lambda d: d.resin.trace),
    ("Times", lambda d: d.cure.trace),
    ("Cure", lambda d: d.forecast.trace if d.forecast else ()),
    ("Pressure", lambda d: d.pressure.trace),
    ("Wall", lambda d: d.wall_trace),
    ("Wall, branch", lambda d: d.walls.parts[1].trace),
    ("Wall, closed-off branch", lambda d: d.walls.beside.trace),
    ("Tight length", lambda d: d.tight.trace if d.tight else ()),
    ("Bypass", lambda d: d.bypass.trace),
    ("Blocked main", lambda d: d.flow.trace if d.flow else ()),
)
_Key = tuple[tuple[str, str, str, str], ...]


@dataclass(frozen=True, slots=True)
class _Table:
    """Rows that several designs share, and the designs' values as columns.

    Attributes:
        section: Name of the section.
        first: Number of its first row in the appendix.
        rows: Rows of the first design.
        columns: (values, sources, connections) of each distinct set of values.
    """

    section: str
    first: int
    rows: tuple[TraceRow, ...]
    columns: tuple[tuple[tuple[TraceRow, ...], tuple[str, ...]], ...]


@dataclass(frozen=True, slots=True)
class Appendix:
    """All traced numbers of a job, each with its number.

    Attributes:
        tables: In the order of the sections.
        numbers: Number of the first row by section and connection.
    """

    tables: tuple[_Table, ...]
    numbers: dict[tuple[str, str], int]

    def find(self, design: Design, section: str, value: float | None) -> int | None:
        """Number of the last row of a section that holds a value, or None.

        Args:
            design: The design.
            section: Name of the section.
            value: Value in SI units.

        Returns:
            The number after `A`.
        """
        first = self.numbers.get((section, design.connection_id))
        if value is None or first is None:
            return None
        rows = dict(_SECTIONS)[section](design)
        same = [k for k, row in enumerate(rows) if abs(row.value - value) <= 1e-9 * abs(value)]
        return first + same[-1] if same else None


def _structure(rows: Sequence[TraceRow]) -> _Key:
    return tuple((r.quantity, r.symbol, r.shown_in, r.formula) for r in rows)


def _shown(row: TraceRow) -> str:
    if row.shown_in == "-" and float(row.value).is_integer():
        return f"{row.value:.0f}"
    if row.shown_in == "m3" and row.value >= 1.0:
        # four decimals of ten cubic metres do not find room in a column
        return f"{row.value:.2f}"
    return shown(row.value, row.shown_in)


def _values(rows: Sequence[TraceRow]) -> tuple[str, ...]:
    return tuple(_shown(r) for r in rows)


def build(index: JobIndex) -> Appendix:
    """Number every traced row of a job once."""
    tables: list[_Table] = []
    numbers: dict[tuple[str, str], int] = {}
    following = 1
    for section, rows_of in _SECTIONS:
        groups: dict[_Key, list[Design]] = {}
        for design in index.job.designs.designs:
            if rows_of(design):
                groups.setdefault(_structure(rows_of(design)), []).append(design)
        for structure, designs in groups.items():
            columns: dict[tuple[str, ...], list[Design]] = {}
            for design in designs:
                columns.setdefault(_values(rows_of(design)), []).append(design)
                numbers[section, design.connection_id] = following
            sets = tuple(
                (rows_of(same[0]), tuple(d.connection_id for d in same))
                for same in columns.values()
            )
            tables.append(_Table(section, following, rows_of(designs[0]), sets))
            following += len(structure)
    return Appendix(tuple(tables), numbers)


def _letter(k: int) -> str:
    return chr(97 + k % 26) * (k // 26 + 1)


def _named(ids: Sequence[str], everything: int) -> str:
    """The connections of a column, grouped by run."""
    if len(ids) == everything:
        return "all designs"
    runs: dict[str, list[str]] = {}
    for connection_id in ids:
        runs.setdefault(connection_id.rsplit("/", 1)[0], []).append(short(connection_id))
    return "; ".join(f"{words.unbroken(run)}/{', '.join(labels)}" for run, labels in runs.items())


def _sources(rows: Sequence[TraceRow], letters: Sequence[str]) -> str:
    """Where a number came from, with the letters of the columns where that differs."""
    found: dict[str, list[str]] = {}
    for row, letter in zip(rows, letters, strict=True):
        found.setdefault(row.source or row.origin.value, []).append(letter)
    if len(found) == 1:
        return rows[0].source
    ordered = sorted(found.items(), key=lambda item: -len(item[1]))
    main, *others = ordered
    parts = [main[0], *(f"{', '.join(which)}: {source}" for source, which in others)]
    return "; ".join(parts)


def _row(
    table: _Table, k: int, columns: Sequence[tuple[TraceRow, ...]], letters: Sequence[str]
) -> dict[str, Json]:
    row = table.rows[k]
    cells = [rows[k] for rows in columns]
    values = [_shown(cell) for cell in cells]
    origins = {cell.origin for cell in cells}
    marked = len(origins) > 1
    return {
        "number": table.first + k,
        "quantity": words.capital(row.quantity),
        "symbol": row.symbol,
        "unit": "" if row.shown_in == "-" else _unit(row.shown_in),
        "formula": row.formula,
        "source": _sources(cells, letters),
        "origin": "input or assumed" if marked else cells[0].origin.value,
        "values": values[:1] if len(set(values)) == 1 and not marked else values,
        "assumed": [marked and cell.origin is Origin.ASSUMED for cell in cells],
    }


def _dittoed(rows: Sequence[dict[str, Json]]) -> list[Json]:
    """The rows with a long source written once, and named by its number after that."""
    first: dict[Json, Json] = {}
    out: list[Json] = []
    for row in rows:
        source = row["source"]
        long = isinstance(source, str) and len(source) > _DITTO
        seen = first.setdefault(source, row["number"]) if long else row["number"]
        again = seen != row["number"]
        out.append({**row, "source": f"as A\u00a0{seen}"} if again else row)
    return out


def _varies(table: _Table, k: int) -> bool:
    """Whether a row differs from column to column."""
    cells = [rows[k] for rows, _ in table.columns]
    return len({(_shown(cell), cell.source, cell.origin) for cell in cells}) > 1


def _unit(unit: str) -> str:
    nice = {"degC": "°C", "deg": "°", "clock h": "clock", "m2": "m²", "m3": "m³", "m3/a": "m³/a"}
    return nice.get(unit, unit.replace("m3", "m³").replace("m2", "m²"))


def _parts(count: int) -> list[tuple[int, int]]:
    """Columns of each block, as evenly as they go."""
    blocks = -(-count // COLUMNS)
    least, more = divmod(count, blocks)
    sizes = [least + 1] * more + [least] * (blocks - more)
    starts = [sum(sizes[:k]) for k in range(blocks)]
    return list(zip(starts, sizes, strict=True))


def _block(table: _Table, start: int, size: int, everything: int) -> dict[str, Json]:
    columns = table.columns[start : start + size]
    letters = [_letter(start + k) for k in range(len(columns))]
    keys = [
        f"{letter}: {_named(ids, everything)}"
        for letter, (_, ids) in zip(letters, columns, strict=True)
    ]
    alone = len(table.columns) == 1
    shown = [k for k in range(len(table.rows)) if start == 0 or _varies(table, k)]
    only = [rows for rows, _ in columns]
    title = table.section
    if start:
        title += ", continued: the rows that differ"
    return {
        "title": title,
        "key": keys[0].removeprefix("a: ") if alone else ". ".join(keys),
        "letters": [""] if alone else letters,
        "first": start == 0,
        "rows": _dittoed([_row(table, k, only, letters) for k in shown]),
    }


def _raised(appendix: Appendix) -> bool:
    """Whether a row holds assumed values beside others."""
    return any(
        len({rows[k].origin for rows, _ in table.columns}) > 1
        for table in appendix.tables
        for k in range(len(table.rows))
    )


def _hold(index: JobIndex) -> Json:
    """Level over the hold that leaves least below the places upstream, or None.

    As planned where there is a programme, else the allowed start with the highest water.
    """
    planned = [hold for hold in index.job.holds if hold.places]
    if planned:
        hold = min(planned, key=lambda each: each.freeboard)
        when = f"as planned: {words.day(hold.start.date())}, {words.at(hold.start)}"
        return _level(hold, f"Connection {hold.connection_id}, {when}.", hold.place, hold.freeboard)
    known = [(d, d.flow) for d in index.job.designs.designs if d.flow is not None and d.flow.places]
    if not known:
        return None
    design, flow = min(known, key=lambda pair: pair[1].freeboards[pair[1].shown])
    shown = flow.shown
    state = "allowed start with the highest water"
    if not flow.allowed[shown]:
        state = "start that needs the smallest pump, which is not drawn"
    text = f"Connection {design.connection_id}, the {state}: {clock_of_day(flow.starts[shown])}."
    return _level(flow, text, flow.first[shown], flow.freeboards[shown])


def _level(held: FlowForecast | PlannedHold, text: str, place: str, freeboard: float) -> Json:
    side = "left" if freeboard >= 0.0 else "too high"
    nearest = f"Nearest is {place}, with {1e3 * abs(freeboard):.0f} mm {side}"
    wanted = f"; {1e3 * held.kept:.0f} mm are wanted." if held.kept else "."
    lines = "Dashed: the lowest levels upstream that the water must not reach."
    return {"figure": hold_figure(held), "words": f"{text} {nearest}{wanted} {lines}"}


def clock_of_day(seconds: float) -> str:
    """`HH:MM` of a time after midnight [s]."""
    return f"{int(seconds // 3600) % 24:02d}:{int(seconds // 60) % 60:02d}"


def sheets(index: JobIndex, appendix: Appendix, curve: Json = None) -> list[Sheet]:
    """The appendix as one sheet of as many pages as it needs; none without designs.

    Args:
        index: The job.
        appendix: Its numbered rows.
        curve: Figure and words of the cure that takes longest, or None.
    """
    if not appendix.tables:
        return []
    everything = len(index.job.designs.designs)
    blocks: list[Json] = [
        _block(table, start, size, everything)
        for table in appendix.tables
        for start, size in _parts(len(table.columns))
    ]
    last = appendix.tables[-1]
    total = last.first + len(last.rows) - 1
    return [
        Sheet(
            "appendix",
            "Calculation appendix",
            f"Each of {total} numbers, in the order to check it",
            f"{words.figures(everything, 'design')}",
            "Calculation appendix",
            {
                "blocks": blocks,
                "raised": _raised(appendix),
                "hold": _hold(index),
                "cure": curve,
            },
        )
    ]
