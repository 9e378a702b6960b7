"""Runs and connections out of inspections and lists: every connection once, each sighting kept."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from teewright.errors import InputError
from teewright.findings import Finding, FindingKind, Place
from teewright.network.codes import CONNECTION
from teewright.network.connections import build_connection, disagreements, perhaps_one, unseen
from teewright.network.declared import DeclaredConnection, DeclaredRun
from teewright.network.groups import Ends, Group, ends_of, group_runs
from teewright.network.lengths import (
    completed,
    given_findings,
    lay,
    length_findings,
    run_length,
    statements,
)
from teewright.network.limits import (
    MOST_CONNECTIONS,
    MOST_ON_RUN,
    MOST_PASSES,
    MOST_RUNS,
    at_most,
)
from teewright.network.lining import lining_of
from teewright.network.merging import Frame, Track, merge
from teewright.network.names import Named, numbered
from teewright.network.nodes import alike_nodes, complete_nodes
from teewright.network.sightings import Spot, declared_spots, see
from teewright.network.values import (
    Connection,
    Defect,
    Direction,
    Inspection,
    Run,
    Survey,
)
from teewright.network.view import Pass


@dataclass(frozen=True, slots=True)
class _Reconciled:
    """One run with its connections and findings."""

    run: Run
    connections: tuple[Connection, ...]
    findings: tuple[Finding, ...]


def reconcile(
    inspections: Sequence[Inspection],
    *,
    runs: Sequence[DeclaredRun] = (),
    sightings: Sequence[DeclaredConnection] = (),
    findings: Sequence[Finding] = (),
    lengths: Mapping[str, float] = MappingProxyType({}),
    named: Sequence[Named] = (),
) -> Survey:
    """Reconcile a survey.

    Inspections and lists of the same pipe become one run, with chainages from the upstream node
    and clocks in flow view; connections seen more than once become one, with every sighting
    kept and a finding where they do not agree.

    Args:
        inspections: Of every file.
        runs: Declared runs.
        sightings: Declared connections.
        findings: Of the readers; they come first in the result.
        lengths: Length of a run that was set by hand, by its id [m].
        named: Names that connections had before; they keep them.

    Raises:
        InputError: There are more inspections or connections than a run, or more runs or
            connections than a survey may have.
    """
    _check_sizes(inspections, sightings)
    unique, found = _unique_keys(inspections)
    unique, completed = complete_nodes(unique)
    groups, grouped = group_runs(unique, runs, sightings)
    if len(groups) > MOST_RUNS:
        raise _too_many(len(groups), "runs", MOST_RUNS, groups[MOST_RUNS].place)
    found += completed + alike_nodes(unique, runs) + grouped + _copies(unique)
    taken: set[str] = set()
    by_run: dict[str, list[Named]] = {}
    for one in named:
        by_run.setdefault(one.run_id, []).append(one)
    results = [_reconcile_run(group, taken, lengths, by_run) for group in groups]
    connections = [c for r in results for c in r.connections]
    if len(connections) > MOST_CONNECTIONS:
        beyond = connections[MOST_CONNECTIONS].sightings[0].place
        raise _too_many(len(connections), "connections", MOST_CONNECTIONS, beyond)
    return Survey(
        inspections=tuple(unique),
        runs=tuple(r.run for r in results),
        connections=tuple(connections),
        findings=(*findings, *found, *(f for r in results for f in r.findings)),
    )


def _check_sizes(
    inspections: Sequence[Inspection], sightings: Sequence[DeclaredConnection]
) -> None:
    """Refuse what no real run has, before anything is compared with everything."""
    passes = Counter(frozenset(one.nodes) for one in inspections)
    lines = Counter(frozenset((line.upstream, line.downstream)) for line in sightings)
    for one in inspections:
        coded = sum(o.code == CONNECTION for o in one.observations)
        _refuse(coded, MOST_ON_RUN, "connections in one inspection", one.place)
        _refuse(passes[frozenset(one.nodes)], MOST_PASSES, "inspections of one run", one.place)
    for line in sightings:
        listed = lines[frozenset((line.upstream, line.downstream))]
        _refuse(listed, MOST_ON_RUN, "connections of one run", line.place)


def _refuse(count: int, most: int, what: str, place: Place) -> None:
    if count > most:
        problem = f"there are {count} {what}"
        raise InputError(problem, file=place.file, line=place.line, allowed=f"at most {most}")


def _too_many(count: int, what: str, most: int, place: Place) -> InputError:
    """The refusal of a survey; `place` is that of the first one too many."""
    problem = f"the survey has {count} {what}, and here is the first one too many"
    return InputError(problem, file=place.file, line=place.line, allowed=at_most(most))


def _reconcile_run(
    group: Group,
    taken: set[str],
    by_hand: Mapping[str, float],
    named: Mapping[str, Sequence[Named]],
) -> _Reconciled:
    ends, known, findings = ends_of(group)
    run_id = _run_id(ends, known=known, taken=taken)
    findings = [replace(finding, subject=run_id) for finding in findings]
    given = by_hand.get(run_id)
    passes = sorted(
        (lay(one, group, ends, known=known, given=given) for one in group.inspections),
        key=_trust,
        reverse=True,
    )
    if given is None:
        findings += length_findings(passes, group, run_id)
    else:
        findings += given_findings(passes, given, run_id)
    findings += _turned(passes, run_id) + _heights(group, run_id)
    length = run_length(passes, group) if given is None else given
    tracks, defects, more = _tracks(passes, group, ends, length)
    findings += [replace(finding, subject=run_id) for finding in more]
    lengths = statements(group) if given is None else {given}
    spread = max(lengths) - min(lengths) if lengths else 0.0
    connections, more = _connections(tracks, Frame(length, spread), run_id, named.get(run_id, ()))
    findings += more
    lined, more = lining_of(group, run_id)
    run = _run(group, run_id, ends, length=length, lined=lined, defects=defects)
    return _Reconciled(run, connections, (*findings, *more))


def _trust(one: Pass) -> tuple[bool, bool, bool, str, str]:
    """The pass whose chainages the others are laid on.

    Complete before abandoned, with the flow (no length enters its chainages) before against it
    (and one with a known length before one without), later before earlier.
    """
    inspection = one.inspection
    placed = not (one.against and one.length_guessed)
    return completed(inspection), placed, not one.against, inspection.date, inspection.time


def _tracks(
    passes: Sequence[Pass], group: Group, ends: Ends, length: float | None
) -> tuple[list[Track], tuple[Defect, ...], list[Finding]]:
    tracks: list[Track] = []
    defects: list[Defect] = []
    findings: list[Finding] = []
    for one in passes:
        spots, own, more = see(one)
        tracks.append(_camera_track(one, spots, group.inspections.index(one.inspection)))
        defects += own
        findings += more
    for name in dict.fromkeys(line.place.file for line in group.connections):
        lines = [line for line in group.connections if line.place.file == name]
        spots, more = declared_spots(lines, downstream=ends[1], length=length)
        tracks.append(_list_track(name, lines, spots))
        findings += more
    return tracks, tuple(sorted(defects, key=lambda d: d.chainage)), findings


def _camera_track(one: Pass, spots: Sequence[Spot], ordinal: int) -> Track:
    inspection = one.inspection
    return Track(
        name=inspection.key,
        direction=Direction.AGAINST if one.against else Direction.WITH,
        declared=False,
        reach=one.reach,
        spots=tuple(spots),
        place=inspection.place,
        order=(inspection.date, inspection.time, ordinal),
    )


def _list_track(name: str, lines: Sequence[DeclaredConnection], spots: Sequence[Spot]) -> Track:
    return Track(
        name=name,
        direction=Direction.WITH,
        declared=True,
        reach=(0.0, 0.0),
        spots=tuple(spots),
        place=lines[0].place,
        order=(max(line.date for line in lines), "", -1),
    )


def _connections(
    tracks: Sequence[Track], frame: Frame, run_id: str, named: Sequence[Named]
) -> tuple[tuple[Connection, ...], list[Finding]]:
    clusters, findings = merge(tracks, frame, run_id)
    seen = [[s for _, spot in cluster.spots for s in spot.sightings] for cluster in clusters]
    connections = tuple(
        build_connection(cluster, run_id=run_id, number=number)
        for number, cluster in zip(numbered(seen, run_id, named), clusters, strict=True)
    )
    for cluster, connection in zip(clusters, connections, strict=True):
        findings += disagreements(connection)
        findings += unseen(cluster, connection, tracks)
        findings += _outside(connection, frame.length)
    return connections, findings + perhaps_one(clusters, connections, frame)


def _outside(connection: Connection, length: float | None) -> list[Finding]:
    high = connection.chainage if length is None else length
    if -0.05 <= connection.chainage <= high + 0.05:
        return []
    text = f"stands at {connection.chainage:.2f} m, outside the run (0 to {high:.2f} m): kept"
    place = connection.sightings[0].place
    return [Finding(FindingKind.DOUBT, "outside-run", text, place, subject=connection.id)]


def _run(
    group: Group,
    run_id: str,
    ends: Ends,
    *,
    length: float | None,
    lined: bool | None,
    defects: tuple[Defect, ...],
) -> Run:
    latest = sorted(group.inspections, key=lambda one: (one.date, one.time), reverse=True)
    diameters = [*(one.height for one in latest), *(run.diameter for run in group.runs)]
    materials = [*(one.material for one in latest), *(run.material for run in group.runs)]
    return Run(
        id=run_id,
        upstream=ends[0],
        downstream=ends[1],
        length=length,
        diameter=next((d for d in diameters if d), None),
        material=next((m for m in materials if m), ""),
        lined=lined,
        inspections=tuple(one.key for one in group.inspections),
        defects=defects,
    )


def _run_id(ends: Ends, *, known: bool, taken: set[str]) -> str:
    """The id of a run, with `.2`, `.3` ... where another run has it."""
    plain = f"{ends[0]}-{ends[1]}" if known else f"{ends[0]}~{ends[1]}"
    run_id, number = plain, 1
    while run_id in taken:
        number += 1
        run_id = f"{plain}.{number}"
    taken.add(run_id)
    return run_id


def _turned(passes: Sequence[Pass], run_id: str) -> list[Finding]:
    """Findings where a pass's own direction is not the one by which it was laid."""
    found: list[Finding] = []
    for one in passes:
        own, laid = one.inspection.direction, one.direction
        if own is laid:
            continue
        if Direction.UNKNOWN in {own, laid}:
            kind, text = FindingKind.GUESSED, f"the direction is not stated: {laid}"
        else:
            kind, text = FindingKind.DOUBT, f"the direction is stated as {own}, but it is {laid}"
        text += f" by its start node {one.inspection.start_node}"
        found.append(Finding(kind, "direction", text, one.inspection.place, subject=run_id))
    return found


