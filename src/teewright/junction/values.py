"""The junction of a branch with a main, as a shape."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Junction:
    """Two cylinders that meet.

    The branch leans towards upstream by `angle`. `x` runs along the main, positive on the
    side to which the branch leans, from the point where the axes meet. `phi` [rad] runs
    round the branch's axis from the crotch (the acute side, +x): pi is the heel.

    Attributes:
        main_diameter: Inner diameter of the lined main [m].
        branch_diameter: Inner diameter of the branch [m].
        angle: Between the axes, 0 < angle <= pi/2 [rad].
        fillet: Radius of the rounded edge of the cut [m].
    """

    main_diameter: float
    branch_diameter: float
    angle: float
    fillet: float
