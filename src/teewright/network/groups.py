"""Which inspections and declared lines speak of one run, and which way the water flows in it."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

from teewright.findings import Finding, FindingKind, Place
from teewright.network.declared import DeclaredConnection, DeclaredRun
from teewright.network.values import Direction, Inspection

Ends = tuple[str, str]
"""Upstream and downstream node."""


@dataclass(slots=True)
class Group:
    """All that speaks of one run.

    Attributes:
        inspections: In the order given.
        runs: Declared runs.
        connections: Declared connections.
    """

    inspections: list[Inspection] = field(default_factory=list)
    runs: list[DeclaredRun] = field(default_factory=list)
    connections: list[DeclaredConnection] = field(default_factory=list)

    @property
    def place(self) -> Place:
        """Where the run is first spoken of."""
        places = [
            *(one.place for one in self.inspections),
            *(run.place for run in self.runs),
            *(line.place for line in self.connections),
        ]
        return places[0]


@dataclass(frozen=True, slots=True)
class _Pipe:
    """What tells one pipe between two nodes from another."""

    name: str
    height: float | None
    length: float | None


def group_runs(
    inspections: Sequence[Inspection],
    runs: Sequence[DeclaredRun],
    connections: Sequence[DeclaredConnection],
) -> tuple[list[Group], list[Finding]]:
    """Group by unordered pair of nodes; parallel pipes of one pair are told apart.

    Two pipes are taken as parallel where their references differ and so do their heights (by
    more than a tenth) or their lengths (by more than 2 m and a tenth); the reference alone says
    nothing, since it may be a counter of inspections.

    Returns:
        Groups in order of first appearance, and the findings.
    """
    pairs: dict[frozenset[str], list[Group]] = {}
    for one in inspections:
        _same_pipe(pairs, one.nodes, _of_inspection(one)).inspections.append(one)
    for run in runs:
        pipe = _Pipe(run.pipe, run.diameter, run.length)
        _same_pipe(pairs, (run.upstream, run.downstream), pipe).runs.append(run)
    findings: list[Finding] = []
    for line in connections:
        groups = pairs.setdefault(frozenset((line.upstream, line.downstream)), [])
        _of_line(groups, line, findings).connections.append(line)
    findings += [_parallel(groups) for groups in pairs.values() if len(groups) > 1]
    return [group for groups in pairs.values() for group in groups], findings


def ends_of(group: Group) -> tuple[Ends, bool, list[Finding]]:
    """Upstream and downstream node of a run.

    What is declared counts before what the inspections say, and among these the majority, then
    the latest; where nobody says it, the order of the nodes in the file is taken.

    Returns:
        The nodes, whether the direction of flow is known, and the findings.
    """
    declared = [(run.upstream, run.downstream) for run in group.runs]
    declared += [(line.upstream, line.downstream) for line in group.connections]
    seen = [
        (one.upstream, one.downstream)
        for one in sorted(group.inspections, key=lambda one: (one.date, one.time), reverse=True)
        if one.direction is not Direction.UNKNOWN
    ]
    votes = Counter(declared or seen)
    if not votes:
        ends = group.inspections[0].nodes
        text = (
            f"nobody says which way the water flows between {ends[0]} and {ends[1]}: "
            f"chainage is measured from {ends[0]}"
        )
        return ends, False, [Finding(FindingKind.GUESSED, "flow-unknown", text, group.place)]
    ends = votes.most_common(1)[0][0]
    others = {pair for pair in (*declared, *seen) if pair != ends}
    if not others:
        return ends, True, []
    text = (
        f"the flow between {ends[0]} and {ends[1]} is given both ways: "
        f"{ends[0]} is taken as upstream"
    )
    return ends, True, [Finding(FindingKind.DOUBT, "flow-contradicted", text, group.place)]


def _of_inspection(one: Inspection) -> _Pipe:
    return _Pipe(one.pipe, one.height, one.length)


def _same_pipe(
    pairs: dict[frozenset[str], list[Group]], nodes: tuple[str, str], pipe: _Pipe
) -> Group:
    groups = pairs.setdefault(frozenset(nodes), [])
    for group in groups:
        if pipe.name and pipe.name in {known.name for known in _pipes(group)}:
            return group
    for group in groups:
        if all(_may_be_one(pipe, known) for known in _pipes(group)):
            return group
    groups.append(Group())
    return groups[-1]


def _pipes(group: Group) -> list[_Pipe]:
    return [
        *map(_of_inspection, group.inspections),
        *(_Pipe(run.pipe, run.diameter, run.length) for run in group.runs),
    ]


def _may_be_one(a: _Pipe, b: _Pipe) -> bool:
    if not a.name or not b.name:
        return True
    if a.height and b.height and abs(a.height - b.height) > 0.1 * max(a.height, b.height):
        return False
    if a.length and b.length:
        return abs(a.length - b.length) <= max(2.0, 0.1 * max(a.length, b.length))
    return True


def _of_line(groups: list[Group], line: DeclaredConnection, findings: list[Finding]) -> Group:
    if not groups:
        groups.append(Group())
    named = [g for g in groups if line.pipe and line.pipe in {p.name for p in _pipes(g)}]
    if len(groups) > 1 and not named:
        text = "several pipes join the two nodes and the line does not say which: the first taken"
        findings.append(Finding(FindingKind.GUESSED, "pipe-unclear", text, line.place))
    return named[0] if named else groups[0]


def _parallel(groups: list[Group]) -> Finding:
    names = ", ".join(sorted({p.name or "(no name)" for g in groups for p in _pipes(g)}))
    text = (
        f"pipes {names} join the same nodes but differ in height or length: "
        f"taken as {len(groups)} parallel runs"
    )
    return Finding(FindingKind.GUESSED, "parallel-pipes", text, groups[1].place, names)
