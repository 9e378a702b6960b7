"""Kinetics of a resin from readings of its cure: conversions over time.

Both settle all six parameters. Readings are taken as independent of each other. Those of one
calorimeter run are not: where they stand close together the spread told here is too small.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from teewright.errors import InputError
from teewright.resin.cure_fit import (
    Basis,
    CureFit,
    covariance_of,
    held_sentences,
    kinetics_of,
    least,
    numbers_of,
)
from teewright.resin.kernel import along
from teewright.resin.kinetics import COUNT, FloatArray, IntArray, times_to

TOLERANCE = 1e-7
"""Of one step of a fitted curve, over the conversion [-]."""
SHAPES = ((0.5, 1.5), (1.0, 1.0), (1.0, 2.0), (2.0, 1.5))
"""Exponents m and n from which a fit starts [-]: the best of them is kept."""
DRAWN = 1.0
"""How far the times of a drawn set may stray from the best set's, |ln| [-]."""
ASSUMED = (
    "the readings are taken as independent of each other",
    "the heat of reaction and the conversions at gel and at release are taken, not fitted",
)


@dataclass(frozen=True, slots=True)
class Marks:
    """What readings do not tell.

    Attributes:
        gel: Conversion at the end of workability [-].
        firm: Conversion from which the packer may let go [-].
        heat: Total heat of reaction per mass of resin [J/kg].
    """

    gel: float
    firm: float
    heat: float


def fit_readings(
    temperatures: FloatArray,
    times: FloatArray,
    conversions: FloatArray,
    *,
    marks: Marks,
    runs: IntArray | None = None,
) -> CureFit:
    """Fit all six parameters to conversions read at constant temperatures or along ramps.

    The conversions of each run are held to the law integrated along its temperatures: what is
    asked of a fit are times, and a fit of rates gives the slow beginning too little weight.

    Args:
        temperatures: Of each reading [K], shape (count,); straight between those of one run.
        times: Since mixing [s], shape (count,).
        conversions: Read [-], shape (count,).
        marks: Gel, release and heat.
        runs: Number of the run of each reading, shape (count,); without it the readings at each
            temperature are a run.

    Returns:
        The fit; residuals are differences of conversion [-].

    Raises:
        InputError: Readings that cannot be right, or too few of them.
        ConvergenceError: The fit did not settle.
    """
    T, t, a = _columns(temperatures, times, conversions)
    if np.any(t <= 0.0) or np.any((a < 0.0) | (a > 1.0)):
        raise InputError("cannot be right", field="readings", allowed="times above 0, 0 to 1")
    names = T if runs is None else runs
    found_at = [np.flatnonzero(names == name) for name in np.unique(names)]
    groups = [rows[np.argsort(t[rows])] for rows in found_at]

    def model(numbers: FloatArray) -> FloatArray:
        found = np.empty_like(t)
        for rows in groups:
            stops, back = np.unique(np.concatenate([[0.0], t[rows]]), return_inverse=True)
            curve = np.asarray(along(numbers, (t[rows], T[rows]), stops, 0.0, TOLERANCE))
            found[rows] = curve[back[1:]]
        return found

    half = np.clip(a, 0.02, 0.98)
    speed = float(np.median(-np.log1p(-half) / t))
    return _fit(T, lambda numbers: model(numbers) - a, speed=speed, marks=marks)


def _fit(
    temperatures: FloatArray,
    off: Callable[[FloatArray], FloatArray],
    *,
    speed: float,
    marks: Marks,
) -> CureFit:
    reference = 1.0 / float(np.mean(1.0 / temperatures))
    ends = (float(temperatures.min()), float(temperatures.max()))
    freedom = len(temperatures) - COUNT
    if freedom < 1 or ends[0] == ends[1]:
        raise InputError(
            "are too few",
            field="readings",
            value=f"{len(temperatures)} at {len(np.unique(temperatures))} temperatures",
            allowed=f"{COUNT + 1} or more, at two temperatures or more",
        )

    def residuals(theta: FloatArray) -> FloatArray:
        return off(numbers_of(theta, reference))

    starts = [
        np.array([math.log(0.1 * speed), 5e4, math.log(2.0 * speed), 5e4, m, n]) for m, n in SHAPES
    ]
    found = [least(residuals, start) for start in starts]
    theta, rest, jacobian = min(found, key=lambda one: float(one[1] @ one[1]))
    known = math.sqrt(float(rest @ rest) / freedom)
    kinetics = kinetics_of(theta, reference, (marks.gel, marks.firm, marks.heat), ends)
    corners = np.array([(T, a) for T in ends for a in (marks.gel, marks.firm)])
    best = times_to(kinetics.numbers(), corners[:, 1], corners[:, 0])
    return CureFit(
        kinetics=kinetics,
        fitted=("k1", "E1", "k2", "E2", "m", "n"),
        assumed=(*ASSUMED, *held_sentences(theta)),
        theta=theta,
        covariance=covariance_of(jacobian, known),
        reference=reference,
        residuals=rest,
        uncertainty=known,
        freedom=freedom,
        data=np.column_stack([corners, best]),
        stray=DRAWN,
        basis=Basis.CONVERSIONS,
    )


def _columns(*columns: FloatArray) -> tuple[FloatArray, ...]:
    arrays = tuple(np.asarray(column, dtype=float) for column in columns)
    same = len({array.shape for array in arrays}) == 1 and arrays[0].ndim == 1
    if not same or not all(np.all(np.isfinite(array)) for array in arrays):
        raise InputError("are not columns of numbers of one length", field="readings")
    if arrays[0].size == 0 or np.any(arrays[0] <= 0.0):
        raise InputError("is not above zero", field="temperature", allowed="K")
    return arrays
