"""What contradicts itself or is odd in a site file: faults and findings on several values."""

from collections.abc import Iterator, Sequence

from teewright.errors import InputError
from teewright.findings import Finding, FindingKind, Place
from teewright.formats.site_branch import branch_pipe_doubts, filling_faults
from teewright.formats.site_entry import entry_faults
from teewright.formats.site_ground import ground_doubts, ground_faults
from teewright.formats.site_schema import (
    AirPoint,
    LevelTable,
    NodeTable,
    NoteTable,
    RunTable,
    SiteTable,
    WeatherTable,
)
from teewright.formats.site_tide import damping_doubts
from teewright.formats.toml_common import KeyPath, Source
from teewright.units import HOUR, MINUTE

DAY = 24.0 * HOUR
MINUTES = "%Y-%m-%d %H:%M"
"""How a local time is written."""
PATTERN_DOUBT = 0.02
"""Share by which the mean of a flow pattern may differ from 1 [-]."""


def day_seconds(text: str) -> float:
    """`HH:MM` as time after local midnight [s]."""
    hours, minutes = text.split(":")
    return int(hours) * HOUR + int(minutes) * MINUTE


def in_one_day(times: Sequence[str]) -> tuple[float, ...]:
    """Times of the day in order, each one at or before the last taken a day later.

    Args:
        times: `HH:MM` each.

    Returns:
        After the midnight before the first, ascending [s].
    """
    found: list[float] = []
    for text in times:
        time = day_seconds(text)
        while found and time <= found[-1]:
            time += DAY
        found.append(time)
    return tuple(found)


def contradictions(table: SiteTable, source: Source) -> Iterator[InputError]:
    """Faults that a single value does not show, in the order of the file.

    Args:
        table: The site file.
        source: Its lines.
    """
    yield from _node_faults(table, source)
    yield from _run_faults(table, source)
    for i, day in enumerate(table.days):
        if day in table.days[:i]:
            yield source.fault(("days", i), "is there twice", value=day, allowed="each day once")
    yield from _level_faults(table.water_levels, source)
    yield from entry_faults(table.entry, source)
    for i, note in enumerate(table.connections):
        yield from filling_faults(note.fillings, i, source)
    if table.weather:
        yield from _air_faults(table.weather.air_path, source)


def _too_few(count: int, path: KeyPath, source: Source) -> Iterator[InputError]:
    """A fault where a list holds one reading alone, which says nothing of the time between."""
    if count == 1:
        yield source.fault(
            path, "holds one time only", value="1 time", allowed="at least 2 times, or none"
        )


def _level_faults(levels: Sequence[LevelTable], source: Source) -> Iterator[InputError]:
    yield from _too_few(len(levels), ("water_levels",), source)
    for i in range(1, len(levels)):
        before, here = levels[i - 1].time, levels[i].time
        if here <= before:
            yield source.fault(
                ("water_levels", i, "time"), "does not ascend",
                value=f"{here:{MINUTES}}", allowed=f"time after {before:{MINUTES}}",
            )  # fmt: skip


def _air_faults(points: Sequence[AirPoint], source: Source) -> Iterator[InputError]:
    at = ("weather", "air_path")
    yield from _too_few(len(points), at, source)
    times = in_one_day([p.time for p in points])
    for i, time in enumerate(times):
        if time - times[0] >= DAY:
            yield source.fault(
                (*at, i, "time"), "comes a day or more after the first time",
                value=points[i].time, allowed=f"times in order, within 24 h from {points[0].time}",
            )  # fmt: skip


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
        yield from ground_faults(run, i, source)


def doubts(table: SiteTable, source: Source) -> Iterator[Finding]:
    """What is odd in a site though allowed: one finding each.

    Args:
        table: The site file.
        source: Its lines.
    """
    if table.invented:
        yield Finding(
            FindingKind.NOTE, "site-invented",
            f"the scenario {table.title} is invented; every sheet says so", Place(source.file),
        )  # fmt: skip
    yield from _pattern_doubts(table, source)
    for i, node in enumerate(table.nodes):
        yield from _node_doubts(node, i, source)
    for i, run in enumerate(table.runs):
        yield from _host_doubts(run, i, source)
        yield from ground_doubts(run, i, source)
    for i, note in enumerate(table.connections):
        yield from _backwater_doubts(note, i, source)
        name = f"at {note.chainage_m:g} m of {note.run}"
        yield from branch_pipe_doubts(note.branch_pipe, name, i, source)
    yield from _level_doubts(table, source)
    yield from damping_doubts(
        table.damping,
        source,
        levels=bool(table.water_levels),
        distances=any(node.bank_distance_m is not None for node in table.nodes),
    )
    if table.weather:
        yield from _air_doubts(table.weather, source)


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


def _host_doubts(run: RunTable, i: int, source: Source) -> Iterator[Finding]:
    if run.host_strength_mpa is None:
        return
    place = Place(source.file, source.line(("runs", i, "host_strength_mpa")), "host_strength_mpa")
    name, value = f"{run.upstream}-{run.downstream}", f"{run.host_strength_mpa:g}"
    if run.host_thickness_mm is None:
        yield Finding(
            FindingKind.DOUBT, "site-host-strength",
            f"the strength of the host of {name} is given without its thickness; it is not used",
            place, value,
        )  # fmt: skip
    if run.host_cracked is not False:
        yield Finding(
            FindingKind.DOUBT, "site-host-strength",
            f"the strength of the host of {name} is given, but not that it is not cracked; a "
            "cracked ring has none and it is not used",
            place, value,
        )  # fmt: skip


def _backwater_doubts(note: NoteTable, i: int, source: Source) -> Iterator[Finding]:
    if note.backwater_level_m is None or note.backwater_source.strip():
        return
    key = "backwater_level_m"
    yield Finding(
        FindingKind.DOUBT, "site-backwater-source",
        f"nothing says what lies at the level that water must not reach at {note.chainage_m:g} m "
        f"of {note.run}",
        Place(source.file, source.line(("connections", i, key)), key),
        f"{note.backwater_level_m:g}",
    )  # fmt: skip


def _level_doubts(table: SiteTable, source: Source) -> Iterator[Finding]:
    if not table.water_levels:
        return
    place = Place(source.file, source.line(("water_levels",)), "water_levels")
    first, last = table.water_levels[0].time, table.water_levels[-1].time
    day = table.first_day
    if day is not None and not first.date() <= day <= last.date():
        yield Finding(
            FindingKind.DOUBT, "site-water-levels",
            f"the water levels run from {first:{MINUTES}} to {last:{MINUTES}} and say nothing of "
            f"the first day of work, {day}",
            place, f"{first:{MINUTES}}",
        )  # fmt: skip
    if not table.water_levels_source.strip():
        yield Finding(
            FindingKind.DOUBT, "site-water-levels",
            "no source is given for the water levels", place, f"{len(table.water_levels)} levels",
        )  # fmt: skip


def _air_doubts(weather: WeatherTable, source: Source) -> Iterator[Finding]:
    path = [point.temperature_c for point in weather.air_path]
    if path and not min(path) <= weather.air_c <= max(path):
        yield Finding(
            FindingKind.DOUBT, "site-air-path",
            f"the air is given as {weather.air_c:g} °C, its path runs from {min(path):g} to "
            f"{max(path):g} °C; both are used as given",
            Place(source.file, source.line(("weather", "air_path")), "air_path"),
            f"{weather.air_c:g}",
        )  # fmt: skip
