"""Level behind the packer of one connection, from the survey's runs and the site's levels."""

from dataclasses import dataclass

import numpy as np

from teewright.errors import GeometryError, InputError, RangeError
from teewright.findings import Finding, FindingKind
from teewright.hydraulics.blocking import allowed_hours, every, holds, latest_start, pump_needed
from teewright.hydraulics.blocking import trace as hold_trace
from teewright.hydraulics.holds import Holds, Setting
from teewright.hydraulics.inflow import Inflow, Since, block_rain, hourly_series
from teewright.hydraulics.losses import Bores
from teewright.hydraulics.storage import MANNING
from teewright.hydraulics.values import (
    BypassCheck,
    FlowForecast,
    blocked_hours,
    pump_wanted,
)
from teewright.job.resolve import Inputs
from teewright.job.upstream import CHAMBER, NEAREST, upstream_rooms, watches_of
from teewright.kit.values import Packer
from teewright.network.conditions import Site
from teewright.network.values import Connection, Survey
from teewright.resin.values import CureTimes
from teewright.trace import Origin, TraceRow
from teewright.units import HOUR, LITRE

APART = HOUR / 2.0
"""Between two starts: an hour is tried at its beginning and at its half [s]."""
STEP = 60.0
"""Longest step of the balance [s]."""
POINTS = 61
"""Of the level over time that is kept."""
NOTES = (
    (
        f"Each manhole upstream is taken with a plan area of {CHAMBER:.1f} m² above the crown of "
        "its outgoing pipe, to be confirmed on site."
    ),
    f"Manning's n of the pipes upstream is taken as {MANNING}.",
    (
        "The water must stay below the crown of the main at each connection upstream, so that "
        "the connection still drains, and below each cover; floors of cellars are not known."
    ),
    "Pipes of which a level, a diameter or the way of the flow is not known store nothing.",
)


@dataclass(frozen=True, slots=True)
class Blocked:
    """The level forecast of a connection, or why there is none.

    Attributes:
        forecast: None where a level is missing or the levels do not fit together.
        reason: One plain clause, empty where there is a forecast.
    """

    forecast: FlowForecast | None
    reason: str = ""


def flow_forecast(
    survey: Survey,
    site: Site,
    connection: Connection,
    inputs: Inputs,
    packer: Packer,
    cure: CureTimes,
    *,
    steady: tuple[int, ...] = tuple(range(24)),
) -> Blocked:
    """What the water behind the packer does from its inflation to its release.

    Args:
        survey: Runs and connections.
        site: Levels, pattern of the flow, infiltration and shower.
        connection: That is sealed.
        inputs: Of the connection.
        packer: The packer used; its upper end lies half its length up the main.
        cure: The main is blocked from the latest inflation to the release.
        steady: Hours that the steady check allows: the start that is shown is one of these.

    Returns:
        The forecast, or the reason why the steady check has to do.
    """
    try:
        setting = _setting(survey, site, connection, inputs, packer)
        return Blocked(_forecast(setting, cure.release_time - cure.latest_inflation, steady))
    except (GeometryError, InputError, RangeError) as error:
        return Blocked(None, str(error).rstrip("."))


def blocked_findings(
    connection_id: str, bypass: BypassCheck, blocked: Blocked
) -> tuple[Finding, ...]:
    """A forecast that could not be made, and a main that may be blocked at no hour.

    Args:
        connection_id: Connection.
        bypass: Its steady check.
        blocked: Its forecast.

    Returns:
        At most one finding.
    """
    flow = blocked.forecast
    if flow is None:
        return (
            Finding(
                FindingKind.ASSUMED,
                "no-level-behind-packer",
                f"the level behind the packer is not computed: {blocked.reason}; only the bypass "
                "is held against the flow of each hour",
                value="steady check",
                subject=connection_id,
            ),
        )
    if blocked_hours(bypass, flow):
        return ()
    return (
        Finding(
            FindingKind.DOUBT,
            "never-blocked",
            f"at no hour may the main be blocked for {flow.duration / HOUR:.1f} h: "
            f"{over_pumping(bypass, flow)}",
            value="never",
            subject=connection_id,
        ),
    )


