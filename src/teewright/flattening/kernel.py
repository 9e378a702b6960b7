"""Strain of one triangle and its derivatives, and the sums over all of them, compiled.

With G the map of a triangle from formed to flat (linear in the flat corners) and u = x + i y
the corners as complex numbers, G splits into a turning part z and a mirroring part w:
G d = z d + w conj(d). Its singular values are |z| + |w| and |z| - |w|, and the logarithmic
strain of formed over cut, in the axes of the grain, is

    E_across = -(h + q1),  E_along = -(h - q1),  E_shear = -q2,
    h = log(|z|^2 - |w|^2) / 2,  q = artanh(k) / k * w z / |z|^2,  k = |w| / |z|.

h and q are smooth wherever the triangle is not turned over. The principal logarithmic strains
are -h +- |q|, so that a limit on stretch is a second-order cone in (h, q), with the smooth
barrier -log((limit +- h)^2 - |q|^2).
"""

import math

import numpy as np
from numba import njit

from teewright.flattening.values import FloatArray, IntArray


@njit(cache=True)
def _series(x: float) -> tuple[float, float, float]:
    """artanh(sqrt(x))/sqrt(x) and its two derivatives in x, 0 <= x < 1."""
    if x < 0.02:
        f = 1.0 + x * (1 / 3 + x * (1 / 5 + x * (1 / 7 + x * (1 / 9 + x * (1 / 11 + x / 13)))))
        d = 1 / 3 + x * (2 / 5 + x * (3 / 7 + x * (4 / 9 + x * (5 / 11 + x * 6 / 13))))
        dd = 2 / 5 + x * (6 / 7 + x * (12 / 9 + x * (20 / 11 + x * 30 / 13)))
        return f, d, dd
    k = math.sqrt(x)
    f = math.atanh(k) / k
    d = (1.0 / (1.0 - x) - f) / (2.0 * x)
    dd = (1.0 / (1.0 - x) ** 2 - 3.0 * d) / (2.0 * x)
    return f, d, dd


@njit(cache=True)
def _split(u: FloatArray, tri: IntArray, grad: FloatArray) -> tuple[float, float, float, float]:
    """Turning part z and mirroring part w of a triangle's map, as four reals."""
    za = zb = wa = wb = 0.0
    for i in range(3):
        x, y = u[tri[i], 0], u[tri[i], 1]
        gx, gy = grad[i, 0], grad[i, 1]
        za += 0.5 * (x * gx + y * gy)
        zb += 0.5 * (y * gx - x * gy)
        wa += 0.5 * (x * gx - y * gy)
        wb += 0.5 * (x * gy + y * gx)
    return za, zb, wa, wb


@njit(cache=True)
def strains(u: FloatArray, tris: IntArray, grads: FloatArray, out: FloatArray) -> bool:
    """Fill `out`, shape (m, 3), with h, q1, q2; False where a triangle is turned over."""
    for t in range(tris.shape[0]):
        za, zb, wa, wb = _split(u, tris[t], grads[t])
        s = za * za + zb * zb
        x = (wa * wa + wb * wb) / s if s > 0.0 else 2.0
        if not x < 1.0:
            return False
        f = _series(x)[0]
        out[t, 0] = 0.5 * math.log(s) + 0.5 * math.log1p(-x)
        out[t, 1] = f * (wa * za - wb * zb) / s
        out[t, 2] = f * (wa * zb + wb * za) / s
    return True


@njit(cache=True)
def _barrier(y: FloatArray, high: float, low: float) -> float:
    """-log of both cones; infinite outside them."""
    d2 = y[1] * y[1] + y[2] * y[2]
    a, b = high + y[0], low - y[0]
    if a <= 0.0 or b <= 0.0:
        return math.inf
    pa, pb = a * a - d2, b * b - d2
    if pa <= 0.0 or pb <= 0.0:
        return math.inf
    return -math.log(pa) - math.log(pb)


@njit(cache=True)
def value(
    ys: FloatArray, weight: FloatArray, quad: FloatArray, aims: FloatArray, law: FloatArray
) -> float:
    """Sum of energy and barrier; `law` is (barrier's weight, high, low)."""
    total = 0.0
    e = np.empty(3)
    for t in range(ys.shape[0]):
        for i in range(3):
            e[i] = ys[t, i] - aims[t, i]
        part = 0.0
        for i in range(3):
            for j in range(3):
                part += 0.5 * e[i] * quad[i, j] * e[j]
        if law[0] > 0.0:
            part += law[0] * _barrier(ys[t], law[1], law[2])
        total += weight[t] * part
    return total


