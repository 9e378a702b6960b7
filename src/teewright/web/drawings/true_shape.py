"""The true shape of an opening in the unrolled main, and where a clock position stands there."""

from collections.abc import Iterable

from teewright.report.figures.opening import outline
from teewright.web.drawings.marks import OUTLINES
from teewright.web.drawings.run_view import Opening, RunView
from teewright.web.drawings.sketch import Point, Sketch
from teewright.web.texts import text


def clock_at(clock: float | None, tall: float) -> float:
    """Height of a clock position in the unrolled main, invert to invert with 12 in the middle."""
    return tall / 2.0 if clock is None else ((clock - 6.0) % 12.0) / 12.0 * tall


def shape(
    sketch: Sketch, view: RunView, opening: Opening, at: Point, size: Point, scale: float
) -> None:
    """The true shape of an opening in its window, or that it is not known.

    Args:
        sketch: What it is drawn on.
        view: The run.
        opening: The connection.
        at: Middle of the window's upper edge [px].
        size: Of the window [px].
        scale: Of the shape [px/m].
    """
    if opening.clock is None:
        for k, words in enumerate(text("survey.run.no_clock").split(" ", 1)):
            sketch.text((at[0], at[1] + size[1] / 2.0 - 4.0 + 16.0 * k), words, "n s m")
        return
    centre = at[0], at[1] + clock_at(opening.clock, size[1])
    if opening.diameter is None or view.bore is None:
        sketch.circle(centre, 14.0, "mid dot pap")
        sketch.text((centre[0], centre[1] + 5.0), "?", "b m")
        return
    angle = opening.angle or 1.5707963267948966
    reach = size[0] / 2.0 - 2.0
    points = [
        (
            centre[0] + max(-reach, min(reach, x * scale)),
            max(at[1], min(at[1] + size[1], centre[1] + y * scale)),
        )
        for x, y in outline(view.bore, opening.diameter, angle)
    ]
    sketch.path(points, OUTLINES[opening.need], close=True)
    _inside(sketch, opening, centre, _half(points, centre))


def _half(points: Iterable[Point], centre: Point) -> float:
    return 0.6 * min(max(abs(y - centre[1]) for _, y in points), 24.0)


def _inside(sketch: Sketch, opening: Opening, centre: Point, half: float) -> None:
    x, y = centre
    need = opening.need.name
    if need == "LOOK_AGAIN":
        sketch.text((x, y + 5.0), "?", "b m")
    elif need == "CLOSE_OFF":
        sketch.line((x - half, y - half), (x + half, y + half), "mid")
        sketch.line((x - half, y + half), (x + half, y - half), "mid")
    elif need == "MAKE_READY":
        for k in range(-2, 3):
            at = x + k * half * 0.45
            sketch.line((at + half * 0.1, y - half), (at - half * 0.1, y + half), "q")
