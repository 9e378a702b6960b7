"""What the window of inflation pressure of one connection is worked out from."""

import math

from teewright.job.resolve import Inputs
from teewright.kit.values import Fabric, Kit, Packer
from teewright.pressure.case import WindowCase
from teewright.pressure.host import CrackedBranch, Ground
from teewright.pressure.limits import PipeWall
from teewright.pressure.squeeze import squeeze_pressure

SAFETY_OFF = "site, safety taken off already"
"""Source of a strength that is an allowed tension."""


def window_case(inputs: Inputs, packer: Packer, kit: Kit) -> WindowCase:
    """The case of a packer at a connection, before its collar is formed.

    Args:
        inputs: Of the connection.
        packer: The packer.
        kit: Fabric and rules.

    Raises:
        InputError: The fabric's thickness does not fall with pressure.
        RangeError: The fabric was not measured as thin as it is to be squeezed.
    """
    rules, fabric = kit.rules, kit.fabric
    pipe = inputs.branch_pipe
    return WindowCase(
        main_diameter=inputs.lined_diameter,
        branch_diameter=inputs.branch_diameter.value,
        fabric=fabric,
        stretch=rules.stretch,
        packer=packer,
        ground=_ground(inputs, kit),
        liner_pressure=rules.liner_pressure,
        margin=rules.pressure_margin,
        squeeze=_squeeze(fabric),
        squeeze_to=fabric.squeezed,
        friction=rules.friction,
        packer_temperature=_skin(packer, inputs),
        derating=packer.derating,
        host_wall=_host_wall(inputs),
        branch_wall=_branch_wall(inputs),
        branch_pressure=None if pipe is None else pipe.pressure,
        branch_cracked=_cracked_branch(inputs, packer),
        head_least=inputs.head_least,
    )


def _ground(inputs: Inputs, kit: Kit) -> Ground:
    return Ground(
        head=inputs.head.value,
        host_diameter=inputs.host_diameter.value,
        cover=inputs.cover.value,
        host_cracked=inputs.cracked,
        soil_weight=kit.rules.soil_weight,
        soil_weight_saturated=kit.rules.soil_weight_saturated,
    )


def _squeeze(fabric: Fabric) -> float:
    return 0.0 if fabric.squeezed is None else squeeze_pressure(fabric, fabric.squeezed)


def _skin(packer: Packer, inputs: Inputs) -> float | None:
    """Temperature of the packer's skin before the resin heats it.

    Below the first point of a derating no rating is told, and cold does no harm.
    """
    if not packer.derating:
        return None
    return max(inputs.air.value, inputs.pipe.value, packer.derating[0][0])


def _host_wall(inputs: Inputs) -> PipeWall | None:
    """Ring of a host that is known to be sound, where its wall and what it may bear are told."""
    if inputs.cracked is not False:
        return None
    return _ring(
        inputs.host_diameter.value, inputs.host_thickness, inputs.host_strength, SAFETY_OFF
    )


def _branch_wall(inputs: Inputs) -> PipeWall | None:
    """Likewise of the branch pipe; one of which nobody told its state does not count as sound."""
    pipe = inputs.branch_pipe
    if pipe is None or pipe.cracked is not False:
        return None
    source = f"{pipe.source or 'site'}, safety taken off already"
    return _ring(inputs.branch_diameter.value, pipe.thickness, pipe.strength, source)


def _cracked_branch(inputs: Inputs, packer: Packer) -> CrackedBranch | None:
    """A branch pipe that is declared as cracked, and for which no pressure is declared.

    Where it joins and where the packer ends are taken as high as they may be: there the least
    ground and water hold it.
    """
    pipe = inputs.branch_pipe
    if pipe is None or not pipe.cracked or pipe.pressure is not None:
        return None
    rise, symbol = inputs.branch_rise, "z_d"
    joins = rise.value
    if rise.assumed:
        joins, symbol = inputs.host_diameter.value, "D_h"
    up = packer.branch_reach * math.sin(inputs.angle.value)
    crown = joins + inputs.branch_diameter.value + up
    return CrackedBranch(crown, f"{symbol} + d + L_d sin θ, as steep as it may be")


def _ring(
    diameter: float, wall: float | None, strength: float | None, source: str
) -> PipeWall | None:
    if wall is None or strength is None:
        return None
    return PipeWall(diameter=diameter, wall=wall, strength=strength, safety=1.0, source=source)