@njit(cache=True)
def _energy(y, aim, quad, law, g, hess):  # type: ignore[no-untyped-def]
    """Gradient and Hessian in (h, q) of energy and barrier, into g (3,) and hess (3, 3)."""
    for i in range(3):
        g[i] = 0.0
        for j in range(3):
            hess[i, j] = quad[i, j]
            g[i] += quad[i, j] * (y[j] - aim[j])
    mu = law[0]
    if mu == 0.0:
        return
    d2 = y[1] * y[1] + y[2] * y[2]
    for side in range(2):
        sign = 1.0 if side == 0 else -1.0
        a = law[1 + side] + sign * y[0]
        p = a * a - d2
        dp = (2.0 * sign * a / p, -2.0 * y[1] / p, -2.0 * y[2] / p)
        for i in range(3):
            g[i] -= mu * dp[i]
            hess[i, i] -= mu * (2.0 if i == 0 else -2.0) / p
            for j in range(3):
                hess[i, j] += mu * dp[i] * dp[j]


@njit(cache=True)
def soft_largest(ys: FloatArray, weight: FloatArray, width: float) -> float:
    """Largest strain, softly: width log sum weight 2 cosh(h / width) cosh(|q| / width)."""
    top = 0.0
    for t in range(ys.shape[0]):
        top = max(top, abs(ys[t, 0]) + math.hypot(ys[t, 1], ys[t, 2]))
    total = 0.0
    for t in range(ys.shape[0]):
        h, d = abs(ys[t, 0]), math.hypot(ys[t, 1], ys[t, 2])
        both = (1.0 + math.exp(-2.0 * h / width)) * (1.0 + math.exp(-2.0 * d / width))
        total += 0.5 * weight[t] * both * math.exp((h + d - top) / width)
    return top + width * math.log(total)


@njit(cache=True)
def _soft(y, width, largest, g, hess, gm):  # type: ignore[no-untyped-def]
    """Gradient, Hessian and mixed derivative of one term of `soft_largest` in perspective.

    The term is width exp(-largest / width) 2 cosh(h / width) cosh(|q| / width); its sum plus
    `largest`, made least over `largest` too, is the soft largest strain. Returns the term over
    width.
    """
    h, d = y[0], math.hypot(y[1], y[2])
    both = (1.0 + math.exp(-2.0 * abs(h) / width)) * (1.0 + math.exp(-2.0 * d / width))
    share = 0.5 * both * math.exp((abs(h) + d - largest) / width)
    th, td = math.tanh(h / width), math.tanh(d / width)
    round_ = share * (td / d if d > 1e-9 * width else 1.0 / width)
    n = (0.0, y[1] / d, y[2] / d) if d > 1e-9 * width else (0.0, 1.0, 0.0)
    stiff = share / width
    g[0] = share * th
    hess[0, 0] = stiff
    for i in range(1, 3):
        g[i] = share * td * n[i]
        hess[0, i] = stiff * th * td * n[i]
        hess[i, 0] = hess[0, i]
        for j in range(1, 3):
            hess[i, j] = (stiff - round_) * n[i] * n[j]
        hess[i, i] += round_
    for i in range(3):
        gm[i] = -g[i] / width
    return share


@njit(cache=True)
def _chain(k1, k2, jac, bends):  # type: ignore[no-untyped-def]
    """First and second derivatives of h, q1, q2 for steps (a, b, c, d) of z and w over |z|.

    z is real here; k1 + i k2 = w / |z|. Fills jac (3, 4) and bends (3, 4, 4).
    """
    x = k1 * k1 + k2 * k2
    f, f1, f2 = _series(x)
    dk = np.zeros((2, 4))
    dk[0, 0], dk[0, 1], dk[0, 2] = -k1, -k2, 1.0
    dk[1, 0], dk[1, 1], dk[1, 3] = -k2, k1, 1.0
    dx = np.empty(4)
    for i in range(4):
        dx[i] = 2.0 * (k1 * dk[0, i] + k2 * dk[1, i])
        jac[0, i] = -0.5 * dx[i] / (1.0 - x)
        jac[1, i] = f * dk[0, i] + f1 * k1 * dx[i]
        jac[2, i] = f * dk[1, i] + f1 * k2 * dx[i]
    jac[0, 0] += 1.0
    a = (1.0, 0.0, 0.0, 0.0)
    b = (0.0, 1.0, 0.0, 0.0)
    for i in range(4):
        for j in range(4):
            # d2k = -2 (da - i db) dk, made symmetric
            r = -(a[i] * dk[0, j] + a[j] * dk[0, i] + b[i] * dk[1, j] + b[j] * dk[1, i])
            m = -(a[i] * dk[1, j] + a[j] * dk[1, i] - b[i] * dk[0, j] - b[j] * dk[0, i])
            ddx = 2.0 * (dk[0, i] * dk[0, j] + dk[1, i] * dk[1, j] + k1 * r + k2 * m)
            dd = dx[i] * dx[j]
            bends[0, i, j] = b[i] * b[j] - a[i] * a[j]
            bends[0, i, j] -= 0.5 * (ddx / (1.0 - x) + dd / (1.0 - x) ** 2)
            bends[1, i, j] = f * r + f1 * (dx[i] * dk[0, j] + dx[j] * dk[0, i])
            bends[1, i, j] += k1 * (f2 * dd + f1 * ddx)
            bends[2, i, j] = f * m + f1 * (dx[i] * dk[1, j] + dx[j] * dk[1, i])
            bends[2, i, j] += k2 * (f2 * dd + f1 * ddx)


