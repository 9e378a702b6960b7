"""Half a collar made whole, held against a collar that was laid flat whole."""

import numpy as np
import pytest

from collar_shapes import order, sewn, tee
from teewright.collar.drawing import boundary_rings, forwards
from teewright.collar.flat import FlatCollar, FlatPiece
from teewright.collar.mirror import both_halves, images, whole
from teewright.junction.values import Junction

SHAPES = {
    "saddle seam": tee(0.2, 0.1, 60.0),
    "four pieces": tee(0.15, 0.15, 90.0),
    "edge strip": tee(0.2, 0.1, 60.0),
}


def area(piece: FlatPiece) -> float:
    a, b, c = (piece.flat[piece.triangles[:, k]] for k in range(3))
    one, two = b - a, c - a
    return float(np.sum(one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0]) / 2.0)


def lengths(flat: FlatCollar) -> dict[tuple[str, str], float]:
    found: dict[tuple[str, str], float] = {}
    for piece in flat.pieces:
        for name, line in piece.lines:
            size = float(np.linalg.norm(np.diff(piece.flat[line], axis=0), axis=1).sum())
            found[piece.name, name] = found.get((piece.name, name), 0.0) + size
    return found


@pytest.fixture(params=SHAPES, scope="module")
def shape(request: pytest.FixtureRequest) -> tuple[str, Junction]:
    return request.param, SHAPES[request.param]


def doubled(shape: tuple[str, Junction]) -> FlatCollar:
    layout, junction = shape
    return whole(sewn(order(junction, layout=layout)).flat)


def test_two_halves_are_what_is_laid_flat_whole(shape: tuple[str, Junction]) -> None:
    layout, junction = shape
    two, one = doubled(shape), sewn(order(junction, layout=layout), half=False).flat
    assert not one.mesh.half
    assert [p.name for p in two.pieces] == [p.name for p in one.pieces]
    # three pieces have several maps of nearly one t*, so that the two may differ a little more
    share = 2e-3 if layout == "edge strip" else 2e-4
    areas = [[area(p) for p in flat.pieces] for flat in (two, one)]
    assert areas[0] == pytest.approx(areas[1], rel=share)
    ours, theirs = lengths(two), lengths(one)
    assert ours.keys() == theirs.keys()
    for key, length in ours.items():
        assert length == pytest.approx(theirs[key], rel=5.0 * share, abs=1e-4), key


def test_every_triangle_of_the_surface_is_in_one_piece_and_lies_face_up(
    shape: tuple[str, Junction],
) -> None:
    flat = doubled(shape)
    faces = np.concatenate([p.faces for p in flat.pieces])
    assert sorted(faces.tolist()) == list(range(len(flat.mesh.triangles)))
    for piece in flat.pieces:
        a, b, c = (piece.flat[piece.triangles[:, k]] for k in range(3))
        one, two = b - a, c - a
        assert np.all(one[:, 0] * two[:, 1] > one[:, 1] * two[:, 0])
        assert np.array_equal(
            np.sort(piece.vertices[piece.triangles], axis=1),
            np.sort(flat.mesh.triangles[piece.faces], axis=1),
        )


def test_the_whole_surface_is_the_half_and_its_image(shape: tuple[str, Junction]) -> None:
    layout, junction = shape
    half, both = sewn(order(junction, layout=layout)).flat.mesh, doubled(shape).mesh
    image = half.points * [1.0, -1.0, 1.0]
    there = {tuple(p) for p in np.round(both.points, 12) + 0.0}
    assert all(tuple(p) in there for p in np.round(np.vstack([half.points, image]), 12) + 0.0)
    assert len(there) == len(both.points)
    corners = both.points[both.triangles]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    count = len(half.triangles)
    assert np.allclose(normal[count:], normal[:count] * [1.0, -1.0, 1.0], atol=1e-15)


def test_the_rows_of_the_whole_go_round_the_branch(shape: tuple[str, Junction]) -> None:
    mesh = doubled(shape).mesh
    assert np.all(np.diff(mesh.phi) > 0.0)
    assert mesh.phi[-1] < 2.0 * np.pi
    x, y = (mesh.points[mesh.grid[-1]][:, k] for k in (0, 1))
    turn = np.unwrap(np.arctan2(y, x - x.mean()))
    assert np.all(np.diff(turn) > 0.0)
    edges = {tuple(sorted(e)) for t in mesh.triangles for e in zip(t, np.roll(t, 1), strict=True)}
    for row in mesh.grid:
        assert all(
            tuple(sorted(e)) in edges
            for e in zip(row, np.roll(row, -1), strict=True)
            if e[0] != e[1]
        )


def test_lines_of_the_joined_pieces_close(shape: tuple[str, Junction]) -> None:
    for piece in doubled(shape).pieces:
        lines = [(name, forwards(piece, line)) for name, line in piece.lines]
        assert all(name != "fold" for name, _ in lines)
        rings = boundary_rings(lines)
        edges = sum(len(line) - 1 for _, line in lines)
        tri = piece.triangles
        pairs = np.sort(np.vstack([tri[:, [0, 1]], tri[:, [1, 2]], tri[:, [2, 0]]]), axis=1)
        _, count = np.unique(pairs, axis=0, return_counts=True)
        assert edges == np.count_nonzero(count == 1)
        assert 1 <= len(rings) <= 2


def test_a_whole_collar_stays_as_it_is() -> None:
    flat = sewn(order(SHAPES["saddle seam"]), half=False).flat
    assert whole(flat) is flat


def test_images_share_the_plane() -> None:
    mesh = sewn(order(SHAPES["saddle seam"])).flat.mesh
    image = images(mesh)
    both = both_halves(mesh, mesh.points)
    assert np.allclose(both[image], mesh.points * [1.0, -1.0, 1.0], atol=1e-12)
    assert np.all(np.abs(mesh.points[image == np.arange(len(mesh.points)), 1]) < 1e-9)
