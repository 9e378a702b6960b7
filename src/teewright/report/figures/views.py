"""The formed collar as a draughtsman shows it: from the side and along the flow."""

import math

from teewright.junction.values import Junction
from teewright.report import letters, words
from teewright.report.figures.panels import Box
from teewright.report.pen import CHAIN, HAIR, LAP, MID, THIN, Lettering, Pen, Point
from teewright.units import clock_angle, clock_text

_STEPS = 60
_EDGE, _GAP, _HEAD, _FOOT = 8.0, 7.0, 4.5, 11.5
_OVER = 1.2
_SIDE = "from the side, flow to the right"


def _reach(junction: Junction, sleeve: float, branch: float) -> tuple[float, float, float]:
    """Extent upstream and downstream of the middle, and up from the main's axis [m]."""
    s, c = math.sin(junction.angle), math.cos(junction.angle)
    r, top = junction.branch_diameter / 2, _top(junction, branch)
    up = max(sleeve / 2, top * c + r * s)
    return up, sleeve / 2, top * s + r * c


def _top(junction: Junction, branch: float) -> float:
    """Far end of the branch part along the branch axis, from where the axes meet [m]."""
    s, c = math.sin(junction.angle), math.cos(junction.angle)
    big, r = junction.main_diameter / 2, junction.branch_diameter / 2
    return (big + r * c) / s + branch


def size_of(
    junction: Junction, scale: int, *, sleeve: float, branch: float, clock: float | None
) -> Point:
    """Width and height of the figure of both views [mm].

    Args:
        junction: Shape of the junction.
        scale: The number after `1 : `.
        sleeve: Length of the collar along the main [m].
        branch: Length up the branch beyond the highest point of the seam [m].
        clock: Clock position in flow view [h], or None, then drawn at 12.
    """
    per = 1e3 / scale
    left, right, up = _reach(junction, sleeve, branch)
    ring = _ring(junction, up, clock)
    side = up + junction.main_diameter / 2
    words_wide = max(letters.width(_SIDE, 8.0), (left + right) * per)
    wide = _EDGE + words_wide + _GAP + max(ring.width * per, letters.width(_where(clock), 8.0))
    return wide + _OVER, _HEAD + max(side, ring.height) * per + _FOOT


def views(
    junction: Junction, *, scale: int, sleeve: float, branch: float, clock: float | None
) -> str:
    """Side view with the branch upright, and the view along the flow at its clock position.

    Args:
        junction: Shape of the junction.
        scale: The number after `1 : `.
        sleeve: Length of the collar along the main [m].
        branch: Length up the branch beyond the highest point of the seam [m].
        clock: Clock position in flow view [h], or None, then drawn at 12.

    Returns:
        SVG, just as large as the views and their dimensions.
    """
    size = size_of(junction, scale, sleeve=sleeve, branch=branch, clock=clock)
    pen, per = Pen(*size), 1e3 / scale
    left, right, up = _reach(junction, sleeve, branch)
    ring = _ring(junction, up, clock)
    room = size[1] - _HEAD - _FOOT
    side = up + junction.main_diameter / 2
    level = _HEAD + (room - side * per) / 2 + up * per
    _side(pen, junction, (_EDGE + left * per, level), per, (sleeve, branch))
    start = _EDGE + max(letters.width(_SIDE, 8.0), (left + right) * per) + _GAP
    middle = _HEAD + (room - ring.height * per) / 2 + ring.high * per
    _along_flow(pen, junction, (start - ring.left * per, middle), per, (clock, up))
    pen.text((_EDGE, size[1] - 1.2), _SIDE)
    pen.text((start, size[1] - 1.2), _where(clock))
    return pen.svg()


def _where(clock: float | None) -> str:
    return "clock not known" if clock is None else f"along the flow, clock {clock_text(clock)}"


def _ring(junction: Junction, up: float, clock: float | None) -> Box:
    """Bounds of the view along the flow."""
    big, r = junction.main_diameter / 2, junction.branch_diameter / 2
    turn = clock_angle(12.0 if clock is None else clock)
    ux, uy = math.sin(turn), math.cos(turn)
    ends = [(up * ux + r * sign * uy, up * uy - r * sign * ux) for sign in (-1.0, 1.0)]
    xs, ys = [x for x, _ in ends], [y for _, y in ends]
    return Box(min(-big, *xs), min(-big, *ys), max(big, *xs), max(big, *ys))


