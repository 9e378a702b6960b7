"""Thickness under pressure, from readings to the table of the kit."""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from teewright.errors import InputError
from teewright.fabric.doubts import note
from teewright.fabric.values import ThicknessFit, ThicknessReading
from teewright.findings import Finding, FindingKind

FloatArray = NDArray[np.float64]
"""Array of floats."""
SAME = 0.01
"""Pressures that differ by less, over the largest, are one pressure [-]."""
MOST_POINTS = 16
"""Points of the table; more pressures than that are put together."""
REPAIR = 0.005
"""Change of a mean by the ordering, over the thickness, that is told [-]."""


def fit_thickness(readings: Sequence[ThicknessReading]) -> ThicknessFit:
    """Table of thickness against pressure, never growing, with its residuals.

    Readings at one pressure are averaged; where the means grow with pressure they are replaced
    by the nearest falling ones (isotonic regression, weighted by the number of readings).

    Args:
        readings: In any order, at least two, at two pressures or more.

    Returns:
        Points from no pressure upwards, residuals of all readings, findings.

    Raises:
        InputError: There are not two pressures, or a value cannot be.
    """
    # heavy, and only a user who fits a fabric needs it
    from scipy.optimize import isotonic_regression  # noqa: PLC0415 -- as said above

    pressure, thickness = _sorted(readings)
    groups = _groups(pressure)
    means = np.array([thickness[g].mean() for g in groups])
    at = np.array([pressure[g].mean() for g in groups])
    weights = np.array([float(len(g)) for g in groups])
    falling = np.asarray(isotonic_regression(means, weights=weights, increasing=False).x)
    points = list(zip(at.tolist(), falling.tolist(), strict=True))
    findings = _repairs(at, means, falling)
    if points[0][0] > 0.0:
        points.insert(0, (0.0, points[0][1]))
        findings.append(_no_zero(points[1]))
    table = np.array(points)
    off = thickness - np.interp(pressure, table[:, 0], table[:, 1])
    return ThicknessFit(
        points=tuple(points),
        readings=len(readings),
        rms=float(np.sqrt(np.mean(off**2))),
        largest=float(np.abs(off).max()),
        findings=tuple(findings),
    )


def _sorted(readings: Sequence[ThicknessReading]) -> tuple[FloatArray, FloatArray]:
    for reading in readings:
        if not (math.isfinite(reading.pressure) and reading.pressure >= 0.0):
            raise InputError(
                "cannot be", field="pressure", value=reading.pressure, allowed="0 Pa or more"
            )
        if not (math.isfinite(reading.thickness) and reading.thickness > 0.0):
            raise InputError(
                "cannot be", field="thickness", value=reading.thickness, allowed="more than 0 m"
            )
    table = np.array(sorted((r.pressure, r.thickness) for r in readings)).reshape(-1, 2)
    if len(table) < 2 or np.ptp(table[:, 0]) == 0.0:
        raise InputError(
            "are too few", field="readings of thickness", value=len(table),
            allowed="readings at two pressures or more",
        )  # fmt: skip
    return table[:, 0], table[:, 1]


def _groups(pressure: FloatArray) -> list[NDArray[np.int64]]:
    """Indices of readings at one pressure; at most `MOST_POINTS` groups."""
    gap = SAME * float(pressure[-1])
    cuts: list[int] = []
    begun = float(pressure[0])
    for place, value in enumerate(pressure.tolist()):
        # no pressure is a pressure of its own: the table begins there
        if value - begun > gap or (begun == 0.0 and value > 0.0):
            cuts.append(place)
            begun = value
    groups = np.split(np.arange(len(pressure)), cuts)
    if len(groups) <= MOST_POINTS:
        return groups
    # whole groups are joined: readings at one pressure stay together
    between = np.array_split(np.arange(1, len(groups) - 1), MOST_POINTS - 2)
    joined = [np.concatenate([groups[n] for n in some]) for some in between]
    return [groups[0], *joined, groups[-1]]


def _repairs(at: FloatArray, means: FloatArray, falling: FloatArray) -> list[Finding]:
    change = np.abs(falling / means - 1.0)
    if not np.any(change > REPAIR):
        return []
    worst = int(np.argmax(change))
    text = (
        f"the mean thickness grows with pressure, the most at {at[worst] / 1e3:.1f} kPa; the "
        f"nearest falling table changes it by up to {100.0 * change[worst]:.1f} %"
    )
    return [note(FindingKind.REPAIRED, "fabric-thickness-grows", text, f"{at[worst]:.0f} Pa")]


def _no_zero(first: tuple[float, float]) -> Finding:
    text = (
        f"the least pressure tested is {first[0] / 1e3:.3g} kPa; its thickness, "
        f"{first[1] * 1e3:.2f} mm, is taken from 0 kPa on"
    )
    return note(FindingKind.ASSUMED, "fabric-thickness-zero", text, f"{first[0]:.0f} Pa")
