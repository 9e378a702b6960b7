"""Step: what each connection needs."""

import math

from teewright.assess.rules import assess
from teewright.assess.values import Assessment
from teewright.hydraulics.thin_gap import thin_gap_flow
from teewright.network.conditions import Site
from teewright.network.levels import connection_levels
from teewright.network.notes import not_in_survey, note_of, unplaced
from teewright.network.values import Connection, Survey
from teewright.units import clock_angle


def gap_flow(
    head: float, gap: float, path: float, perimeter: float
) -> tuple[float | None, float | None]:
    """Flow through the gap round a cut edge.

    Args:
        head: Of water above the connection [m].
        gap: Width [m].
        path: Length along the flow [m].
        perimeter: Of the cut [m].

    Returns:
        (flow [m3/s] or None where the cubic law does not hold, Reynolds number [-]).
    """
    found = thin_gap_flow(head, gap, path, perimeter)
    return (found.flow if found.valid else None), found.reynolds


def water_over(survey: Survey, site: Site, connection: Connection) -> float | None:
    """Groundwater above the centre of a connection [m], or None where not known.

    The centre lies at the clock position on the wall; where the clock is not known the invert
    is taken, where most water stands above it.
    """
    levels = connection_levels(survey, site, connection)
    if levels.invert is None or levels.groundwater is None:
        return None
    diameter = survey.run(connection.run_id).diameter or site.defaults.main_diameter
    note = note_of(survey, site, connection)
    noted = note.clock if note else None
    clock = connection.clock if noted is None else noted
    angle = math.pi if clock is None else clock_angle(clock)
    centre = levels.invert + 0.5 * diameter * (1.0 + math.cos(angle))
    return max(0.0, levels.groundwater - centre)


def assess_survey(survey: Survey, site: Site) -> Assessment:
    """Needs and groundwater entry of every connection, with findings."""
    heads = {c.id: water_over(survey, site, c) for c in survey.connections}
    found = assess(survey, site, heads=heads, gap_flow=gap_flow)
    return Assessment(
        found.verdicts, (*not_in_survey(survey, site), *unplaced(survey, site), *found.findings)
    )