@njit(cache=True)
def _bend(jac, bends, g, hess, curved, out):  # type: ignore[no-untyped-def]
    """Hessian in the steps of z and w over |z|, into out (4, 4)."""
    for i in range(4):
        for j in range(4):
            total = 0.0
            for p in range(3):
                for o in range(3):
                    total += jac[p, i] * hess[p, o] * jac[o, j]
            if curved:
                for p in range(3):
                    total += g[p] * bends[p, i, j]
            out[i, j] = total


@njit(cache=True)
def _steps(grad, za, zb, to):  # type: ignore[no-untyped-def]
    """Steps (a, b, c, d) of z and w over |z| for moves of the three corners, into to (4, 6).

    The formed triangle is turned so that z is real.
    """
    s = za * za + zb * zb
    for i in range(3):
        gx = 0.5 * (grad[i, 0] * za - grad[i, 1] * zb) / s
        gy = 0.5 * (grad[i, 0] * zb + grad[i, 1] * za) / s
        x, y = 2 * i, 2 * i + 1
        to[0, x], to[0, y] = gx, gy
        to[1, x], to[1, y] = -gy, gx
        to[2, x], to[2, y] = gx, -gy
        to[3, x], to[3, y] = gy, gx


@njit(cache=True)
def _spread(weight, to, dof, local, out):  # type: ignore[no-untyped-def]
    """Add one triangle's gradient, mixed derivative and Hessian to those of all."""
    band, grad, cross = out
    g4, gm4, h4, half = local
    for i in range(4):
        for j in range(6):
            half[i, j] = 0.0
            for p in range(4):
                half[i, j] += h4[i, p] * to[p, j]
    for i in range(6):
        if dof[i] < 0:
            continue
        for p in range(4):
            grad[dof[i]] += weight * to[p, i] * g4[p]
            cross[dof[i]] += weight * to[p, i] * gm4[p]
        for j in range(6):
            if dof[j] < 0 or dof[j] > dof[i]:
                continue
            total = 0.0
            for p in range(4):
                total += to[p, i] * half[p, j]
            band[dof[j], dof[i] - dof[j]] += weight * total


@njit(cache=True)
def _triangle(parts, aim, law, curved, work):  # type: ignore[no-untyped-def]
    """Gradient, mixed derivative and Hessian of one triangle in the steps of z and w over |z|.

    Returns the second derivative with the soft largest strain.
    """
    quad, soft = law[0], law[2]
    jac, bends, y, g, gm, hess, local = work
    za, zb, wa, wb = parts
    s = za * za + zb * zb
    k1, k2 = (wa * za - wb * zb) / s, (wa * zb + wb * za) / s
    _chain(k1, k2, jac, bends)
    x = k1 * k1 + k2 * k2
    f = _series(x)[0]
    y[0] = 0.5 * math.log(s) + 0.5 * math.log1p(-x)
    y[1], y[2] = f * k1, f * k2
    second = 0.0
    if soft:
        second = _soft(y, law[1][0], law[1][1], g, hess, gm) / law[1][0]
    else:
        _energy(y, aim, quad, law[1], g, hess)
    g4, gm4, h4, _ = local
    for i in range(4):
        g4[i] = gm4[i] = 0.0
        for p in range(3):
            g4[i] += jac[p, i] * g[p]
            gm4[i] += jac[p, i] * gm[p]
    _bend(jac, bends, g, hess, curved, h4)
    return second


