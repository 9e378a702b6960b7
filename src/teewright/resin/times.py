"""Working and release time at the day's temperatures, from the points of the data sheet.

Between two points the time follows Arrhenius: ln t is a straight line in 1/T, so that each
pair of points has an apparent activation energy of its own. Outside the points nothing is
known and nothing is given.
"""

import math
from itertools import pairwise

from teewright.errors import InputError
from teewright.kit.values import Resin
from teewright.numerics.limits import within
from teewright.resin.values import CureTimes
from teewright.trace import Origin, TraceRow
from teewright.units import GAS_CONSTANT

Points = tuple[tuple[float, float], ...]
"""(temperature [K], time [s]) pairs, temperature ascending."""

ARRHENIUS = "Arrhenius between the points of the data sheet: ln t linear in 1/T"
SPARE = (0.0, 0.9)
"""Shares of the working time that may be kept unused [-]."""
NOT_MODELLED = (
    "The data sheet's times are those of its own mass: a larger batch gels sooner.",
    "Groundwater or flow that chills the wall delays the release beyond the data sheet's time.",
)
"""What the data sheet's times leave out, one sentence each; `governed` has the computed ones."""
STEPS = (-3, -2, -1, 0, 1, 2, 3)
"""Temperatures of the crew's tables about the day's [K]."""


def activation_energy(first: tuple[float, float], second: tuple[float, float]) -> float:
    """Apparent activation energy from two times to the same state of cure.

    E = R ln(t1/t2) / (1/T1 - 1/T2), from t = A exp(E / (R T)) (Arrhenius).

    Args:
        first: Temperature [K] and time [s].
        second: Temperature [K] and time [s], another temperature.

    Returns:
        Energy [J/mol].

    Raises:
        InputError: The temperatures are equal, or a value is not above zero.
    """
    (T1, t1), (T2, t2) = first, second
    if min(T1, T2, t1, t2) <= 0.0 or T1 == T2:
        raise InputError(
            "does not give an activation energy",
            field="pair of points",
            value=(first, second),
            allowed="two different temperatures and two times, all above zero",
        )
    return GAS_CONSTANT * math.log(t1 / t2) / (1.0 / T1 - 1.0 / T2)


def arrhenius_time(points: Points, temperature: float, *, quantity: str = "temperature") -> float:
    """Time at a temperature, Arrhenius from point to point.

    ln t = ln t1 + (E/R) (1/T - 1/T1) between each two neighbours, E from both.

    Args:
        points: (temperature [K], time [s]) pairs, temperature ascending.
        temperature: Where the time is wanted [K].
        quantity: Name for the message where it is refused.

    Returns:
        Time [s].

    Raises:
        InputError: The points are not in order, or the time does not fall as it gets warmer.
        RangeError: The temperature is outside the first and last point.
    """
    _check_points(points, quantity)
    within(temperature, (points[0][0], points[-1][0]), quantity=quantity, unit="K", law=ARRHENIUS)
    for (T1, t1), (T2, t2) in pairwise(points):
        if temperature <= T2:
            share = (1.0 / T1 - 1.0 / temperature) / (1.0 / T1 - 1.0 / T2)
            return math.exp(math.log(t1) + share * math.log(t2 / t1))
    return points[-1][1]


def cure_times(
    resin: Resin,
    *,
    mix_temperature: float,
    cure_temperature: float,
    spare_share: float,
    coldest: float | None = None,
) -> CureTimes:
    """Working and release time of a batch on the day.

    The batch is at the air's temperature until it is inflated and at the pipe's afterwards,
    but the two overlap on the way along the main. Each time is therefore taken at the less
    favourable of both: the working time at the warmer one, the release time at the colder.

    Args:
        resin: The resin.
        mix_temperature: Of the resin when mixed [K]; the warmest of the hours of work.
        cure_temperature: Of the main's wall [K].
        spare_share: Share of the working time kept unused [-].
        coldest: Of the air in the hours of work [K], or None where it keeps one temperature.

    Returns:
        Times and the crew's tables, with their trace.

    Raises:
        InputError: The data sheet's points cannot be right.
        RangeError: A temperature outside the data sheet's points, or the share out of range.
    """
    within(spare_share, SPARE, quantity="spare share", unit="-", law="the rules of the shifts")
    cool = mix_temperature if coldest is None else coldest
    warm, cold = max(mix_temperature, cure_temperature), min(cool, cure_temperature)
    working = arrhenius_time(resin.working_time, warm, quantity="working temperature")
    release = arrhenius_time(resin.release_time, cold, quantity="curing temperature")
    latest = working * (1.0 - spare_share)
    if release <= latest:
        raise InputError(
            "is not longer than the working time",
            field=f"release time of resin {resin.name}",
            value=f"{release:.0f} s",
            allowed=f"more than {latest:.0f} s",
        )
    working_rows = _table(resin.working_time, warm, factor=1.0 - spare_share)
    release_rows = _table(resin.release_time, cold, factor=1.0)
    trace = (
        *_temperatures(mix_temperature, cure_temperature, coldest),
        *_times(resin, warm, cold, spare_share=spare_share),
    )
    return CureTimes(
        mix_temperature=mix_temperature,
        cure_temperature=cure_temperature,
        working_time=working,
        latest_inflation=latest,
        release_time=release,
        working_table=working_rows,
        release_table=release_rows,
        trace=trace,
        coldest=coldest,
    )


