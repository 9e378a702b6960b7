import math

import pytest

from collar_shapes import tee
from teewright.collar.patterns import name_patterns, rounded, shape_of


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
    assert shape_of(near) == (200, 100, 60, 5)
    assert name_patterns({"a": near, "b": tee(0.2, 0.1, 60.0)}) == {"a": "P1", "b": "P1"}
    assert name_patterns({"a": near, "b": tee(0.202, 0.1, 60.0)}) == {"a": "P1", "b": "P2"}


def test_a_pattern_is_drawn_for_the_rounded_shape() -> None:
    shape = rounded(tee(0.2002, 0.0998, 60.3, 0.0052))
    assert shape.main_diameter == pytest.approx(0.2)
    assert shape.angle == pytest.approx(math.radians(60.0))
    assert rounded(shape) == shape


def test_no_connections_need_no_patterns() -> None:
    assert name_patterns({}) == {}
