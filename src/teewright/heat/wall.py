"""The collar pressed into the sewer: heat and cure across bladder, collar, liner, pipe and soil.

Radial conduction only. Along the main the packer's ends lose heat, and in the branch the radius
is smaller: both are left out.
"""

from dataclasses import dataclass, replace

import numpy as np

from teewright.errors import InputError
from teewright.heat.layers import GROWTH, RESIN_CELLS, Layer, Mesh, Side, graded_mesh, radial_chain
from teewright.heat.march import FINE, March, run
from teewright.resin.kinetics import FloatArray, Kinetics
from teewright.resin.path import Path, steady

HOLD = 4.0 * 3600.0
"""How long a collar is followed where nothing else is asked for [s]."""
TOLD = 121
"""Times at which a history is told."""

BLADDER = Layer("bladder", 0.003, 0.16, 1150.0, 1800.0)
"""Rubber; properties from memory, textbooks."""
COLLAR = Layer("collar", 0.004, 0.20, 1150.0, 1600.0, 950.0)
"""Felt soaked with epoxy; properties from memory, resin by mass common practice, no source."""
LINER = Layer("liner", 0.004, 0.20, 1200.0, 1500.0)
"""Cured felt and resin; properties from memory, textbooks."""
CLAY = Layer("host pipe", 0.020, 1.2, 2200.0, 900.0)
"""Vitrified clay; conductivity read in a secondary source, the rest from memory."""
SOIL = Layer("wet soil", 0.300, 1.8, 2000.0, 1500.0)
"""Saturated sand; properties from memory, textbooks."""
FILM_AIR = 10.0
"""Film coefficient of the air in a packer [W/(m2 K)]; from memory, textbooks."""

NOT_MODELLED = (
    "Heat flows across the wall only: the packer's ends and the branch are colder or warmer.",
    "Groundwater stands still: where it flows behind the pipe the collar cures later.",
    "The resin stays where it is put and keeps its properties while it cures.",
)
"""What the march leaves out, one sentence each."""


@dataclass(frozen=True, slots=True)
class Wall:
    """What the collar is pressed between.

    Attributes:
        inner_radius: Of the first layer [m].
        layers: From the inside outwards; exactly one holds resin, the collar.
        inside: Fluid in the bladder: its path is told from the moment of mixing.
        far: What touches the last layer, told from the moment of mixing.
        ground: Temperature of all layers outside the collar at inflation [K].
    """

    inner_radius: float
    layers: tuple[Layer, ...]
    inside: Side
    far: Side
    ground: float

    def __post_init__(self) -> None:
        if sum(layer.resin > 0.0 for layer in self.layers) != 1:
            raise InputError(
                "do not hold the collar once",
                field="layers",
                value=[layer.name for layer in self.layers],
                allowed="exactly one layer with resin",
            )
        if not self.ground > 0.0:
            raise InputError("is not above zero", field="ground", value=self.ground, allowed="K")

    def collar(self) -> int:
        """Index of the layer that holds resin."""
        return next(i for i, layer in enumerate(self.layers) if layer.resin > 0.0)

    def with_thickness(self, share: float) -> "Wall":
        """The same wall with the collar so many times as thick."""
        at = self.collar()
        thick = replace(self.layers[at], thickness=share * self.layers[at].thickness)
        return replace(self, layers=(*self.layers[:at], thick, *self.layers[at + 1 :]))

    def warmer(self, ground: float) -> "Wall":
        """The same wall, pipe and soil and far side warmer by so much [K]."""
        far = replace(self.far, path=self.far.path.shifted(ground))
        return replace(self, ground=self.ground + ground, far=far)


@dataclass(frozen=True, slots=True)
class State:
    """Resin at one moment: conversion [-] and temperature [K]."""

    conversion: float
    temperature: float


@dataclass(frozen=True, slots=True)
class CuringWall:
    """A collar's cure in place. Times count from the inflation.

    Attributes:
        march: All cells.
        mesh: Their radii.
        faces: Cells at the inner face, in the middle and at the host side of the collar.
        temperatures: There [K], shape (times, 3).
        conversions: There [-], shape (times, 3).
        touching: Where the collar touches what lies within and without it: bladder and liner
            [K], shape (times, 2).
        peak: Hottest temperature of the collar [K].
        peak_radius: Where [m].
        peak_time: When [s].
        gel: At the slowest place [s]; infinite where it is not reached.
        firm: At the slowest place [s]; infinite where it is not reached.
        slowest_radius: Where the collar is firm last [m].
        imbalance: Of the heat, over all heat that went anywhere [-].
    """

    march: March
    mesh: Mesh
    faces: tuple[int, int, int]
    temperatures: FloatArray
    conversions: FloatArray
    touching: FloatArray
    peak: float
    peak_radius: float
    peak_time: float
    gel: float
    firm: float
    slowest_radius: float
    imbalance: float


@dataclass(frozen=True, slots=True)
class Effort:
    """How fine a march is.

    Attributes:
        resin_cells: Across the collar.
        growth: Of the cells away from it [-].
        tolerance: Largest error of one step, a share of the whole conversion or of 50 K [-].
    """

    resin_cells: int = RESIN_CELLS
    growth: float = GROWTH
    tolerance: float = FINE