def over_pumping(bypass: BypassCheck, flow: FlowForecast) -> str:
    """What must be pumped round the packer where no hour is allowed.

    Args:
        bypass: Steady check.
        flow: Level over the hold.

    Returns:
        One plain clause.
    """
    pump = pump_wanted(bypass, flow)
    if pump is None:
        return "the water stands too high before the packer is set"
    return f"needs {pump / LITRE:.2f} l/s pumped"


def _setting(
    survey: Survey, site: Site, connection: Connection, inputs: Inputs, packer: Packer
) -> Setting:
    run = survey.run(connection.run_id)
    seat = max(connection.chainage - packer.length / 2.0, NEAREST)
    upstream, used = upstream_rooms(survey, site, run, seat, inputs)
    diameter = inputs.lined_diameter
    return Setting(
        upstream=upstream,
        bores=Bores(packer.bypass_count, packer.bypass_diameter, packer.length, diameter / 2.0),
        inflow=_inflow(site, inputs),
        watches=watches_of(survey, upstream, used, seat),
    )


def _inflow(site: Site, inputs: Inputs) -> Inflow:
    rain, dry = site.rain, hourly_series(inputs.mean_flow.value, site.flow_pattern)
    if rain is None:
        return Inflow(dry, site.infiltration)
    shower = block_rain(rain.peak, rain.duration, start=rain.start, since=Since.MIDNIGHT)
    return Inflow(dry, site.infiltration, shower)


def _forecast(setting: Setting, duration: float, steady: tuple[int, ...]) -> FlowForecast:
    starts = every(APART)
    found = holds(setting, duration, starts=starts, step=STEP)
    pumps: list[float | None] = [0.0] * starts.size
    refused = np.flatnonzero(~found.allowed)
    if refused.size:
        needed = pump_needed(setting, duration, starts=starts[refused])
        for k, pump in zip(refused, needed, strict=True):
            pumps[int(k)] = None if np.isnan(pump) else float(pump)
    hours = allowed_hours(found)
    shown = _shown(found, pumps, [hour for hour in hours if hour in steady])
    kept = np.unique(np.linspace(0, found.times.size - 1, POINTS).astype(int))
    return FlowForecast(
        duration=duration,
        starts=tuple(starts.tolist()),
        greatest=tuple(found.greatest.tolist()),
        freeboards=tuple(found.freeboards.min(axis=1).tolist()),
        first=tuple(_first(found, k) for k in range(starts.size)),
        allowed=tuple(found.allowed.tolist()),
        pumps=tuple(pumps),
        allowed_hours=hours,
        latest_start=latest_start(found),
        shown=shown,
        times=tuple(found.times[kept].tolist()),
        levels=tuple(found.levels[shown, kept].tolist()),
        invert=setting.upstream.invert,
        places=tuple((place.name, place.level) for place in found.places),
        notes=NOTES,
        trace=_trace(setting, found, shown, pumps[shown]),
    )


def _first(found: Holds, start: int) -> str:
    """The place reached first, else the one with the least freeboard."""
    reached = found.reached[start]
    at = found.freeboards[start].argmin() if np.isnan(reached).all() else np.nanargmin(reached)
    return found.places[int(at)].name


def _shown(found: Holds, pumps: list[float | None], hours: list[int]) -> int:
    free = np.isin(found.starts // HOUR, hours)
    if free.any():
        return int(np.where(free, found.greatest, -np.inf).argmax())
    return int(np.argmin([np.inf if pump is None else pump for pump in pumps]))


def _trace(setting: Setting, found: Holds, shown: int, pump: float | None) -> tuple[TraceRow, ...]:
    assumed = "engineer's choice, to be confirmed on site"
    rows = (
        TraceRow("plan area of a manhole", "A_m", CHAMBER, "m2", "", assumed, Origin.ASSUMED),
        TraceRow(
            "Manning's n", "n_M", MANNING, "-", "", "value from memory, usual textbooks",
            Origin.ASSUMED,
        ),
        *hold_trace(setting, found, shown),
    )  # fmt: skip
    if pump is None:
        return rows
    formula = "least with which z stays below every place"
    return (*rows, TraceRow("to be pumped round the packer", "Q_p", pump, "l/s", formula))
