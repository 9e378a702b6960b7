"""The junction of a branch with a main: its shape, and where a seam runs on it."""

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Junction:
    """Two pipes that meet: what a collar is pressed against.

    The main's axis is x. The branch leaves upwards (z) and leans towards upstream (+x) by
    `angle`; y points across, so that x, y, z are right-handed. The origin lies on the main's
    axis, where the plane through the branch's axis and z crosses it. `phi` [rad] runs round
    the branch's axis from the crotch (the acute side, +x) by +y: pi is the heel.

    Attributes:
        main_diameter: Mean inner diameter of the lined main [m].
        branch_diameter: Inner diameter of the branch [m].
        angle: Between the axes, 0 < angle <= pi/2 [rad].
        fillet: Radius of the rounded edge of the cut [m].
        offset: Distance of the branch's axis from the main's axis, towards +y [m]; 0 where the
            axes meet.
        ovality: Of the main, (mean - least)/mean of its inner diameter [-].
        short_axis: Angle from z towards +y to the main's least diameter [rad].
    """

    main_diameter: float
    branch_diameter: float
    angle: float
    fillet: float
    offset: float = 0.0
    ovality: float = 0.0
    short_axis: float = 0.0

    @property
    def symmetric(self) -> bool:
        """Whether the plane y = 0 is a mirror."""
        turned = abs(math.sin(2.0 * self.short_axis)) > 1e-12
        return self.offset == 0.0 and (self.ovality == 0.0 or not turned)


@dataclass(frozen=True, slots=True)
class Skin:
    """The middle of a fabric that lies against a junction from inside.

    Attributes:
        junction: Inner surface of the pipes.
        inset: Distance from it, half the installed thickness of the fabric [m].
    """

    junction: Junction
    inset: float


@dataclass(frozen=True, slots=True)
class Seam:
    """Where the saddle seam crosses the rounded edge, as a share of the edge's arc.

    0 is the line where the edge leaves the main, 1 where it leaves the branch; a share outside
    0 to 1 lies as far beyond on the pipe as the share of the arc says. Between the named places
    it runs as a0 + a1 cos(phi) + a2 cos(2 phi) + side sin(phi).

    Attributes:
        crotch: At phi = 0 [-].
        flank: At phi = pi/2, mean of both sides [-].
        heel: At phi = pi [-].
        side: Half the difference between the flanks, +y less -y [-]; 0 on a symmetric junction.
    """

    crotch: float
    flank: float
    heel: float
    side: float = 0.0