@njit(cache=True)
def assemble(u, mesh, aims, law, slots, curved, out):  # type: ignore[no-untyped-def]
    """Add gradient and banded Hessian of all triangles.

    Args:
        u: Flat corners, (k, 2).
        mesh: Triangles (m, 3), gradients of the corners' shape functions (m, 3, 2), share of
            each triangle (m,).
        aims: Where the energy is least, (m, 3).
        law: Quadratic energy in (h, q) (3, 3); (weight of the barrier, high, low) or (width,
            soft largest strain, -); whether the soft largest strain is minimised instead of
            the energy.
        slots: Number of each unknown or -1, (k, 2).
        curved: Whether the curvature of the strains goes in.
        out: Lower band of the Hessian (n, width), gradient (n,), mixed derivative with the
            soft largest strain (n,); added to.

    Returns:
        Second derivative with the soft largest strain.
    """
    tris, grads, weight = mesh
    local = np.empty(4), np.empty(4), np.empty((4, 4)), np.empty((4, 6))
    work = (
        np.empty((3, 4)), np.empty((3, 4, 4)), np.empty(3), np.empty(3), np.zeros(3),
        np.empty((3, 3)), local,
    )  # fmt: skip
    to, dof = np.empty((4, 6)), np.empty(6, np.int64)
    second = 0.0
    for t in range(tris.shape[0]):
        parts = _split(u, tris[t], grads[t])
        second += weight[t] * _triangle(parts, aims[t], law, curved, work)
        _steps(grads[t], parts[0], parts[1], to)
        for i in range(3):
            dof[2 * i], dof[2 * i + 1] = slots[tris[t, i], 0], slots[tris[t, i], 1]
        _spread(weight[t], to, dof, local, out)
    return second


@njit(cache=True)
def gaps(u: FloatArray, pairs: IntArray, scale: FloatArray, out: FloatArray) -> None:
    """Difference of the squared lengths of two sewn edges over `scale`, into `out` (p,)."""
    for n in range(pairs.shape[0]):
        total = 0.0
        for side in range(2):
            a, b = pairs[n, 2 * side], pairs[n, 2 * side + 1]
            dx, dy = u[b, 0] - u[a, 0], u[b, 1] - u[a, 1]
            total += (1.0 - 2.0 * side) * (dx * dx + dy * dy)
        out[n] = total / scale[n]


@njit(cache=True)
def widen(
    u: FloatArray, du: FloatArray, pairs: IntArray, scale: FloatArray, out: FloatArray
) -> None:
    """Change of `gaps` along du to first order, into `out` (p,)."""
    for n in range(pairs.shape[0]):
        total = 0.0
        for side in range(2):
            a, b = pairs[n, 2 * side], pairs[n, 2 * side + 1]
            for ax in range(2):
                step = (u[b, ax] - u[a, ax]) * (du[b, ax] - du[a, ax])
                total += (1.0 - 2.0 * side) * 2.0 * step
        out[n] = total / scale[n]


@njit(cache=True)
def sew(u, sewn, push, slots, curved, out):  # type: ignore[no-untyped-def]
    """Add the sewn edges to the band, and what the pairs ask for to the right-hand side.

    The band gets push J^T J and, where `curved`, the curvature of tension . c; the right-hand
    side J^T (tension + push c), with c from `gaps` and J its derivative.

    Args:
        u: Flat corners, (k, 2).
        sewn: Pairs (p, 4), their scale (p,) and tension (p,).
        push: Weight of the squared gaps.
        slots: Number of each unknown or -1, (k, 2).
        curved: Whether the curvature of the gaps goes in.
        out: Lower band (n, width) and right-hand side (n,), added to.
    """
    pairs, scale, tension = sewn
    band, right = out
    j, dof = np.empty(8), np.empty(8, np.int64)
    c = np.empty(pairs.shape[0])
    gaps(u, pairs, scale, c)
    for n in range(pairs.shape[0]):
        pull = tension[n] + push * c[n]
        for side in range(2):
            a, b = pairs[n, 2 * side], pairs[n, 2 * side + 1]
            sign = (1.0 - 2.0 * side) * 2.0 / scale[n]
            for ax in range(2):
                d = u[b, ax] - u[a, ax]
                j[4 * side + ax], j[4 * side + 2 + ax] = -sign * d, sign * d
                dof[4 * side + ax], dof[4 * side + 2 + ax] = slots[a, ax], slots[b, ax]
        for i in range(8):
            if dof[i] < 0:
                continue
            right[dof[i]] += pull * j[i]
            for o in range(8):
                if dof[o] < 0 or dof[o] > dof[i]:
                    continue
                v = push * j[i] * j[o]
                if curved and i // 4 == o // 4 and i % 2 == o % 2:
                    bend = tension[n] * (1.0 - 2.0 * (i // 4)) * 2.0 / scale[n]
                    v += bend if i == o else -bend
                band[dof[o], dof[i] - dof[o]] += v