def _heights(group: Group, run_id: str) -> list[Finding]:
    heights = [*(one.height for one in group.inspections), *(run.diameter for run in group.runs)]
    known = sorted({round(1000 * height) for height in heights if height})
    found: list[Finding] = []
    if len(known) > 1:
        values = ", ".join(f"{height}" for height in known)
        text = f"the run is given several heights ({values} mm): the latest is taken"
        found.append(
            Finding(FindingKind.DOUBT, "height-differs", text, group.place, values, run_id)
        )
    for one in group.inspections:
        if one.height and one.width and abs(one.height - one.width) > 1e-3:
            text = f"the pipe is {1000 * one.height:.0f} high and {1000 * one.width:.0f} mm wide"
            found.append(Finding(FindingKind.NOTE, "not-round", text, one.place, "", run_id))
    return found


def _unique_keys(inspections: Sequence[Inspection]) -> tuple[list[Inspection], list[Finding]]:
    """Give a key of its own to an inspection whose key another one has."""
    taken: set[str] = set()
    unique: list[Inspection] = []
    findings: list[Finding] = []
    for one in inspections:
        key, number = one.key, 1
        while key in taken:
            number += 1
            key = f"{one.key}~{number}"
        if key != one.key:
            text = f"two files have one name: this inspection is called {key}"
            findings.append(Finding(FindingKind.NOTE, "same-file-name", text, one.place))
        taken.add(key)
        unique.append(one if key == one.key else replace(one, key=key))
    return unique, findings


def _copies(inspections: Sequence[Inspection]) -> list[Finding]:
    """Findings where an inspection says word for word what another one says."""
    first: dict[tuple[object, ...], Inspection] = {}
    findings: list[Finding] = []
    for one in inspections:
        rows = tuple((o.code, o.char1, o.station, o.clock_from, o.q1) for o in one.observations)
        key = (one.nodes, one.start_node, one.date, one.time, rows)
        if key in first and rows:
            text = f"the inspection repeats the one at {first[key].place} word for word"
            findings.append(Finding(FindingKind.NOTE, "copied-inspection", text, one.place))
        first.setdefault(key, one)
    return findings
