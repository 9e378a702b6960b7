"""Strains, tensions and wrinkles of a cloth whose vertices are known."""

import math
from typing import NamedTuple

import numpy as np

from teewright.forming.arrays import Body
from teewright.forming.compiled import compiled
from teewright.forming.law import SLACK, WRINKLED, relaxed
from teewright.forming.values import BoolArray, FloatArray


class Strained(NamedTuple):
    """How each triangle is strained; the columns are those of `values.Formed`.

    Attributes:
        stretch: Principal stretches, larger first, shape (m, 2) [-].
        along: Stretch across and along the grain, shape (m, 2) [-].
        resultants: S11, S22, S12 in the axes as cut, shape (m, 3) [N/m].
        tension: Principal true tensions, larger first, shape (m, 2) [N/m].
        wrinkled: Shape (m,).
        slack: Shape (m,).
        wrinkle: Cloth in excess across the wrinkles, shape (m,) [-].
    """

    stretch: FloatArray
    along: FloatArray
    resultants: FloatArray
    tension: FloatArray
    wrinkled: BoolArray
    slack: BoolArray
    wrinkle: FloatArray


def strained(body: Body, x: FloatArray) -> Strained:
    """Find strains and tensions of every triangle.

    Args:
        body: Cloth.
        x: Vertices, shape (n, 3) [m].

    Returns:
        The arrays.
    """
    count = len(body.triangles)
    c, s, w, state = _states(body, x, np.zeros((count, 3)), np.zeros((count, 3)), count)
    stretch = np.sqrt(np.maximum(_principal(c), 0.0))
    return Strained(
        stretch,
        np.sqrt(c[:, :2]),
        s,
        _true_tension(c, s),
        np.asarray(state == WRINKLED),
        np.asarray(state == SLACK),
        _excess(c, w),
    )


def _states(
    body: Body, x: FloatArray, c: FloatArray, s: FloatArray, count: int
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Deformation C, stress S and fold strain W as (11, 22, 12) in axes as cut, and the state."""
    w, state = np.zeros((count, 3)), np.zeros(count)
    _fill_states(body, x, c, s, w, state)
    return c, s, w, state


@compiled
def _fill_states(
    body: Body, x: FloatArray, c: FloatArray, s: FloatArray, w: FloatArray, state: FloatArray
) -> None:
    """Fill deformation, stress, fold strain and state of every triangle."""
    triangles, shapes, laws, kind = body.triangles, body.shapes, body.laws, body.kind
    for e in range(triangles.shape[0]):
        u, v = x[triangles[e, 1]] - x[triangles[e, 0]], x[triangles[e, 2]] - x[triangles[e, 0]]
        uu, uv, vv = (u * u).sum(), (u * v).sum(), (v * v).sum()
        p, q, r, t = shapes[e, 0], shapes[e, 1], shapes[e, 2], shapes[e, 3]
        law = laws[kind[e]]
        # strains of scaled axes are multiplied by i, j to scale, and divided to scale back
        i, j = law[3], law[4]
        c11 = p * p * uu + 2.0 * p * r * uv + r * r * vv
        c22 = q * q * uu + 2.0 * q * t * uv + t * t * vv
        c12 = p * q * uu + (p * t + q * r) * uv + r * t * vv
        m, d, g = 0.25 * (c11 + c22 - i - j), 0.25 * (c11 - c22 - i + j), 0.5 * c12
        sm, sd, sg, code = relaxed(m, d, g, law[0], law[1], law[2])
        c[e, 0], c[e, 1], c[e, 2] = c11 / i, c22 / j, c12
        s[e, 0], s[e, 1], s[e, 2] = (sm + sd) * i, (sm - sd) * j, sg
        wm, wd, wg = sm / law[0] - m, sd / law[1] - d, sg / law[2] - g
        w[e, 0], w[e, 1], w[e, 2] = (wm + wd) / i, (wm - wd) / j, wg
        state[e] = code


def _principal(c: FloatArray) -> FloatArray:
    """Eigenvalues of symmetric (11, 22, 12), larger first, shape (m, 2)."""
    mean, half = 0.5 * (c[:, 0] + c[:, 1]), np.hypot(0.5 * (c[:, 0] - c[:, 1]), c[:, 2])
    return np.column_stack([mean + half, mean - half])


def _true_tension(c: FloatArray, s: FloatArray) -> FloatArray:
    """Principal values of F S F^T / det F: those of U S U / det U with U the root of C."""
    root = np.sqrt(np.maximum(c[:, 0] * c[:, 1] - c[:, 2] ** 2, 1e-300))
    size = np.sqrt(c[:, 0] + c[:, 1] + 2.0 * root)
    u11, u22, u12 = (c[:, 0] + root) / size, (c[:, 1] + root) / size, c[:, 2] / size
    a11, a12 = u11 * s[:, 0] + u12 * s[:, 2], u11 * s[:, 2] + u12 * s[:, 1]
    a21, a22 = u12 * s[:, 0] + u22 * s[:, 2], u12 * s[:, 2] + u22 * s[:, 1]
    tension = (a11 * u11 + a12 * u12, a21 * u12 + a22 * u22, a11 * u12 + a12 * u22)
    return np.maximum(_principal(np.column_stack(tension) / root[:, None]), 0.0)


def _excess(c: FloatArray, w: FloatArray) -> FloatArray:
    """Length of the cloth over the length that it spans, less 1, across the wrinkles.

    Folds add W to the strain, so that along the unit vector of the larger eigenvalue of W,
    in axes as cut, the cloth itself is stretched by sqrt(C + 2 W) while it spans sqrt(C).
    """
    angle = 0.5 * np.arctan2(2.0 * w[:, 2], w[:, 0] - w[:, 1])
    cosine, sine = np.cos(angle), np.sin(angle)
    spans = c[:, 0] * cosine**2 + c[:, 1] * sine**2 + 2.0 * c[:, 2] * sine * cosine
    folded = np.maximum(_principal(w)[:, 0], 0.0)
    return np.asarray(np.sqrt(1.0 + 2.0 * folded / np.maximum(spans, 1e-300)) - 1.0)


def mean_area(body: Body, count: int) -> float:
    """Area as cut per vertex.

    Args:
        body: Cloth.
        count: Of vertices.

    Returns:
        The area [m2], not 0.
    """
    return math.fsum(body.shapes[:, 4].tolist()) / max(count, 1)
