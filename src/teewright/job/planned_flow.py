"""Level behind the packer as planned: from the inflation of each installation to its release."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np

from teewright.errors import GeometryError, InputError, RangeError
from teewright.findings import Finding, FindingKind
from teewright.hydraulics.blocking import HOLD, holds
from teewright.hydraulics.holds import Holds, Setting
from teewright.job.blocking import POINTS, STEP
from teewright.job.flow_setting import setting_of
from teewright.job.resolve import resolve
from teewright.job.values import Designs, PlannedHold
from teewright.kit.values import Kit, Packer
from teewright.network.conditions import Site
from teewright.network.values import Survey
from teewright.programme.values import Programme, Visit
from teewright.units import HOUR, MINUTE, MM

BEYOND = 6.0 * HOUR
"""For how long after its planned release a hold that does not end is followed [s]."""


def planned_flow(
    survey: Survey, site: Site, kit: Kit, designs: Designs, programme: Programme
) -> tuple[PlannedHold, ...]:
    """Level behind the packer of each planned installation, with the packer on the van.

    Args:
        survey: Runs and connections.
        site: Levels and flows.
        kit: Packers, freeboard to be kept, time to inflate.
        designs: What is made; a connection without a level forecast has no trace here either.
        programme: Shifts.

    Returns:
        In the order of the programme.
    """
    known = {d.connection_id for d in designs.designs if d.flow is not None}
    packers = {packer.name: packer for packer in kit.packers}
    found = []
    for visit in (v for shift in programme.shifts for v in shift.visits):
        packer = packers.get(visit.packer.rsplit(" #", 1)[0])
        if visit.connection_id in known and packer is not None:
            found.append(_planned(survey, site, kit, visit, packer))
    return tuple(hold for hold in found if hold is not None)


def planned_findings(planned: Iterable[PlannedHold]) -> tuple[Finding, ...]:
    """Planned holds over which the water comes nearer to a place than the freeboard.

    The programme keeps each hold within what the forecast of the packer that is chosen first
    allows; a programme by hand, another packer, or a start between two that were tried may be
    worse.

    Args:
        planned: Holds as planned.

    Returns:
        One finding for each.
    """
    return tuple(
        Finding(
            FindingKind.DOUBT,
            "planned-water-too-high",
            f"blocked for {hold.duration / MINUTE:.0f} min from {hold.start:%H:%M} as planned, the "
            f"water comes to {_distance(hold.freeboard)} {hold.place}, {hold.kept / MM:.0f} mm "
            "below it is wanted: release on time, start in a quieter hour or pump",
            value=f"{hold.freeboard / MM:.0f} mm",
            subject=hold.connection_id,
        )
        for hold in planned
        if hold.freeboard < hold.kept
    )


def _distance(freeboard: float) -> str:
    return f"{abs(freeboard) / MM:.0f} mm {'below' if freeboard >= 0.0 else 'above'}"


def _planned(
    survey: Survey, site: Site, kit: Kit, visit: Visit, packer: Packer
) -> PlannedHold | None:
    """One hold, or None where this packer's own place has no level upstream."""
    connection = survey.connection(visit.connection_id)
    inputs = resolve(survey, site, connection)
    kept = kit.rules.freeboard
    start = visit.at_pressure - timedelta(seconds=kit.shifts.inflate)
    duration = min((visit.release - start).total_seconds(), HOLD[1])
    try:
        setting = setting_of(survey, site, connection, inputs, packer, freeboard=kept)
        found = _held(setting, start, duration, inputs.over_pumping)
        looked = min(duration + BEYOND, HOLD[1])
        endless = _held(replace(setting, freeboard=0.0), start, looked, inputs.over_pumping)
    except (GeometryError, InputError, RangeError):
        return None
    nearest = int(found.freeboards[0].argmin())
    reached, place = _reached(endless)
    points = np.unique(np.linspace(0, found.times.size - 1, POINTS).astype(int))
    return PlannedHold(
        connection_id=connection.id,
        start=start,
        duration=duration,
        times=tuple(found.times[points].tolist()),
        levels=tuple(found.levels[0, points].tolist()),
        invert=setting.upstream.invert,
        greatest=float(found.greatest[0]),
        greatest_at=float(found.greatest_at[0]),
        place=found.places[nearest].name,
        freeboard=float(found.freeboards[0, nearest]),
        kept=kept,
        reached=reached,
        reached_place=place,
        looked=looked,
        pumped=inputs.over_pumping,
        places=tuple((place.name, place.level) for place in found.places),
    )


def _held(setting: Setting, start: datetime, duration: float, pumped: float) -> Holds:
    midnight = datetime.combine(start.date(), datetime.min.time())
    since = np.array([(start - midnight).total_seconds()])
    return holds(setting, duration, starts=since, pump=pumped, step=STEP)


def _reached(endless: Holds) -> tuple[float | None, str]:
    """When, after the start, the water first stands at a place, and at which."""
    times = endless.reached[0]
    if np.isnan(times).all():
        return None, ""
    first = int(np.nanargmin(times))
    return float(times[first]), endless.places[first].name
