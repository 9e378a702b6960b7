"""The saddle of two pipes without rounding: the package's edge of radius 0, as curves."""

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from teewright.junction.edge import Edge, edge_of
from teewright.junction.values import Junction, Skin

FloatArray = NDArray[np.float64]
Curve = Callable[[Junction, FloatArray], FloatArray]


def sharp(junction: Junction, phi: FloatArray) -> Edge:
    return edge_of(Skin(replace(junction, fillet=0.0), 0.0), phi)


def saddle_curve(junction: Junction, phi: FloatArray) -> FloatArray:
    """In space, shape (n, 3) [m]."""
    return sharp(junction, phi).centre


def developed_hole(junction: Junction, phi: FloatArray) -> FloatArray:
    """On the main unrolled, shape (n, 2) [m]."""
    return sharp(junction, phi).main_flat


def developed_edge(junction: Junction, phi: FloatArray) -> FloatArray:
    """On the branch unrolled, shape (n, 2) [m]."""
    return sharp(junction, phi).branch_flat


def saddle_height(junction: Junction, phi: FloatArray) -> FloatArray:
    """Along the branch's axis, shape (n,) [m]."""
    return developed_edge(junction, phi)[:, 1]


def saddle_lengths(junction: Junction) -> tuple[float, float, float]:
    """Once round: in space, on the branch unrolled, round the hole unrolled [m]."""
    curves = (saddle_curve, developed_edge, developed_hole)
    space, on_branch, on_main = (_length(curve, junction) for curve in curves)
    return space, on_branch, on_main


def _length(curve: Curve, junction: Junction) -> float:
    """Chords of three step sizes, carried on to none: each quadrant is smooth."""
    coarse, middle, fine = (_chords(curve(junction, quadrant_angles(n))) for n in (800, 1600, 3200))
    first, second = middle + (middle - coarse) / 3.0, fine + (fine - middle) / 3.0
    return second + (second - first) / 15.0


def _chords(line: FloatArray) -> float:
    return float(np.linalg.norm(np.diff(line, axis=0), axis=1).sum())


def quadrant_angles(samples: int) -> FloatArray:
    """From heel by crotch to heel, crotch, heel and flanks among them, shape (samples + 1,)."""
    return np.linspace(-math.pi, math.pi, 4 * math.ceil(samples / 4) + 1)