FINE_EFFORT = Effort()


def cure_in_place(
    k: Kinetics,
    wall: Wall,
    state: State,
    *,
    inflation: float = 0.0,
    hold: float = HOLD,
    effort: Effort = FINE_EFFORT,
    until: str = "end",
) -> CuringWall:
    """March the collar's heat and cure from inflation on.

    The bladder starts at the temperature of the collar, with which it has travelled; liner,
    pipe and soil at that of the ground.

    Args:
        k: The resin.
        wall: The layers.
        state: Of the resin at inflation.
        inflation: Its time, counted like the wall's paths [s].
        hold: How long it is followed [s].
        effort: How fine.
        until: `"end"`, or `"firm"` to stop once all of the collar is.

    Returns:
        The cure.

    Raises:
        InputError: Values that cannot be.
        ConvergenceError: The march needed too many steps.
    """
    mesh = graded_mesh(
        wall.inner_radius, wall.layers, resin_cells=effort.resin_cells, growth=effort.growth
    )
    chain = radial_chain(
        k, mesh, wall.layers, inside=wall.inside, outside=wall.far, since=inflation
    )
    at = wall.collar()
    owner = np.array(mesh.owner)
    march = run(
        k,
        chain,
        temperature=np.where(owner <= at, state.temperature, wall.ground),
        conversion=np.full(len(owner), state.conversion),
        times=np.linspace(0.0, hold, TOLD),
        tolerance=effort.tolerance,
        until=until,
    )
    cells = np.flatnonzero(owner == at)
    faces = (int(cells[0]), int(cells[len(cells) // 2]), int(cells[-1]))
    firm, slowest = _slowest(march.firm_times[cells], mesh.faces[cells[0] : cells[-1] + 2])
    gel, _ = _slowest(march.gel_times[cells], mesh.faces[cells[0] : cells[-1] + 2])
    return CuringWall(
        march=march,
        mesh=mesh,
        faces=faces,
        temperatures=march.temperatures[:, faces],
        conversions=march.conversions[:, faces],
        touching=_touching(march, mesh, wall.layers, (faces[0], faces[2])),
        peak=march.peak,
        peak_radius=float(mesh.middles[march.peak_cell]),
        peak_time=march.peak_time,
        gel=gel,
        firm=firm,
        slowest_radius=slowest,
        imbalance=march.imbalance,
    )


def _touching(
    march: March, mesh: Mesh, layers: tuple[Layer, ...], ends: tuple[int, int]
) -> FloatArray:
    """Temperatures of both faces of the collar [K], shape (times, 2).

    As much heat comes to a face from the middle of the one cell as leaves it to that of the other.
    """
    first, last = ends
    found = []
    for cell, beyond, face in ((first, first - 1, first), (last, last + 1, last + 1)):
        if not 0 <= beyond < len(mesh.middles):
            found.append(march.temperatures[:, cell])
            continue
        own, other = (
            layers[mesh.owner[c]].conductivity / abs(mesh.faces[face] - mesh.middles[c])
            for c in (cell, beyond)
        )
        sides = own * march.temperatures[:, cell] + other * march.temperatures[:, beyond]
        found.append(sides / (own + other))
    return np.stack(found, axis=1)


def usual_wall(
    *,
    main_diameter: float,
    collar_thickness: float,
    liner_thickness: float,
    ground: float,
    inside: Side | None = None,
) -> Wall:
    """A wall of clay in wet ground, for a first look: every property is a textbook's.

    Args:
        main_diameter: Inside the liner [m].
        collar_thickness: As pressed [m].
        liner_thickness: [m].
        ground: Temperature of pipe and soil [K].
        inside: Fluid in the bladder; air at the ground's temperature if not given.

    Returns:
        The wall, held at the ground's temperature 0.3 m from the pipe.

    Raises:
        InputError: The bladder has no room left, or a value is not above zero.
    """
    layers = (
        BLADDER,
        replace(COLLAR, thickness=collar_thickness),
        replace(LINER, thickness=liner_thickness),
        CLAY,
        SOIL,
    )
    held = Side(float("inf"), steady(ground))
    air = inside or Side(FILM_AIR, Path((0.0,), (ground,)))
    radius = main_diameter / 2.0 - collar_thickness - BLADDER.thickness
    if radius <= 0.0:
        raise InputError("leaves no bladder", field="main diameter", value=main_diameter)
    return Wall(radius, layers, air, held, ground)


def _slowest(times: FloatArray, faces: FloatArray) -> tuple[float, float]:
    """Latest time over a layer and its radius, the faces included.

    The times are those of the cells' middles. At a face the line through the two nearest is
    taken: half a cell away the time would be out by a part of first order in the cells.
    """
    middles = 0.5 * (faces[1:] + faces[:-1])
    if not np.all(np.isfinite(times)) or len(times) == 1:
        at = int(np.argmax(times))
        return float(times[at]), float(middles[at])
    inner, outer = 1.5 * times[0] - 0.5 * times[1], 1.5 * times[-1] - 0.5 * times[-2]
    all_times = np.array([inner, *times, outer])
    at = int(np.argmax(all_times))
    return float(all_times[at]), float([faces[0], *middles, faces[-1]][at])
