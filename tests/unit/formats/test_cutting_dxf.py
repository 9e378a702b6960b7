from dataclasses import replace
from io import StringIO
from itertools import pairwise

import pytest
from ezdxf import options
from ezdxf.document import Drawing
from ezdxf.entities.lwpolyline import LWPolyline
from ezdxf.filemanagement import read
from shapely import LineString, Polygon

from collar_shapes import FABRIC, collar, tee
from piece_shapes import all_collars
from teewright.collar.nesting import shelves
from teewright.collar.values import Collar
from teewright.errors import UnknownNameError
from teewright.formats.cutting_dxf import write_collar, write_nest

CLOSED_FORM = {"45": collar(tee(0.2, 0.1, 45.0)), "equal": collar(tee(0.15, 0.15, 90.0))}
PIECES = all_collars()
COLLARS = {**CLOSED_FORM, **PIECES}
LAYERS = {"CUT", "SEAM", "LAP", "NOTCH", "MARK", "GRAIN", "LABEL"}


def read_back(data: bytes) -> Drawing:
    return read(StringIO(data.decode("cp1252")))


@pytest.fixture(params=COLLARS, scope="module")
def drawn(request: pytest.FixtureRequest) -> tuple[Collar, Drawing]:
    made = COLLARS[request.param]
    return made, read_back(write_collar(made))


def lines(drawing: Drawing, layer: str) -> list[tuple[list[tuple[float, float]], bool]]:
    """Points [m] and whether closed, of each polyline on a layer."""
    found = drawing.modelspace().query(f'LWPOLYLINE[layer=="{layer}"]')
    return [
        ([(p[0] / 1e3, p[1] / 1e3) for p in line.get_points("xy")], bool(line.closed))
        for line in found
        if isinstance(line, LWPolyline)
    ]


def test_file_is_in_millimetres_and_sound(drawn: tuple[Collar, Drawing]) -> None:
    _, drawing = drawn
    assert drawing.dxfversion == "AC1015"
    assert drawing.header["$INSUNITS"] == 4
    audit = drawing.audit()
    assert not audit.errors
    assert not audit.fixes


def test_every_entity_lies_on_a_layer_of_the_file(drawn: tuple[Collar, Drawing]) -> None:
    _, drawing = drawn
    used = {entity.dxf.layer for entity in drawing.modelspace()}
    assert LAYERS - {"LAP", "MARK"} <= used <= LAYERS
    assert all(layer in drawing.layers for layer in used)


def test_cut_areas_come_back(drawn: tuple[Collar, Drawing]) -> None:
    made, drawing = drawn
    cut = lines(drawing, "CUT")
    assert all(closed for _, closed in cut)
    areas = iter([Polygon(points).area for points, _ in cut])
    for panel in made.panels:
        area = next(areas) - (next(areas) if panel.hole else 0.0)
        assert area == pytest.approx(panel.area, abs=1e-9)
    assert next(areas, None) is None


def test_seam_lengths_come_back(drawn: tuple[Collar, Drawing]) -> None:
    made, drawing = drawn
    lengths = [LineString(points).length for points, _ in lines(drawing, "SEAM")]
    wanted = [LineString(line).length for panel in made.panels for _, line in panel.seams]
    assert lengths == pytest.approx(wanted, abs=1e-6)


def written_seams(made: Collar) -> list[tuple[str, str, float]]:
    """(piece, seam, length [m]) of every seam line as it stands in the file."""
    written = lines(read_back(write_collar(made)), "SEAM")
    named = [(panel.name, seam) for panel in made.panels for seam, _ in panel.seams]
    return [
        (piece, seam, LineString(points).length)
        for (piece, seam), (points, _) in zip(named, written, strict=True)
    ]


