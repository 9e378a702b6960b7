"""Drawings of the 1:1 sheets: the piece itself, and what stands round it on each page."""

import math
from collections.abc import Sequence

from teewright.collar.drawn import SCALE_LENGTH, Drawn
from teewright.report import letters
from teewright.report.pen import BOLD, CHAIN, HAIR, LAP, MID, THIN, Lettering, Pen, Point, Stroke
from teewright.report.tile_grid import EDGE, FOOT, OVERLAP, Grid, Sheet

PAD = 4.0
"""White round the drawing of a piece, so that no line is halved at its edge [mm]."""
_STYLES: dict[str, Stroke] = {"cut": MID, "seam": CHAIN, "lap": LAP}
_CAPITAL = 0.668
"""Height of a capital of the pack's letters, per type size."""
_ARM = 4.0
_KEY = (36.0, 23.0)
_JOIN = (
    "Cut off along the full thin lines (left, top); lay the tile on its neighbours so that the "
    "crosses meet; glue. Cut fabric on the full bold line, sew on the chain line."
)
_WHOLE = (
    "The whole piece at its true size. Cut fabric on the full bold line, sew on the chain line."
)
_MEASURE = "100 mm, also upright on the left: measure both before you cut"


def piece_figure(piece: Drawn) -> tuple[str, float, float]:
    """A piece at 1:1.

    Args:
        piece: What is drawn on it.

    Returns:
        SVG, its width and its height [mm]; the piece's bounds lie `PAD` inside.
    """
    left, low, right, high = piece.bounds()
    wide, tall = (right - left) * 1e3 + 2.0 * PAD, (high - low) * 1e3 + 2.0 * PAD
    pen = Pen(wide, tall)

    def at(p: Point) -> Point:
        return (p[0] - left) * 1e3 + PAD, (high - p[1]) * 1e3 + PAD

    for stroke in piece.strokes:
        draw = pen.shape if stroke.closed else pen.path
        draw([at(p) for p in stroke.points], _STYLES.get(stroke.layer, THIN))
    for words in piece.words:
        down = words.height / 2.0
        x, y = words.at
        foot = (x + down * math.sin(words.turn), y - down * math.cos(words.turn))
        size = words.height * 1e3 / _CAPITAL / letters.POINT
        turn = -math.degrees(words.turn)
        pen.text(at(foot), words.text, Lettering(size, anchor="middle", turn=turn))
    return pen.svg(), wide, tall


def whole_frame(sheet: Sheet, title: str) -> str:
    """What stands round a piece that has a page to itself.

    Args:
        sheet: The page.
        title: Name of the page.

    Returns:
        SVG of the size of the page.
    """
    pen = Pen(sheet.width, sheet.height)
    _rulers(pen, sheet)
    _foot(pen, sheet, title, _WHOLE, room=sheet.width - 2.0 * EDGE)
    return pen.svg()


def tile_frame(
    grid: Grid, tile: tuple[int, int], title: str, outlines: Sequence[Sequence[Point]]
) -> str:
    """What stands round and over one tile.

    Args:
        grid: All tiles of the piece.
        tile: This one.
        title: Name of the page.
        outlines: Cut lines in the piece's paper coordinates [mm], for the key.

    Returns:
        SVG of the size of the page.
    """
    pen = Pen(grid.sheet.width, grid.sheet.height)
    _rulers(pen, grid.sheet)
    _joints(pen, grid, tile)
    _crosses(pen, grid, tile)
    _foot(pen, grid.sheet, title, _JOIN, room=grid.sheet.width - 2.0 * EDGE - _KEY[0] - 6.0)
    _key(pen, grid, tile, outlines)
    return pen.svg()


def _corners(grid: Grid) -> tuple[Point, Point]:
    """Upper left and lower right corner of the cell on the page [mm]."""
    x, y, wide, tall = grid.sheet.window
    half = OVERLAP / 2.0
    return (x + half, y + half), (x + wide - half, y + tall - half)


