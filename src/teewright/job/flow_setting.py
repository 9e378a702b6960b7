"""A packer in its main while it blocks the flow, from the survey, the site and the kit."""

from teewright.hydraulics.holds import Setting
from teewright.hydraulics.inflow import Inflow, Rain, daily_shower, hourly_series
from teewright.hydraulics.losses import Bores
from teewright.job.resolve import Inputs
from teewright.job.upstream import NEAREST, upstream_rooms, watches_of
from teewright.kit.values import Packer, ShiftRules
from teewright.network.conditions import Site
from teewright.network.values import Connection, Survey
from teewright.resin.values import CureTimes


def setting_of(
    survey: Survey,
    site: Site,
    connection: Connection,
    inputs: Inputs,
    packer: Packer,
    *,
    freeboard: float,
) -> Setting:
    """A packer at a connection, with what comes and what lies upstream.

    Args:
        survey: Runs and connections.
        site: Levels, pattern of the flow, infiltration and shower.
        connection: That is sealed; the packer's upper end lies half its length up the main.
        inputs: Of the connection.
        packer: The packer used.
        freeboard: Kept below each place that the water must not reach [m].

    Returns:
        The setting.

    Raises:
        InputError: A level or the length of the run itself is not known.
        GeometryError: The levels do not drain to the packer.
        RangeError: A size outside the ranges of the pool.
    """
    run = survey.run(connection.run_id)
    seat = max(connection.chainage - packer.length / 2.0, NEAREST)
    upstream, used = upstream_rooms(survey, site, run, seat, inputs)
    axis = inputs.lined_diameter / 2.0
    return Setting(
        upstream=upstream,
        bores=Bores(packer.bypass_count, packer.bypass_diameter, packer.length, axis),
        inflow=_inflow(site, inputs),
        watches=watches_of(survey, site, upstream, used, seat),
        freeboard=freeboard,
    )


def shower_of(site: Site) -> Rain | None:
    """The shower to look at, as it may fall on any day; None in dry weather."""
    rain = site.rain
    return None if rain is None else daily_shower(rain.peak, rain.duration, start=rain.start)


def longest_hold(cure: CureTimes, shifts: ShiftRules) -> float:
    """For how long a main is blocked by one installation without a pause.

    From the start of the inflation, as soon after mixing as the crew can be at the connection
    without a way along the main, to the earliest release: an earlier start blocks it longer.

    Args:
        cure: Times of the data sheet.
        shifts: Durations of the crew's steps.

    Returns:
        Duration [s].
    """
    soonest = shifts.mix + shifts.wet_out + shifts.lower + shifts.position
    return cure.release_time - min(soonest, cure.latest_inflation)


def _inflow(site: Site, inputs: Inputs) -> Inflow:
    dry = hourly_series(inputs.mean_flow.value, site.flow_pattern)
    return Inflow(dry, site.infiltration, shower_of(site))
