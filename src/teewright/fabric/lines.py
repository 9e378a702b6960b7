"""Straight lines through readings by least squares."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from teewright.errors import InputError

FloatArray = NDArray[np.float64]
"""Array of floats."""


@dataclass(frozen=True, slots=True)
class Line:
    """y = intercept + slope x, fitted by least squares.

    Attributes:
        slope: In units of y per x.
        intercept: In units of y; 0 where the line was held at the origin.
        slope_error: Standard deviation of the slope; nan where no reading is left over.
        intercept_error: Standard deviation of the intercept, 0 where held.
        residual: Standard deviation of the residuals, in units of y; nan as above.
        largest: Largest residual, without its sign.
    """

    slope: float
    intercept: float
    slope_error: float
    intercept_error: float
    residual: float
    largest: float


def line_through_origin(x: FloatArray, y: FloatArray) -> Line:
    """Fit y = slope x.

    Args:
        x: Shape (n,), n >= 1, not all 0.
        y: Shape (n,).

    Raises:
        InputError: There is no reading, or all are at x = 0.
    """
    return _fitted(x, y, x[:, None])


def line(x: FloatArray, y: FloatArray) -> Line:
    """Fit y = intercept + slope x.

    Args:
        x: Shape (n,), n >= 2, not all the same.
        y: Shape (n,).

    Raises:
        InputError: There are not two readings at different x.
    """
    return _fitted(x, y, np.column_stack((x, np.ones_like(x))))


def _fitted(x: FloatArray, y: FloatArray, columns: FloatArray) -> Line:
    count, unknowns = columns.shape
    scale = np.sqrt((columns**2).sum(axis=0))
    if count < unknowns or not np.all(scale > 0.0) or (unknowns == 2 and np.ptp(x) == 0.0):
        raise InputError(
            "are too few for a straight line", field="readings", value=count,
            allowed=f"at least {unknowns} at different places",
        )  # fmt: skip
    # columns of unit length: a QR of them loses no digits to units
    q, r = np.linalg.qr(columns / scale)
    found = np.linalg.solve(r, q.T @ y) / scale
    residuals = y - columns @ found
    free = count - unknowns
    spread = float(np.sqrt(residuals @ residuals / free)) if free else float("nan")
    inverse = np.linalg.inv(r) / scale[:, None]
    errors = spread * np.sqrt((inverse**2).sum(axis=1))
    held = unknowns == 1
    return Line(
        slope=float(found[0]),
        intercept=0.0 if held else float(found[1]),
        slope_error=float(errors[0]),
        intercept_error=0.0 if held else float(errors[1]),
        residual=spread,
        largest=float(np.abs(residuals).max()),
    )