def _side(pen: Pen, junction: Junction, at: Point, per: float, lengths: Point) -> None:
    """Side view; the branch leans upstream, to the left."""
    sleeve, branch = lengths
    s, c = math.sin(junction.angle), math.cos(junction.angle)
    big, r, top = junction.main_diameter / 2, junction.branch_diameter / 2, _top(junction, branch)

    def q(x: float, z: float) -> Point:
        return at[0] + x * per, at[1] - z * per

    def on_branch(along: float, off: float) -> Point:
        return q(-along * c + off * s, along * s + off * c)

    seam = [_seam(junction, math.pi * k / _STEPS) for k in range(_STEPS + 1)]
    crotch, heel = q(*seam[0]), q(*seam[-1])
    half = sleeve / 2
    pen.path((crotch, q(-half, big), q(-half, -big), q(half, -big), q(half, big), heel), MID)
    pen.path((crotch, on_branch(top, -r), on_branch(top, r), heel), MID)
    pen.path([q(*p) for p in seam], THIN)
    over = _OVER / per
    pen.line(q(-half - over, 0.0), q(half + over, 0.0), CHAIN)
    pen.line(q(0.0, 0.0), on_branch(top + over, 0.0), CHAIN)
    x1, x2, foot = q(-half, 0.0)[0], q(half, 0.0)[0], q(0.0, -big)[1]
    pen.across(x1, x2, foot + 3.2, words.millimetres(sleeve), below=True)
    edge = x1 - 3.0
    pen.upright(edge, q(0.0, big)[1], foot, words.millimetres(junction.main_diameter))
    _angle(pen, at, junction.angle, min(0.7 * big * per, 9.0))
    a, b = on_branch(top, -r), on_branch(top, r)
    middle = ((a[0] + b[0]) / 2 - 1.2 * c, (a[1] + b[1]) / 2 - 1.2 * s)
    turn = -(90.0 - math.degrees(junction.angle))
    style = Lettering(anchor="middle", turn=turn, plate=True)
    pen.text(middle, f"Ø {words.millimetres(junction.branch_diameter)}", style)


def _seam(junction: Junction, p: float) -> tuple[float, float]:
    """Meeting curve in side view: along (positive downstream) and up [m]."""
    s, c = math.sin(junction.angle), math.cos(junction.angle)
    big, r = junction.main_diameter / 2, junction.branch_diameter / 2
    z = math.sqrt(max(big**2 - (r * math.sin(p)) ** 2, 0.0))
    height = (z + r * math.cos(p) * c) / s
    return -(height * c + r * math.cos(p) * s), z


def _angle(pen: Pen, at: Point, angle: float, radius: float) -> None:
    arc = [math.pi - angle * k / 24 for k in range(25)]
    pen.path([(at[0] + radius * math.cos(t), at[1] - radius * math.sin(t)) for t in arc], HAIR)
    t = math.pi - angle / 2
    foot = (at[0] + (radius + 3.6) * math.cos(t), at[1] - (radius + 3.6) * math.sin(t) + 1.0)
    pen.text(foot, f"{math.degrees(angle):.0f}°", Lettering(anchor="middle", plate=True))


def _along_flow(
    pen: Pen, junction: Junction, at: Point, per: float, branch: tuple[float | None, float]
) -> None:
    """View along the flow: the main as a ring, the branch at its clock position."""
    clock, up = branch
    turn = clock_angle(12.0 if clock is None else clock)
    ux, uy = math.sin(turn), -math.cos(turn)
    big, r = junction.main_diameter / 2, junction.branch_diameter / 2
    foot = math.sqrt(max(big**2 - r**2, 0.0))

    def q(along: float, off: float) -> Point:
        return at[0] + (along * ux - off * uy) * per, at[1] + (along * uy + off * ux) * per

    pen.circle(at, big * per, MID)
    sides = ((q(foot, -r), q(up, -r)), (q(up, -r), q(up, r)), (q(up, r), q(foot, r)))
    for a, b in sides:
        pen.line(a, b, LAP if clock is None else MID)
    over = _OVER / per
    pen.line(q(-big - over, 0.0), q(up + over, 0.0), CHAIN)
    for hour in range(12):
        t = math.pi / 6 * hour
        x, y = math.sin(t), -math.cos(t)
        inner = big * per - (1.6 if hour % 3 == 0 else 0.8)
        pen.line(
            (at[0] + x * inner, at[1] + y * inner),
            (at[0] + x * big * per, at[1] + y * big * per),
            HAIR,
        )
