"""Level behind the packer of one connection, from the survey's runs and the site's levels."""

from dataclasses import dataclass

import numpy as np

from teewright.errors import GeometryError, InputError, RangeError
from teewright.hydraulics.blocking import (
    HOLD,
    allowed_hours,
    every,
    holds,
    latest_start,
    pump_needed,
)
from teewright.hydraulics.blocking import trace as hold_trace
from teewright.hydraulics.holds import Holds, Setting
from teewright.hydraulics.values import FlowForecast
from teewright.job.flow_setting import longest_hold, setting_of
from teewright.job.resolve import Inputs
from teewright.kit.values import Kit, Packer
from teewright.network.backwater import backwater_levels
from teewright.network.conditions import Site
from teewright.network.levels import node_levels, run_conditions
from teewright.network.values import Connection, Survey
from teewright.resin.values import CureTimes
from teewright.trace import Origin, TraceRow
from teewright.units import HOUR

APART = HOUR / 2.0
"""Between two starts: an hour is tried at its beginning and at its half [s]."""
STEP = 60.0
"""Longest step of the balance [s]."""
LONGER = 4.0 * HOUR
"""For how long after the soonest release a hold is looked at, as the crew may be late [s]."""
POINTS = 61
"""Of the level over time that is kept."""
NOTES = (
    (
        "The water must stay below each level that is given, the crown of the main where none is "
        "given, and each cover upstream."
    ),
    "Pipes of which a level, a diameter or the way of the flow is not known store nothing.",
    "Other packers that block a main upstream or downstream at the same time are not counted.",
)
NOT_GIVEN = "default, to be confirmed on site"


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
    kit: Kit,
) -> Blocked:
    """What the water behind the packer does from its inflation to its release.

    Args:
        survey: Runs and connections.
        site: Levels, pattern of the flow, infiltration and shower.
        connection: That is sealed.
        inputs: Of the connection.
        packer: The packer used.
        cure: Times of the data sheet.
        kit: Freeboard to be kept, and how soon the crew can inflate.

    Returns:
        The forecast, or the reason why the steady check has to do.
    """
    kept = kit.rules.freeboard
    try:
        setting = setting_of(survey, site, connection, inputs, packer, freeboard=kept)
        found = _Found.of(setting, longest_hold(cure, kit.shifts), inputs.over_pumping)
    except (GeometryError, InputError, RangeError) as error:
        return Blocked(None, str(error).rstrip("."))
    given = (*_rule(found), *_given(survey, site, connection))
    level = _nearest(survey, site, found)
    return Blocked(found.forecast((*given, *_trace(found, level))))


