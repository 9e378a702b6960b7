"""Small surveys for the tests of the assessment."""

from dataclasses import replace

from teewright.findings import Place
from teewright.network.conditions import ConnectionNote, RunConditions, Site
from teewright.network.values import (
    Connection,
    ConnectionKind,
    Defect,
    Direction,
    Inspection,
    Run,
    Sighting,
    Survey,
)

NOWHERE = Place()
LINED = Site(runs=(RunConditions("A", "B", lined=True),))


def defect(code: str, char1: str = "", q1: float | None = None) -> Defect:
    return Defect(code, char1, "", q1, 10.0, 10.0, "", NOWHERE)


def sighting(**changes: object) -> Sighting:
    plain = Sighting(
        inspection="s.txt#1",
        date="2026-10-06",
        direction=Direction.WITH,
        station=10.0,
        chainage=10.0,
        clock=10.0,
        diameter=0.15,
        kind=ConnectionKind.PLAIN_DRILLED,
        is_open=True,
        defects=(),
        place=NOWHERE,
    )
    return replace(plain, **changes)  # type: ignore[arg-type]


def connection(*defects: Defect, **changes: object) -> Connection:
    plain = Connection(
        id="A-B/01",
        run_id="A-B",
        chainage=10.0,
        clock=10.0,
        diameter=0.15,
        angle=None,
        kind=ConnectionKind.PLAIN_DRILLED,
        is_open=True,
        defects=defects,
        sightings=(sighting(defects=defects),),
    )
    return replace(plain, **changes)  # type: ignore[arg-type]


def inspection(**changes: object) -> Inspection:
    plain = Inspection(
        key="s.txt#1",
        pipe="1",
        start_node="A",
        upstream="A",
        downstream="B",
        nodes=("A", "B"),
        direction=Direction.WITH,
        date="2026-10-06",
        time="",
        inspector="",
        length=40.0,
        height=0.2,
        width=0.2,
        material="",
        lining_type="",
        lining_material="",
        abandoned=False,
        last_station=40.0,
        observations=(),
        header=(),
        place=NOWHERE,
    )
    return replace(plain, **changes)  # type: ignore[arg-type]


def run(**changes: object) -> Run:
    plain = Run(
        id="A-B",
        upstream="A",
        downstream="B",
        length=40.0,
        diameter=0.2,
        material="",
        lined=None,
        inspections=("s.txt#1",),
    )
    return replace(plain, **changes)  # type: ignore[arg-type]


def survey(*connections: Connection, passes: tuple[Inspection, ...] = ()) -> Survey:
    every = passes or (inspection(),)
    of_run = run(inspections=tuple(p.key for p in every))
    return Survey(every, (of_run,), connections, ())


def noted(**changes: object) -> Site:
    note = ConnectionNote("A-B", 10.0, **changes)  # type: ignore[arg-type]
    return replace(LINED, connections=(note,))
