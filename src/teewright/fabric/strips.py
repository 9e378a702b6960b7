"""Strip readings as tension against logarithmic strain, and what one direction makes of them."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from teewright.errors import InputError
from teewright.fabric.lines import line, line_through_origin
from teewright.fabric.values import Direction, DirectionFit, SpecimenFit, StripReading

FloatArray = NDArray[np.float64]
"""Array of floats."""


@dataclass(frozen=True, slots=True, eq=False)
class Curve:
    """One strip as it is fitted, up to its peak force.

    Attributes:
        name: Of the strip.
        direction: How it was cut.
        strain: ln(1 + extension / gauge), shape (n,) [-].
        tension: F lambda / w_0, shape (n,) [N/m].
        contraction: -ln(width while stretched / width), shape (n,) [-]; nan where not measured.
        force: F / w_0, shape (n,) [N/m].
        dropped: Readings after the peak force.
        dip: Largest fall of the force before its peak, over the peak [-].
    """

    name: str
    direction: Direction
    strain: FloatArray
    tension: FloatArray
    contraction: FloatArray
    force: FloatArray
    dropped: int
    dip: float

    def within(self, limits: tuple[float, float]) -> NDArray[np.bool_]:
        """Which readings lie in a range of logarithmic strain."""
        return (self.strain >= limits[0] - 1e-12) & (self.strain <= limits[1] + 1e-12)


def curves_of(readings: Sequence[StripReading]) -> tuple[Curve, ...]:
    """Each strip, in the order in which directions are declared and strips first met.

    Args:
        readings: Of all strips, those of one strip in the order in which they were taken.

    Raises:
        InputError: A strip changes its width or gauge length, or a number cannot be.
    """
    strips: dict[tuple[Direction, str], list[StripReading]] = {}
    for reading in readings:
        strips.setdefault((reading.direction, reading.specimen), []).append(reading)
    order = list(Direction)
    return tuple(_curve(strips[key]) for key in sorted(strips, key=lambda k: order.index(k[0])))


def _curve(readings: Sequence[StripReading]) -> Curve:
    first = readings[0]
    for reading in readings:
        _check(reading, first)
    force = np.array([r.force / r.width for r in readings])
    stretch = np.array([1.0 + r.extension / r.gauge for r in readings])
    widths = [r.stretched_width or math.nan for r in readings]
    end = len(force) - int(np.argmax(force[::-1]))
    kept = force[:end]
    peak = float(kept[-1])
    fall = float(np.max(np.maximum.accumulate(kept) - kept))
    return Curve(
        name=first.specimen,
        direction=first.direction,
        strain=np.log(stretch[:end]),
        tension=kept * stretch[:end],
        contraction=-np.log(np.array(widths[:end]) / first.width),
        force=kept,
        dropped=len(readings) - end,
        dip=fall / peak if peak > 0.0 else 0.0,
    )


def _check(reading: StripReading, first: StripReading) -> None:
    where = f"of strip {reading.specimen} {reading.direction.words}"
    for name, least in (("width", 0.0), ("gauge", 0.0), ("extension", -reading.gauge)):
        value = getattr(reading, name)
        if not (math.isfinite(value) and value > least):
            raise InputError(
                "cannot be", field=f"{name} {where}", value=value, allowed=f"more than {least:g} m"
            )
    if not (math.isfinite(reading.force) and reading.force >= 0.0):
        raise InputError(
            "is no tension", field=f"force {where}", value=reading.force, allowed="0 N or more"
        )
    for name in ("width", "gauge"):
        value, begun = getattr(reading, name), getattr(first, name)
        if not math.isclose(value, begun, rel_tol=1e-6):
            raise InputError(
                "changes within one strip", field=f"{name} {where}", value=value,
                allowed=f"{begun:g} m, as in its first reading",
            )  # fmt: skip


def fit_direction(curves: Sequence[Curve], limits: tuple[float, float]) -> DirectionFit:
    """Secant stiffness of the strips of one direction.

    Args:
        curves: Of one direction, at least one.
        limits: Least and largest logarithmic strain of the fit [-].

    Raises:
        InputError: No reading with tension lies in the range.
    """
    direction = curves[0].direction
    inside = [c.within(limits) for c in curves]
    x = np.concatenate([c.strain[i] for c, i in zip(curves, inside, strict=True)])
    y = np.concatenate([c.tension[i] for c, i in zip(curves, inside, strict=True)])
    if not np.any(x > 0.0) or float(x @ y) <= 0.0:
        low, high = (100.0 * math.expm1(v) for v in limits)
        raise InputError(
            f"strips {direction.words} have no reading with tension in the range of the fit",
            allowed=f"at least one between {low:.3g} and {high:.3g} % of extension",
        )
    through = line_through_origin(x, y)
    half = 0.5 * (limits[0] + limits[1])
    return DirectionFit(
        direction=direction,
        specimens=tuple(_specimen(c, i) for c, i in zip(curves, inside, strict=True)),
        used=int(np.count_nonzero(x > 0.0)),
        stiffness=through.slope,
        rms=through.residual,
        largest=through.largest,
        top=through.slope * float(x.max()),
        low_stiffness=_slope(x[x <= half], y[x <= half]),
        high_stiffness=_slope(x[x >= half], y[x >= half], free=True),
        offset=line(x, y).intercept if len(x) > 2 and np.ptp(x) > 0.0 else 0.0,
        least=float(x.min()),
        most=float(x.max()),
    )


def _slope(x: FloatArray, y: FloatArray, *, free: bool = False) -> float:
    if free:
        return line(x, y).slope if len(x) > 1 and np.ptp(x) > 0.0 else math.nan
    return line_through_origin(x, y).slope if np.any(x != 0.0) else math.nan


def _specimen(curve: Curve, inside: NDArray[np.bool_]) -> SpecimenFit:
    # the peak of a strip that broke was reached, not held
    last = -2 if curve.dropped and len(curve.strain) > 1 else -1
    return SpecimenFit(
        name=curve.name,
        readings=len(curve.strain),
        used=int(np.count_nonzero(inside & (curve.strain > 0.0))),
        stiffness=_slope(curve.strain[inside], curve.tension[inside]),
        peak=float(curve.force[-1]),
        last=float(np.exp(curve.strain[last])),
        broke=curve.dropped > 0,
    )


def poisson_of(
    curves: Sequence[Curve], limits: tuple[float, float], along: float, across: float
) -> tuple[float, int, float] | None:
    """Poisson's ratio, pulled along the grain, from the widths of both straight directions.

    Pulled along, -h_a = nu h_l; pulled across, -h_l = nu (E_a/E_l) h_a: one slope for both.

    Args:
        curves: Strips cut along and across the grain.
        limits: Least and largest logarithmic strain of the fit [-].
        along: Stiffness along the grain [N/m].
        across: Stiffness across the grain [N/m].

    Returns:
        (ratio [-], readings, standard deviation of the residuals [-]), or None where no width
        was measured while stretched.
    """
    x: list[FloatArray] = []
    y: list[FloatArray] = []
    for curve in curves:
        use = curve.within(limits) & np.isfinite(curve.contraction) & (curve.strain > 0.0)
        factor = across / along if curve.direction is Direction.ACROSS else 1.0
        x.append(factor * curve.strain[use])
        y.append(curve.contraction[use])
    pulls = np.concatenate(x) if x else np.empty(0)
    if not len(pulls):
        return None
    fitted = line_through_origin(pulls, np.concatenate(y))
    return fitted.slope, len(pulls), fitted.residual
