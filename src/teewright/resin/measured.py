"""Kinetics of a resin from the series of readings that its kit names.

A calorimeter reads heat flow. Its integral over the heat of reaction is the conversion: what
flowed before the first reading is taken as at that reading.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.integrate import cumulative_trapezoid

from teewright.errors import InputError
from teewright.findings import Finding, FindingKind
from teewright.kit.cure import FIRM, GEL, CureSeries
from teewright.kit.values import Resin
from teewright.resin.cure_fit import Basis, CureFit
from teewright.resin.kinetics import COUNT, FloatArray, IntArray
from teewright.resin.readings import Marks, fit_readings
from teewright.units import MINUTE

OVER = 1.02
"""Share of the heat of reaction that a series may add up to [-]: a calorimeter reads to some per
cent, engineer's choice."""
LEAST_READINGS = COUNT + 1
"""Below that six parameters cannot be fitted and told how well."""
LATE = 0.05
"""A first heat flow so late, over the time of the whole series, is told [-]."""


@dataclass(frozen=True, slots=True)
class Measured:
    """All readings in one table.

    Attributes:
        series: Number of the series of each reading, shape (count,).
        temperatures: Of each reading [K], shape (count,).
        times: Since mixing [s], shape (count,).
        conversions: Read, or added up from the heat flow [-], shape (count,).
    """

    series: IntArray
    temperatures: FloatArray
    times: FloatArray
    conversions: FloatArray


def marks_of(resin: Resin) -> Marks:
    """Gel, release and heat of a resin; what its kit does not tell is the engineer's choice."""
    return Marks(
        gel=GEL if resin.gel is None else resin.gel,
        firm=FIRM if resin.firm is None else resin.firm,
        heat=resin.heat,
    )


def measured(series: Sequence[CureSeries], *, heat: float) -> Measured:
    """The readings of all series in one table.

    Args:
        series: At least one, all of conversions or all of heat flows.
        heat: Total heat of reaction per mass of mix [J/kg]; needed for heat flows only.

    Returns:
        The table; readings of a conversion at time 0 are left out, they tell nothing.

    Raises:
        InputError: A series holds more heat than the whole reaction, no heat of reaction is
            known for heat flows, the readings are too few, or a single ramp.
    """
    if any(one.heat_flows for one in series) and heat <= 0.0:
        raise InputError(
            "is not known, and readings of heat flow need it", field="heat of reaction",
            value=heat, allowed="above 0",
        )  # fmt: skip
    tables = [_table(one, heat) for one in series]
    numbers = np.repeat(np.arange(len(tables)), [len(table[0]) for table in tables])
    found = Measured(numbers, *(np.concatenate(column) for column in zip(*tables, strict=True)))
    levels = len(np.unique(found.temperatures))
    if len(found.times) < LEAST_READINGS or levels < 2:
        raise InputError(
            "are too few",
            field="readings",
            value=f"{len(found.times)} at {levels} temperatures",
            allowed=f"{LEAST_READINGS} or more after mixing, at two temperatures or more",
        )
    if len(series) == 1:
        raise InputError(
            "are one ramp, which does not tell what the temperature does from what the "
            "conversion does",
            field="readings", value=series[0].words,
            allowed="two ramps or more at different rates, or held temperatures",
        )  # fmt: skip
    return found


def fit_series(series: Sequence[CureSeries], *, marks: Marks) -> CureFit:
    """Fit all six parameters to readings.

    Args:
        series: At least one, all of conversions or all of heat flows.
        marks: Gel, release and heat.

    Returns:
        The fit; see `fit_readings` for its residuals.

    Raises:
        InputError: Readings that cannot be right, or too few of them.
        ConvergenceError: The fit did not settle.
    """
    table = measured(series, heat=marks.heat)
    fit = fit_readings(
        table.temperatures, table.times, table.conversions, marks=marks, runs=table.series
    )
    flows = any(one.heat_flows for one in series)
    return replace(fit, basis=Basis.HEAT_FLOW) if flows else fit


def reading_doubts(series: Sequence[CureSeries], *, marks: Marks) -> tuple[Finding, ...]:
    """What is odd about readings that can be fitted.

    Args:
        series: At least one.
        marks: Gel, release and heat.

    Raises:
        InputError: As `measured`.
    """
    measured(series, heat=marks.heat)
    return (*_ends(series, marks), *_late(series))


def _table(one: CureSeries, heat: float) -> tuple[FloatArray, ...]:
    times = np.array(one.times)
    if not one.heat_flows:
        kept = times > 0.0
        done = np.array(one.conversions)[kept]
        return np.full(kept.sum(), one.temperature), times[kept], done
    flows = np.array(one.heat_flows)
    total = flows[0] * times[0] + np.asarray(cumulative_trapezoid(flows, times, initial=0))
    if (share := float(total.max()) / heat) > OVER:
        raise InputError(
            f"adds up to {100.0 * share:.0f} % of the heat of reaction",
            field=f"heat flow of series {one.name}",
            value=f"{total.max() / 1e3:.0f} kJ/kg",
            allowed=f"at most {heat / 1e3:.0f} kJ/kg, or another heat of reaction",
        )
    done = np.clip(total / heat, 0.0, 1.0)
    levels = np.array(one.ramp) if one.ramp else np.full(len(times), one.temperature)
    kept = times > 0.0
    return levels[kept], times[kept], done[kept]


def _ends(series: Sequence[CureSeries], marks: Marks) -> Iterator[Finding]:
    """Series that end before the wall would be hard: what comes after is the law's alone."""
    for one in series:
        reached = float(_table(one, marks.heat)[2].max())
        if reached < marks.firm:
            text = (
                f"series {one.words} ends at a conversion of "
                f"{reached:.2f}, release is at {marks.firm:.2f}: the times beyond are the law's"
            )
            yield Finding(FindingKind.DOUBT, "readings-end-early", text, value=f"{reached:.2f}")


def _late(series: Sequence[CureSeries]) -> Iterator[Finding]:
    for one in series:
        if one.heat_flows and one.times[0] > LATE * one.times[-1]:
            text = (
                f"series {one.words} begins "
                f"{one.times[0] / MINUTE:.1f} min after mixing: the heat before is taken as at its "
                "first reading"
            )
            value = f"{one.times[0] / MINUTE:.1f} min"
            yield Finding(FindingKind.ASSUMED, "readings-begin-late", text, value=value)
