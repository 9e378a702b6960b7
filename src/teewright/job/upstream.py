"""Rooms for water upstream of one connection, from the survey's runs and the site's levels."""

from teewright.errors import InputError
from teewright.hydraulics.holds import Watch
from teewright.hydraulics.storage import PACKER, PoolNode, PoolPipe, Upstream, upstream_of
from teewright.job.resolve import Inputs
from teewright.network.backwater import backwater_levels
from teewright.network.conditions import Site
from teewright.network.levels import node_levels, run_conditions, run_length
from teewright.network.values import Run, Survey

NEAREST = 0.05
"""Shortest piece of pipe between the upper manhole and the packer [m]."""


def upstream_rooms(
    survey: Survey, site: Site, run: Run, seat: float, inputs: Inputs
) -> tuple[Upstream, dict[str, Run]]:
    """What the pool may fill, and the run of each pipe by the node at its upper end.

    Args:
        survey: Runs.
        site: Levels.
        run: In which the packer stands.
        seat: Upper end of the packer, from the upper node [m].
        inputs: Of the connection.

    Returns:
        Pipes and manholes, the piece at the packer first; runs by upper node.

    Raises:
        InputError: A level or the length of the run itself is not known.
        GeometryError: The levels do not drain to the packer.
        RangeError: A size outside the ranges of the pool.
    """
    first = _pipe(survey, site, run, inputs.lined_diameter)
    if first is None:
        raise InputError(
            "is not known at both ends",
            field=f"level, length or flow direction of {run.id}",
            value="",
            allowed="inverts at both nodes, a length and the ground at the upper node",
        )
    share = min(seat / first.length, 1.0)
    bottom = first.invert_upstream + (first.invert_downstream - first.invert_upstream) * share
    length = max(first.length * share, NEAREST)
    ends = (first.invert_upstream, bottom)
    piece = PoolPipe(run.upstream, PACKER, first.diameter, length, *ends, manning=first.manning)
    pipes, used = [piece], {run.upstream: run}
    for below in pipes:
        for above in survey.runs:
            if above.downstream != below.upstream or above.upstream in used:
                continue
            whole = _pipe(survey, site, above, None, below=inputs.mean_flow.value)
            if whole is not None and whole.slope >= 0.0:
                pipes.append(whole)
                used[above.upstream] = above
    return upstream_of(pipes, [_node(site, pipe) for pipe in pipes]), used


def _pipe(
    survey: Survey, site: Site, run: Run, diameter: float | None, *, below: float = 0.0
) -> PoolPipe | None:
    """A whole run as a pipe, or None where it cannot be told how it lies."""
    up, down = node_levels(site, run.upstream), node_levels(site, run.downstream)
    length, declared = run_length(survey, run), run_conditions(site, run)
    if diameter is None and run.diameter is not None:
        liner = declared.liner_thickness
        diameter = run.diameter - 2.0 * (site.defaults.liner_thickness if liner is None else liner)
    if up.invert is None or down.invert is None or up.ground is None:
        return None
    if not length or diameter is None or "~" in run.id:
        return None
    # an unknown flow is taken as the whole: the water that flowed before leaves less room
    flow = declared.mean_flow
    share = 1.0 if flow is None or below <= 0.0 else min(flow / below, 1.0)
    ends = (up.invert, down.invert)
    manning = site.defaults.manning if declared.manning is None else declared.manning
    return PoolPipe(run.upstream, run.downstream, diameter, length, *ends, share, manning)


def _node(site: Site, outgoing: PoolPipe) -> PoolNode:
    declared = node_levels(site, outgoing.upstream)
    ground, area = declared.ground, declared.area
    floor = outgoing.invert_upstream + outgoing.diameter
    return PoolNode(
        outgoing.upstream,
        floor,
        floor if ground is None else ground,
        site.defaults.area if area is None else area,
    )


def watches_of(
    survey: Survey, site: Site, upstream: Upstream, used: dict[str, Run], seat: float
) -> tuple[Watch, ...]:
    """The level that the water must not reach at each connection upstream of the packer.

    Args:
        survey: Connections.
        site: Declared levels; where there is none the crown of the main is taken.
        upstream: Pipes that the pool may fill.
        used: Their runs by upper node.
        seat: Upper end of the packer, from the upper node of its run [m].

    Returns:
        Places that the water must stay below.
    """
    declared = backwater_levels(survey, site)
    found = []
    for pipe in upstream.pipes:
        end = seat if pipe.downstream == PACKER else pipe.length
        for c in survey.of_run(used[pipe.upstream].id):
            distance = end - c.chainage
            if 0.0 <= distance <= pipe.length:
                crown = pipe.invert_downstream + pipe.slope * distance + pipe.diameter
                found.append(Watch(c.id, declared.get(c.id, crown), pipe.upstream, distance))
    return tuple(found)
