"""When a packer may block a main: level behind it over the hold, for all starts of a day.

dV/dt = Q_in(t) - Q_b(z) - Q_p, V(z) the room upstream (`storage`), Q_b the bypass (`losses`),
Q_p what pumps carry round the packer; stepped in `pool`. The pool cannot sink below the normal
depth of the start: what comes in then passes. It cannot rise above the lowest rim: the rest
spills, and is counted.
"""

import math

import numpy as np
from numpy.typing import NDArray

from teewright.errors import InputError
from teewright.hydraulics.backwater import reaching_levels, watched
from teewright.hydraulics.holds import Balance, Holds, Setting
from teewright.hydraulics.inflow import DAY, HOURS, inflow_volume
from teewright.hydraulics.pool import greatest_levels, stepped, tables_of
from teewright.numerics.limits import within
from teewright.trace import TraceRow
from teewright.units import HOUR

FloatArray = NDArray[np.float64]

HOLD = (60.0, 86400.0)
"""Times for which a packer blocks a main [s]."""
STEP = 10.0
"""Longest step [s]."""
PUMP = (0.0, 10.0)
"""Flows carried round the packer [m3/s]."""
LAW = "level behind the packer"
NOT_MODELLED = (
    "The pool that fills is taken as level; the slope of its surface is added afterwards.",
    "Laterals and pipes that are not named store nothing, and no bore is taken as clogged.",
    "The branch under the collar is shut until the release: what drains into it backs up there.",
)
"""What the check leaves out, one sentence each."""
_SHARES = 17
"""Pumps that are tried at once when the least one is sought."""


def every(interval: float) -> FloatArray:
    """Starts through a day [s].

    Args:
        interval: Between two [s].

    Returns:
        Starts from midnight [s].
    """
    return np.arange(0.0, DAY - 1e-6, interval)


def holds(
    setting: Setting,
    duration: float,
    *,
    starts: FloatArray | None = None,
    pump: float | FloatArray = 0.0,
    step: float = STEP,
) -> Holds:
    """Levels over a hold, for all its starts in a day.

    Args:
        setting: The packer in its main.
        duration: For which the main is blocked [s].
        starts: From midnight, or None for each full hour [s].
        pump: Carried round the packer, one number or one a start [m3/s].
        step: Longest step of the integration [s].

    Returns:
        Levels, what they reach and the balance.

    Raises:
        RangeError: A value outside the ranges of this module.
        InputError: The main is drowned before the packer is set, or there is no start.
    """
    begin = _starts(starts)
    rates = np.asarray(pump, dtype=np.float64)
    for rate in (rates.min(), rates.max()):
        within(float(rate), PUMP, quantity="flow of the pumps", unit="m3/s", law=LAW)
    times, came = _inflows(setting, begin, duration, step)
    drawn = np.broadcast_to(rates, begin.shape)
    levels, balance = stepped(tables_of(setting, begin), came, drawn, float(times[1]))
    most = came.max(axis=1) / float(times[1])
    return _judged(setting, (begin, times, most), levels, balance)


def pump_needed(
    setting: Setting, duration: float, *, starts: FloatArray | None = None, rounds: int = 3
) -> FloatArray:
    """Least flow to be carried round the packer so that a hold may start.

    Args:
        setting: The packer in its main.
        duration: For which the main is blocked [s].
        starts: From midnight, or None for each full hour [s].
        rounds: Each narrows the answer sixteenfold, from the greatest inflow of the hold.

    Returns:
        Flow [m3/s], one a start: 0 where none is needed, NaN where the water stands too high
        before the packer is set. Rounded up to the last round's step.

    Raises:
        RangeError: The duration is outside the range of this module.
        InputError: The main is drowned before the packer is set, or there is no start.
    """
    begin = _starts(starts)
    times, came = _inflows(setting, begin, duration, STEP)
    step, tables = float(times[1]), tables_of(setting, begin)
    # the whole inflow of the fullest step: with that much carried round the pool cannot rise
    low, high = np.zeros_like(begin), came.max(axis=1) / step
    limit = reaching_levels(setting, tables.level[:, 0], high)[0].min(axis=1)[:, None]
    rows, share = np.arange(begin.size), np.linspace(0.0, 1.0, _SHARES)
    below = np.zeros((begin.size, _SHARES), dtype=np.bool_)
    for _ in range(rounds):
        pump = low[:, None] + (high - low)[:, None] * share
        below = greatest_levels(tables, came, pump, step) < limit
        first = np.where(below.any(axis=1), below.argmax(axis=1), _SHARES - 1)
        low, high = pump[rows, np.maximum(first - 1, 0)], pump[rows, first]
    return np.where(below.any(axis=1), high, np.nan)


