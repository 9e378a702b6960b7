"""Frozen values of the network: nodes, runs, inspections, observations, connections.

Signs and views (docs/nomenclature.md): `chainage` [m] runs from the upstream node to the
centre of the connection; `clock` [h] is in flow view, 12 at the crown. A `station` and an
observation's own clock are as the camera saw them.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from teewright.findings import Finding, Place
from teewright.network.indexed import Indexed


class Direction(StrEnum):
    """Direction in which the camera travelled (EN 13508-2 header field AAK)."""

    WITH = "with flow"
    AGAINST = "against flow"
    UNKNOWN = "unknown"


class ConnectionKind(StrEnum):
    """How the lateral joins the main (EN 13508-2 code BCA, characterisation 1)."""

    JUNCTION = "junction"
    SADDLE_DRILLED = "saddle, drilled"
    SADDLE_CHISELLED = "saddle, chiselled"
    PLAIN_DRILLED = "plain, drilled"
    PLAIN_CHISELLED = "plain, chiselled"
    OTHER = "other"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Observation:
    """One coded observation, as the file has it.

    Attributes:
        code: Main code, e.g. `BCA`.
        char1: Characterisation 1.
        char2: Characterisation 2.
        q1: Quantification 1, in the file's unit, or None.
        q2: Quantification 2, in the file's unit, or None.
        station: Distance from the start of the inspection [m].
        clock_from: Clock as the camera saw it [h], or None.
        clock_to: End of the clock range, as seen [h], or None.
        continuous: Letter and number of a continuous defect, or `""`.
        at_joint: Whether it is at a joint.
        remark: Free text.
        photo: Photo reference.
        video: Video reference.
        place: File and line.
        extra: Columns that the tool does not use, (name, value) each.
    """

    code: str
    char1: str
    char2: str
    q1: float | None
    q2: float | None
    station: float
    clock_from: float | None
    clock_to: float | None
    continuous: str
    at_joint: bool
    remark: str
    photo: str
    video: str
    place: Place
    extra: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Inspection:
    """One pass of the camera through one pipe.

    Attributes:
        key: Unique within the survey: file name, `#`, ordinal in the file from 1.
        pipe: Pipe reference as the file has it (need not be unique, may be a counter).
        start_node: Node where the camera started.
        upstream: Upstream node, or `""` where the direction is not known.
        downstream: Downstream node, or `""` where the direction is not known.
        nodes: The two nodes in the order of the file.
        direction: Direction of travel.
        date: As written, `YYYY-MM-DD` where it could be read.
        time: As written.
        inspector: As written.
        length: Expected length of the pipe (ABQ) [m], or None.
        height: Height of the pipe [m], or None.
        width: Width of the pipe [m], or None.
        material: Material code as written.
        lining_type: Lining code as written (ACE), `""` where none is stated.
        lining_material: Lining material as written (ACF).
        abandoned: Whether the pass ended before the far node (BDC).
        last_station: Largest station reached [m].
        observations: In the order of the file.
        header: Every header field, known or not, (code, value) each.
        place: File and line of the header.
    """

    key: str
    pipe: str
    start_node: str
    upstream: str
    downstream: str
    nodes: tuple[str, str]
    direction: Direction
    date: str
    time: str
    inspector: str
    length: float | None
    height: float | None
    width: float | None
    material: str
    lining_type: str
    lining_material: str
    abandoned: bool
    last_station: float
    observations: tuple[Observation, ...]
    header: tuple[tuple[str, str], ...]
    place: Place


@dataclass(frozen=True, slots=True)
class Defect:
    """An observation that belongs to a connection.

    Attributes:
        code: Main code, e.g. `BAH`.
        char1: Characterisation 1.
        char2: Characterisation 2.
        q1: Quantification 1, in the file's unit, or None.
        chainage: From the upstream node [m].
        clock: In flow view [h], or None.
        remark: Free text.
        place: File and line.
    """

    code: str
    char1: str
    char2: str
    q1: float | None
    chainage: float
    clock: float | None
    remark: str
    place: Place


@dataclass(frozen=True, slots=True)
class Sighting:
    """One time that a connection was seen or declared.

    Attributes:
        inspection: Key of the inspection, or the file name for a plain list.
        date: Date of the inspection, as written.
        direction: Direction of travel.
        station: As measured [m].
        chainage: From the upstream node [m].
        clock: In flow view [h], or None.
        diameter: Of the branch [m], or None.
        kind: How it joins.
        is_open: Open, closed, or None where not coded.
        defects: Defects seen with it.
        place: File and line.
        remark: Free text.
    """

    inspection: str
    date: str
    direction: Direction
    station: float
    chainage: float
    clock: float | None
    diameter: float | None
    kind: ConnectionKind
    is_open: bool | None
    defects: tuple[Defect, ...]
    place: Place
    remark: str = ""


@dataclass(frozen=True, slots=True)
class Connection:
    """One lateral connection, however often it was seen.

    Attributes:
        id: Unique within the survey: run id, `/`, two digits in order of chainage, kept once
            collars are designed; a correction by hand leaves it, and one that it splits off has
            the next free number.
        run_id: Run it joins.
        chainage: From the upstream node [m].
        clock: Centre, in flow view [h], or None.
        diameter: Inner diameter of the branch [m], or None.
        angle: Between the axes of main and branch, opening against the flow as a wye
            does [rad], or None.
        kind: How it joins.
        is_open: Open, closed, or None where not known.
        defects: Defects of the latest sighting, then those of earlier ones not seen again.
        sightings: Each time it was seen, latest first.
        settled: Fields that were set by hand, on which the sightings need not agree.
    """

    id: str
    run_id: str
    chainage: float
    clock: float | None
    diameter: float | None
    angle: float | None
    kind: ConnectionKind
    is_open: bool | None
    defects: tuple[Defect, ...]
    sightings: tuple[Sighting, ...]
    settled: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Run:
    """One main from node to node.

    Attributes:
        id: `upstream-downstream`; `A~B` where the direction of flow is not known.
        upstream: Upstream node.
        downstream: Downstream node.
        length: [m], or None.
        diameter: Nominal inner diameter of the host pipe [m], or None.
        material: Material code or word.
        lined: Whether the survey or the engineer says that it is lined; None if not stated.
        inspections: Keys of its inspections.
        defects: Observations of the run that belong to no connection.
    """

    id: str
    upstream: str
    downstream: str
    length: float | None
    diameter: float | None
    material: str
    lined: bool | None
    inspections: tuple[str, ...]
    defects: tuple[Defect, ...] = ()


class _Found(NamedTuple):
    """What of a survey goes by which id."""

    runs: dict[str, Run]
    connections: dict[str, Connection]
    of_run: dict[str, tuple[Connection, ...]]


@dataclass(frozen=True, slots=True)
class Survey(Indexed[_Found]):
    """All that the files say, reconciled.

    Attributes:
        inspections: Every pass, as read.
        runs: In order of first appearance.
        connections: Grouped by run, in order of chainage.
        findings: Everything repaired, guessed, dropped or doubted.
    """

    inspections: tuple[Inspection, ...]
    runs: tuple[Run, ...]
    connections: tuple[Connection, ...]
    findings: tuple[Finding, ...]

    def run(self, run_id: str) -> Run:
        """The run of that id; `KeyError` where there is none."""
        return self._indexed().runs[run_id]

    def connection(self, connection_id: str) -> Connection:
        """The connection of that id; `KeyError` where there is none."""
        return self._indexed().connections[connection_id]

    def of_run(self, run_id: str) -> tuple[Connection, ...]:
        """Connections of a run, in order of chainage."""
        return self._indexed().of_run.get(run_id, ())

    def _made_index(self) -> _Found:
        of_run: dict[str, list[Connection]] = {}
        for connection in self.connections:
            of_run.setdefault(connection.run_id, []).append(connection)
        return _Found(
            {r.id: r for r in self.runs},
            {c.id: c for c in self.connections},
            {run_id: tuple(members) for run_id, members in of_run.items()},
        )
