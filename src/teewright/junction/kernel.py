"""Compiled distance to a surface; `field` prepares the numbers that it reads.

The lumen of a junction is all that is farther than the fillet from C, the part of the host
outside both pipes once these are enlarged by the fillet. The nearest point of C is the foot on
the enlarged main where that lies outside the enlarged branch, or the foot on the enlarged
branch where that lies outside the enlarged main, or else a point of the curve on which both
cut each other. Inside C both feet are on its rim and the nearer one counts.
"""

import math
from typing import Any

from numba import njit

_compiled = njit(cache=True, error_model="numpy")
_inlined = njit(cache=True, error_model="numpy", forceinline=True)

PLANE, DRUM, PIPE, ROUND, OVAL = 0.0, 1.0, 2.0, 3.0, 4.0
"""Kinds of surface, kept in the first number."""

# places in the array of numbers
KIND, LEVEL, MAIN, BRANCH, OFFSET, COSINE, SINE, SAFE = range(8)
FILLET, SHORT, LONG, AXIS_COSINE, AXIS_SINE, TILT = range(8, 14)
COUNT = 14

_TINY = 1e-300
_STEPS = 12
_HALVINGS = 60


@_compiled
def _ellipse_axes(numbers: Any, y: float, z: float) -> Any:
    """A point along the short and the long axis of the ellipse."""
    ca, sa = numbers[AXIS_COSINE], numbers[AXIS_SINE]
    return z * ca + y * sa, y * ca - z * sa


@_compiled
def _ellipse_foot(numbers: Any, y: float, z: float) -> Any:
    """Distance inside an ellipse, and the sine and cosine of its outward normal from z."""
    b, c = numbers[SHORT], numbers[LONG]
    u, v = _ellipse_axes(numbers, y, z)
    deep = c * c - b * b
    if abs(u) * b < deep and abs(v) * c < deep:
        # the ends of the long axis are feet too, but the farthest: start from the foot of the
        # like point on that axis
        q = v * c / deep
        return _foot_from(numbers, u, v, math.copysign(math.sqrt(1.0 - q * q), u), q)
    return _foot_from(numbers, u, v, u * c, v * b)


@_compiled
def _ellipse_across(numbers: Any, y: float, z: float) -> Any:
    """As `_ellipse_foot`, to the other side of the long axis; infinite where no foot is there."""
    b, c = numbers[SHORT], numbers[LONG]
    u, v = _ellipse_axes(numbers, y, z)
    deep = c * c - b * b
    if abs(u) * b < deep and abs(v) * c < deep:
        q = v * c / deep
        return _foot_from(numbers, u, v, -math.copysign(math.sqrt(1.0 - q * q), u), q)
    return math.inf, 0.0, 0.0


@_compiled
def _foot_from(numbers: Any, u: float, v: float, p: float, q: float) -> Any:
    """The foot of a point from a start on the ellipse, told by its parameter's direction."""
    b, c = numbers[SHORT], numbers[LONG]
    ca, sa = numbers[AXIS_COSINE], numbers[AXIS_SINE]
    size = math.sqrt(p * p + q * q) + _TINY
    p, q = p / size, q / size
    for _ in range(80):
        # Newton on (point - foot) . tangent = 0 in the ellipse's own parameter
        eu, ev = b * p, c * q
        tu, tv = -b * q, c * p
        du, dv = u - eu, v - ev
        slope = du * eu + dv * ev + tu * tu + tv * tv
        if slope <= 1e-3 * b * b:  # flat, or bent the wrong way: downhill all the same
            slope = 0.25 * b * b + tu * tu + tv * tv
        step = (du * tu + dv * tv) / slope
        if abs(step) > 0.5:
            step = math.copysign(0.5, step)
        p, q = p - q * step, q + p * step
        size = math.sqrt(p * p + q * q) + _TINY
        p, q = p / size, q / size
        if abs(step) < 1e-13:
            break
    nu, nv = c * p, b * q
    size = math.sqrt(nu * nu + nv * nv) + _TINY
    nu, nv = nu / size, nv / size
    inside = (b * p - u) * nu + (c * q - v) * nv
    return inside, nu * sa + nv * ca, nu * ca - nv * sa


