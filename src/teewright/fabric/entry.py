"""A fabric of the kit from what was fitted to tests."""

from teewright.fabric.values import FabricFit, ThicknessFit
from teewright.kit.values import Fabric

VOID_FRACTION = 0.85
"""Void fraction until it is measured; value from memory for needled felt [-]."""
SEAM_ALLOWANCE = 0.008
"""Seam allowance until it is chosen; common practice, no source [m]."""
ROLL_WIDTH = 1.5
"""Width of the roll until it is measured; common practice, no source [m]."""
NOT_FITTED = ("void fraction", "seam allowance", "width of the roll", "price", "seam", "friction")
"""What no strip or thickness test tells; the user has to fill it in."""


def fabric_of(
    name: str,
    fit: FabricFit,
    thickness: ThicknessFit,
    *,
    source: str,
) -> Fabric:
    """A fabric with the fitted figures; the rest, `NOT_FITTED`, stands at its usual size.

    Args:
        name: In the kit.
        fit: From strips.
        thickness: From readings under pressure.
        source: Where the readings came from.
    """
    return Fabric(
        name=name,
        thickness=thickness.points,
        void_fraction=VOID_FRACTION,
        stiffness_along=fit.stiffness_along,
        stiffness_across=fit.stiffness_across,
        stretch_along=fit.stretch_along,
        stretch_across=fit.stretch_across,
        seam_allowance=SEAM_ALLOWANCE,
        roll_width=ROLL_WIDTH,
        price=0.0,
        source=source,
        poisson=fit.poisson,
        stiffness_shear=fit.shear,
    )
