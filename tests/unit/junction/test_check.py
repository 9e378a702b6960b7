import math
from dataclasses import replace

import numpy as np
import pytest

from junction_shapes import SKINS, skin
from teewright.errors import GeometryError
from teewright.junction.check import check_junction, check_skin, place_name
from teewright.junction.reach import edge_reach
from teewright.junction.surface import on_edge
from teewright.junction.values import Junction, Skin

TEE = Junction(0.2, 0.1, math.radians(60.0), 0.008)


@pytest.mark.parametrize("surface", SKINS.values(), ids=SKINS.keys())
def test_one_of_each_kind_is_allowed(surface: Skin) -> None:
    check_skin(surface)


@pytest.mark.parametrize("degrees", [30.0, 90.0])
def test_ends_of_the_range_are_allowed(degrees: float) -> None:
    for main, branch in ((0.08, 0.08), (0.1, 0.1), (0.9, 0.3), (1.0, 0.06), (0.35, 0.35)):
        check_junction(Junction(main, branch, math.radians(degrees), 0.002))
    check_junction(replace(TEE, fillet=0.0))
    check_junction(replace(TEE, ovality=0.1, offset=0.045 - 0.01))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"main_diameter": math.nan}, "main diameter of the junction is nan"),
        ({"branch_diameter": math.inf}, "branch diameter of the junction is inf"),
        ({"short_axis": math.inf}, "short axis of the junction is inf"),
        ({"offset": math.nan}, "offset of the junction is nan"),
        ({"main_diameter": 0.0}, r"main diameter is 0\.0 mm; .* 80 to 1000 mm"),
        ({"main_diameter": 1.2}, r"main diameter is 1200\.0 mm"),
        ({"branch_diameter": -0.1}, r"branch diameter is -100\.0 mm"),
        ({"angle": math.radians(29.0)}, r"29\.0 degrees; .* 30 to 90 degrees"),
        ({"angle": math.radians(91.0)}, r"91\.0 degrees"),
        ({"ovality": 0.11}, r"oval by 11\.0 %"),
        ({"ovality": -0.01}, r"oval by -1\.0 %"),
        ({"branch_diameter": 0.21}, "branch of 210 mm is wider than the main of 200 mm"),
        (
            {"branch_diameter": 0.195, "ovality": 0.08, "short_axis": math.pi / 2.0},
            "195 mm is wider than the main of 184 mm, .* across the branch",
        ),
        ({"offset": 0.048}, r"48\.0 mm beside the main's; .* 45\.0 mm at most"),
        ({"offset": -0.06}, r"60\.0 mm beside"),
        ({"fillet": 0.026}, r"26\.0 mm; it must be 0 to 25\.0 mm"),
        ({"fillet": -0.001}, r"-1\.0 mm"),
    ],
)
def test_shapes_that_cannot_be_are_refused(change: dict[str, float], words: str) -> None:
    with pytest.raises(GeometryError, match=words):
        check_junction(replace(TEE, **change))


@pytest.mark.parametrize(
    ("inset", "words"),
    [
        (-0.001, r"-1\.0 mm inside"),
        (0.026, r"26\.0 mm inside the wall; it must be 0 to 25\.0 mm"),
        (math.nan, "nan mm inside"),
    ],
)
def test_a_skin_that_leaves_no_lumen_is_refused(inset: float, words: str) -> None:
    with pytest.raises(GeometryError, match=words):
        check_skin(Skin(TEE, inset))


def test_a_ball_too_large_for_the_crotch_is_refused_with_the_place() -> None:
    with pytest.raises(GeometryError, match=r"at the crotch a radius of 23\.0 mm .* below"):
        check_skin(skin(0.2, 0.1, 30.0, 0.020, inset=0.003))
    check_skin(skin(0.2, 0.1, 30.0, 0.015, inset=0.003))


@pytest.mark.parametrize("degrees", [30.0, 45.0, 60.0, 90.0])
def test_equal_pipes_reach_is_the_tip_of_an_ellipse(degrees: float) -> None:
    """Equal pipes cut in ellipses of semi-axes a and a/sin(theta/2), at the crotch."""
    surface = skin(0.2, 0.2, degrees, 0.01)
    radius = 0.11
    tip = radius * math.sin(math.radians(degrees) / 2.0)
    reach, phi = edge_reach(surface)
    assert reach == pytest.approx(tip, rel=0.01)
    assert place_name(phi) == "crotch" or degrees == 90.0


def test_at_the_limit_neighbouring_arcs_meet() -> None:
    """Balls larger than the reach overlap on the skin: arcs turn back on themselves."""
    surface = skin(0.2, 0.2, 45.0, 0.01)
    reach, _ = edge_reach(surface)
    phi = np.array([-1e-4, 1e-4])
    widths = []
    for level in (0.97 * reach, 1.03 * reach):
        wide = Skin(surface.junction, level - 0.01)
        ends = on_edge(wide, phi, np.full(2, 0.5))
        widths.append(float(ends[1, 1] - ends[0, 1]))
    assert widths[0] > 0.0 > widths[1]


def test_places_have_names() -> None:
    angles = (0.0, math.pi / 2.0, math.pi, -math.pi / 2.0, 2.0 * math.pi)
    names = [place_name(angle) for angle in angles]
    assert names == ["crotch", "flank towards +y", "heel", "flank towards -y", "crotch"]
