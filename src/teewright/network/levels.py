"""Levels along a run, between those of its two nodes."""

from dataclasses import dataclass

from teewright.network.conditions import NodeLevels, RunConditions, Site
from teewright.network.values import Connection, Run, Survey


@dataclass(frozen=True, slots=True)
class Levels:
    """Levels at one chainage; None where a node's level is not known.

    Attributes:
        invert: Of the main [m above datum].
        ground: [m above datum].
        groundwater: Highest [m above datum].
        bank: Distance from the bank of the open water [m].
    """

    invert: float | None
    ground: float | None
    groundwater: float | None
    bank: float | None = None


def node_levels(site: Site, node: str) -> NodeLevels:
    """Levels of a node, all None where the site has none."""
    return site.node(node) or NodeLevels(node)


def run_conditions(site: Site, run: Run) -> RunConditions:
    """What the site declares of a run, everything unknown where it declares nothing."""
    declared = site.run_between(run.upstream, run.downstream)
    return declared or RunConditions(run.upstream, run.downstream)


def run_length(survey: Survey, run: Run) -> float | None:
    """Length of a run [m]: its own, else the chainage of its last connection, else None."""
    if run.length is not None:
        return run.length
    chainages = [c.chainage for c in survey.of_run(run.id)]
    return max(chainages) if chainages else None


def _between(a: float | None, b: float | None, share: float) -> float | None:
    return None if a is None or b is None else a + (b - a) * share


def levels_at(site: Site, run: Run, length: float, chainage: float) -> Levels:
    """Levels at a chainage, straight between the two nodes.

    Args:
        site: Declared levels.
        run: Run.
        length: Of the run [m], > 0.
        chainage: From the upstream node [m].
    """
    up, down = node_levels(site, run.upstream), node_levels(site, run.downstream)
    share = min(max(chainage / length, 0.0), 1.0)
    return Levels(
        invert=_between(up.invert, down.invert, share),
        ground=_between(up.ground, down.ground, share),
        groundwater=_between(up.groundwater, down.groundwater, share),
        bank=_between(up.bank_distance, down.bank_distance, share),
    )


def connection_levels(survey: Survey, site: Site, connection: Connection) -> Levels:
    """Levels at a connection."""
    run = survey.run(connection.run_id)
    length = run_length(survey, run)
    if length is None or length <= 0.0:
        return Levels(None, None, None)
    return levels_at(site, run, length, connection.chainage)
