"""The site file: levels, water, flow, temperature, decisions; TOML to values in SI units.

`docs/site.md` lists the keys.
"""

import math
from collections.abc import Sequence

from teewright.findings import Finding
from teewright.formats.site_branch import branch_pipe, fillings
from teewright.formats.site_checks import contradictions, day_seconds, doubts, in_one_day
from teewright.formats.site_entry import entry_flows
from teewright.formats.site_schema import (
    AirPoint,
    DefaultsTable,
    NodeTable,
    NoteTable,
    RainTable,
    RunTable,
    SiteTable,
    WeatherTable,
    Window,
)
from teewright.formats.site_tide import damping
from teewright.formats.toml_common import read_model
from teewright.network.conditions import (
    ConnectionNote,
    Defaults,
    NodeLevels,
    RunConditions,
    Shower,
    Site,
    WaterLevel,
    Weather,
)
from teewright.units import HOUR, KPA, LITRE, MM, MPA, kelvin

DEGREE = math.pi / 180.0
PERCENT = 0.01
KN = 1e3


def read_site(data: bytes, *, file: str) -> tuple[Site, tuple[Finding, ...]]:
    """Read a site file.

    Args:
        data: The file.
        file: Name of the file, for messages.

    Returns:
        (site, findings on what is odd but allowed).

    Raises:
        FileFormatError: The bytes are not TOML in UTF-8.
        InputError: A value is unknown, out of range, or contradicts another one.
    """
    table, source = read_model(data, SiteTable, file=file)
    for fault in contradictions(table, source):
        raise fault
    return _site(table), tuple(doubts(table, source))


def _site(table: SiteTable) -> Site:
    return Site(
        title=table.title,
        place=table.place,
        client=table.client,
        invented=table.invented,
        nodes=tuple(_node(n) for n in table.nodes),
        runs=tuple(_run(r) for r in table.runs),
        connections=tuple(_note(c) for c in table.connections),
        weather=_weather(table.weather) if table.weather else None,
        flow_pattern=tuple(table.flow_pattern or ()),
        first_day=table.first_day.isoformat() if table.first_day else "",
        days=tuple(table.days),
        ready_days=table.ready_days,
        defaults=_defaults(table.defaults),
        infiltration=table.infiltration_l_s * LITRE,
        rain=_rain(table.rain) if table.rain else None,
        water_levels=tuple(WaterLevel(w.time, w.level_m) for w in table.water_levels),
        water_levels_source=table.water_levels_source,
        entry_flows=entry_flows(table.entry),
        entry_source=table.entry.source if table.entry else "",
        damping=damping(table.damping),
    )


def _scaled(value: float | None, factor: float) -> float | None:
    return None if value is None else value * factor


def _node(t: NodeTable) -> NodeLevels:
    return NodeLevels(
        node=t.node,
        ground=t.ground_m,
        invert=t.invert_m,
        groundwater=t.groundwater_m,
        groundwater_source=t.groundwater_source,
        area=t.area_m2,
        bank_distance=t.bank_distance_m,
    )


def _weather(t: WeatherTable) -> Weather:
    return Weather(
        air=kelvin(t.air_c),
        pipe=kelvin(t.pipe_c),
        source=t.source,
        ground=None if t.ground_c is None else kelvin(t.ground_c),
        pack=None if t.pack_c is None else kelvin(t.pack_c),
        air_path=_air_path(t.air_path),
    )


def _air_path(points: Sequence[AirPoint]) -> tuple[tuple[float, float], ...]:
    times = in_one_day([p.time for p in points])
    return tuple((time, kelvin(p.temperature_c)) for time, p in zip(times, points, strict=True))


def _rain(t: RainTable) -> Shower:
    return Shower(day_seconds(t.start), t.peak_l_s * LITRE, t.duration_h * HOUR)


def _window(t: Window) -> tuple[float, float]:
    start, end = in_one_day((t.start, t.end))
    return (start, end)


def _run(t: RunTable) -> RunConditions:
    return RunConditions(
        upstream=t.upstream,
        downstream=t.downstream,
        lined=t.lined,
        liner_thickness=_scaled(t.liner_thickness_mm, MM),
        host_cracked=t.host_cracked,
        ovality=_scaled(t.ovality_percent, PERCENT),
        mean_flow=_scaled(t.mean_flow_l_s, LITRE),
        street=t.street,
        access=tuple(_window(w) for w in t.access),
        host_thickness=_scaled(t.host_thickness_mm, MM),
        host_strength=_scaled(t.host_strength_mpa, MPA),
        host_material=t.host_material,
        manning=t.manning_n,
        over_pumping=t.over_pumping_l_s * LITRE,
        deteriorated=t.deteriorated or "",
        soil_modulus=_scaled(t.soil_modulus_mpa, MPA),
        traffic=_scaled(t.traffic_kpa, KPA),
        wheel_load=_scaled(t.wheel_load_kn, KN),
        wheels_beside=tuple(t.wheels_beside_m),
    )


def _note(t: NoteTable) -> ConnectionNote:
    return ConnectionNote(
        run=t.run,
        chainage=t.chainage_m,
        clock=t.clock,
        diameter=_scaled(t.diameter_mm, MM),
        angle=_scaled(t.angle_deg, DEGREE),
        fillet=_scaled(t.fillet_mm, MM),
        gap=_scaled(t.gap_mm, MM),
        disused=t.disused,
        must_leave=t.must_leave,
        note=t.note,
        backwater=t.backwater_level_m,
        backwater_source=t.backwater_source,
        branch_invert=t.branch_invert_m,
        branch_ovality=_scaled(t.branch_ovality_percent, PERCENT),
        branch_pipe=branch_pipe(t.branch_pipe),
        fillings=fillings(t.fillings),
    )


def _defaults(t: DefaultsTable) -> Defaults:
    return Defaults(
        head=t.head_m,
        cover=t.cover_m,
        angle_junction=math.radians(t.angle_junction_deg),
        angle_other=math.radians(t.angle_other_deg),
        branch_diameter=t.branch_diameter_mm * MM,
        main_diameter=t.main_diameter_mm * MM,
        fillet=t.fillet_mm * MM,
        gap=t.gap_mm * MM,
        gap_path=t.gap_path_mm * MM,
        liner_thickness=t.liner_thickness_mm * MM,
        ovality=t.ovality_percent * PERCENT,
        mean_flow=t.mean_flow_l_s * LITRE,
        air=kelvin(t.air_c),
        pipe=kelvin(t.pipe_c),
        area=t.area_m2,
        manning=t.manning_n,
        branch_ovality=t.branch_ovality_percent * PERCENT,
    )
