import re
import shutil
import subprocess
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from pypdf import PdfReader
from shapely import Polygon, box, union_all

from piece_shapes import all_collars
from teewright.collar.drawn import check_scale
from teewright.collar.marks import drawn
from teewright.collar.nesting import shelves
from teewright.errors import InputError
from teewright.report.figures.nest import SCALES, nest_figure, scale_for
from teewright.report.tile_figures import piece_figure
from teewright.report.tile_grid import EDGE, FOOT, OVERLAP, PAPERS, Grid, grid_of, paper_body
from teewright.report.tiles import tiles_pdf, whole_pdf

COLLARS = all_collars()
SCALES_DRAWN = (100.2, 100.2)
"""The scales with half the width of the mark at either end [mm]."""
PX = 10
"""Pixels a millimetre: 254 dots an inch."""
MM = 72.0 / 25.4

needs_poppler = pytest.mark.skipif(not shutil.which("pdftoppm"), reason="needs pdftoppm")


def rendered(pdf: bytes, page: int, folder: Path) -> NDArray[np.bool_]:
    """Which pixels of a page are dark."""
    source = folder / "sheet.pdf"
    source.write_bytes(pdf)
    command = ["pdftoppm", "-gray", "-r", str(25.4 * PX), "-f", str(page), "-l", str(page)]
    done = subprocess.run([*command, str(source)], capture_output=True, check=True)
    header = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", done.stdout)
    assert header
    wide, tall = int(header[1]), int(header[2])
    grey = np.frombuffer(done.stdout, dtype=np.uint8, offset=header.end())
    return grey.reshape(tall, wide) < 128


def longest(dark: NDArray[np.bool_]) -> float:
    """Longest unbroken dark stretch of a row of pixels [mm]."""
    edges = np.flatnonzero(np.diff(np.concatenate([[0], dark.astype(np.int8), [0]])))
    return float(np.max(edges[1::2] - edges[::2])) / PX


def measured_scales(page: NDArray[np.bool_]) -> tuple[float, float]:
    """Lengths of the check scale along the foot and of the upright one [mm]."""
    level = round((page.shape[0] / PX - EDGE - FOOT + 13.0) * PX)
    upright = round((EDGE + 2.0) * PX)
    along = np.asarray(page[level - 2 : level + 3].any(axis=0))
    up = np.asarray(page[:, upright - 2 : upright + 3].any(axis=1))
    return longest(along), longest(up)


@needs_poppler
@pytest.mark.parametrize("paper", PAPERS)
def test_the_check_scales_are_100_mm_on_paper(paper: str, tmp_path: Path) -> None:
    page = rendered(tiles_pdf(COLLARS["two"], paper), 1, tmp_path)
    assert measured_scales(page) == pytest.approx(SCALES_DRAWN, abs=0.15)


@needs_poppler
def test_the_whole_piece_is_as_wide_on_paper_as_it_is_cut(tmp_path: Path) -> None:
    made = COLLARS["two"]
    page = rendered(whole_pdf(made), 1, tmp_path)
    assert measured_scales(page) == pytest.approx(SCALES_DRAWN, abs=0.15)
    left, top, right, low = (v * 1e3 for v in Polygon(made.panels[0].cut).bounds)
    near_foot = page[round((EDGE + 4.0 + low - top - 20.0) * PX), round(14.0 * PX) :]
    dark = np.flatnonzero(near_foot)
    assert (dark[-1] - dark[0]) / PX == pytest.approx(right - left, abs=0.6)


@needs_poppler
def test_the_cut_line_lies_on_every_tile_where_the_piece_has_it(tmp_path: Path) -> None:
    made = COLLARS["strip"]
    grid = grid_of(made.panels[1], "A4")
    skipped = len(grid_of(made.panels[0], "A4").tiles)
    line = paper_body(made.panels[1]).exterior
    pdf = tiles_pdf(made)
    seen = 0
    for number, tile in enumerate(grid.tiles, skipped + 1):
        page = rendered(pdf, number, tmp_path)
        for at in np.arange(0.0, line.length, 7.0):
            x, y = on_page(grid, tile, *line.interpolate(at).coords[0])
            left, top, wide, tall = grid.sheet.window
            if left + 1.0 < x < left + wide - 1.0 and top + 1.0 < y < top + tall - 1.0:
                px, py = round(x * PX), round(y * PX)
                assert page[py - 3 : py + 4, px - 3 : px + 4].any(), (tile, at)
                seen += 1
    assert seen > line.length / 7.0 - 2


