"""All that a tablet must know to run the clock without a signal."""

from typing import Any

from fastapi import APIRouter, Request

from teewright.bench.taking import project_key
from teewright.job.proving import limits_of
from teewright.job.values import Design, Job
from teewright.network.values import Connection, Run
from teewright.programme.values import Shift, Visit
from teewright.site.values import EventKind
from teewright.web.api.events import server_time
from teewright.web.asked import TheOffice
from teewright.web.guard.roles import LOGS, Asker
from teewright.web.office import Known
from teewright.web.render import system_of

router = APIRouter(tags=["clock"])
READING_EVERY = 900.0
"""How often the gauge is read while the collar is held [s]; common practice, no source."""
PLANNED = (
    "mix", "wet_out", "lower", "in_place", "at_pressure", "latest_pressure", "release", "out",
    "tested",
)  # fmt: skip


@router.get("/clock")
def clock(request: Request, office: TheOffice) -> dict[str, Any]:
    """What is to be set, where, with which limits and cautions; times of the plan are local."""
    known = office.known()
    asker: Asker | None = getattr(request.state, "person", None)
    key = office.desk.ask(project_key)
    return {
        "project": key,
        "server_time": server_time(),
        "csrf": getattr(request.state, "csrf", ""),
        "person": getattr(asker, "name", ""),
        "signed_in": asker.name if asker is not None and asker.signed_in else "",
        "logs": sorted(LOGS[asker.role] if asker is not None else EventKind),
        "units": system_of(request).value,
        "reading_every": READING_EVERY,
        **snapshot(known),
    }


def snapshot(known: Known) -> dict[str, Any]:
    """The job as the clock shows it; without collars where none is designed yet.

    Args:
        known: What is known of the job.
    """
    job = known.job
    site = known.loaded.site if known.loaded else None
    return {
        "title": site.title if site else "",
        "place": site.place if site else "",
        "invented": bool(site and site.invented),
        "fingerprint": known.inputs.fingerprint[:8] if known.inputs.surveys else "",
        "shifts": [_shift(shift) for shift in job.programme.shifts] if job else [],
        "collars": _collars(job) if job else [],
    }


def _shift(shift: Shift) -> dict[str, Any]:
    return {
        "number": shift.number,
        "crew": shift.crew,
        "day": shift.day.isoformat(),
        "start": shift.start.isoformat(),
        "end": shift.end.isoformat(),
        "connections": [visit.connection_id for visit in shift.visits],
    }


def _collars(job: Job) -> list[dict[str, Any]]:
    visits = {
        visit.connection_id: (shift, visit)
        for shift in job.programme.shifts
        for visit in shift.visits
    }
    return [
        _collar(
            design,
            job.survey.connection(design.connection_id),
            job.survey.run(job.survey.connection(design.connection_id).run_id),
            visits.get(design.connection_id),
        )
        for design in job.designs.designs
    ]


def _collar(
    design: Design, connection: Connection, run: Run, planned: tuple[Shift, Visit] | None
) -> dict[str, Any]:
    """One collar: place, limits, batch and cautions."""
    manhole = planned[1].manhole if planned else run.upstream
    limits, tolerance = limits_of(design), design.collar.tolerance
    return {
        "connection": connection.id,
        "run": run.id,
        "manhole": manhole,
        "distance": _distance(connection, run, manhole),
        "against_flow": manhole == run.downstream,
        "position": connection.clock,
        "pattern": design.collar.pattern,
        "packer": planned[1].packer if planned else next(iter(design.packers), ""),
        "shift": planned[0].number if planned else None,
        "planned": {n: getattr(planned[1], n).isoformat() for n in PLANNED} if planned else None,
        "limits": {
            "latest_inflation": limits.latest_inflation,
            "release": limits.release,
            "pressure_low": limits.pressure_low,
            "pressure_high": limits.pressure_high,
        },
        "governs": {
            "latest_inflation": design.cure.latest_by.name.lower(),
            "release": design.cure.release_by.name.lower(),
        },
        "pressure_set": design.pressure.set,
        "mix_temperature": design.cure.mix_temperature,
        "cure_temperature": design.cure.cure_temperature,
        "batch": {
            "mass": design.resin.mass,
            "mass_a": design.resin.mass_a,
            "mass_b": design.resin.mass_b,
            "packs": design.resin.packs,
        },
        "tolerance": {"along": tolerance.along, "round": tolerance.round} if tolerance else None,
        "diameter": design.collar.junction.main_diameter,
        "cautions": [list(pair) for pair in design.cautions],
    }


def _distance(connection: Connection, run: Run, manhole: str) -> float | None:
    """From the manhole where the packer goes in to the connection [m]."""
    if manhole != run.downstream:
        return connection.chainage
    return None if run.length is None else run.length - connection.chainage