def allowed_hours(found: Holds) -> tuple[int, ...]:
    """Hours of the day in which every start that was tried is allowed.

    Args:
        found: Holds of starts through the day.

    Returns:
        Hours, 0 to 23; an hour in which no start was tried is not among them.
    """
    hour = np.floor(found.starts / HOUR).astype(int) % HOURS
    return tuple(
        h for h in range(HOURS) if (hour == h).any() and bool(found.allowed[hour == h].all())
    )


def latest_start(found: Holds) -> float | None:
    """Last start of the day that is allowed [s], or None where none is.

    Args:
        found: Holds of starts through the day.

    Returns:
        Start from midnight [s].
    """
    return float(found.starts[found.allowed].max()) if found.allowed.any() else None


def trace(found: Holds, start: int) -> tuple[TraceRow, ...]:
    """Numbers of one hold in checking order.

    Args:
        found: Holds of one setting.
        start: Which of the starts.

    Returns:
        Rows for the sheet.
    """
    balance = found.balance
    nearest = int(found.freeboards[start].argmin())
    pumped = float(balance.pumped[start])
    losses = "Idelchik 1966; Colebrook and White 1939"
    slope = "surface after Manning's law, greatest inflow of the hold"
    return (
        TraceRow(
            "inflow over the hold", "V_i", float(balance.inflow[start]), "m3", "∫ Q dt",
            "flows of the site",
        ),
        TraceRow(
            "through the bores", "V_b", float(balance.bypass[start]), "m3", "∫ Q_b dt", losses
        ),
        TraceRow("carried round by pumps", "V_p", pumped, "m3", "∫ Q_p dt", "pumps of the site"),
        TraceRow(
            "level before", "z_0", float(found.levels[start, 0]), "m", "normal depth",
            "Manning's law",
        ),
        TraceRow(
            "greatest level at the packer", "z_max", float(found.greatest[start]), "m",
            "V(z) rises by Q − Q_b − Q_p", "level pool upstream",
        ),
        TraceRow(
            "water below the nearest place", "f_b", float(found.freeboards[start, nearest]), "m",
            "z_n less the water there", slope,
        ),
    )  # fmt: skip


def _starts(starts: FloatArray | None) -> FloatArray:
    begin = every(HOUR) if starts is None else np.asarray(starts, dtype=np.float64)
    if not begin.size:
        raise InputError("is empty", field="starts", value="", allowed="one start or more")
    return begin


def _inflows(
    setting: Setting, starts: FloatArray, duration: float, step: float
) -> tuple[FloatArray, FloatArray]:
    """Times after the start, and the inflow of each step between them."""
    within(duration, HOLD, quantity="duration of the hold", unit="s", law=LAW)
    times = np.linspace(0.0, duration, max(1, math.ceil(duration / step)) + 1)
    volume = inflow_volume(setting.inflow, starts[:, None], times[None, :])
    return times, np.maximum(np.diff(volume, axis=1), 0.0)


def _judged(
    setting: Setting,
    when: tuple[FloatArray, FloatArray, FloatArray],
    levels: FloatArray,
    balance: Balance,
) -> Holds:
    """Holds from the levels at the packer; `when` has starts, times and greatest inflows."""
    starts, times, most = when
    greatest = levels.max(axis=1)
    reaching, grid, surface = reaching_levels(setting, levels[:, 0], most)
    places = watched(setting)
    top = np.array(
        [
            [np.interp(peak, z, column) for column in rows.T]
            for peak, z, rows in zip(greatest, grid, surface, strict=True)
        ]
    )
    over = levels[:, :, None] >= reaching[:, None, :]
    allowed: NDArray[np.bool_] = np.all(greatest[:, None] < reaching, axis=1)
    return Holds(
        starts=starts,
        times=times,
        levels=levels,
        greatest=greatest,
        greatest_at=times[levels.argmax(axis=1)],
        places=places,
        freeboards=np.array([place.level for place in places]) - top,
        reached=np.where(over.any(axis=1), times[over.argmax(axis=1)], np.nan),
        allowed=allowed,
        balance=balance,
    )
