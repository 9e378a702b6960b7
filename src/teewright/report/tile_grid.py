"""How a piece is cut up into tiles that a common printer prints, and which of them are needed."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from shapely import Polygon, box, prepare, transform

from teewright.collar.marks import body
from teewright.collar.values import Panel
from teewright.errors import InputError

PAPERS = {"A4": (210.0, 297.0), "A3": (297.0, 420.0), "Letter": (215.9, 279.4)}
"""Width and height, upright [mm]."""
EDGE = 8.0
"""Left free all round: few printers print nearer to the edge [mm]."""
RULER = 8.0
"""Strip on the left for the upright check scale [mm]."""
FOOT = 26.0
"""Strip at the foot for the page's name, check scale and key [mm]."""
OVERLAP = 10.0
"""Of neighbouring tiles [mm]."""
_SHIFTS = (0.5, 0.25, 0.75, 0.0, 1.0)
_PAD = 0.5


@dataclass(frozen=True, slots=True)
class Sheet:
    """A page of paper.

    Attributes:
        width: [mm].
        height: [mm].
    """

    width: float
    height: float

    @property
    def window(self) -> tuple[float, float, float, float]:
        """Left, top, width, height of the part that shows the piece [mm]."""
        wide = self.width - 2.0 * EDGE - RULER
        return EDGE + RULER, EDGE, wide, self.height - 2.0 * EDGE - FOOT


@dataclass(frozen=True, slots=True)
class Grid:
    """Tiles over one piece; a tile's cell is its window without the overlap.

    Attributes:
        sheet: Paper of every tile.
        rows: Tiles down.
        columns: Tiles across.
        left: Of the first cell, in the piece's paper coordinates [mm].
        top: Of the first cell, down from the piece's highest point [mm].
        tiles: (row, column) of the tiles that hold fabric, in order of reading.
    """

    sheet: Sheet
    rows: int
    columns: int
    left: float
    top: float
    tiles: tuple[tuple[int, int], ...]

    @property
    def step(self) -> tuple[float, float]:
        """Width and height of a cell [mm]."""
        _, _, wide, tall = self.sheet.window
        return wide - OVERLAP, tall - OVERLAP

    def cell(self, tile: tuple[int, int]) -> tuple[float, float]:
        """Left and top of a tile's cell, in the piece's paper coordinates [mm]."""
        wide, tall = self.step
        return self.left + tile[1] * wide, self.top + tile[0] * tall

    def name(self, tile: tuple[int, int]) -> str:
        """Letter of the row and number of the column, e.g. `B2`."""
        return f"{_letters(tile[0])}{tile[1] + 1}"


def paper_of(name: str) -> tuple[float, float]:
    """Width and height of a paper, upright [mm].

    Args:
        name: `A4`, `A3` or `Letter`, in any case.

    Raises:
        InputError: No such paper.
    """
    found = {key.casefold(): size for key, size in PAPERS.items()}.get(name.casefold())
    if found is None:
        raise InputError(
            "is not a paper for tiles", field="paper", value=name, allowed=", ".join(PAPERS)
        )
    return found


def paper_body(panel: Panel) -> Polygon:
    """The piece in paper coordinates: right and down from the corner of its bounds [mm]."""
    shape = body(panel)
    left, _, _, high = shape.bounds
    return transform(shape, lambda xy: (xy - [left, high]) * [1e3, -1e3])


def grid_of(panel: Panel, paper: str) -> Grid:
    """The grid with the fewest tiles, paper upright or across.

    Args:
        panel: Piece.
        paper: `A4`, `A3` or `Letter`.

    Returns:
        The grid; tiles without fabric are left out.

    Raises:
        InputError: No such paper.
    """
    wide, tall = paper_of(paper)
    shape = paper_body(panel).buffer(_PAD)
    grids = [g for sheet in (Sheet(wide, tall), Sheet(tall, wide)) for g in _grids(sheet, shape)]
    return min(grids, key=lambda grid: len(grid.tiles))


def _grids(sheet: Sheet, shape: Polygon) -> Iterator[Grid]:
    """Grids of least size over a piece, shifted within their slack; the centred one first."""
    left, top, right, low = shape.bounds
    _, _, wide, tall = sheet.window
    step = (wide - OVERLAP, tall - OVERLAP)
    columns, rows = (
        int(-(-size // s)) for size, s in zip((right - left, low - top), step, strict=True)
    )
    spare = (columns * step[0] - (right - left), rows * step[1] - (low - top))
    prepare(shape)
    for across, down in product(_SHIFTS, _SHIFTS):
        x, y = left - across * spare[0], top - down * spare[1]
        tiles = tuple(
            (r, c)
            for r in range(rows)
            for c in range(columns)
            if shape.intersects(_cell_box(x + c * step[0], y + r * step[1], step))
        )
        yield Grid(sheet, rows, columns, x, y, tiles)


def _cell_box(x: float, y: float, step: tuple[float, float]) -> Polygon:
    return box(x + 1e-6, y + 1e-6, x + step[0] - 1e-6, y + step[1] - 1e-6)


def _letters(number: int) -> str:
    """A to Z, then AA, AB and so on."""
    more, last = divmod(number, 26)
    return (_letters(more - 1) if more else "") + chr(ord("A") + last)
