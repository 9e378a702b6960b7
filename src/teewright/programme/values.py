"""Shifts: which crew does which connection when. Times are local wall-clock datetimes."""

from dataclasses import dataclass
from datetime import date, datetime


@dataclass(frozen=True, slots=True)
class HoldWindow:
    """When a main may begin to be blocked, and for how long then; it comes back every day.

    A main is blocked from the start of the inflation to the release.

    Attributes:
        first: Earliest start of the inflation, seconds after local midnight.
        last: Latest start of the inflation, seconds after local midnight; may pass 24 h.
        longest: From there to the release, at most [s].
    """

    first: float
    last: float
    longest: float


@dataclass(frozen=True, slots=True)
class Installation:
    """One collar to be placed: what the programme must know of it.

    Attributes:
        connection_id: Connection.
        run_id: Run.
        manhole: Node from which the packer goes in.
        distance: From that manhole to the connection [m].
        packers: Names of packers that fit.
        latest_inflation: From the start of mixing to full pressure, at most [s].
        release: From the start of mixing to the earliest release [s].
        allowed_hours: Hours of the day (0-23) in which the main may be blocked. They count
            where `holds` is None: the flow of each hour passes, but nothing is known of the
            water behind the packer, so all of them must be allowed in which it is in the main.
        access: Windows in which the street may be occupied, (start, end) seconds after
            local midnight; end may pass 24 h; empty for any time.
        not_before: First day on which it is ready.
        holds: When the main may begin to be blocked, and for how long, where the level behind
            the packer is known; else None. They then count alone.
    """

    connection_id: str
    run_id: str
    manhole: str
    distance: float
    packers: tuple[str, ...]
    latest_inflation: float
    release: float
    allowed_hours: tuple[int, ...]
    access: tuple[tuple[float, float], ...]
    not_before: date
    holds: tuple[HoldWindow, ...] | None = None


@dataclass(frozen=True, slots=True)
class Visit:
    """One installation in its place in a shift.

    Attributes:
        connection_id: Connection.
        run_id: Run.
        manhole: Node from which the packer goes in.
        packer: Packer on the van, `name` or `name #2` where there are several.
        mix: Mixing starts; the batch lives from here.
        wet_out: Saturated and dressed by.
        lower: Packer goes down.
        in_place: At the connection.
        at_pressure: At full pressure (planned).
        latest_pressure: At full pressure, at the latest.
        release: Released (planned; never before the earliest release).
        earliest_release: Not to be released before.
        out: Packer out of the manhole.
        tested: Leak test and inspection done.
    """

    connection_id: str
    run_id: str
    manhole: str
    packer: str
    mix: datetime
    wet_out: datetime
    lower: datetime
    in_place: datetime
    at_pressure: datetime
    latest_pressure: datetime
    release: datetime
    earliest_release: datetime
    out: datetime
    tested: datetime


@dataclass(frozen=True, slots=True)
class Shift:
    """One shift of one crew.

    Attributes:
        number: From 1, in order of start, then crew.
        crew: Name of the crew.
        day: Day on which it starts.
        start: Start.
        end: End at the latest.
        visits: In order of mixing.
        manholes: Manholes in order of set-up, (node, set-up start, clear end) each.
    """

    number: int
    crew: str
    day: date
    start: datetime
    end: datetime
    visits: tuple[Visit, ...]
    manholes: tuple[tuple[str, datetime, datetime], ...]


@dataclass(frozen=True, slots=True)
class Unplanned:
    """An installation that no shift can hold.

    Attributes:
        connection_id: Connection.
        rule: Name of the constraint that refuses it.
        text: One plain sentence with the numbers.
    """

    connection_id: str
    rule: str
    text: str


@dataclass(frozen=True, slots=True)
class Programme:
    """All shifts of a job.

    Attributes:
        shifts: In order.
        unplanned: Installations left out, each with its reason.
        bound: Least number of shifts that could do it, as far as was proved.
        proved: Whether `len(shifts) == bound`.
    """

    shifts: tuple[Shift, ...]
    unplanned: tuple[Unplanned, ...]
    bound: int
    proved: bool
