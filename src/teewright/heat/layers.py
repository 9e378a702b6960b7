"""Layers round an axis, cut into cells: the chain that the march reads.

Radial conduction through finite volumes. Between the middles of two cells the conductance is that
of two tubes in series, 2 pi k / ln(r2/r1) each (Fourier's law for a hollow cylinder; any textbook
of heat transfer), so that a steady radial flow comes out exact whatever the cells.
"""

import math
from dataclasses import dataclass

import numpy as np

from teewright.errors import InputError
from teewright.heat.kernel import Chain
from teewright.resin.kinetics import FloatArray, Kinetics
from teewright.resin.path import Path

RESIN_CELLS = 16
"""Across the resin in a fine mesh."""
GROWTH = 1.3
"""Of the cells away from the resin in a fine mesh, one to the next [-]."""
MOST_CELLS = 2000


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer of the wall or of a batch.

    Attributes:
        name: Plain name.
        thickness: [m].
        conductivity: [W/(m K)].
        density: [kg/m3].
        heat_capacity: Per mass [J/(kg K)].
        resin: Mass of curing resin per volume of the layer [kg/m3]; 0 where there is none.
    """

    name: str
    thickness: float
    conductivity: float
    density: float
    heat_capacity: float
    resin: float = 0.0

    def __post_init__(self) -> None:
        for field in ("thickness", "conductivity", "density", "heat_capacity"):
            value = getattr(self, field)
            if not 0.0 < value < math.inf:
                raise InputError(
                    "is not above zero", field=f"{field} of {self.name}", value=value, allowed="> 0"
                )
        if not 0.0 <= self.resin <= self.density:
            raise InputError(
                "is not a part of the layer",
                field=f"resin in {self.name}",
                value=self.resin,
                allowed=f"0 to the density, {self.density:g} kg/m3",
            )


@dataclass(frozen=True, slots=True)
class Side:
    """What touches the first or the last layer.

    Attributes:
        film: Film coefficient [W/(m2 K)]; 0 lets no heat through, infinity holds the face at
            the path's temperature.
        path: Temperature of the fluid over time.
    """

    film: float
    path: Path

    def __post_init__(self) -> None:
        if not self.film >= 0.0:
            raise InputError("is below zero", field="film coefficient", value=self.film)


@dataclass(frozen=True, slots=True)
class Mesh:
    """The cells of a stack of layers, from the inside outwards.

    Attributes:
        faces: Radii of the faces, one more than cells [m].
        middles: Radii at which the temperatures are told [m].
        owner: Index of the layer that each cell belongs to.
    """

    faces: FloatArray
    middles: FloatArray
    owner: tuple[int, ...]


def graded_mesh(
    inner_radius: float,
    layers: tuple[Layer, ...],
    *,
    resin_cells: int = RESIN_CELLS,
    growth: float = GROWTH,
) -> Mesh:
    """Even cells across the resin, ever larger ones away from it.

    Args:
        inner_radius: Of the first layer [m]; 0 for a solid core.
        layers: From the inside outwards.
        resin_cells: Across each layer that holds resin; across each layer if none does.
        growth: Of neighbouring cells away from the resin, above 1 [-].

    Returns:
        The mesh.

    Raises:
        InputError: No layers, a radius below 0, or a mesh that cannot be.
    """
    if not layers or not 0.0 <= inner_radius < math.inf:
        raise InputError("cannot be meshed", field="inner radius and layers", value=inner_radius)
    if resin_cells < 1 or not growth > 1.0:
        raise InputError("cannot be", field="mesh", value=(resin_cells, growth), allowed="1, > 1")
    widths: list[FloatArray] = [
        np.full(resin_cells, layer.thickness / resin_cells) for layer in layers
    ]
    curing = [i for i, layer in enumerate(layers) if layer.resin > 0.0]
    if curing:
        for i in range(curing[-1] + 1, len(layers)):
            widths[i] = _growing(float(widths[i - 1][-1]), layers[i].thickness, growth)
        for i in range(curing[0] - 1, -1, -1):
            widths[i] = _growing(float(widths[i + 1][0]), layers[i].thickness, growth)[::-1]
    owner = tuple(i for i, row in enumerate(widths) for _ in row)
    faces = inner_radius + np.concatenate([[0.0], np.cumsum(np.concatenate(widths))])
    return Mesh(faces, 0.5 * (faces[:-1] + faces[1:]), owner)


def _growing(neighbour: float, thickness: float, growth: float) -> FloatArray:
    count = math.ceil(math.log1p(thickness / neighbour * (growth - 1.0)) / math.log(growth))
    if count > MOST_CELLS:
        raise InputError("asks for too many cells", field="mesh", value=count, allowed="2000")
    row = neighbour * growth ** np.arange(max(count, 1))
    return np.asarray(row * (thickness / row.sum()))


def radial_chain(
    k: Kinetics,
    mesh: Mesh,
    layers: tuple[Layer, ...],
    *,
    inside: Side,
    outside: Side,
    since: float = 0.0,
) -> Chain:
    """What the march reads, per metre along the axis.

    Args:
        k: The resin.
        mesh: Of the layers.
        layers: From the inside outwards.
        inside: What touches the first layer.
        outside: What touches the last one.
        since: Time of both paths at which the march starts [s].

    Returns:
        Capacities [J/(m K)], conductances [W/(m K)] and heats [J/m] of the cells.
    """
    faces, middles = mesh.faces, mesh.middles
    table = np.array([(x.conductivity, x.density * x.heat_capacity, x.resin) for x in layers])
    conductivity, capacity, resin = table[list(mesh.owner)].T
    area = math.pi * np.diff(faces**2)
    # a solid core has no face and no resistance inside it that matters
    inner = np.log(middles / np.maximum(faces[:-1], 1e-300)) / (2.0 * math.pi * conductivity)
    outer = np.log(faces[1:] / middles) / (2.0 * math.pi * conductivity)
    link = np.empty(len(middles) + 1)
    link[1:-1] = 1.0 / (outer[:-1] + inner[1:])
    link[0] = _end(inside.film, float(faces[0]), float(inner[0]))
    link[-1] = _end(outside.film, float(faces[-1]), float(outer[-1]))
    return chain_of(
        k,
        capacity * area,
        link,
        resin * area * k.heat,
        inside=inside.path,
        outside=outside.path,
        since=since,
    )


def chain_of(
    k: Kinetics,
    capacity: FloatArray,
    link: FloatArray,
    heat: FloatArray,
    *,
    inside: Path,
    outside: Path,
    since: float = 0.0,
) -> Chain:
    """A chain of any cells, with the paths told from the start of the march."""
    return Chain(
        np.ascontiguousarray(capacity),
        link,
        np.ascontiguousarray(heat),
        k.numbers(),
        np.array(inside.times) - since,
        np.array(inside.temperatures),
        np.array(outside.times) - since,
        np.array(outside.temperatures),
    )


def _end(film: float, radius: float, half: float) -> float:
    """Conductance from a fluid through its film and half a cell."""
    if film == 0.0 or radius == 0.0:
        return 0.0
    if math.isinf(film):
        return 1.0 / half
    return 1.0 / (1.0 / (film * 2.0 * math.pi * radius) + half)
