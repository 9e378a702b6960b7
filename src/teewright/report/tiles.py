"""Patterns at 1:1 on paper: whole, on pages as large as the piece, or tiled for a printer."""

from shapely import LinearRing

from teewright.collar.drawn import Drawn
from teewright.collar.marks import drawn
from teewright.collar.values import Collar, Panel
from teewright.report.pen import Point
from teewright.report.setting import set_pdf
from teewright.report.sheets.sheet import Json
from teewright.report.tile_figures import PAD, piece_figure, tile_frame, whole_frame
from teewright.report.tile_grid import EDGE, FOOT, OVERLAP, RULER, Sheet, grid_of, paper_body

_NARROWEST = 190.0


def tiles_pdf(collar: Collar, paper: str = "A4") -> bytes:
    """Every piece at 1:1 on tiles of a common paper, to be joined cross on cross.

    Args:
        collar: Collar to cut.
        paper: `A4`, `A3` or `Letter`.

    Returns:
        PDF, one page a tile; tiles without fabric are left out. The same bytes for the same
        arguments.

    Raises:
        InputError: No such paper.
    """
    return _set(collar, [_tiled(panel, collar, k, paper) for k, panel in enumerate(collar.panels)])


def whole_pdf(collar: Collar) -> bytes:
    """Every piece at 1:1 on a page of its own, as large as it must be.

    Args:
        collar: Collar to cut.

    Returns:
        PDF, one page a piece. The same bytes for the same collar.
    """
    return _set(collar, [_whole(panel, collar, k) for k, panel in enumerate(collar.panels)])


def _tiled(panel: Panel, collar: Collar, number: int, paper: str) -> list[Json]:
    grid = grid_of(panel, paper)
    shape = paper_body(panel)
    outlines = [_ring(line) for line in (shape.exterior, *shape.interiors)]
    size = f"{grid.rows} × {grid.columns}"
    pages: list[Json] = []
    for tile in grid.tiles:
        x, y = grid.cell(tile)
        title = f"{collar.pattern} {panel.name}, tile {grid.name(tile)} of {size}"
        frame = tile_frame(grid, tile, title, outlines)
        half = OVERLAP / 2.0
        pages.append(_page(grid.sheet, number, (half - x - PAD, half - y - PAD), frame, title))
    return pages


def _ring(line: LinearRing) -> list[Point]:
    return [(float(x), float(y)) for x, y in line.coords]


def _whole(panel: Panel, collar: Collar, number: int) -> list[Json]:
    _, _, right, low = paper_body(panel).bounds
    wide = max(right + 2.0 * EDGE + RULER + 2.0 * PAD, _NARROWEST)
    tall = max(low + 2.0 * PAD, 104.0) + 2.0 * EDGE + FOOT
    title = f"{collar.pattern} {panel.name}, piece {number + 1} of {len(collar.panels)}"
    sheet = Sheet(wide, tall)
    return [_page(sheet, number, (0.0, 0.0), whole_frame(sheet, title), title)]


def _page(
    sheet: Sheet, piece: int, at: tuple[float, float], frame: str, title: str
) -> dict[str, Json]:
    """One page: its size, its window, and where the piece's drawing lies in it [mm]."""
    return {
        "size": [sheet.width, sheet.height],
        "window": list(sheet.window),
        "piece": piece,
        "at": list(at),
        "frame": frame,
        "title": title,
    }


def _figure(piece: Drawn) -> dict[str, Json]:
    svg, wide, tall = piece_figure(piece)
    return {"svg": svg, "size": [wide, tall]}


def _set(collar: Collar, pages: list[list[Json]]) -> bytes:
    data: dict[str, Json] = {
        "title": f"Pattern {collar.pattern} at full size",
        "pieces": [_figure(drawn(panel, collar)) for panel in collar.panels],
        "pages": [page for group in pages for page in group],
    }
    return set_pdf("tiles.typ", data)
