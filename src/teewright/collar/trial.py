"""One forming run of a flat collar: on the packer, into a junction, held against the limits."""

from dataclasses import dataclass, replace

import numpy as np

from teewright.collar.dressing import load_of, on_packer, restraint_of, within
from teewright.collar.flat import FlatCollar
from teewright.collar.landing import Measured, Wanted, broken, limits_of, measure
from teewright.collar.order import Extent, Order, crown_height, opening_middle
from teewright.collar.sewing import sew
from teewright.collar.targets import Targets
from teewright.collar.tolerance import Case
from teewright.collar.values import Limit
from teewright.errors import ConvergenceError, GeometryError
from teewright.forming.solve import form, ramp_for
from teewright.forming.values import Cloth, Contact, Formed, Setup
from teewright.junction.check import check_shape
from teewright.junction.field import field_of
from teewright.junction.plan import MeshPlan
from teewright.junction.values import Junction, Skin

MOST_STEPS = 60_000
"""Steps of a forming run at the most, at the usual path."""
UNSTEADY = "no steady landing"
"""What breaks where a forming run finds no balance."""
IMPOSSIBLE = "a junction that cannot be"
"""What breaks where a branch so changed would not open into the main."""


@dataclass(frozen=True, slots=True, eq=False)
class Sewn:
    """A flat collar, sewn, and all that a forming run of it needs.

    Attributes:
        order: What it is made for.
        flat: Its pieces.
        plan: Of its mesh.
        extent: Of its designed surface.
        targets: Its stretches by design.
        wanted: Where its edges should lie.
        cloth: As sewn.
    """

    order: Order
    flat: FlatCollar
    plan: MeshPlan
    extent: Extent
    targets: Targets
    wanted: Wanted
    cloth: Cloth


@dataclass(frozen=True, slots=True, eq=False)
class Trial:
    """A formed collar.

    Attributes:
        sewn: What was formed.
        formed: Where it landed.
        measured: What was measured on it.
        limits: Each limit with the value found.
    """

    sewn: Sewn
    formed: Formed
    measured: Measured
    limits: tuple[Limit, ...]

    @property
    def margin(self) -> float:
        """Least share left of all limits [-]."""
        return min(limit.margin for limit in self.limits)


def sewn_of(
    order: Order,
    flat: FlatCollar,
    plan: MeshPlan,
    *,
    extent: Extent,
    targets: Targets,
    wanted: Wanted,
) -> Sewn:
    """Sew a flat collar."""
    return Sewn(order, flat, plan, extent, targets, wanted, sew(flat, order.fabric, order.stretch))


def try_on(sewn: Sewn, case: Case | None = None, *, slower: int = 1) -> Trial:
    """Form a collar.

    Args:
        sewn: The collar.
        case: How packer and junction are off; None for not at all.
        slower: Times the usual number of steps in which the pressure is raised.

    Returns:
        The formed collar.

    Raises:
        ConvergenceError: No balance was found.
        GeometryError: The junction of the case cannot exist.
    """
    order, mesh = sewn.order, sewn.flat.mesh
    off = case if case is not None else Case()
    junction = changed(order.junction, off)
    skin = Skin(junction, order.skin.inset)
    check_shape(skin)
    field = field_of(skin)
    start = on_packer(order.skin, sewn.plan, sewn.extent, sewn.targets, off)
    # the crew sets the packer by the opening that it sees
    start[:, 0] += opening_middle(junction) - opening_middle(order.junction)
    start = within(field, start)
    setup = Setup(
        cloth=sewn.cloth,
        start=start,
        load=load_of(mesh, start, order.pressure),
        contact=Contact(field, order.fabric.friction),
        restraint=restraint_of(mesh),
    )
    ramp = slower * ramp_for(setup)
    formed = form(setup, ramp=ramp, max_steps=slower * MOST_STEPS)
    middle = opening_middle(junction) + off.along
    wanted = replace(sewn.wanted, middle=middle, crown=crown_height(junction))
    measured = measure(sewn.flat, sewn.cloth, formed, wanted, junction)
    return Trial(sewn, formed, measured, limits_of(measured, junction, order.fabric))


def changed(junction: Junction, case: Case) -> Junction:
    """A junction off by what a case says; the branch no wider than the main, no angle above 90."""
    main = junction.main_diameter + case.main
    return replace(
        junction,
        main_diameter=main,
        branch_diameter=min(junction.branch_diameter + case.branch, main),
        angle=min(junction.angle + case.angle, np.pi / 2.0),
        fillet=max(junction.fillet + case.fillet, 0.0),
    )


def judge(sewn: Sewn, case: Case) -> str:
    """Name of the limit that breaks first in a case, empty if all are kept."""
    try:
        trial = try_on(sewn, case)
    except ConvergenceError:
        return UNSTEADY
    except GeometryError:
        return IMPOSSIBLE
    return broken(trial.limits)
