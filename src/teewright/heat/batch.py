"""The batch before inflation: in its pack or bucket, then spread thin on the packer.

A large mass keeps its heat and gels sooner than the data sheet's; spread on the packer it is
at the air's temperature within minutes.
"""

import math
from dataclasses import dataclass, replace

import numpy as np

from teewright.errors import InputError
from teewright.heat.layers import Layer, Side, chain_of, graded_mesh, radial_chain
from teewright.heat.march import FINE, March, run
from teewright.heat.wall import BLADDER, TOLD, State
from teewright.resin.kinetics import FloatArray, Kinetics
from teewright.resin.path import Path

PACK_CELLS = 10
"""Across the radius of a pack."""
FILM_STILL = 8.0
"""Film coefficient of a pack or a collar in still air, radiation included [W/(m2 K)]; from
memory, textbooks."""


@dataclass(frozen=True, slots=True)
class Pack:
    """The mixed resin before it is spread, taken as a long cylinder that loses heat sideways.

    Attributes:
        radius: Of the bucket, or half the thickness of a flat pack [m].
        conductivity: Of the mix [W/(m K)].
        density: Of the mix [kg/m3].
        heat_capacity: Of the mix [J/(kg K)].
        film: To the air, walls of the pack included [W/(m2 K)].
    """

    radius: float
    conductivity: float
    density: float
    heat_capacity: float
    film: float = FILM_STILL

    def biot(self) -> float:
        """Film times radius/2 (volume over surface) over conductivity [-]."""
        return self.film * self.radius / 2.0 / self.conductivity


@dataclass(frozen=True, slots=True)
class Spread:
    """The soaked collar on the packer: air on one side, the bladder on the other.

    The bladder starts at the air's temperature and loses nothing to the packer.

    Attributes:
        thickness: Soaked [m].
        density: [kg/m3].
        heat_capacity: Per mass [J/(kg K)].
        resin: Mass of resin per volume [kg/m3].
        film: To the air [W/(m2 K)].
        backing: Heat that the bladder holds per area [J/(m2 K)]; 0 where none is counted on.
        contact: Conductance between the two [W/(m2 K)].
    """

    thickness: float
    density: float
    heat_capacity: float
    resin: float
    film: float = FILM_STILL
    backing: float = BLADDER.thickness * BLADDER.density * BLADDER.heat_capacity
    contact: float = 2.0 * BLADDER.conductivity / BLADDER.thickness


@dataclass(frozen=True, slots=True)
class Batch:
    """The batch over one stage. Times count from the stage's start.

    Attributes:
        march: All cells.
        state: Mean of the batch at the end of the stage.
        gel: First place that gels [s]; infinite where none does within the stage.
        peak: Hottest temperature [K].
        imbalance: Of the heat, over all heat that went anywhere [-].
    """

    march: March
    state: State
    gel: float
    peak: float
    imbalance: float


def in_pack(
    k: Kinetics,
    pack: Pack,
    state: State,
    air: Path,
    *,
    duration: float,
    cells: int = PACK_CELLS,
    until_gel: bool = False,
    tolerance: float = FINE,
) -> Batch:
    """The batch in its pack, from mixing.

    Args:
        k: The resin.
        pack: The pack.
        state: Of the mix at the start.
        air: Temperature round the pack over time.
        duration: Of the stage [s].
        cells: Across the radius; 1 takes the batch at one temperature, with no resistance of
            its own (for a Biot number below 0.1).
        until_gel: Stop once all of it has gelled.
        tolerance: Largest error of one step, a share of the whole conversion or of 50 K.

    Returns:
        The batch.

    Raises:
        InputError: Values that cannot be.
        ConvergenceError: The march needed too many steps.
    """
    body = Layer(
        "batch", pack.radius, pack.conductivity, pack.density, pack.heat_capacity, pack.density
    )
    none, round_it = Side(0.0, air), Side(pack.film, air)
    if cells == 1:
        area = math.pi * pack.radius**2
        chain = chain_of(
            k,
            np.array([pack.density * pack.heat_capacity * area]),
            np.array([0.0, pack.film * 2.0 * math.pi * pack.radius]),
            np.array([pack.density * area * k.heat]),
            inside=air,
            outside=air,
        )
    else:
        mesh = graded_mesh(0.0, (body,), resin_cells=cells)
        chain = radial_chain(k, mesh, (body,), inside=none, outside=round_it)
    count = len(chain.capacity)
    march = run(
        k,
        chain,
        temperature=np.full(count, state.temperature),
        conversion=np.full(count, state.conversion),
        times=np.linspace(0.0, duration, TOLD),
        tolerance=tolerance,
        until="gel" if until_gel else "end",
    )
    return _told(march, np.asarray(chain.heat))


def on_packer(
    k: Kinetics,
    spread: Spread,
    state: State,
    air: Path,
    *,
    since: float,
    duration: float,
    state_at: float | None = None,
    tolerance: float = FINE,
) -> Batch:
    """The batch spread on the packer, at one temperature through its thickness.

    Args:
        k: The resin.
        spread: The soaked collar.
        state: Of the resin when it is spread.
        air: Temperature round it over time.
        since: Time of the air's path at which it is spread [s].
        duration: Of the stage [s].
        state_at: Time of the stage at which the state is wanted [s]; the march then stops at
            gel, and the state is not a number where that comes first.
        tolerance: Largest error of one step, a share of the whole conversion or of 50 K.

    Returns:
        The batch.

    Raises:
        InputError: Values that cannot be.
        ConvergenceError: The march needed too many steps.
    """
    # the layer checks the values; its conductivity plays no part
    body = Layer("collar", spread.thickness, 1.0, spread.density, spread.heat_capacity)
    if not 0.0 < spread.resin <= spread.density:
        raise InputError("is no part of the collar", field="resin", value=spread.resin)
    own = body.density * body.heat_capacity * body.thickness
    capacity, link, heat = [own], [0.0, spread.film], [spread.resin * body.thickness * k.heat]
    if spread.backing > 0.0:
        capacity, heat = [spread.backing, own], [0.0, *heat]
        link = [0.0, spread.contact, spread.film]
    chain = chain_of(
        k,
        np.array(capacity),
        np.array(link),
        np.array(heat),
        inside=air,
        outside=air,
        since=since,
    )
    until = "end" if state_at is None else "gel"
    times = np.linspace(0.0, duration, TOLD)
    if state_at is not None:
        times = np.unique([0.0, state_at, duration])
    start = np.full(len(capacity), state.temperature)
    start[:-1] = np.interp(since, air.times, air.temperatures)
    march = run(
        k,
        chain,
        temperature=start,
        conversion=np.full(len(capacity), state.conversion),
        times=times,
        tolerance=tolerance,
        until=until,
    )
    batch = _told(march, np.asarray(chain.heat))
    if state_at is None:
        return batch
    row = int(np.searchsorted(times, state_at))
    told = State(float(march.conversions[row, -1]), float(march.temperatures[row, -1]))
    return replace(batch, state=told)


def _told(march: March, heat: FloatArray) -> Batch:
    share = heat / heat.sum()
    mean = State(float(share @ march.last[1]), float(share @ march.last[0]))
    return Batch(march, mean, float(march.gel_times.min()), march.peak, march.imbalance)
