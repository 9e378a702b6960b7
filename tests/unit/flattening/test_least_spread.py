"""The flat map with the least spread of stretch, on surfaces with known answers."""

import math
from dataclasses import replace

import numpy as np
import pytest

from flat_shapes import alone, cap, disc, patch, sheet
from teewright.errors import GeometryError
from teewright.flattening.solve import least_spread
from teewright.flattening.start import conformal
from teewright.flattening.values import FloatArray, Pieces


def bent(flat: FloatArray) -> FloatArray:
    """A start that is far from the answer and turns nothing over."""
    return np.column_stack([1.2 * flat[:, 0] + 0.2 * flat[:, 1], 0.9 * flat[:, 1] ** 1.1])


def test_cylinder_is_developable() -> None:
    pieces, flat = patch(0.05, 1.5, 0.1)
    assert least_spread(pieces, bent(flat)).ratio == pytest.approx(1.0, abs=1e-9)


def test_cone_is_developable_and_gets_its_known_shape() -> None:
    unit, triangles = sheet(8, 6)
    distance, half_angle, turn = 0.1 + 0.1 * unit[:, 1], 0.4, 2.0
    angle = turn * unit[:, 0]
    corners = np.column_stack(
        [
            distance * math.sin(half_angle) * np.cos(angle),
            distance * math.sin(half_angle) * np.sin(angle),
            distance * math.cos(half_angle),
        ]
    )
    start = np.column_stack([-0.5 + unit[:, 0], 0.1 + unit[:, 1]]) * 0.1
    found = least_spread(alone(corners, triangles[:, ::-1]), start * np.array([-1.0, 1.0]))
    assert found.ratio == pytest.approx(1.0, abs=1e-8)
    # developed, the same chords are seen from the apex under the smaller angle
    chord = np.linalg.norm(found.flat[8] - found.flat[0])
    facet = 2.0 * math.asin(math.sin(half_angle) * math.sin(turn / 16.0))
    assert chord == pytest.approx(0.2 * math.sin(4.0 * facet), rel=1e-6)


def test_size_does_not_matter() -> None:
    pieces, flat = cap(0.7, 5)
    small = replace(pieces, sides=0.01 * pieces.sides)
    found, other = least_spread(pieces, flat), least_spread(small, 0.02 * flat)
    assert other.ratio == pytest.approx(found.ratio, rel=1e-9)
    assert np.allclose(other.stretch, found.stretch, rtol=1e-6)


def test_sphere_gets_worse_with_the_square_of_the_size() -> None:
    logs = [math.log(least_spread(*cap(radius, 8)).ratio) for radius in (0.2, 0.4)]
    assert logs[1] / logs[0] == pytest.approx(4.0, rel=0.05)


def test_cap_keeps_its_symmetry() -> None:
    pieces, flat = cap(0.8, 6)
    found = least_spread(pieces, flat)
    centred = found.flat - found.flat.mean(axis=0)
    rim = np.linalg.norm(centred[-36:], axis=1)
    assert np.ptp(rim.reshape(6, 6), axis=0).max() < 1e-4 * rim.mean()


def test_stretch_and_threads_agree() -> None:
    pieces, flat = cap(0.8, 5)
    found = least_spread(pieces, flat)
    squares = np.sum(found.along**2, axis=1)
    assert np.allclose(squares, np.sum(found.stretch**2, axis=1))
    assert np.all(found.along <= found.stretch[:, :1] * (1.0 + 1e-12))
    assert np.all(found.along >= found.stretch[:, 1:] * (1.0 - 1e-12))


def sewn_sheets(wide: float) -> tuple[Pieces, FloatArray]:
    """Two flat squares side by side, the right one `wide` times as large in the surface."""
    unit, triangles = sheet(4, 4)
    count = len(unit)
    corners = np.column_stack([unit, np.zeros(count)])
    both = alone(
        np.concatenate([corners, corners * wide]), np.concatenate([triangles, triangles + count])
    )
    right, left = np.arange(4, count, 5), count + np.arange(0, count, 5)
    pairs = np.column_stack([right[:-1], right[1:], left[:-1], left[1:]])
    return replace(both, pairs=pairs), np.concatenate([unit, unit + np.array([2.0, 0.0])])


def test_sewn_edges_become_equal() -> None:
    pieces, flat = sewn_sheets(1.2)
    found = least_spread(pieces, flat)
    assert found.mismatch < 1e-6
    # the seam's edges are short by 1.2 against each other: shared evenly at the best
    assert 1.0 < found.ratio <= 1.2 * (1.0 + 1e-6)


def test_sewn_edges_of_equal_sheets_cost_nothing() -> None:
    pieces, flat = sewn_sheets(1.0)
    assert least_spread(pieces, bent(flat)).ratio == pytest.approx(1.0, abs=1e-8)


def test_fold_stays_straight() -> None:
    pieces, flat = cap(0.6, 6)
    on_line = np.flatnonzero(np.abs(flat[:, 0]) < 1e-12)
    held = replace(pieces, held=on_line, axes=np.zeros(len(on_line), dtype=np.int64))
    flat[on_line, 0] = 0.0
    found = least_spread(held, flat)
    assert np.all(found.flat[on_line, 0] == 0.0)
    assert found.ratio == pytest.approx(least_spread(pieces, flat).ratio, rel=2e-3)


def test_overturned_start_is_refused() -> None:
    pieces, flat = cap(0.6, 4)
    with pytest.raises(GeometryError, match="turned over"):
        least_spread(pieces, flat * np.array([-1.0, 1.0]))


def test_triangle_without_area_is_refused() -> None:
    unit, triangles = sheet(2, 2)
    corners = np.column_stack([unit[:, 0], np.zeros((len(unit), 2))])
    with pytest.raises(GeometryError, match="no area"):
        least_spread(alone(corners, triangles), unit)


def test_conformal_start_is_right_for_a_developable_piece() -> None:
    pieces, flat = patch(0.05, 1.5, 0.1)
    unit, triangles = sheet(8, 6)
    angle = 1.5 * unit[:, 0]
    corners = np.column_stack([0.05 * np.cos(angle), 0.05 * np.sin(angle), 0.1 * unit[:, 1]])
    laid = conformal(corners, triangles)
    for a, b in ((0, 8), (0, 54), (8, 62), (3, 40)):
        wanted = np.linalg.norm(flat[a] - flat[b])
        assert np.linalg.norm(laid[a] - laid[b]) == pytest.approx(wanted, rel=1e-9)
    assert pieces.triangles.shape == triangles.shape


def test_conformal_start_keeps_angles_of_a_cap() -> None:
    polar, triangles = disc(8)
    distance, angle = 0.8 * polar[:, 0], polar[:, 1]
    ring = np.column_stack([np.cos(angle), np.sin(angle)]) * np.sin(distance)[:, None]
    laid = conformal(np.column_stack([ring, np.cos(distance)]), triangles)
    rim = np.linalg.norm(laid[-48:] - laid[0], axis=1)
    first = np.linalg.norm(laid[1:7] - laid[0], axis=1)
    # stereographic projection: radius goes as tan(distance / 2)
    assert rim.mean() / first.mean() == pytest.approx(math.tan(0.4) / math.tan(0.05), rel=0.01)
