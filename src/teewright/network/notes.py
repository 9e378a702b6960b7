"""Notes of the engineer, found again at their connections."""

from teewright.findings import Finding, FindingKind
from teewright.network.conditions import ConnectionNote, Site
from teewright.network.values import Connection, Survey
from teewright.network.view import clock_distance

REACH = 0.5
"""A note belongs to the nearest connection within this distance [m]."""


def connection_of(survey: Survey, note: ConnectionNote) -> Connection | None:
    """The connection that a note means, or None where there is none within `REACH`."""
    near = [
        c
        for c in survey.connections
        if c.run_id == note.run and abs(c.chainage - note.chainage) <= REACH
    ]

    def distance(c: Connection) -> tuple[float, float]:
        if c.clock is None or note.clock is None:
            return (0.0, abs(c.chainage - note.chainage))
        return (round(clock_distance(c.clock, note.clock)), abs(c.chainage - note.chainage))

    return min(near, key=distance) if near else None


def note_of(survey: Survey, site: Site, connection: Connection) -> ConnectionNote | None:
    """The note about a connection, the last one where there are several, or None."""
    found = None
    for note in site.connections:
        if note.run != connection.run_id:
            continue
        meant = connection_of(survey, note)
        if meant is not None and meant.id == connection.id:
            found = note
    return found


def unplaced(survey: Survey, site: Site) -> tuple[Finding, ...]:
    """A finding for each note that belongs to no connection."""
    return tuple(
        Finding(
            FindingKind.DOUBT,
            "note-without-connection",
            f"the note at {note.chainage:.2f} m of {note.run} has no connection within "
            f"{REACH} m and is not used",
            value=note.note,
            subject=note.run,
        )
        for note in site.connections
        if connection_of(survey, note) is None
    )
