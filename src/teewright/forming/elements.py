"""Forces of the cloth on its vertices: fused loops over triangles and seams."""

import math

from teewright.forming.arrays import Body
from teewright.forming.compiled import compiled
from teewright.forming.law import relaxed
from teewright.forming.values import FloatArray


@compiled
def add_cloth(
    body: Body,
    x: FloatArray,
    pressure: float,
    pull: float,
    f: FloatArray,
) -> None:
    """Add the forces of the stretched triangles and of the pressure on them.

    Args:
        body: Cloth.
        x: Vertices, shape (n, 3) [m].
        pressure: On the cloth [Pa].
        pull: Pressure to which the tension of the bladder has grown [Pa].
        f: Forces, added to in place, shape (n, 3) [N].
    """
    triangles, shapes, laws, kind = body.triangles, body.shapes, body.laws, body.kind
    sixth = pressure / 6.0
    for e in range(triangles.shape[0]):
        a, b, c = triangles[e, 0], triangles[e, 1], triangles[e, 2]
        ux, uy, uz = x[b, 0] - x[a, 0], x[b, 1] - x[a, 1], x[b, 2] - x[a, 2]
        vx, vy, vz = x[c, 0] - x[a, 0], x[c, 1] - x[a, 1], x[c, 2] - x[a, 2]
        uu = ux * ux + uy * uy + uz * uz
        uv = ux * vx + uy * vy + uz * vz
        vv = vx * vx + vy * vy + vz * vz
        p, q, r, s, area = shapes[e, 0], shapes[e, 1], shapes[e, 2], shapes[e, 3], shapes[e, 4]
        A, B, C, i, j = (
            laws[kind[e], 0], laws[kind[e], 1], laws[kind[e], 2], laws[kind[e], 3], laws[kind[e], 4]
        )  # fmt: skip
        c11 = p * p * uu + 2.0 * p * r * uv + r * r * vv - i
        c22 = q * q * uu + 2.0 * q * s * uv + s * s * vv - j
        c12 = p * q * uu + (p * s + q * r) * uv + r * s * vv
        sm, sd, sg, _ = relaxed(0.25 * (c11 + c22), 0.25 * (c11 - c22), 0.5 * c12, A, B, C)
        s1, s2 = area * (sm + sd), area * (sm - sd + pull * shapes[e, 5])
        sg *= area
        tuu = s1 * p * p + s2 * q * q + 2.0 * sg * p * q
        tvv = s1 * r * r + s2 * s * s + 2.0 * sg * r * s
        tuv = s1 * p * r + s2 * q * s + sg * (p * s + q * r)
        bx, by, bz = tuu * ux + tuv * vx, tuu * uy + tuv * vy, tuu * uz + tuv * vz
        cx, cy, cz = tuv * ux + tvv * vx, tuv * uy + tvv * vy, tuv * uz + tvv * vz
        nx = sixth * (uy * vz - uz * vy)
        ny = sixth * (uz * vx - ux * vz)
        nz = sixth * (ux * vy - uy * vx)
        f[a, 0] += nx + bx + cx
        f[a, 1] += ny + by + cy
        f[a, 2] += nz + bz + cz
        f[b, 0] += nx - bx
        f[b, 1] += ny - by
        f[b, 2] += nz - bz
        f[c, 0] += nx - cx
        f[c, 1] += ny - cy
        f[c, 2] += nz - cz


@compiled
def add_bars(body: Body, x: FloatArray, f: FloatArray) -> None:
    """Add the forces of the seams: stiffness times strain, along the seam.

    Args:
        body: Cloth.
        x: Vertices, shape (n, 3) [m].
        f: Forces, added to in place, shape (n, 3) [N].
    """
    bars, rest, stiffness = body.bars, body.bar_rest, body.bar_stiffness
    for e in range(bars.shape[0]):
        a, b = bars[e, 0], bars[e, 1]
        dx, dy, dz = x[b, 0] - x[a, 0], x[b, 1] - x[a, 1], x[b, 2] - x[a, 2]
        length = math.sqrt(dx * dx + dy * dy + dz * dz)
        if length < rest[e] and not body.push:
            continue
        t = stiffness[e] * (1.0 / rest[e] - 1.0 / length)
        f[a, 0] += t * dx
        f[a, 1] += t * dy
        f[a, 2] += t * dz
        f[b, 0] -= t * dx
        f[b, 1] -= t * dy
        f[b, 2] -= t * dz


@compiled
def add_masses(body: Body, x: FloatArray, pull: float, mass: FloatArray) -> None:
    """Add each triangle's share of a bound of the stiffness matrix, row by row (Gershgorin).

    With F the deformation in scaled axes and g the gradients of the corners' shares, a
    triangle's stiffness is at most area (max(A, B, C) |F|^2 + S1) g_i . g_j times the unit
    matrix; wrinkles only soften it. A quarter of a row's sum is the least mass that is stable
    with steps of 1.

    Args:
        body: Cloth.
        x: Vertices, shape (n, 3) [m].
        pull: Pressure to which the tension of the bladder has grown [Pa].
        mass: Added to in place, shape (n,) [N/m].
    """
    triangles, shapes, laws, kind = body.triangles, body.shapes, body.laws, body.kind
    for e in range(triangles.shape[0]):
        a, b, c = triangles[e, 0], triangles[e, 1], triangles[e, 2]
        ux, uy, uz = x[b, 0] - x[a, 0], x[b, 1] - x[a, 1], x[b, 2] - x[a, 2]
        vx, vy, vz = x[c, 0] - x[a, 0], x[c, 1] - x[a, 1], x[c, 2] - x[a, 2]
        uu = ux * ux + uy * uy + uz * uz
        uv = ux * vx + uy * vy + uz * vz
        vv = vx * vx + vy * vy + vz * vz
        p, q, r, s, area = shapes[e, 0], shapes[e, 1], shapes[e, 2], shapes[e, 3], shapes[e, 4]
        law = laws[kind[e]]
        c11 = p * p * uu + 2.0 * p * r * uv + r * r * vv
        c22 = q * q * uu + 2.0 * q * s * uv + s * s * vv
        c12 = p * q * uu + (p * s + q * r) * uv + r * s * vv
        largest = 0.5 * (c11 + c22) + math.hypot(0.5 * (c11 - c22), c12)
        d1, d2 = c11 - law[3], c22 - law[4]
        sm, sd, sg, _ = relaxed(
            0.25 * (d1 + d2), 0.25 * (d1 - d2), 0.5 * c12, law[0], law[1], law[2]
        )
        bound = max(law[0], law[1], law[2]) * largest + sm + math.hypot(sd, sg)
        bound += pull * shapes[e, 5]
        bb, bc, cc = p * p + q * q, p * r + q * s, r * r + s * s
        ab, ac = -(bb + bc), -(bc + cc)
        share = 0.25 * area * bound
        mass[a] += share * (-(ab + ac) + abs(ab) + abs(ac))
        mass[b] += share * (bb + abs(ab) + abs(bc))
        mass[c] += share * (cc + abs(ac) + abs(bc))


@compiled
def add_bar_masses(body: Body, mass: FloatArray) -> None:
    """Add each seam's share of the same bound.

    Args:
        body: Cloth.
        mass: Added to in place, shape (n,) [N/m].
    """
    bars, rest, stiffness = body.bars, body.bar_rest, body.bar_stiffness
    for e in range(bars.shape[0]):
        share = 0.5 * stiffness[e] / rest[e]
        mass[bars[e, 0]] += share
        mass[bars[e, 1]] += share
