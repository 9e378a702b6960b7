"""A collar formed where packer or junction are not as designed: what it costs, limit by limit."""

from dataclasses import replace

from teewright.collar.drawing import draw_panels
from teewright.collar.fabric_map import map_of
from teewright.collar.making import Designed
from teewright.collar.mirror import whole
from teewright.collar.placed import Placed
from teewright.collar.tolerance import Case
from teewright.collar.trial import Sewn, try_on


def place(designed: Designed, case: Case) -> Placed:
    """Form a collar with the packer, the junction or both off by a known amount.

    The panels stay as they are: on the mesh of their design, or, where the packer is turned and
    the two halves no longer land alike, on a whole mesh of the same fineness.

    Args:
        designed: The panels.
        case: How packer and junction are off.

    Returns:
        Where the fabric lands.

    Raises:
        ConvergenceError: The fabric finds no place to rest.
        GeometryError: The junction of the case cannot exist.
    """
    order = designed.order
    trial = try_on(_sewn(designed, case), case)
    flat = whole(trial.sewn.flat)
    panels = draw_panels(flat, order.fabric, lap=order.lap)
    found = map_of(order, trial, flat)
    return Placed(case, trial.limits, trial.measured.edges, panels, found)


def _sewn(designed: Designed, case: Case) -> Sewn:
    sewn = designed.closed.trial.sewn
    if not case.round or not sewn.flat.mesh.half:
        return sewn
    cutting = replace(designed.cutting, half=False)
    return cutting.sew(sewn.extent, sewn.targets).sewn