@_inlined
def _rim_height(numbers: Any, y: float) -> Any:
    """Upper side of the enlarged main at y: height, its slope and second slope by y."""
    if numbers[KIND] == ROUND:
        r = numbers[MAIN]
        z = math.sqrt(max(r * r - y * y, 1e-28))
        return z, -y / z, -r * r / (z * z * z)
    b, c, rho = numbers[SHORT], numbers[LONG], numbers[FILLET]
    ca, sa = numbers[AXIS_COSINE], numbers[AXIS_SINE]
    width = math.sqrt(b * b * sa * sa + c * c * ca * ca) + rho
    sine = min(1.0, max(-1.0, y / width))
    z, cosine, bend = 0.0, 0.0, 0.0
    for _ in range(_STEPS):
        cosine = math.sqrt(max(1.0 - sine * sine, 1e-28))
        on_short, on_long = cosine * ca + sine * sa, sine * ca - cosine * sa
        h = math.sqrt(b * b * on_short * on_short + c * c * on_long * on_long)
        slope = (c * c - b * b) * on_short * on_long / h
        bend = b * b * c * c / (h * h * h) + rho
        z = (h + rho) * cosine - slope * sine
        step = (y - (h + rho) * sine - slope * cosine) / bend
        sine = min(1.0, max(-1.0, sine + step))
        if abs(step) < 1e-14:
            break
    return z, -sine / cosine, -1.0 / (cosine * cosine * cosine * bend)


@_inlined
def _rim(numbers: Any, phi: float) -> Any:
    """The curve on which both enlarged pipes cut: point, first and second slope by phi."""
    a, ct, st = numbers[BRANCH], numbers[COSINE], numbers[SINE]
    sp, cp = math.sin(phi), math.cos(phi)
    y, dy, ddy = numbers[OFFSET] + a * sp, a * cp, -a * sp
    z, by_y, by_yy = _rim_height(numbers, y)
    dz = by_y * dy
    ddz = by_yy * dy * dy + by_y * ddy
    # s sin = z + a cos(phi) cos; x = s cos + a cos(phi) sin
    x = (z * ct + a * cp) / st
    dx = (dz * ct - a * sp) / st
    ddx = (ddz * ct - a * cp) / st
    return x, y, z, dx, dy, dz, ddx, ddy, ddz, sp, cp


@_inlined
def _slope(numbers: Any, phi: float, x: float, y: float, z: float) -> Any:
    """First and second slope of half the squared distance to the rim."""
    cx, cy, cz, dx, dy, dz, ddx, ddy, ddz, _, _ = _rim(numbers, phi)
    px, py, pz = cx - x, cy - y, cz - z
    first = px * dx + py * dy + pz * dz
    second = dx * dx + dy * dy + dz * dz + px * ddx + py * ddy + pz * ddz
    return first, second


@_compiled
def _near_hint(numbers: Any, phi: float, x: float, y: float, z: float) -> Any:
    """Newton from a hint: angle, and whether it came to rest at a least distance."""
    for _ in range(_STEPS):
        first, second = _slope(numbers, phi, x, y, z)
        if not second > 0.0:
            return phi, False
        step = first / second
        if not abs(step) < 0.5:
            return phi, False
        phi -= step
        if abs(step) < 1e-9:
            return phi, True
    return phi, False


@_compiled
def _nearest_row(table: Any, x: float, y: float, z: float) -> Any:
    """Row of the table nearest to a point."""
    best, least = 0, math.inf
    for k in range(table.shape[1]):
        px, py, pz = table[1, k] - x, table[2, k] - y, table[3, k] - z
        size = px * px + py * py + pz * pz
        if size < least:
            best, least = k, size
    return best


