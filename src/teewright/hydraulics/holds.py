"""A packer in its main while it blocks the flow, and what the water upstream does meanwhile."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from teewright.hydraulics.inflow import Inflow
from teewright.hydraulics.losses import Bores
from teewright.hydraulics.storage import Upstream

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Watch:
    """A place upstream that the water must stay below.

    Attributes:
        name: Of the connection or manhole.
        level: That the water must not reach: a connection's invert, a manhole's rim [m].
        pipe: Node at the upper end of the pipe that it stands on.
        distance: From the lower end of that pipe [m].
    """

    name: str
    level: float
    pipe: str
    distance: float


@dataclass(frozen=True, slots=True)
class Setting:
    """A packer in its main, with what comes and what lies upstream.

    Attributes:
        upstream: Pipes and manholes.
        bores: Bypass through the packer.
        inflow: What flows to it.
        watches: Connections upstream with their levels; the rims of the manholes are added.
        freeboard: Kept below each of them [m].
        downstream: Depth of the water below the packer, over the invert [m].
    """

    upstream: Upstream
    bores: Bores
    inflow: Inflow
    watches: tuple[Watch, ...]
    freeboard: float = 0.0
    downstream: float = 0.0


@dataclass(frozen=True, slots=True)
class Balance:
    """Volumes of the holds, one number a start [m3].

    Attributes:
        inflow: Came in.
        bypass: Went through the bores.
        pumped: Carried round.
        spilled: Over the lowest rim.
        stored: In the pool at the end; it is empty, at normal depth, at the start.
        closure: |inflow - bypass - pumped - spilled - stored| over the inflow [-].
    """

    inflow: FloatArray
    bypass: FloatArray
    pumped: FloatArray
    spilled: FloatArray
    stored: FloatArray
    closure: FloatArray


@dataclass(frozen=True, slots=True)
class Holds:
    """Levels over the holds that start at several times of the day.

    Attributes:
        starts: From midnight [s], n of them.
        times: After the start [s], m of them.
        levels: At the packer [m], n x m.
        greatest: Greatest level at the packer of each hold [m].
        greatest_at: When, after the start [s].
        places: Connections and manholes that the water must stay below.
        freeboards: Of each place in each hold, negative where drowned [m], n x places.
        reached: First time after the start at which the water reaches each place less the
            freeboard to be kept, NaN where it never does [s], n x places.
        allowed: Whether the water stays below every place, less the freeboard.
        balance: Volumes.
    """

    starts: FloatArray
    times: FloatArray
    levels: FloatArray
    greatest: FloatArray
    greatest_at: FloatArray
    places: tuple[Watch, ...]
    freeboards: FloatArray
    reached: FloatArray
    allowed: NDArray[np.bool_]
    balance: Balance
