"""Triangles joined to regions: the loops round triangles of one colour, lines out of pieces."""

from collections.abc import Hashable, Iterable
from typing import TypeVar

import numpy as np

from teewright.junction.skin import IntArray

Key = TypeVar("Key", bound=Hashable)


def boundary_loops(triangles: IntArray) -> list[list[int]]:
    """Closed loops round a set of triangles that are turned in one sense.

    Args:
        triangles: Vertices, shape (m, 3).

    Returns:
        Vertices of each loop, the first not repeated, the region to the left; loops that touch
        in a vertex may run into each other, which leaves the region the same.
    """
    starts = triangles.ravel()
    ends = np.roll(triangles, -1, axis=1).ravel()
    edges = set(zip(starts.tolist(), ends.tolist(), strict=True))
    follow: dict[int, list[int]] = {}
    for a, b in sorted(edges):
        if (b, a) not in edges:
            follow.setdefault(a, []).append(b)
    loops = []
    for start in list(follow):
        while follow[start]:
            loop, at = [start], follow[start].pop()
            while at != start:
                loop.append(at)
                at = follow[at].pop()
            loops.append(loop)
    return loops


def chains(pieces: Iterable[tuple[Key, Key]]) -> list[list[Key]]:
    """Lines out of pieces that share their ends.

    Args:
        pieces: Both ends of each piece.

    Returns:
        Ends in order along each line; a closed line repeats its first.
    """
    meets: dict[Key, list[Key]] = {}
    for a, b in pieces:
        meets.setdefault(a, []).append(b)
        meets.setdefault(b, []).append(a)
    ends = [key for key, others in meets.items() if len(others) != 2]
    lines = []
    for start in (*ends, *meets):
        while meets[start]:
            lines.append(_walk(meets, start))
    return lines


def _walk(meets: dict[Key, list[Key]], start: Key) -> list[Key]:
    """Follow pieces from one end, using each up, as far as it goes."""
    line, at = [start], start
    while meets[at]:
        after = meets[at].pop()
        meets[after].remove(at)
        line.append(after)
        at = after
    return line