def _check_points(points: Points, quantity: str) -> None:
    pairs = list(pairwise(points))
    ordered = all(a[0] < b[0] and a[1] >= b[1] for a, b in pairs)
    if not points or not ordered or any(T <= 0.0 or t <= 0.0 for T, t in points):
        raise InputError(
            "has points that cannot be right",
            field=f"times against {quantity}",
            value=points,
            allowed="temperatures ascending, times above zero and not rising with temperature",
        )


def _table(points: Points, centre: float, *, factor: float) -> Points:
    low, high = points[0][0], points[-1][0]
    rows = (centre + step for step in STEPS)
    return tuple((T, factor * arrhenius_time(points, T)) for T in rows if low <= T <= high)


def _local_energy(points: Points, temperature: float) -> float | None:
    for first, second in pairwise(points):
        if first[0] <= temperature <= second[0]:
            return activation_energy(first, second)
    return None


def _temperatures(mix: float, cure: float, coldest: float | None) -> tuple[TraceRow, ...]:
    wall = TraceRow("wall of the main", "T_p", cure, "degC", "", "weather", Origin.INPUT)
    warm, cold = "for the working time: the warmer", "for the release time: the colder"
    if coldest is None:
        return (
            TraceRow("resin when mixed", "T_m", mix, "degC", "", "weather", Origin.INPUT),
            wall,
            TraceRow(warm, "T_w", max(mix, cure), "degC", "max(T_m, T_p)"),
            TraceRow(cold, "T_r", min(mix, cure), "degC", "min(T_m, T_p)"),
        )
    path = "path of the air over the hours of the shifts"
    return (
        TraceRow("air at its warmest", "T_a,w", mix, "degC", "", path, Origin.INPUT),
        TraceRow("air at its coldest", "T_a,c", coldest, "degC", "", path, Origin.INPUT),
        wall,
        TraceRow(warm, "T_w", max(mix, cure), "degC", "max(T_a,w, T_p)"),
        TraceRow(cold, "T_r", min(coldest, cure), "degC", "min(T_a,c, T_p)"),
    )


def _times(resin: Resin, warm: float, cold: float, *, spare_share: float) -> tuple[TraceRow, ...]:
    kit = f"resin {resin.name}: {resin.source}"
    working = arrhenius_time(resin.working_time, warm)
    release = arrhenius_time(resin.release_time, cold)
    law = "ln t linear in 1/T"
    rows = [TraceRow("working time from mixing", "t_w", working, "min", law, kit)]
    if (energy := _local_energy(resin.working_time, warm)) is not None:
        name = "apparent activation energy, working time"
        rows.append(TraceRow(name, "E_w", energy, "kJ/mol", "R ln(t₁/t₂)/(1/T₁ − 1/T₂)", kit))
    rows += [
        TraceRow("share kept unused", "s_w", spare_share, "%", "", "rules of shifts", Origin.INPUT),
        TraceRow(
            "latest inflation after mixing",
            "t_d",
            working * (1.0 - spare_share),
            "min",
            "t_w (1 − s_w)",
        ),
        TraceRow("earliest release after mixing", "t_r", release, "min", law, kit),
    ]
    if (energy := _local_energy(resin.release_time, cold)) is not None:
        name = "apparent activation energy, release time"
        rows.append(TraceRow(name, "E_r", energy, "kJ/mol", "R ln(t₁/t₂)/(1/T₁ − 1/T₂)", kit))
    return tuple(rows)
