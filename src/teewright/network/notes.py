"""Notes of the engineer, found again at their connections."""

from teewright.findings import Finding, FindingKind
from teewright.network.conditions import ConnectionNote, Site
from teewright.network.values import Connection, Survey
from teewright.network.view import clock_distance

REACH = 0.5
"""A note belongs to the nearest connection within this distance [m]."""


def connection_of(survey: Survey, note: ConnectionNote) -> Connection | None:
    """The connection that a note means, or None where there is none within `REACH`."""
    near = [c for c in survey.of_run(note.run) if abs(c.chainage - note.chainage) <= REACH]

    def distance(c: Connection) -> tuple[float, float]:
        if c.clock is None or note.clock is None:
            return (0.0, abs(c.chainage - note.chainage))
        return (round(clock_distance(c.clock, note.clock)), abs(c.chainage - note.chainage))

    return min(near, key=distance) if near else None


def note_of(survey: Survey, site: Site, connection: Connection) -> ConnectionNote | None:
    """The note about a connection, the last one where there are several, or None."""
    found = None
    for note in site.notes_on(connection.run_id):
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


def not_in_survey(survey: Survey, site: Site) -> tuple[Finding, ...]:
    """A finding for each node and run of the site file that the survey does not hold."""
    nodes = {end for run in survey.runs for end in (run.upstream, run.downstream)}
    runs = {frozenset((run.upstream, run.downstream)) for run in survey.runs}
    names = [("node", n.node) for n in site.nodes if n.node not in nodes]
    names += [
        ("run", f"{r.upstream}-{r.downstream}")
        for r in site.runs
        if frozenset((r.upstream, r.downstream)) not in runs
    ]
    return tuple(
        Finding(
            FindingKind.DOUBT,
            f"{what}-not-in-survey",
            f"the site file tells of {what} {name}, which the survey does not hold: not used",
            value=name,
        )
        for what, name in names
    )