def on_page(grid: Grid, tile: tuple[int, int], x: float, y: float) -> tuple[float, float]:
    left, top, _, _ = grid.sheet.window
    cell = grid.cell(tile)
    return x - cell[0] + left + OVERLAP / 2.0, y - cell[1] + top + OVERLAP / 2.0


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("key", COLLARS)
def test_the_tiles_cover_the_piece_and_none_is_empty(key: str, paper: str) -> None:
    for panel in COLLARS[key].panels:
        grid, shape = grid_of(panel, paper), paper_body(panel)
        wide, tall = grid.step
        cells = [box(x, y, x + wide, y + tall) for x, y in map(grid.cell, grid.tiles)]
        assert shape.difference(union_all(cells).buffer(1e-6)).area < 1e-6
        assert all(cell.buffer(1.0).intersects(shape) for cell in cells)
        assert all(r < grid.rows and c < grid.columns for r, c in grid.tiles)


def test_a_tile_without_fabric_is_left_out() -> None:
    grid = grid_of(COLLARS["halves"].panels[0], "A4")
    assert len(grid.tiles) < grid.rows * grid.columns
    pages = len(PdfReader(BytesIO(tiles_pdf(COLLARS["halves"]))).pages)
    assert pages == sum(len(grid_of(p, "A4").tiles) for p in COLLARS["halves"].panels)


def test_every_page_is_named_and_of_the_paper_asked_for() -> None:
    made = COLLARS["two"]
    reader = PdfReader(BytesIO(tiles_pdf(made, "letter")))
    grid = grid_of(made.panels[0], "Letter")
    first = reader.pages[0]
    size = sorted((float(first.mediabox.width), float(first.mediabox.height)))
    assert size == pytest.approx(sorted(v * MM for v in PAPERS["Letter"]), abs=0.01)
    text = " ".join(first.extract_text().split())
    assert f"P3 main, tile {grid.name(grid.tiles[0])} of {grid.rows} × {grid.columns}" in text
    assert "100 mm" in text


def test_a_whole_page_is_as_large_as_its_piece_and_its_margins() -> None:
    made = COLLARS["two"]
    pages = PdfReader(BytesIO(whole_pdf(made))).pages
    assert len(pages) == len(made.panels)
    for page, panel in zip(pages, made.panels, strict=True):
        left, low, right, high = (v * 1e3 for v in Polygon(panel.cut).bounds)
        assert float(page.mediabox.width) / MM == pytest.approx(right - left + 32.0, abs=0.1)
        assert float(page.mediabox.height) / MM == pytest.approx(high - low + 50.0, abs=0.1)


def test_the_same_collar_gives_the_same_bytes() -> None:
    made = COLLARS["halves"]
    assert tiles_pdf(made) == tiles_pdf(made)
    assert whole_pdf(made) == whole_pdf(made)


def test_another_paper_is_refused_by_name() -> None:
    with pytest.raises(InputError, match=r"paper = 'B5'.*A4, A3, Letter"):
        tiles_pdf(COLLARS["two"], "B5")


def test_rows_go_on_after_z() -> None:
    grid = grid_of(COLLARS["two"].panels[0], "A4")
    assert [grid.name((row, 0)) for row in (0, 25, 26, 52)] == ["A1", "Z1", "AA1", "BA1"]


def test_a_piece_is_drawn_at_its_true_size() -> None:
    made = COLLARS["four"]
    svg, wide, tall = piece_figure(drawn(made.panels[2], made))
    left, low, right, high = (v * 1e3 for v in Polygon(made.panels[2].cut).bounds)
    assert (wide, tall) == pytest.approx((right - left + 8.0, high - low + 8.0))
    assert f'width="{round(wide, 2):g}mm"' in svg
    assert check_scale(0.0, 0.0).strokes[0].points[1][0] == pytest.approx(0.1)


def test_a_long_roll_is_drawn_in_strips_that_fit_the_page() -> None:
    made = [COLLARS["two"], COLLARS["four"]]
    order = [(panel, 8) for owner in made for panel in owner.panels]
    laid = shelves(order, roll_width=1.5, gap=0.006)
    svg = nest_figure(laid, made)
    scale = scale_for(laid)
    assert scale in SCALES
    assert 'width="178mm"' in svg
    assert svg.count(">P3") >= len(laid.placements)
    assert f"{laid.length:.2f} m" in svg
    xs = [float(x) for x in re.findall(r"[ML](-?\d+\.?\d*) ", svg)]
    assert min(xs) >= 0.0
    assert max(xs) <= 178.0
