from dataclasses import replace
from io import StringIO

import pytest
from ezdxf import options
from ezdxf.document import Drawing
from ezdxf.entities.lwpolyline import LWPolyline
from ezdxf.filemanagement import read
from shapely import LineString, Polygon

from collar_shapes import FABRIC, collar, tee
from teewright.collar.values import Collar
from teewright.formats.cutting_dxf import write_collar

COLLARS = [collar(tee(0.2, 0.1, 45.0)), collar(tee(0.15, 0.15, 90.0))]


def read_back(data: bytes) -> Drawing:
    return read(StringIO(data.decode("cp1252")))


@pytest.fixture(params=COLLARS, ids=lambda c: str(c.junction))
def drawn(request: pytest.FixtureRequest) -> tuple[Collar, Drawing]:
    made: Collar = request.param
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
    wanted = {"CUT", "SEAM", "LAP", "NOTCH", "GRAIN", "LABEL"}
    assert {entity.dxf.layer for entity in drawing.modelspace()} == wanted
    assert all(layer in drawing.layers for layer in wanted)


def test_cut_areas_come_back(drawn: tuple[Collar, Drawing]) -> None:
    made, drawing = drawn
    cut = lines(drawing, "CUT")
    assert all(closed for _, closed in cut)
    main, hole, branch = (Polygon(points).area for points, _ in cut)
    assert main - hole == pytest.approx(made.panels[0].area, abs=1e-9)
    assert branch == pytest.approx(made.panels[1].area, abs=1e-9)


def test_seam_lengths_come_back(drawn: tuple[Collar, Drawing]) -> None:
    made, drawing = drawn
    lengths = [LineString(points).length for points, _ in lines(drawing, "SEAM")]
    wanted = [LineString(line).length for panel in made.panels for _, line in panel.seams]
    assert lengths == pytest.approx(wanted, abs=1e-6)
    assert (lengths[0], lengths[3]) == pytest.approx(made.seam_edges, abs=1e-6)


def test_panels_lie_apart_at_one_level(drawn: tuple[Collar, Drawing]) -> None:
    _, drawing = drawn
    main, _, branch = (Polygon(points) for points, _ in lines(drawing, "CUT"))
    assert branch.bounds[0] - main.bounds[2] == pytest.approx(0.05)
    assert main.bounds[1] == pytest.approx(branch.bounds[1]) == pytest.approx(0.0, abs=1e-9)


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
    assert write_collar(COLLARS[0]) == write_collar(COLLARS[0])
    assert options.write_fixed_meta_data_for_testing == before
