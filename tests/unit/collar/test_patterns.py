import math
from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from collar_shapes import tee
from sharp_saddle import quadrant_angles
from teewright.collar.patterns import name_patterns, rounded, shape_of
from teewright.junction.edge import Edge, arc_points, edge_of
from teewright.junction.values import Skin


def test_equal_shapes_share_a_pattern() -> None:
    names = name_patterns(
        {"a": tee(0.3, 0.15, 90.0), "b": tee(0.2, 0.1, 45.0), "c": tee(0.3, 0.15, 90.0)}
    )
    assert names == {"a": "P2", "b": "P1", "c": "P2"}


def test_names_do_not_depend_on_the_order_of_the_connections() -> None:
    shapes = {str(n): tee(0.2 + 0.05 * (n % 3), 0.1, 60.0 + 10 * (n % 4)) for n in range(12)}
    assert name_patterns(dict(reversed(shapes.items()))) == name_patterns(shapes)


def test_less_than_half_a_millimetre_or_degree_is_the_same_shape() -> None:
    near = tee(0.2002, 0.0998, 60.3, 0.0052)
    assert shape_of(near) == (200, 100, 60, 5, 0, 0, 0)
    assert name_patterns({"a": near, "b": tee(0.2, 0.1, 60.0)}) == {"a": "P1", "b": "P1"}
    assert name_patterns({"a": near, "b": tee(0.202, 0.1, 60.0)}) == {"a": "P1", "b": "P2"}


def test_a_pattern_is_drawn_for_the_rounded_shape() -> None:
    shape = rounded(tee(0.2002, 0.0998, 60.3, 0.0052))
    assert shape.main_diameter == pytest.approx(0.2)
    assert shape.angle == pytest.approx(math.radians(60.0))
    assert rounded(shape) == shape


def test_a_branch_off_the_axis_or_an_oval_main_is_another_shape() -> None:
    plain = tee(0.2, 0.1, 60.0)
    off, oval = replace(plain, offset=0.02), replace(plain, ovality=0.03, short_axis=0.5)
    assert len(set(name_patterns({"a": plain, "b": off, "c": oval}).values())) == 3
    assert rounded(off).offset == pytest.approx(0.02)
    assert rounded(oval).ovality == pytest.approx(0.03)
    assert rounded(oval).short_axis == pytest.approx(0.5, abs=math.radians(0.5))
    # an ellipse turned half round is the same, and a round main has no short axis
    assert shape_of(replace(oval, short_axis=0.5 - math.pi)) == shape_of(oval)
    assert shape_of(replace(plain, short_axis=0.5)) == shape_of(plain)


def edge(main: float, branch: float, degrees: float, fillet: float, thickness: float) -> Edge:
    return edge_of(Skin(tee(main, branch, degrees, fillet), thickness / 2.0), quadrant_angles(180))


def seam(half_way: Edge) -> np.ndarray:
    return arc_points(half_way, np.full(len(half_way.phi), 0.5))


@pytest.mark.parametrize(
    ("sizes", "line", "stretch"),
    [
        ((0.189, 0.150, 45.6, 0.005), 3.2e-3, 0.045),
        ((0.139, 0.100, 45.6, 0.005), 3.2e-3, 0.055),
        ((0.286, 0.150, 60.0, 0.006), 2.5e-3, 0.025),
        ((0.286, 0.150, 89.4, 0.005), 2.5e-3, 0.020),
    ],
)
def test_rounding_the_shape_and_one_thickness_for_all_cost_little(
    sizes: tuple[float, float, float, float], line: float, stretch: float
) -> None:
    """Half a millimetre, half a degree and 0.2 mm of fabric, all the worst way at once."""
    main, branch, degrees, fillet = sizes
    drawn = edge(main, branch, degrees, fillet, 4e-3)
    for a, b, c, d, e in product((-1, 1), repeat=5):
        true = edge(
            main + a * 5e-4,
            branch + b * 5e-4,
            degrees + c * 0.5,
            fillet + d * 5e-4,
            4e-3 + e * 2e-4,
        )
        for pipe, along in (("main", 0), ("branch", 1)):
            ends = (
                getattr(e, f"{pipe}_flat") + getattr(e, f"{pipe}_reach") / 2.0
                for e in (true, drawn)
            )
            off = np.subtract(*ends)
            # the panel may slide along the pipe until it fits best
            off[:, along] -= (off[:, along].max() + off[:, along].min()) / 2.0
            assert np.abs(off).max() < line
        lengths = [np.linalg.norm(np.diff(seam(f), axis=0), axis=1) for f in (true, drawn)]
        assert np.abs(lengths[0] / lengths[1] - 1.0).max() < stretch


def test_no_connections_need_no_patterns() -> None:
    assert name_patterns({}) == {}
