"""A mesh cut open along some of its edges: which corners stay together, what is sewn to what."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from teewright.junction.skin import IntArray

BoolArray = NDArray[np.bool_]
"""Array of yes and no."""


@dataclass(frozen=True, slots=True, eq=False)
class Cut:
    """A mesh, cut into pieces.

    Attributes:
        vertices: Mesh vertex of each flat vertex, pieces one after another, shape (k,).
        triangles: Flat vertices of each mesh triangle, shape (m, 3).
        piece: Piece of each mesh triangle, from 0, shape (m,).
        pairs: Sewn edges as flat vertices, (from, to, from, to), in the order of the cut lines
            and only where both sides are in the mesh, shape (p, 4).
        line: Number of the cut line of each pair, shape (p,).
        border: (from, to, label) of each edge of the pieces' borders, flat vertices, with the
            piece on its left; the label is the number of the line or -1, shape (b, 3).
    """

    vertices: IntArray
    triangles: IntArray
    piece: IntArray
    pairs: IntArray
    line: IntArray
    border: IntArray


def cut_open(triangles: IntArray, lines: tuple[IntArray, ...]) -> Cut:
    """Cut a mesh along lines of mesh vertices.

    Args:
        triangles: Mesh triangles, counter-clockwise, shape (m, 3).
        lines: Each an open line of mesh vertices along edges; on the border of the mesh it
            only names the edges.

    Returns:
        The pieces.
    """
    edges, twins = _edges(triangles)
    keys, label = _labels(triangles, lines)
    mark = _look_up(_key(triangles, edges[:, :2]), keys, label)
    inner = twins >= 0
    joined = inner & (mark < 0)
    corners = _weld(twins, joined)
    flat_tri, vertices, piece = _renumber(triangles, corners, twins, joined)
    flat_edge = np.column_stack([flat_tri.ravel(), np.roll(flat_tri, -1, axis=1).ravel()])
    outside = ~joined
    border = np.column_stack([flat_edge[outside], mark[outside]])
    pairs, line = _pairs(triangles, flat_edge, edges, twins, lines)
    return Cut(vertices, flat_tri, piece, pairs, line, border)


def _edges(triangles: IntArray) -> tuple[IntArray, IntArray]:
    """Directed edges (from, to) in the order of the corners, and the twin of each or -1."""
    edges = np.column_stack([triangles.ravel(), np.roll(triangles, -1, axis=1).ravel()])
    key = _key(triangles, edges)
    order = np.argsort(key, kind="stable")
    same = key[order[1:]] == key[order[:-1]]
    twins = np.full(len(edges), -1, dtype=np.int64)
    one, two = order[:-1][same], order[1:][same]
    twins[one], twins[two] = two, one
    return edges, twins


def _key(triangles: IntArray, edges: IntArray) -> IntArray:
    size = int(triangles.max()) + 1
    key: IntArray = edges.min(axis=1) * size + edges.max(axis=1)
    return key


def _labels(triangles: IntArray, lines: tuple[IntArray, ...]) -> tuple[IntArray, IntArray]:
    """Sorted keys of all edges of the lines, and the line of each."""
    steps = [np.column_stack([line[:-1], line[1:]]) for line in lines]
    label = np.repeat(np.arange(len(lines)), [len(s) for s in steps])
    key = _key(triangles, np.concatenate([np.empty((0, 2), np.int64), *steps]))
    order = np.argsort(key)
    return key[order], label[order]


def _look_up(key: IntArray, keys: IntArray, label: IntArray) -> IntArray:
    if not len(keys):
        return np.full(len(key), -1, dtype=np.int64)
    place = np.minimum(np.searchsorted(keys, key), len(keys) - 1)
    return np.where(keys[place] == key, label[place], -1)


def _weld(twins: IntArray, joined: BoolArray) -> IntArray:
    """Class of each corner, corners of one vertex being joined across uncut edges."""
    here = np.flatnonzero(joined)
    there = twins[here]
    after = 3 * (here // 3) + (here + 1) % 3
    beyond = 3 * (there // 3) + (there + 1) % 3
    one, two = np.r_[here, after], np.r_[beyond, there]
    size = len(twins)
    graph = coo_array((np.ones(len(one), np.int8), (one, two)), shape=(size, size))
    return np.asarray(connected_components(graph, directed=False)[1], dtype=np.int64)


def _renumber(
    triangles: IntArray, corners: IntArray, twins: IntArray, joined: BoolArray
) -> tuple[IntArray, IntArray, IntArray]:
    """Flat triangles with the pieces' vertices one after another, mesh vertices, pieces."""
    here = np.flatnonzero(joined)
    count = len(triangles)
    links = (np.ones(len(here), np.int8), (here // 3, twins[here] // 3))
    found = connected_components(coo_array(links, shape=(count, count)), directed=False)[1]
    piece = np.asarray(found, dtype=np.int64)
    # by piece first, then as the mesh has them
    table = np.column_stack([np.repeat(piece, 3), triangles.ravel(), corners])
    rows, back = np.unique(table, axis=0, return_inverse=True)
    return back.reshape(-1, 3), rows[:, 1].copy(), piece


def _pairs(
    triangles: IntArray,
    flat: IntArray,
    edges: IntArray,
    twins: IntArray,
    lines: tuple[IntArray, ...],
) -> tuple[IntArray, IntArray]:
    """Flat edges on both sides of each inner edge of the lines, in order."""
    size = int(triangles.max()) + 1
    directed = edges[:, 0] * size + edges[:, 1]
    order = np.argsort(directed)
    pairs, label = [np.empty((0, 4), np.int64)], [np.empty(0, np.int64)]
    for number, line in enumerate(lines):
        key = line[:-1] * size + line[1:]
        place = np.minimum(np.searchsorted(directed[order], key), len(order) - 1)
        here = order[place]
        here = here[(directed[here] == key) & (twins[here] >= 0)]
        pairs.append(np.column_stack([flat[here], flat[twins[here]][:, ::-1]]))
        label.append(np.full(len(here), number, dtype=np.int64))
    return np.concatenate(pairs), np.concatenate(label)
