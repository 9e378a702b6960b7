import math
from dataclasses import replace
from io import BytesIO

import pytest
from pypdf import PdfReader
from shapely import LineString

from piece_shapes import all_collars
from teewright.collar.marks import body
from teewright.collar.values import Collar
from teewright.junction.values import Junction
from teewright.report.figures import panels
from teewright.report.index import JobIndex
from teewright.report.pack import build_pdf
from teewright.report.sheets import pattern
from unit.report.sample import MADE, make_job
from unit.report.sample import collar as sample_collar

COLLARS = all_collars()


def index_with(made: Collar) -> JobIndex:
    """The invented job, its first pattern cut from these pieces."""
    job = make_job()
    first = job.designs.designs[0].collar.pattern
    collar = replace(made, pattern=first)
    designs = tuple(
        replace(d, collar=collar) if d.collar.pattern == first else d for d in job.designs.designs
    )
    return JobIndex(replace(job, designs=replace(job.designs, designs=designs)))


@pytest.mark.parametrize("key", COLLARS)
def test_every_piece_is_on_the_sheet_once_and_rows_fit_the_page(key: str) -> None:
    made = COLLARS[key]
    sheet = pattern.sheets(index_with(made))[0]
    rows = sheet.body["rows"]
    assert isinstance(rows, list)
    drawn = [piece for row in rows for piece in row]
    names = sorted(piece["title"].partition(",")[0].casefold() for piece in drawn)
    assert names == sorted(panel.name for panel in made.panels)
    for row in rows:
        assert sum(piece["width"] for piece in row) + 4.0 * max(len(row) - 1, 0) <= 178.0
    if len(made.panels) > 2:
        assert len({piece["scale"] for piece in drawn}) == 1
        assert f"1 : {drawn[0]['scale']}," in str(sheet.body["scale"])
        last = sum(piece["width"] + 4.0 for piece in rows[-1])
        assert not rows[-1] or last + 46.0 <= 178.0


def test_the_arrow_on_the_sheet_is_clear_of_the_opening() -> None:
    made = COLLARS["two"]
    clear = pattern.clear_arrow(made.panels[0], made)
    assert body(clear).contains(LineString(clear.grain))
    assert not body(made.panels[0]).contains(LineString(made.panels[0].grain))


def test_a_pattern_of_many_pieces_is_set_on_one_page() -> None:
    count = {
        key: len(PdfReader(BytesIO(build_pdf(index_with(made).job, made=MADE))).pages)
        for key, made in COLLARS.items()
        if key in {"two", "four"}
    }
    assert count["two"] == count["four"] > 0


@pytest.mark.parametrize("sleeve", [0.40, 0.434, 0.47])
def test_two_pieces_and_the_facts_find_room_on_one_page(sleeve: float) -> None:
    made = sample_collar("P1", Junction(0.19, 0.15, math.radians(45.0), 0.005), sleeve=sleeve)
    scales = pattern._two(made.panels, 210.0)
    main, branch = (
        panels.size_of(panel, scale)[1] for panel, scale in zip(made.panels, scales, strict=True)
    )
    assert main + max(branch, 62.0) + 48.0 <= 210.0


def test_pieces_that_fit_at_no_larger_scale_are_drawn_smaller() -> None:
    made = COLLARS["four"]
    scale, rows = pattern._shared(made, 200.0 + 10.0)
    smaller, _ = pattern._shared(made, 100.0)
    assert scale in panels.SCALES
    assert smaller > scale
    assert sum(len(row) for row in rows) == len(made.panels)
