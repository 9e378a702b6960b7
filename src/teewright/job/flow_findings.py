"""What is said of the flow: no level known, no hour free, and what was taken for granted."""

from collections.abc import Iterable, Sequence

from teewright.findings import Finding, FindingKind
from teewright.hydraulics.values import BypassCheck, FlowForecast, blocked_hours, pump_wanted
from teewright.job.blocking import Blocked
from teewright.network.backwater import backwater_levels
from teewright.network.conditions import Site
from teewright.network.levels import node_levels, run_conditions
from teewright.network.values import Survey
from teewright.units import HOUR, LITRE

_NAMED = 6
"""Names that a finding lists."""


def blocked_findings(
    connection_id: str, bypass: BypassCheck, blocked: Blocked
) -> tuple[Finding, ...]:
    """A forecast that could not be made, and a main that may be blocked at no hour.

    Args:
        connection_id: Connection.
        bypass: Its steady check.
        blocked: Its forecast.

    Returns:
        At most one finding of each.
    """
    flow, found = blocked.forecast, []
    if flow is None:
        found.append(
            Finding(
                FindingKind.ASSUMED,
                "no-level-behind-packer",
                f"the level behind the packer is not computed: {blocked.reason}; only the bypass "
                "is held against the inflow of each hour, infiltration and shower with it",
                value="steady check",
                subject=connection_id,
            )
        )
    if not blocked_hours(bypass, flow):
        span = "" if flow is None else f" for {flow.duration / HOUR:.1f} h"
        found.append(
            Finding(
                FindingKind.DOUBT,
                "never-blocked",
                f"at no hour may the main be blocked{span}: {over_pumping(bypass, flow)}",
                value="never",
                subject=connection_id,
            )
        )
    return tuple(found)


def over_pumping(bypass: BypassCheck, flow: FlowForecast | None) -> str:
    """What must be pumped round the packer where no hour is allowed.

    Args:
        bypass: Steady check.
        flow: Level over the hold, or None where levels are not known.

    Returns:
        One plain clause.
    """
    pump = pump_wanted(bypass, flow)
    if pump is None:
        return "the water stands too high before the packer is set"
    set_up = f", of which {bypass.pumped / LITRE:.2f} l/s are set up" if bypass.pumped else ""
    return f"needs {pump / LITRE:.2f} l/s pumped{set_up}"


def level_findings(
    survey: Survey, site: Site, flows: Iterable[FlowForecast]
) -> tuple[Finding, ...]:
    """What the level forecasts took for granted, and levels that none of them uses.

    Args:
        survey: Runs and connections.
        site: What is declared.
        flows: All forecasts.

    Returns:
        At most one finding of each kind, whatever the number of connections.
    """
    places = dict.fromkeys(name for flow in flows for name, _ in flow.places)
    ids = {c.id for c in survey.connections}
    given = backwater_levels(survey, site)
    nodes = [name for name in places if name not in ids]
    crowns = [name for name in places if name in ids and name not in given]
    chambers = [name for name in nodes if node_levels(site, name).area is None]
    runs = [
        run.id
        for run in survey.runs
        if run.upstream in nodes and run_conditions(site, run).manning is None
    ]
    unused = [name for name in given if name not in places]
    area, manning = site.defaults.area, site.defaults.manning
    found = (
        _assumed(
            "backwater-level", crowns, "crown of the main",
            "no level that water in the main must not reach is given: the crown of the main is "
            "taken at", "connection",
        ),
        _assumed(
            "chamber-area", chambers, f"{area:g} m²",
            f"plan area of the manhole not given: {area:g} m² assumed for", "node",
        ),
        _assumed(
            "manning", runs, f"{manning:g}",
            f"Manning's n of the main not given: {manning:g} assumed for", "run",
        ),
    )  # fmt: skip
    return (*(f for few in found for f in few), *_unused(unused))


def _assumed(
    name: str, names: Sequence[str], value: str, text: str, noun: str
) -> tuple[Finding, ...]:
    if not names:
        return ()
    told = f"{text} {_few(names, noun)}"
    return (Finding(FindingKind.ASSUMED, f"default-{name}", told, value=value),)


def _unused(names: Sequence[str]) -> tuple[Finding, ...]:
    if not names:
        return ()
    text = (
        "a level that water in the main must not reach is given, but no packer of which the "
        f"level is computed lies downstream: not used at {_few(names, 'connection')}"
    )
    return (Finding(FindingKind.NOTE, "backwater-not-used", text),)


def _few(names: Sequence[str], noun: str) -> str:
    more = f" and {len(names) - _NAMED} more" if len(names) > _NAMED else ""
    plural = "" if len(names) == 1 else "s"
    return f"{len(names)} {noun}{plural} ({', '.join(names[:_NAMED])}{more})"
