"""Levels that water in a main must not reach, held against the main at their connections."""

from teewright.errors import InputError
from teewright.network.conditions import Site
from teewright.network.levels import connection_levels
from teewright.network.notes import connection_of
from teewright.network.values import Survey


def backwater_levels(survey: Survey, site: Site) -> dict[str, float]:
    """Levels that water in the main must not reach, as declared.

    Args:
        survey: Reconciled survey.
        site: Notes on connections.

    Returns:
        Level by connection [m above datum]; the last one where there are several.
    """
    found: dict[str, float] = {}
    for note in site.connections:
        connection = None if note.backwater is None else connection_of(survey, note)
        if connection is not None and note.backwater is not None:
            found[connection.id] = note.backwater
    return found


def check_backwater(survey: Survey, site: Site) -> None:
    """Refuse a level that lies below the main at its connection.

    Args:
        survey: Reconciled survey.
        site: Levels and notes.

    Raises:
        InputError: A declared level is below the invert of the main there.
    """
    for note in site.connections:
        connection = connection_of(survey, note)
        if note.backwater is None or connection is None:
            continue
        invert = connection_levels(survey, site, connection).invert
        if invert is not None and note.backwater < invert:
            raise InputError(
                "is below the invert of the main there",
                field=f"backwater_level_m of {connection.id}",
                value=f"{note.backwater:g} m",
                allowed=f"level ≥ {invert:.2f} m",
            )
