"""The true shape of an opening on the unrolled main."""

import math

from teewright.report.figures.run import Opening, RunDrawing, girth, scales
from teewright.report.index import OPEN, Decision
from teewright.report.pen import HAIR, MID, PAPER, THIN, Lettering, Pen, Point

WINDOW = 20.0
"""Width of the window round a detail [mm]."""
_STEPS = 72


def outline(main: float, branch: float, angle: float) -> list[Point]:
    """Curve in which a branch meets a main, unrolled.

    The branch leans upstream; along is positive downstream, round is clockwise in flow view.
    `s = (sqrt(R^2 - r^2 sin^2 p) + r cos p cos a) / sin a` along the branch, then
    `x = s cos a + r cos p sin a` upstream along the main and `R asin(r sin p / R)` round it.

    Args:
        main: Inner diameter of the main [m].
        branch: Inner diameter of the branch [m], cut down to the main's.
        angle: Between the axes [rad].

    Returns:
        (along, round) points about the middle of the opening [m].
    """
    big = main / 2
    small = min(branch / 2, big)
    s, c = math.sin(angle), math.cos(angle)
    points = []
    for k in range(_STEPS):
        p = 2 * math.pi * k / _STEPS
        y = small * math.sin(p)
        height = (math.sqrt(max(big**2 - y**2, 0.0)) + small * math.cos(p) * c) / s
        upstream = height * c + small * math.cos(p) * s
        points.append((-upstream, big * math.asin(max(-1.0, min(1.0, y / big)))))
    middle = (max(x for x, _ in points) + min(x for x, _ in points)) / 2
    return [(x - middle, y) for x, y in points]


def clock_height(drawing: RunDrawing, clock: float) -> float:
    """Distance of a clock position from the upper edge of the unrolled main [mm]."""
    return ((clock - 6.0) % 12.0) / 12.0 * girth(drawing)


def draw(pen: Pen, drawing: RunDrawing, opening: Opening, at: Point) -> None:
    """Draw one opening in its window; `at` is the window's top left corner."""
    tall = girth(drawing)
    pen.rect(at, (WINDOW, tall), THIN)
    for share in (0.25, 0.5, 0.75):
        y = at[1] + tall * share
        pen.line((at[0], y), (at[0] + 1.2, y), HAIR)
        pen.line((at[0] + WINDOW - 1.2, y), (at[0] + WINDOW, y), HAIR)
    middle = (at[0] + WINDOW / 2, at[1] + tall / 2)
    if opening.clock is None:
        _words(pen, middle, ("clock", "not known"))
        return
    centre = (middle[0], at[1] + clock_height(drawing, opening.clock))
    if opening.diameter is None or drawing.diameter is None:
        pen.circle(centre, 2.2, THIN.dashed("1 0.8"), PAPER)
        style = Lettering(9.0, 600, "middle")
        pen.text((centre[0], centre[1] + 1.1), "?", style)
        return
    _shape(pen, drawing, opening, centre, (at[1], at[1] + tall))


def _words(pen: Pen, at: Point, lines: tuple[str, ...]) -> None:
    for k, line in enumerate(lines):
        pen.text((at[0], at[1] + 3.4 * k - 0.6), line, Lettering(anchor="middle"))


def _shape(
    pen: Pen, drawing: RunDrawing, opening: Opening, centre: Point, ends: tuple[float, float]
) -> None:
    scale = 1e3 / scales(drawing).around
    angle = opening.angle if opening.angle else math.pi / 2
    curve = outline(drawing.diameter or 0.3, opening.diameter or 0.1, angle)
    reach = WINDOW / 2 - 0.4
    points = [
        (
            centre[0] + max(-reach, min(reach, x * scale)),
            max(ends[0], min(ends[1], centre[1] + y * scale)),
        )
        for x, y in curve
    ]
    open_question = opening.decision in OPEN
    pen.shape(points, THIN.dashed("1 0.8") if open_question else MID, PAPER)
    half = min(max(y for _, y in points) - centre[1], 2.4) * 0.7
    if opening.decision is Decision.LOOK:
        pen.text((centre[0], centre[1] + 1.1), "?", Lettering(9.0, 600, "middle"))
    elif opening.decision is Decision.CLOSE:
        for sign in (1.0, -1.0):
            a = (centre[0] - half, centre[1] - sign * half)
            pen.line(a, (centre[0] + half, centre[1] + sign * half), THIN)
    elif opening.decision is Decision.READY:
        for k in range(5):
            x = centre[0] + (k - 2) * half * 0.5
            pen.line((x, centre[1] - half), (x - half * 0.2, centre[1] + half), THIN)
