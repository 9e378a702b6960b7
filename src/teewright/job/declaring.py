"""What the engineer declares for the whole job where the survey does not code it."""

from dataclasses import replace

from teewright.network.conditions import ConnectionNote, Site
from teewright.network.levels import run_conditions
from teewright.network.notes import note_of
from teewright.network.values import Connection, Survey


def declare_lining(survey: Survey, site: Site, thickness: float) -> Site:
    """The site with every run declared lined.

    Args:
        survey: Whose runs are meant.
        site: What was declared before; a thickness declared for a run is kept.
        thickness: Of the liner [m].
    """
    runs = []
    for run in survey.runs:
        declared = run_conditions(site, run)
        runs.append(
            replace(declared, lined=True, liner_thickness=declared.liner_thickness or thickness)
        )
    return replace(site, runs=tuple(runs))


def declare_branches(survey: Survey, site: Site, diameter: float) -> Site:
    """The site with a diameter for every branch whose own is not known.

    Args:
        survey: Whose connections are meant.
        site: What was declared before; a diameter noted for a connection is kept.
        diameter: Inner diameter of the branch [m].
    """
    unknown = [c for c in survey.connections if c.diameter is None]
    added = tuple(_noted(c, note_of(survey, site, c), diameter) for c in unknown)
    return replace(site, connections=(*site.connections, *added))


def _noted(c: Connection, note: ConnectionNote | None, diameter: float) -> ConnectionNote:
    """The note that counts from now on: the last about a connection does."""
    if note is None:
        return ConnectionNote(c.run_id, c.chainage, clock=c.clock, diameter=diameter)
    return replace(note, diameter=note.diameter or diameter)
