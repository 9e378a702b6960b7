"""Areas and lengths of flat lines, and where notches stand on a seam."""

import math

import numpy as np
import pytest

from teewright.collar.notches import notch_angles
from teewright.collar.outline import line_length, points, ring_area


def test_line_length_adds_the_steps() -> None:
    assert line_length(((0.0, 0.0), (3.0, 4.0), (3.0, 5.0))) == pytest.approx(6.0)


def test_ring_area_is_positive_counter_clockwise() -> None:
    ring = ((0.0, 0.0), (2.0, 0.0), (2.0, 1.0), (0.0, 1.0))
    assert ring_area(ring) == pytest.approx(2.0)
    assert ring_area(ring[::-1]) == pytest.approx(-2.0)
    assert ring_area(ring[:2]) == 0.0
    turn = np.linspace(0.0, 2.0 * math.pi, 1000, endpoint=False)
    circle = points(0.3 * np.column_stack([np.cos(turn), np.sin(turn)]) + 5.0)
    assert ring_area(circle) == pytest.approx(math.pi * 0.09, rel=1e-5)


def test_notches_part_each_quadrant_of_a_circle_evenly() -> None:
    phi = np.linspace(-math.pi, math.pi, 361)
    circle = np.column_stack([np.cos(phi), np.sin(phi), 0.0 * phi])
    marks = dict(notch_angles(phi, circle))
    assert list(marks) == ["C", "C1", "C2", "L", "L1", "L2", "H", "H1", "H2", "R", "R1", "R2"]
    wanted = [0, 30, 60, 90, 120, 150, 180, -150, -120, -90, -60, -30]
    assert np.degrees(list(marks.values())) == pytest.approx(wanted, abs=1e-6)


def test_notches_go_by_length_in_space_not_by_angle() -> None:
    """A seam twice as steep in the second half of a quadrant: notches crowd there."""
    phi = np.linspace(-math.pi, math.pi, 721)
    inner = np.minimum(np.abs(phi), math.pi - np.abs(phi))
    way = np.where(inner < math.pi / 4.0, inner, 3.0 * inner - math.pi / 2.0)
    first = np.abs(phi) <= math.pi / 2.0
    height = np.where(first, way, 2.0 * way[180] - way)
    seam = np.column_stack([np.zeros_like(phi), np.zeros_like(phi), height])
    marks = dict(notch_angles(phi, seam))
    assert marks["C1"] == pytest.approx(math.pi / 4.0 + math.pi / 4.0 * 1.0 / 9.0, abs=0.01)
    assert marks["C2"] == pytest.approx(math.pi / 4.0 + math.pi / 4.0 * 5.0 / 9.0, abs=0.01)
    assert marks["R2"] == pytest.approx(-marks["C1"], abs=0.01)
