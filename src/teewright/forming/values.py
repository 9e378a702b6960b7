"""What a forming run is given and what it finds: frozen arrays, no behaviour."""

import math
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
"""Array of floats."""
IntArray = NDArray[np.int64]
"""Array of whole numbers."""
BoolArray = NDArray[np.bool_]
"""Array of truths."""


@dataclass(frozen=True, slots=True, eq=False)
class Cloth:
    """A cloth sewn from flat pieces: corners shared in space, each triangle flat on its own.

    Attributes:
        triangles: Vertices, counter-clockwise seen from the side that the pressure pushes
            towards, shape (m, 3).
        rest: Corners of each triangle as cut, in (across the grain, along the grain), turned
            the same way round, shape (m, 3, 2) [m].
        stiffness: D11 (across), D22 (along), D12, D33 (shear, per engineering shear strain) of
            the membrane law in Green's strain, shape (m, 4) [N/m]; see `law.membrane_law`.
        bars: Ends of the pieces of the seams, shape (k, 2).
        bar_rest: Their lengths as sewn, shape (k,) [m].
        bar_stiffness: Force per strain of a seam beyond that of the cloth, shape (k,) [N].
        bars_push: Whether a bar also takes compression. A sewn seam is a narrow strip of the
            same cloth and buckles with it, so by default it does not.
    """

    triangles: IntArray
    rest: FloatArray
    stiffness: FloatArray
    bars: IntArray
    bar_rest: FloatArray
    bar_stiffness: FloatArray
    bars_push: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Load:
    """Pressure that follows the cloth, and forces that grow with it.

    Attributes:
        pressure: On the cloth at the end, towards the side from which the triangles run
            counter-clockwise [Pa].
        thrust: Force on each vertex per pressure, e.g. the share of a bladder's end thrust that
            the cloth carries, shape (n, 3) [m2].
        bladder: Tension along the grain per pressure that the bladder itself carries over each
            triangle, shape (m,), or (0,) for none [m]. A closed tube of radius R carries R/2.
            It keeps the cloth from bowing: a tube under pressure whose ends are open is a
            column under the thrust that its ends should have taken.
        clamped: Share of the vertices that touch from which on thrust and bladder grow no more
            [-]: bladder, cloth and surface are then pressed together, and friction hands on
            what the ends of the bladder pull. inf for loads that grow to the end.
    """

    pressure: float
    thrust: FloatArray
    bladder: FloatArray
    clamped: float = math.inf


@dataclass(frozen=True, slots=True, eq=False)
class Restraint:
    """What holds the cloth besides the surface.

    Attributes:
        free: 1 where a vertex may move along x, y, z, else 0, shape (n, 3): all 0 holds it,
            (1, 0, 1) keeps it in a plane of symmetry y = const.
        spring: Force per way from its start along `grip`, e.g. the hold of the packer along its
            axis, shape (n,) [N/m].
        grip: Unit vectors, shape (n, 3).
    """

    free: FloatArray
    spring: FloatArray
    grip: FloatArray


class Surface(Protocol):
    """What the compiled distance reads: a field of `teewright.junction.field`."""

    @property
    def numbers(self) -> FloatArray:
        """Kind and sizes."""

    @property
    def table(self) -> FloatArray:
        """Points to start a search from."""


@dataclass(frozen=True, slots=True, eq=False)
class Contact:
    """The surface that stops the cloth.

    Attributes:
        field: Distance to it, e.g. `teewright.junction.field.field_of(skin)`.
        friction: Coulomb's coefficient [-].
    """

    field: Surface
    friction: float


@dataclass(frozen=True, slots=True, eq=False)
class Setup:
    """All that a forming run starts from.

    Attributes:
        cloth: As cut and sewn.
        start: Vertices before the pressure, shape (n, 3) [m].
        load: Pressure at the end, and thrust.
        contact: Surface, or None.
        restraint: What else holds the cloth.
    """

    cloth: Cloth
    start: FloatArray
    load: Load
    contact: Contact | None
    restraint: Restraint


@dataclass(frozen=True, slots=True)
class Moment:
    """A place on the way of the pressure.

    Attributes:
        pressure: Reached [Pa].
        steps: Of the solver up to here.
        residual: Largest force out of balance over pressure times mean area of a vertex [-].
        touching: Share of the vertices that touch [-].
    """

    pressure: float
    steps: int
    residual: float
    touching: float


@dataclass(frozen=True, slots=True, eq=False)
class Formed:
    """Where the cloth has come to rest, and how it is strained there.

    Attributes:
        positions: Of the vertices, shape (n, 3) [m].
        touching: Vertices that press on the surface, shape (n,).
        gap: Distance from the surface, shape (n,) [m]; inf without a surface.
        landed: Pressure at which each vertex first touched, nan where it never did, (n,) [Pa].
        slid: Way slid on the surface since then, shape (n,) [m].
        reaction: Normal force of the surface on each vertex, shape (n,) [N].
        stretch: Principal stretches of each triangle, larger first, shape (m, 2) [-].
        along: Stretch across and along the grain, shape (m, 2) [-].
        resultants: Second Piola-Kirchhoff resultants S11 (across), S22 (along), S12 per length
            as cut, shape (m, 3) [N/m].
        tension: Principal true tensions per length as formed, larger first, (m, 2) [N/m].
        wrinkled: Triangles taut in one direction only, shape (m,).
        slack: Triangles without tension, shape (m,).
        wrinkle: Cloth in excess across the wrinkles, per length that it spans, shape (m,) [-].
        pressure: At the end [Pa].
        steps: Steps of the solver.
        residual: Largest force out of balance over pressure times mean area of a vertex [-].
        path: What was reached at each pressure on the way.
        track: Positions at each of these, shape (len(path), n, 3) [m].
    """

    positions: FloatArray
    touching: BoolArray
    gap: FloatArray
    landed: FloatArray
    slid: FloatArray
    reaction: FloatArray
    stretch: FloatArray
    along: FloatArray
    resultants: FloatArray
    tension: FloatArray
    wrinkled: BoolArray
    slack: BoolArray
    wrinkle: FloatArray
    pressure: float
    steps: int
    residual: float
    path: tuple[Moment, ...]
    track: FloatArray