@dataclass(frozen=True, slots=True)
class _Found:
    """Holds through a day with the pumps that are set up, and the pumps that each start needs."""

    setting: Setting
    holds: Holds
    pumps: tuple[float | None, ...]
    pumped: float
    longest: tuple[float, ...]

    @classmethod
    def of(cls, setting: Setting, duration: float, pumped: float) -> "_Found":
        starts = every(APART)
        found = holds(setting, duration, starts=starts, pump=pumped, step=STEP)
        bare = found if not pumped else holds(setting, duration, starts=starts, step=STEP)
        pumps: list[float | None] = [0.0] * starts.size
        refused = np.flatnonzero(~bare.allowed)
        if refused.size:
            needed = pump_needed(setting, duration, starts=starts[refused])
            for k, pump in zip(refused, needed, strict=True):
                pumps[int(k)] = None if np.isnan(pump) else float(pump)
        longer = holds(
            setting, min(duration + LONGER, HOLD[1]), starts=starts, pump=pumped, step=STEP
        )
        return cls(setting, found, tuple(pumps), pumped, _longest(found, longer))

    @property
    def hours(self) -> tuple[int, ...]:
        return allowed_hours(self.holds)

    @property
    def shown(self) -> int:
        """Of the allowed starts the one with the highest water, else the one easiest to pump."""
        free = np.isin(self.holds.starts // HOUR, self.hours)
        if free.any():
            return int(np.where(free, self.holds.greatest, -np.inf).argmax())
        return int(np.argmin([np.inf if pump is None else pump for pump in self.pumps]))

    def forecast(self, trace: tuple[TraceRow, ...]) -> FlowForecast:
        found, shown = self.holds, self.shown
        kept = np.unique(np.linspace(0, found.times.size - 1, POINTS).astype(int))
        return FlowForecast(
            duration=float(found.times[-1]),
            starts=tuple(found.starts.tolist()),
            greatest=tuple(found.greatest.tolist()),
            freeboards=tuple(found.freeboards.min(axis=1).tolist()),
            first=tuple(_first(found, k) for k in range(found.starts.size)),
            allowed=tuple(found.allowed.tolist()),
            pumps=self.pumps,
            allowed_hours=self.hours,
            latest_start=latest_start(found),
            shown=shown,
            times=tuple(found.times[kept].tolist()),
            levels=tuple(found.levels[shown, kept].tolist()),
            invert=self.setting.upstream.invert,
            places=tuple((place.name, place.level) for place in found.places),
            notes=NOTES,
            trace=trace,
            kept=self.setting.freeboard,
            pumped=self.pumped,
            longest=self.longest,
        )


def _longest(found: Holds, longer: Holds) -> tuple[float, ...]:
    """For how long the main may be blocked from each start [s].

    The slope of the surface is that of the greatest inflow of the longer hold, which can only
    bring the water nearer to a place: what an allowed start was granted stays granted.
    """
    reached = np.nan_to_num(longer.reached, nan=np.inf).min(axis=1)
    before = np.maximum(np.searchsorted(longer.times, reached) - 1, 0)
    granted = np.where(found.allowed, found.times[-1], 0.0)
    return tuple(np.maximum(longer.times[before], granted).tolist())


def _first(found: Holds, start: int) -> str:
    """The place reached first, else the one with the least freeboard."""
    reached = found.reached[start]
    at = found.freeboards[start].argmin() if np.isnan(reached).all() else np.nanargmin(reached)
    return found.places[int(at)].name


def _rule(found: _Found) -> tuple[TraceRow, ...]:
    spent, kept = float(found.holds.times[-1]), found.setting.freeboard
    return (
        TraceRow(
            "main blocked for at most", "t_hold", spent, "min",
            "t_r less the soonest inflation", "data sheet; times of the kit",
        ),
        TraceRow(
            "freeboard to be kept", "f_min", kept, "m", "", "rules of the kit, engineer's choice",
            Origin.TABLE,
        ),
    )  # fmt: skip


def _given(survey: Survey, site: Site, connection: Connection) -> tuple[TraceRow, ...]:
    """Manhole and roughness next upstream; those further up come from the same places."""
    run = survey.run(connection.run_id)
    area, manning = node_levels(site, run.upstream).area, run_conditions(site, run).manning
    rows = (
        ("manhole upstream, in plan", "A_m", area, site.defaults.area, "m2"),
        ("Manning's n of the main", "n_M", manning, site.defaults.manning, "-"),
    )
    return tuple(
        TraceRow(name, symbol, default, unit, "", NOT_GIVEN, Origin.ASSUMED)
        if value is None
        else TraceRow(name, symbol, value, unit, "", "site", Origin.INPUT)
        for name, symbol, value, default, unit in rows
    )


def _nearest(survey: Survey, site: Site, found: _Found) -> TraceRow:
    """Level of the place that the water comes nearest to, with where it came from."""
    place = found.holds.places[int(found.holds.freeboards[found.shown].argmin())]
    cover = place.name in {node.node for node in found.setting.upstream.nodes}
    given = cover or place.name in backwater_levels(survey, site)
    source = "ground, site" if cover else "site" if given else "crown of the main"
    origin = Origin.INPUT if given else Origin.ASSUMED
    return TraceRow("nearest level to stay below", "z_n", place.level, "m", "", source, origin)


def _trace(found: _Found, nearest: TraceRow) -> tuple[TraceRow, ...]:
    shown = found.shown
    free, pump = found.holds.allowed[shown], found.pumps[shown]
    chosen = "allowed, with the highest water" if free else "with the smallest pump"
    start = float(found.holds.starts[shown])
    *before, last = hold_trace(found.holds, shown)
    rows = (
        TraceRow("start that is shown", "t_start", start, "h", chosen, "48 starts of the day"),
        *before,
        nearest,
        last,
    )
    if pump is None:
        return rows
    formula = "least with which f_b is above f_min"
    search = "search over the hold"
    return (*rows, TraceRow("to be pumped round, in all", "Q_p", pump, "l/s", formula, search))