@_compiled
def _between(numbers: Any, low: float, high: float, x: float, y: float, z: float) -> Any:
    """Angle of a least distance between two angles: Newton, kept in by halving."""
    phi = 0.5 * (low + high)
    for _ in range(_HALVINGS):
        first, second = _slope(numbers, phi, x, y, z)
        if first > 0.0:
            high = phi
        else:
            low = phi
        moved = phi - first / second if second > 0.0 else math.inf
        if not low < moved < high:
            moved = 0.5 * (low + high)
        if abs(moved - phi) < 1e-13:
            return moved
        phi = moved
    return phi


@_compiled
def _search(numbers: Any, table: Any, x: float, y: float, z: float) -> Any:
    """Angle of the nearest point of the rim: the table, then each part next to its best row.

    Pipes of one size cut in two ellipses that cross at the flanks, each with a least distance
    of its own, so that more than the two parts beside the best row have to be looked at. The
    flanks themselves are rows of the table.
    """
    count = table.shape[1]
    step = 2.0 * math.pi / count
    best = _nearest_row(table, x, y, z)
    nearest, least = table[0, best], math.inf
    for k in range(best - 2, best + 3):
        start = table[0, k % count]
        px, py, pz = table[1, k % count] - x, table[2, k % count] - y, table[3, k % count] - z
        size = px * px + py * py + pz * pz
        if size < least:
            nearest, least = start, size
        low, high = start + 1e-9, start + step - 1e-9
        if k == best + 2 or _slope(numbers, low, x, y, z)[0] > 0.0:
            continue
        if _slope(numbers, high, x, y, z)[0] < 0.0:
            continue
        phi = _between(numbers, low, high, x, y, z)
        cx, cy, cz, _, _, _, _, _, _, _, _ = _rim(numbers, phi)
        size = (cx - x) ** 2 + (cy - y) ** 2 + (cz - z) ** 2
        if size < least:
            nearest, least = phi, size
    return nearest


@_compiled
def _faces_lumen(numbers: Any, phi: float, ux: float, uy: float, uz: float) -> Any:
    """Whether a direction at the rim lies between the two pipes' inward normals."""
    ct, st = numbers[COSINE], numbers[SINE]
    sp, cp = math.sin(phi), math.cos(phi)
    slope = _rim_height(numbers, numbers[OFFSET] + numbers[BRANCH] * sp)[1]
    size = math.sqrt(1.0 + slope * slope)
    my, mz = -slope / size, 1.0 / size
    bx, by, bz = cp * st, sp, -cp * ct
    both = my * by + mz * bz
    on_main = -(uy * my + uz * mz)
    on_branch = -(ux * bx + uy * by + uz * bz)
    slack = -1e-3 * (1.0 - both * both) - 1e-15
    return on_main - both * on_branch > slack and on_branch - both * on_main > slack


@_compiled
def _to_rim(numbers: Any, table: Any, x: float, y: float, z: float, hint: float) -> Any:
    """Distance to the rim, direction from it, and the angle of the nearest point."""
    phi, found = _near_hint(numbers, hint, x, y, z)
    if found:
        cx, cy, cz, _, _, _, _, _, _, _, _ = _rim(numbers, phi)
        px, py, pz = x - cx, y - cy, z - cz
        size = math.sqrt(px * px + py * py + pz * pz) + _TINY
        px, py, pz = px / size, py / size, pz / size
        if size < numbers[SAFE] and _faces_lumen(numbers, phi, px, py, pz):
            return size, px, py, pz, phi
    phi = _search(numbers, table, x, y, z)
    cx, cy, cz, _, _, _, _, _, _, _, _ = _rim(numbers, phi)
    px, py, pz = x - cx, y - cy, z - cz
    size = math.sqrt(px * px + py * py + pz * pz) + _TINY
    return size, px / size, py / size, pz / size, phi


@_compiled
def _above_main(numbers: Any, y: float, z: float) -> Any:
    """Whether a point lies above the enlarged main."""
    if z <= numbers[TILT] * y:
        return False
    if numbers[KIND] == ROUND:
        return y * y + z * z >= numbers[MAIN] * numbers[MAIN]
    return _ellipse_foot(numbers, y, z)[0] + numbers[FILLET] <= 0.0


