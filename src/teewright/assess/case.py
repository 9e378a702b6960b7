"""One connection with all that bears on what it needs."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from teewright.network.conditions import ConnectionNote, RunConditions, Site
from teewright.network.levels import run_conditions
from teewright.network.notes import connection_of
from teewright.network.values import (
    Connection,
    ConnectionKind,
    Defect,
    Inspection,
    Run,
    Sighting,
    Survey,
)


@dataclass(frozen=True, slots=True)
class Case:
    """What the rules look at.

    Attributes:
        connection: The connection.
        run: Its run.
        declared: What the site declares of the run.
        note: What the engineer knows of the connection, or None.
        head: Groundwater above its centre [m], or None where not known.
        passes: Inspections by key.
    """

    connection: Connection
    run: Run
    declared: RunConditions
    note: ConnectionNote | None
    head: float | None
    passes: Mapping[str, Inspection]

    @property
    def clock(self) -> float | None:
        """Clock position in flow view [h]; the note goes before the survey."""
        noted = self.note.clock if self.note else None
        return noted if noted is not None else self.connection.clock

    @property
    def diameter(self) -> float | None:
        """Inner diameter of the branch [m]; the note goes before the survey."""
        noted = self.note.diameter if self.note else None
        return noted if noted is not None else self.connection.diameter

    @property
    def lined(self) -> bool:
        """Whether the run is lined: as declared, else as the survey has it."""
        if self.declared.lined is not None:
            return self.declared.lined
        return self.declared.liner_thickness is not None or bool(self.run.lined)

    @property
    def coded(self) -> tuple[Sighting, ...]:
        """Sightings from coded inspections, not from plain lists."""
        return tuple(s for s in self.connection.sightings if s.inspection in self.passes)

    def defects(self, code: str, *chars: str) -> tuple[Defect, ...]:
        """Defects of a main code, with one of the characterisations where any are given."""
        every = self.connection.defects
        if not every:  # as of most: two dozen rules ask each of them
            return ()
        return tuple(d for d in every if d.code == code and (not chars or d.char1 in chars))

    def angle(self, site: Site) -> tuple[float, bool]:
        """(angle between the axes [rad], whether it is a default)."""
        noted = self.note.angle if self.note else None
        known = noted if noted is not None else self.connection.angle
        if known is not None:
            return known, False
        preformed = self.connection.kind is ConnectionKind.JUNCTION
        angle = site.defaults.angle_junction if preformed else site.defaults.angle_other
        return angle, True


def cases(survey: Survey, site: Site, heads: Mapping[str, float | None]) -> tuple[Case, ...]:
    """A case for each connection of a survey, in its order.

    Args:
        survey: Reconciled survey.
        site: What is declared of the place.
        heads: Connection id -> groundwater above its centre [m], or None.
    """
    runs = {run.id: run for run in survey.runs}
    passes = {inspection.key: inspection for inspection in survey.inspections}
    meant = [(connection_of(survey, note), note) for note in site.connections]
    notes = {found.id: note for found, note in meant if found is not None}  # the last one counts
    return tuple(
        Case(
            connection=connection,
            run=runs[connection.run_id],
            declared=run_conditions(site, runs[connection.run_id]),
            note=notes.get(connection.id),
            head=heads.get(connection.id),
            passes=passes,
        )
        for connection in survey.connections
    )


def cut_perimeter(diameter: float, angle: float) -> float:
    """Length of the cut edge round a branch [m].

    The edge is taken as a plane oblique cut, an ellipse of semi-axes d/2 and d/(2 sin angle);
    its perimeter by Ramanujan's first approximation (Modular equations and approximations to
    pi, 1914; value from memory). The curvature of the main is left out: it makes the true
    edge a little longer.

    Args:
        diameter: Inner diameter of the branch [m].
        angle: Between the axes, 0 < angle <= pi/2 [rad].
    """
    a, b = 0.5 * diameter / math.sin(angle), 0.5 * diameter
    return math.pi * (3.0 * (a + b) - math.sqrt((3.0 * a + b) * (a + 3.0 * b)))
