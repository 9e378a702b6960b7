"""Node names across files: far nodes that one file leaves out, names that are nearly alike."""

import re
from collections.abc import Sequence
from dataclasses import replace

from teewright.findings import Finding, FindingKind
from teewright.network.declared import DeclaredRun
from teewright.network.values import Direction, Inspection


def complete_nodes(inspections: Sequence[Inspection]) -> tuple[list[Inspection], list[Finding]]:
    """Name a node that a header leaves out after another inspection of the same pipe.

    A reader gives such a node a stand-in name. It is replaced where exactly one pair of nodes
    of the same pipe reference holds the node that the header does name.

    Args:
        inspections: Of every file.

    Returns:
        The inspections in the same order, and one finding for each that was completed.
    """
    known: dict[str, set[frozenset[str]]] = {}
    for one in inspections:
        if one.pipe and not _stand_ins(one):
            known.setdefault(one.pipe, set()).add(frozenset(one.nodes))
    completed: list[Inspection] = []
    findings: list[Finding] = []
    for one in inspections:
        stand_ins = _stand_ins(one)
        named = [node for node in one.nodes if node not in stand_ins]
        pairs = [pair for pair in known.get(one.pipe, ()) if len(named) == 1 and named[0] in pair]
        if len(stand_ins) == 1 and len(pairs) == 1 and len(pairs[0]) == 2:
            (other,) = pairs[0] - {named[0]}
            completed.append(_renamed(one, stand_ins[0], other))
            findings.append(_completed(one, other))
        else:
            completed.append(one)
    return completed, findings


def alike_nodes(inspections: Sequence[Inspection], runs: Sequence[DeclaredRun]) -> list[Finding]:
    """Findings where two nodes differ only in case, zeros in front, spaces or hyphens."""
    spelled: dict[str, dict[str, Finding]] = {}
    places = [(node, one.place) for one in inspections for node in one.nodes]
    places += [(node, run.place) for run in runs for node in (run.upstream, run.downstream)]
    findings: list[Finding] = []
    for node, place in places:
        names = spelled.setdefault(_plain(node), {})
        if node not in names:
            others = ", ".join(names)
            text = f"node {node} is spelled nearly like {others}: taken as another node"
            names[node] = Finding(FindingKind.DOUBT, "node-spelling", text, place, node)
            if others:
                findings.append(names[node])
    return findings


def _stand_ins(one: Inspection) -> list[str]:
    stated = {text for _, text in one.header}
    return [node for node in one.nodes if node not in stated]


def _renamed(one: Inspection, stand_in: str, name: str) -> Inspection:
    def new(node: str) -> str:
        return name if node == stand_in else node

    known = one.direction is not Direction.UNKNOWN
    return replace(
        one,
        nodes=(new(one.nodes[0]), new(one.nodes[1])),
        start_node=new(one.start_node),
        upstream=new(one.upstream) if known else "",
        downstream=new(one.downstream) if known else "",
    )


def _completed(one: Inspection, name: str) -> Finding:
    text = f"the node that the header leaves out is {name} in another inspection of {one.pipe}"
    return Finding(FindingKind.GUESSED, "node-completed", text, one.place, one.pipe)


def _plain(node: str) -> str:
    """A name without case, spaces and hyphens, each number without zeros in front."""
    return re.sub(r"(?<![0-9])0+(?=[0-9])", "", re.sub(r"[\s_-]+", "", node)).casefold()