@_compiled
def _near_branch(
    numbers: Any, table: Any, x: float, y: float, z: float, main: Any, feet: Any, hint: float
) -> Any:
    """Distance where the foot on the main, with normal `feet`, is not the whole answer."""
    my, mz, free_main = feet
    ct, st = numbers[COSINE], numbers[SINE]
    across, side = x * st - z * ct, y - numbers[OFFSET]
    away = math.sqrt(across * across + side * side) + _TINY
    branch = numbers[BRANCH] - away
    across, side = across / away, side / away
    if branch <= 0.0 and main <= 0.0:
        # inside C: the nearer pipe
        on_main, on_branch = main >= branch, main < branch
    else:
        # the foot on the branch: out along (across st, side, -across ct)
        out = branch > 0.0
        on_branch = out and _above_main(numbers, y + branch * side, z - branch * across * ct)
        on_main = main > 0.0 and free_main and not (on_branch and branch < main)
    if on_main:
        return main - numbers[LEVEL], 0.0, -my, -mz, hint
    if on_branch:
        return branch - numbers[LEVEL], -across * st, -side, across * ct, hint
    size, ux, uy, uz, phi = _to_rim(numbers, table, x, y, z, hint)
    if numbers[KIND] != ROUND and main > 0.0:
        # deep in an oval main the wall across may be nearer than the edge
        far, fy, fz = _ellipse_across(numbers, y, z)
        if fz <= 0.0 and far + numbers[FILLET] < size:
            return far + numbers[FILLET] - numbers[LEVEL], 0.0, -fy, -fz, phi
    return size - numbers[LEVEL], ux, uy, uz, phi


@_inlined
def _junction(numbers: Any, table: Any, x: float, y: float, z: float, hint: float) -> Any:
    """Distance to a junction: most points of the main are done after one root."""
    a, ct, st = numbers[BRANCH], numbers[COSINE], numbers[SINE]
    if numbers[KIND] == ROUND:
        away = math.sqrt(y * y + z * z) + _TINY
        inverse = 1.0 / away
        main, my, mz = numbers[MAIN] - away, y * inverse, z * inverse
    else:
        main, my, mz = _ellipse_foot(numbers, y, z)
        main += numbers[FILLET]
    if mz > 0.0:
        across, side = x * st - z * ct, y - numbers[OFFSET]
        foot, foot_side = across - main * mz * ct, side + main * my
        free = foot * foot + foot_side * foot_side >= a * a
        if main <= 0.0 or not free or across * across + side * side < a * a:
            return _near_branch(numbers, table, x, y, z, main, (my, mz, free), hint)
    return main - numbers[LEVEL], 0.0, -my, -mz, hint


@_inlined
def distance(numbers: Any, table: Any, x: float, y: float, z: float, hint: float) -> Any:
    """Signed distance to a surface and the normal into its lumen.

    Args:
        numbers: Of a `Field`.
        table: Of a `Field`.
        x: Place [m].
        y: Place [m].
        z: Place [m].
        hint: Angle of the last foot on the edge, nan where nothing is known [rad].

    Returns:
        gap [m], the normal's three parts [-], and the hint for the next call [rad].
    """
    kind = numbers[KIND]
    if kind >= ROUND:
        return _junction(numbers, table, x, y, z, hint)
    if kind == PLANE:
        return z - numbers[LEVEL], 0.0, 0.0, 1.0, hint
    if kind == DRUM:
        away = math.sqrt(x * x + z * z) + _TINY
        return away - numbers[LEVEL], x / away, 0.0, z / away, hint
    away = math.sqrt(y * y + z * z) + _TINY
    return numbers[LEVEL] - away, 0.0, -y / away, -z / away, hint


@_compiled
def many_distances(
    numbers: Any, table: Any, points: Any, gap: Any, normal: Any, hints: Any
) -> None:
    """Write gap and normal of each point, and its new hint."""
    for i in range(points.shape[0]):
        x, y, z = points[i, 0], points[i, 1], points[i, 2]
        gap[i], nx, ny, nz, hints[i] = distance(numbers, table, x, y, z, hints[i])
        normal[i, 0], normal[i, 1], normal[i, 2] = nx, ny, nz
