"""Inverts of branches, held against the main that they join."""

from teewright.findings import Finding, FindingKind
from teewright.network.conditions import ConnectionNote, Site
from teewright.network.levels import connection_levels
from teewright.network.notes import note_of
from teewright.network.values import Connection, Survey

LAST_DIGIT = 0.005
"""Half a centimetre, to which levels are told [m]."""


def branch_rise(
    survey: Survey, site: Site, connection: Connection, *, bore: float
) -> tuple[float | None, str]:
    """How far the invert of a branch lies above that of the main where it joins.

    A branch opens between the invert and the crown of the main. A level beyond them is not that
    of the mouth, and a level higher up the branch would take water off it: it is not used.

    Args:
        survey: Reconciled survey.
        site: Levels and notes.
        connection: The connection.
        bore: Inner diameter of the main [m].

    Returns:
        (rise [m], or None where it is not known; why a declared level is not used, or `""`).
    """
    note: ConnectionNote | None = note_of(survey, site, connection)
    if note is None or note.branch_invert is None:
        return None, ""
    invert = connection_levels(survey, site, connection).invert
    if invert is None:
        return None, "the level of the main there is not known"
    rise = note.branch_invert - invert
    if -LAST_DIGIT <= rise <= bore + LAST_DIGIT:
        return min(max(rise, 0.0), bore), ""
    return None, f"the main opens from {invert:.2f} to {invert + bore:.2f} m there"


def unused_inverts(survey: Survey, site: Site, bores: dict[str, float]) -> tuple[Finding, ...]:
    """A finding for each declared invert of a branch that is not used.

    Args:
        survey: Reconciled survey.
        site: Levels and notes.
        bores: Inner diameter of the main at each connection that is looked at [m].
    """
    found = []
    for connection in survey.connections:
        if connection.id not in bores:
            continue
        _, why = branch_rise(survey, site, connection, bore=bores[connection.id])
        note = note_of(survey, site, connection)
        if why and note is not None:
            found.append(
                Finding(
                    FindingKind.DOUBT,
                    "branch-invert",
                    f"branch_invert_m is not used, since {why}: the branch is taken at the "
                    "invert of the main, the safe side",
                    value=f"{note.branch_invert:g} m",
                    subject=connection.id,
                )
            )
    return tuple(found)