def _joints(pen: Pen, grid: Grid, tile: tuple[int, int]) -> None:
    """Lines to cut on, left and top; lines up to which a neighbour lies, right and low."""
    (x0, y0), (x1, y1) = _corners(grid)
    row, column = tile
    dashed = HAIR.dashed("3 2")
    lines = (
        ((row - 1, column), (x0, y0), (x1, y0), THIN),
        ((row + 1, column), (x0, y1), (x1, y1), dashed),
        ((row, column - 1), (x0, y0), (x0, y1), THIN),
        ((row, column + 1), (x1, y0), (x1, y1), dashed),
    )
    for other, a, b, stroke in lines:
        if other in grid.tiles:
            pen.line(a, b, stroke)
            _neighbour(pen, grid.name(other), a, b, (x0, y0))


def _neighbour(pen: Pen, name: str, a: Point, b: Point, corner: Point) -> None:
    """Name of the tile beyond a line, in the strip beyond it, near the line's start."""
    before = a == corner
    if a[1] == b[1]:
        pen.text((a[0] + 7.0, a[1] - 1.2 if before else a[1] + 3.8), f"to {name}", Lettering(8.0))
    else:
        turned = Lettering(8.0, anchor="end", turn=-90.0)
        pen.text((a[0] - 1.2 if before else a[0] + 3.8, a[1] + 7.0), f"to {name}", turned)


def _crosses(pen: Pen, grid: Grid, tile: tuple[int, int]) -> None:
    """Crosses at the corners that meet the corner of another tile."""
    (x0, y0), (x1, y1) = _corners(grid)
    for down, y in ((0, y0), (1, y1)):
        for across, x in ((0, x0), (1, x1)):
            row, column = tile[0] + down, tile[1] + across
            round_it = {(row - i, column - j) for i in (0, 1) for j in (0, 1)} - {tile}
            if round_it & set(grid.tiles):
                pen.line((x - _ARM, y), (x + _ARM, y), THIN)
                pen.line((x, y - _ARM), (x, y + _ARM), THIN)
                pen.circle((x, y), 1.5, THIN)


def _rulers(pen: Pen, sheet: Sheet) -> None:
    """100 mm along the foot and up the left side."""
    length = SCALE_LENGTH * 1e3
    x, y = EDGE, sheet.height - EDGE - FOOT + 13.0
    pen.line((x, y), (x + length, y), THIN)
    for end in (x, x + length):
        pen.line((end, y - 2.0), (end, y + 2.0), THIN)
    room = sheet.width - EDGE - (x + length + 3.0) - _KEY[0] - 4.0
    for row, line in enumerate(letters.wrap(_MEASURE, max(room, 30.0), 8.5)):
        pen.text((x + length + 3.0, y + 1.0 + 3.6 * row), line, Lettering(8.5))
    x, y = EDGE + 2.0, EDGE + 2.0
    pen.line((x, y), (x, y + length), THIN)
    for end in (y, y + length):
        pen.line((x - 2.0, end), (x + 2.0, end), THIN)
    style = Lettering(8.5, anchor="middle", turn=-90.0)
    pen.text((x + 4.4, y + length / 2.0), "100 mm", style)


def _foot(pen: Pen, sheet: Sheet, title: str, said: str, *, room: float) -> None:
    x, y = EDGE, sheet.height - EDGE - FOOT
    pen.text((x, y + 7.5), letters.shorten(title, room, 12.0, 700), Lettering(12.0, 700))
    lines = letters.wrap(said, room, 8.5)
    for row, line in enumerate(lines):
        pen.text((x, y + FOOT - 0.6 - 3.6 * (len(lines) - 1 - row)), line, Lettering(8.5))


def _key(pen: Pen, grid: Grid, tile: tuple[int, int], outlines: Sequence[Sequence[Point]]) -> None:
    """Where this tile lies: all tiles over the outline of the piece, this one bold."""
    wide, tall = grid.step
    per = min(_KEY[0] / (wide * grid.columns), _KEY[1] / (tall * grid.rows))
    right, low = grid.sheet.width - EDGE - 0.4, grid.sheet.height - EDGE - 0.4
    x, y = right - per * wide * grid.columns, low - per * tall * grid.rows

    def at(p: Point) -> Point:
        return x + per * (p[0] - grid.left), y + per * (p[1] - grid.top)

    for outline in outlines:
        pen.shape([at(p) for p in outline], THIN)
    for other in (*(t for t in grid.tiles if t != tile), tile):
        stroke = BOLD if other == tile else HAIR
        pen.rect(at(grid.cell(other)), (per * wide, per * tall), stroke)
