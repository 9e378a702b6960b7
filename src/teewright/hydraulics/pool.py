"""Steps of the level pool behind a packer, for many holds at once.

Backward Euler: V(z') + dt Q_b(z') = V + inflow of the step - dt Q_p. The left side rises with
z', so that it is inverted on a table of levels; volume and bypass are read between the same two
rows of that table, and the balance closes to rounding.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from teewright.errors import InputError
from teewright.hydraulics.holds import Balance, Setting
from teewright.hydraulics.inflow import inflow_at
from teewright.hydraulics.losses import bypass_flow
from teewright.hydraulics.storage import normal_depth, pool_volume

FloatArray = NDArray[np.float64]

_LEVELS = 500
_APART = 4.0
"""Factor by which the tables of the starts lie apart when they are searched as one."""


@dataclass(frozen=True, slots=True)
class Tables:
    """Level, volume and bypass at the same places, a row for each start.

    Attributes:
        level: Of the pool, from the normal depth at the start to the lowest rim [m].
        volume: In the pool, 0 at the normal depth [m3].
        bypass: Through the bores [m3/s].
    """

    level: FloatArray
    volume: FloatArray
    bypass: FloatArray


def tables_of(setting: Setting, starts: FloatArray) -> Tables:
    """Tables of a setting, one for each start: the flow before takes up room.

    Args:
        setting: The packer in its main.
        starts: From midnight [s].

    Returns:
        The tables.

    Raises:
        InputError: The main is drowned before the packer is set.
    """
    upstream = setting.upstream
    flow = inflow_at(setting.inflow, starts, np.zeros(()))
    before = tuple(normal_depth(pipe, flow)[:, None] for pipe in upstream.pipes)
    low, high = upstream.invert + before[0], upstream.lowest_rim
    if not bool((low < high).all()):
        raise InputError(
            "is not above the water that flows before the packer is set",
            field="lowest rim",
            value=f"{high:.2f} m",
            allowed=f"more than {float(low.max()):.2f} m",
        )
    # the volume rises as a high power of the level near the bottom: levels lie closer there
    level = low + (high - low) * np.linspace(0.0, 1.0, _LEVELS) ** 1.5
    level[:, -1] = high
    volume = pool_volume(upstream, level, before)
    bypass = bypass_flow(setting.bores, level - upstream.invert, setting.downstream)
    # over full pipes the volume stands still, but for rounding
    volume = np.maximum.accumulate(volume - volume[:, :1], axis=1)
    return Tables(level, volume, bypass)


class Search:
    """Inverts V + dt Q_b for all starts in one search: their tables lie one above the other."""

    def __init__(self, tables: Tables, step: float) -> None:
        """Lay out the tables.

        Args:
            tables: Of the setting.
            step: dt [s].
        """
        held = tables.volume + step * tables.bypass
        self.low, self.most = held[:, 0], held[:, -1]
        self.shift = (_APART * float(held.max()) + 1.0) * np.arange(held.shape[0])
        self.held = (held + self.shift[:, None]).ravel()
        self.volumes, self.levels = tables.volume.ravel(), tables.level.ravel()
        self.outflows = step * tables.bypass.ravel()

    def place(self, held: FloatArray) -> FloatArray:
        """Where in the joint table a volume lies that is held or passes in the step.

        Args:
            held: V + dt Q_b, starts first [m3].

        Returns:
            Places, clipped to the table of each start [m3].
        """
        each = (slice(None),) + (None,) * (held.ndim - 1)
        clipped = np.minimum(np.maximum(held, self.low[each]), self.most[each])
        return np.asarray(clipped + self.shift[each], dtype=np.float64)

    def volume(self, place: FloatArray) -> FloatArray:
        """Volume in the pool at a place [m3]."""
        return np.interp(place, self.held, self.volumes)

    def level(self, place: FloatArray) -> FloatArray:
        """Level of the pool at a place [m]."""
        return np.interp(place, self.held, self.levels)

    def outflow(self, place: FloatArray) -> FloatArray:
        """Volume that the bores can pass in one step at a place [m3]."""
        return np.interp(place, self.held, self.outflows)


def stepped(
    tables: Tables, came: FloatArray, pump: FloatArray, step: float
) -> tuple[FloatArray, Balance]:
    """Levels and volumes of holds.

    Args:
        tables: Of the setting.
        came: Inflow of each step, starts x steps [m3].
        pump: Carried round the packer, one a start [m3/s].
        step: dt [s].

    Returns:
        Levels from the start on, starts x (steps + 1) [m], and the balance.
    """
    search = Search(tables, step)
    places, held = np.empty_like(came), np.empty_like(came)
    pumped = np.zeros(came.shape[0])
    volume = np.zeros(came.shape[0])
    for k in range(came.shape[1]):
        there = volume + came[:, k]
        drawn = np.minimum(pump * step, there)
        held[:, k] = there - drawn
        pumped += drawn
        places[:, k] = search.place(held[:, k])
        volume = search.volume(places[:, k])
    spilled = np.maximum(held - search.most[:, None], 0.0).sum(axis=1)
    # a pool at normal depth lets pass what comes, though the bores could carry more
    passed = np.minimum(search.outflow(places), held).sum(axis=1)
    total = came.sum(axis=1)
    left = total - passed - pumped - spilled - volume
    closure = np.abs(left) / np.maximum(total, np.finfo(float).tiny)
    levels = np.concatenate((tables.level[:, :1], search.level(places)), axis=1)
    return levels, Balance(total, passed, pumped, spilled, volume, closure)


def greatest_levels(tables: Tables, came: FloatArray, pump: FloatArray, step: float) -> FloatArray:
    """Greatest levels of holds for several pumps at once.

    Args:
        tables: Of the setting.
        came: Inflow of each step, starts x steps [m3].
        pump: Carried round the packer, starts x pumps [m3/s].
        step: dt [s].

    Returns:
        Levels [m], starts x pumps.
    """
    search = Search(tables, step)
    drawn = pump * step
    volume = np.zeros(pump.shape)
    most = search.place(volume)
    for k in range(came.shape[1]):
        place = search.place(np.maximum(volume + came[:, k, None] - drawn, 0.0))
        volume = search.volume(place)
        most = np.maximum(most, place)
    return search.level(most)
