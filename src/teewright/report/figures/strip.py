"""The main unrolled from invert to invert, with leaders to the details under it."""

from teewright.report import letters
from teewright.report.figures import opening, section
from teewright.report.figures.run import (
    COLUMN,
    HEAD,
    START,
    WIDTH,
    Opening,
    RunDrawing,
    columns,
    girth,
    note,
    place,
    scales,
)
from teewright.report.pen import HAIR, MID, PAPER, THIN, Lettering, Pen, Point

_NOTES = 9.0
_LEADERS = 9.0


def figure(drawing: RunDrawing) -> str:
    """Section, unrolled main and details of a run, hung on one leader for each connection.

    Args:
        drawing: The run; its shown openings get a column.

    Returns:
        SVG, 267 mm wide; the details stand over the columns of `run.columns`.
    """
    tall = girth(drawing)
    top = _NOTES + (section.height(drawing) if drawing.levels else 7.0)
    shown = any(o.shown for o in drawing.openings)
    pen = Pen(WIDTH, top + tall + (_LEADERS + tall + 0.6 if shown else 2.0))
    _notes(pen, drawing)
    section.draw(pen, drawing, _NOTES)
    _net(pen, drawing, top)
    _openings(pen, drawing, top)
    _details(pen, drawing, top)
    return pen.svg()


def _notes(pen: Pen, drawing: RunDrawing) -> None:
    facts = letters.shorten(drawing.facts, 225.0, 9.0, 600)
    pen.text((0.0, 3.0), facts, Lettering(9.0, 600))
    pen.text((0.0, 7.2), letters.shorten(note(drawing), WIDTH, 8.5), Lettering(8.5))
    pen.text((WIDTH - 24.0, 3.0), "flow", Lettering(9.0, anchor="end"))
    pen.arrow((WIDTH - 22.0, 2.0), (WIDTH - 0.5, 2.0), THIN, head=2.6)


def _net(pen: Pen, drawing: RunDrawing, top: float) -> None:
    tall = girth(drawing)
    end = place(drawing, drawing.end)
    pen.rect((START, top), (end - START, tall), MID)
    for share, name in ((0.0, "6"), (0.25, "9"), (0.5, "12"), (0.75, "3"), (1.0, "6")):
        y = top + tall * share
        pen.text((START - 4.0, y + 1.0), name, Lettering(anchor="end"))
        if 0.0 < share < 1.0:
            pen.line((START, y), (end, y), HAIR if share == 0.5 else HAIR.dashed("1 1"))
    pen.text((0.0, top + tall / 2 - 1.0), "clock")
    pen.text((0.0, top + tall / 2 + 2.6), "position")
    if drawing.levels is None:
        _end_names(pen, drawing, (START, end), top - 1.6)


def _end_names(pen: Pen, drawing: RunDrawing, ends: Point, y: float) -> None:
    """Names of the nodes, or the chainages at which the drawing is broken off."""
    first = drawing.upstream if drawing.start <= 0.0 else f"{drawing.start:.2f} m"
    last = drawing.downstream if drawing.end >= drawing.length else f"{drawing.end:.2f} m"
    pen.text((ends[0], y), letters.shorten(first, 60.0, 10.0, 600), Lettering(10.0, 600))
    name = letters.shorten(last, 60.0, 10.0, 600)
    right = max(
        ends[1], ends[0] + letters.width(first, 10.0, 600) + letters.width(name, 10.0, 600) + 4.0
    )
    pen.text((right, y), name, Lettering(10.0, 600, "end"))


def _centre(drawing: RunDrawing, item: Opening, top: float) -> Point:
    clock = 12.0 if item.clock is None else item.clock
    return place(drawing, item.chainage), top + opening.clock_height(drawing, clock)


def _radii(drawing: RunDrawing, item: Opening) -> Point:
    size = (item.diameter or 0.1) * 1e3 / 2
    s = scales(drawing)
    around = s.around if drawing.diameter else 50
    return max(size / s.along, 0.35), max(size / around, 0.8)


def _openings(pen: Pen, drawing: RunDrawing, top: float) -> None:
    foot = top + girth(drawing)
    centres = [_centre(drawing, o, top) for o in drawing.openings]
    for item, (x, y) in zip(drawing.openings, centres, strict=True):
        if item.shown:
            pen.line((x, y), (x, foot), HAIR)
    for item, centre in zip(drawing.openings, centres, strict=True):
        dashed = item.clock is None or item.diameter is None
        stroke = (MID if item.shown else THIN).dashed("0.8 0.5" if dashed else "")
        pen.ellipse(centre, _radii(drawing, item), stroke, PAPER)
    taken = [(x - 1.0, y - 1.6, x + 1.0, y + 1.6) for x, y in centres]
    for item, centre in zip(drawing.openings, centres, strict=True):
        if item.shown:
            _label(pen, item, centre, taken)


def _label(
    pen: Pen, item: Opening, at: Point, taken: list[tuple[float, float, float, float]]
) -> None:
    """Write the name right or left of its opening; where neither is free its leader names it."""
    wide = letters.width(item.label, 8.0, 600)
    for x in (at[0] + 1.7, at[0] - 1.7 - wide):
        place_ = (x, at[1] - 1.4, x + wide, at[1] + 1.4)
        if x > START and not any(_meet(place_, other) for other in taken):
            pen.text((x, at[1] + 1.0), item.label, Lettering(8.0, 600, plate=True))
            taken.append(place_)
            return


def _meet(a: tuple[float, float, float, float], b: tuple[float, float, float, float]) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _details(pen: Pen, drawing: RunDrawing, top: float) -> None:
    foot = top + girth(drawing)
    shown = [o for o in drawing.openings if o.shown]
    for item, column in zip(shown, columns(drawing), strict=True):
        x = place(drawing, item.chainage)
        across = HEAD + COLUMN * column + opening.WINDOW / 2
        elbow = (
            (x, foot),
            (x, foot + 1.4),
            (across, foot + _LEADERS - 2.0),
            (across, foot + _LEADERS),
        )
        pen.path(elbow, HAIR)
        opening.draw(pen, drawing, item, (across - opening.WINDOW / 2, foot + _LEADERS))
    if shown:
        first = HEAD + COLUMN * columns(drawing)[0]
        for share, name in ((0.25, "9"), (0.5, "12"), (0.75, "3")):
            y = foot + _LEADERS + girth(drawing) * share + 1.0
            pen.text((first - 2.0, y), name, Lettering(anchor="end"))
