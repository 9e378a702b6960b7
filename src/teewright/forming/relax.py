"""Dynamic relaxation: steps of a damped motion that comes to rest in equilibrium.

The masses are no real ones but the least that keep steps of 1 stable, and the damping is that
which is critical for the motion seen in the last step, by its Rayleigh quotient (A. S. Day, The
Engineer 219 (1965); P. Underwood in Computational Methods for Transient Analysis, 1983;
references from memory).
"""

import math
from typing import NamedTuple

from teewright.forming.arrays import Body, Nodes, Wall
from teewright.forming.compiled import compiled
from teewright.forming.elements import add_bar_masses, add_bars, add_cloth, add_masses
from teewright.forming.motion import close_forces, move

REFRESH = 20
"""Steps after which the masses are usually weighed anew."""
_MASS_SAFETY = 1.1
_HEAVIEST = 1.9


class Stage(NamedTuple):
    """A stretch of steps.

    Attributes:
        first: Pressure before it [Pa].
        last: Pressure reached at the end of the ramp, and held from there [Pa].
        ramp: Steps of the ramp.
        steps: Steps at most.
        limit: Force out of balance per pressure at which it may stop, after the ramp [m2].
        clamped: Pressure beyond which thrust and bladder grow no more [Pa].
        refresh: Steps after which the masses are weighed anew.
    """

    first: float
    last: float
    ramp: int
    steps: int
    limit: float
    clamped: float
    refresh: int = REFRESH


@compiled
def weigh(body: Body, nodes: Nodes, pull: float) -> None:
    """Set the masses so that steps of 1 are stable.

    Args:
        body: Cloth.
        nodes: Vertices; their masses are replaced.
        pull: Pressure to which the tension of the bladder has grown [Pa].
    """
    mass, spring = nodes.mass, nodes.spring
    mass[:] = 0.0
    add_masses(body, nodes.x, pull, mass)
    add_bar_masses(body, mass)
    for i in range(mass.shape[0]):
        mass[i] = _MASS_SAFETY * (mass[i] + 0.25 * spring[i])


@compiled
def advance(body: Body, nodes: Nodes, wall: Wall, stage: Stage) -> tuple[int, float]:
    """Step until the ramp is done and the forces balance, or the steps are used up.

    Args:
        body: Cloth.
        nodes: Vertices, changed in place.
        wall: Surface.
        stage: Pressures and limits.

    Returns:
        Steps done, and the largest force out of balance per pressure [m2]; not finite where the
        motion has blown up.
    """
    worst = math.inf
    for step in range(stage.steps):
        share = min((step + 1.0) / stage.ramp, 1.0) if stage.ramp > 0 else 1.0
        pressure = stage.first + share * (stage.last - stage.first)
        pull = min(pressure, stage.clamped)
        if step % stage.refresh == 0:
            weigh(body, nodes, pull)
        nodes.f[:] = 0.0
        add_cloth(body, nodes.x, pressure, pull, nodes.f)
        add_bars(body, nodes.x, nodes.f)
        work, weight = close_forces(nodes, pull)
        if not math.isfinite(weight):
            return step + 1, math.nan
        slow = max(work / weight, 0.0) if weight > 0.0 else 0.0
        c = min(2.0 * math.sqrt(slow), _HEAVIEST)
        worst = move(nodes, wall, pressure, (2.0 - c) / (2.0 + c), 2.0 / (2.0 + c)) / pressure
        if step + 1 >= stage.ramp and worst <= stage.limit:
            return step + 1, worst
    return stage.steps, worst