@pytest.mark.parametrize("key", ["two", "four"])
def test_both_edges_of_every_seam_are_equally_long_as_written(key: str) -> None:
    seams = written_seams(PIECES[key])
    saddles = {piece: length for piece, seam, length in seams if seam == "saddle"}
    closings = [length for _, seam, length in seams if seam == "closing"]
    for left, right in (
        ("main", "branch"),
        ("main left", "branch left"),
        ("main right", "branch right"),
    ):
        if left in saddles:
            assert saddles[left] == pytest.approx(saddles[right], abs=5e-5)
    assert len(closings) % 2 == 0
    for panel in PIECES[key].panels:
        for kind in ("closing", "crown"):
            here = sorted(n for piece, seam, n in seams if (piece, seam) == (panel.name, kind))
            other = panel.name.replace("left", "right")
            there = sorted(n for piece, seam, n in seams if (piece, seam) == (other, kind))
            assert here == pytest.approx(there, abs=5e-5)


@pytest.mark.parametrize("key", CLOSED_FORM)
def test_seam_edges_are_told_as_they_are_written(key: str) -> None:
    made = COLLARS[key]
    found = [length for _, seam, length in written_seams(made) if seam == "saddle"]
    assert found == pytest.approx(made.seam_edges, abs=1e-6)


def test_pieces_lie_apart_at_one_level(drawn: tuple[Collar, Drawing]) -> None:
    made, drawing = drawn
    cut = iter([Polygon(points).bounds for points, _ in lines(drawing, "CUT")])
    outer = []
    for panel in made.panels:
        outer.append(next(cut))
        if panel.hole:
            next(cut)
    assert [low for _, low, _, _ in outer] == pytest.approx([0.0] * len(outer), abs=1e-9)
    gaps = [b[0] - a[2] for a, b in pairwise(outer)]
    assert gaps == pytest.approx([0.05] * len(gaps))


def test_check_line_is_100_mm(drawn: tuple[Collar, Drawing]) -> None:
    _, drawing = drawn
    lengths = [LineString(points).length for points, _ in lines(drawing, "LABEL")]
    assert max(lengths) == pytest.approx(0.1)


def test_every_notch_is_drawn_and_named(drawn: tuple[Collar, Drawing]) -> None:
    made, drawing = drawn
    names = sorted(t.dxf.text for t in drawing.modelspace().query('TEXT[layer=="NOTCH"]'))
    assert names == sorted(n.label for panel in made.panels for n in panel.notches)
    assert len(lines(drawing, "NOTCH")) == len(names)


def test_label_keeps_signs_outside_ascii() -> None:
    fabric = replace(FABRIC, name="Filz für Ø 200, Größe 2")
    drawing = read_back(write_collar(collar(tee(0.2, 0.1, 60.0), fabric=fabric)))
    texts = [t.dxf.text for t in drawing.modelspace().query('TEXT[layer=="LABEL"]')]
    assert texts.count("Filz für Ø 200, Größe 2") == 2
    assert "200 / 100 mm, 60°" in texts


def test_equal_collars_give_equal_files_and_leave_the_library_as_it_was() -> None:
    before = options.write_fixed_meta_data_for_testing
    made = COLLARS["45"]
    assert write_collar(made) == write_collar(made)
    assert options.write_fixed_meta_data_for_testing == before


def test_a_nest_is_written_where_its_pieces_lie() -> None:
    made = [PIECES["two"], PIECES["halves"]]
    order = [(panel, 2) for owner in made for panel in owner.panels]
    laid = shelves(order, roll_width=1.5, gap=0.006)
    drawing = read_back(write_nest(laid, made))
    audit = drawing.audit()
    assert not audit.errors
    cut = [Polygon(points) for points, _ in lines(drawing, "CUT")]
    wanted = [p.outline() for p in laid.placements], [p.opening() for p in laid.placements]
    area = sum(Polygon(ring).area for ring in wanted[0])
    area += sum(Polygon(ring).area for ring in wanted[1] if len(ring))
    assert sum(shape.area for shape in cut) == pytest.approx(area, abs=1e-9)
    ((roll, closed),) = lines(drawing, "ROLL")
    assert closed
    assert Polygon(roll).bounds == pytest.approx((0.0, 0.0, 1.5, laid.length))
    assert all(Polygon(roll).buffer(1e-9).covers(shape) for shape in cut)


def test_a_nest_of_pieces_that_belong_to_no_collar_is_refused() -> None:
    laid = shelves([(PIECES["two"].panels[0], 1)], roll_width=1.5, gap=0.0)
    with pytest.raises(UnknownNameError, match="main"):
        write_nest(laid, [PIECES["halves"]])
