"""The site file: levels, water, flow, temperature, decisions; TOML to values in SI units.

`docs/site.md` lists the keys.
"""

import math
from collections.abc import Iterator

from teewright.errors import InputError
from teewright.findings import Finding, FindingKind, Place
from teewright.formats.site_schema import (
    DefaultsTable,
    NodeTable,
    NoteTable,
    RunTable,
    SiteTable,
    Window,
)
from teewright.formats.toml_common import Source, read_model
from teewright.network.conditions import (
    ConnectionNote,
    Defaults,
    NodeLevels,
    RunConditions,
    Site,
    Weather,
)
from teewright.units import HOUR, LITRE, MINUTE, MM, kelvin

DAY = 24.0 * HOUR
DEGREE = math.pi / 180.0
PERCENT = 0.01
PATTERN_DOUBT = 0.02
"""Share by which the mean of a flow pattern may differ from 1 [-]."""


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
    for fault in _contradictions(table, source):
        raise fault
    return _site(table), tuple(_doubts(table, source))


def _site(table: SiteTable) -> Site:
    weather = table.weather
    return Site(
        title=table.title,
        place=table.place,
        client=table.client,
        invented=table.invented,
        nodes=tuple(_node(n) for n in table.nodes),
        runs=tuple(_run(r) for r in table.runs),
        connections=tuple(_note(c) for c in table.connections),
        weather=Weather(kelvin(weather.air_c), kelvin(weather.pipe_c), weather.source)
        if weather
        else None,
        flow_pattern=tuple(table.flow_pattern or ()),
        first_day=table.first_day.isoformat() if table.first_day else "",
        days=tuple(table.days),
        ready_days=table.ready_days,
        defaults=_defaults(table.defaults),
    )


def _scaled(value: float | None, factor: float) -> float | None:
    return None if value is None else value * factor


def _node(t: NodeTable) -> NodeLevels:
    return NodeLevels(t.node, t.ground_m, t.invert_m, t.groundwater_m, t.groundwater_source)


def _seconds(text: str) -> float:
    hours, minutes = text.split(":")
    return int(hours) * HOUR + int(minutes) * MINUTE


def _window(t: Window) -> tuple[float, float]:
    start, end = _seconds(t.start), _seconds(t.end)
    return (start, end if end > start else end + DAY)


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
    )


def _contradictions(table: SiteTable, source: Source) -> Iterator[InputError]:
    """Faults that a single value does not show, in the order of the file."""
    yield from _node_faults(table, source)
    yield from _run_faults(table, source)
    for i, day in enumerate(table.days):
        if day in table.days[:i]:
            yield source.fault(("days", i), "is there twice", value=day, allowed="each day once")


def _node_faults(table: SiteTable, source: Source) -> Iterator[InputError]:
    seen: set[str] = set()
    for i, node in enumerate(table.nodes):
        if node.node in seen:
            yield source.fault(
                ("nodes", i, "node"), "is there twice", value=node.node, allowed="each node once"
            )
        seen.add(node.node)
        if node.ground_m is None or node.invert_m is None:
            continue
        if node.invert_m >= node.ground_m:
            yield source.fault(
                ("nodes", i, "invert_m"), "is not below the ground",
                value=node.invert_m, allowed=f"number < {node.ground_m:g} m",
            )  # fmt: skip


def _run_faults(table: SiteTable, source: Source) -> Iterator[InputError]:
    seen: set[frozenset[str]] = set()
    for i, run in enumerate(table.runs):
        ends = frozenset((run.upstream, run.downstream))
        if len(ends) == 1:
            yield source.fault(
                ("runs", i, "downstream"), "is the upstream node too", value=run.downstream,
                allowed="another node",
            )  # fmt: skip
        if ends in seen:
            yield source.fault(
                ("runs", i, "downstream"), "ends a run that is there twice",
                value=f"{run.upstream}-{run.downstream}", allowed="each pair of nodes once",
            )  # fmt: skip
        seen.add(ends)
        if run.lined is False and run.liner_thickness_mm is not None:
            yield source.fault(
                ("runs", i, "lined"), "contradicts liner_thickness_mm", value="false",
                allowed="true, or no thickness",
            )  # fmt: skip


def _doubts(table: SiteTable, source: Source) -> Iterator[Finding]:
    if table.invented:
        yield Finding(
            FindingKind.NOTE, "site-invented",
            f"the scenario {table.title} is invented; every sheet says so", Place(source.file),
        )  # fmt: skip
    yield from _pattern_doubts(table, source)
    for i, node in enumerate(table.nodes):
        yield from _node_doubts(node, i, source)


def _pattern_doubts(table: SiteTable, source: Source) -> Iterator[Finding]:
    if not table.flow_pattern:
        return
    mean = sum(table.flow_pattern) / 24.0
    if abs(mean - 1.0) > PATTERN_DOUBT:
        yield Finding(
            FindingKind.DOUBT, "site-flow-pattern",
            f"the factors of the flow pattern have a mean of {mean:.3f}, not 1; used as given",
            Place(source.file, source.line(("flow_pattern",)), "flow_pattern"), f"{mean:.3f}",
        )  # fmt: skip


def _node_doubts(node: NodeTable, i: int, source: Source) -> Iterator[Finding]:
    if node.groundwater_m is None:
        return
    place = Place(source.file, source.line(("nodes", i, "groundwater_m")), "groundwater_m")
    if node.ground_m is not None and node.groundwater_m > node.ground_m:
        yield Finding(
            FindingKind.DOUBT, "site-water-above-ground",
            f"the groundwater at {node.node} stands above the ground; used as given",
            place, f"{node.groundwater_m:g}",
        )  # fmt: skip
    if not node.groundwater_source.strip():
        yield Finding(
            FindingKind.DOUBT, "site-water-source",
            f"no source is given for the groundwater level at {node.node}",
            place, f"{node.groundwater_m:g}",
        )  # fmt: skip
