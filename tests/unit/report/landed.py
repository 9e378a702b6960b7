"""Invented landings: what a forming run would tell of a collar, without one."""

import math
from dataclasses import replace

import numpy as np

from teewright.collar.values import (
    CollarMap,
    Edge,
    Landing,
    Limit,
    Offer,
    Tolerance,
)
from teewright.junction.mesh import mesh_skin
from teewright.junction.values import Junction, Seam, Skin


def limits(fold: float = 0.0021, gap: float = 0.0006) -> tuple[Limit, ...]:
    """The five limits of a collar."""
    return (
        Limit("stretch along the grain", 1.062, None, 1.25, "-", "a softer fabric", 1.0),
        Limit("stretch across the grain", 1.048, None, 1.35, "-", "a softer fabric", 1.0),
        Limit("height of wrinkles", fold, None, 0.006, "m", "a layout with more seams"),
        Limit("gap behind the fabric", gap, None, 0.002, "m", "more pressure"),
        Limit("edge short of its place", 0.0011, None, 0.005, "m", "a longer sleeve"),
    )


def landing(fold: float = 0.0021, gap: float = 0.0006) -> Landing:
    """A landing that keeps its limits unless the fold or the gap is too large [m]."""
    return Landing(
        pressure=0.5e5,
        pressure_landed=0.34e5,
        edges=(
            Edge("upstream", 0.2, 0.1989, 0.2006),
            Edge("downstream", 0.2, 0.2001, 0.2009),
            Edge("branch", 0.15, 0.1492, 0.1498),
        ),
        stretch=(0.71, 1.118),
        stretch_inner=(0.978, 1.071),
        thickness=(0.0039, 0.0045),
        wrinkle_strain=0.2,
        wrinkle_height=fold,
        gap=gap,
        resin=(0.0033, 0.0036, 0.0038),
        limits=limits(fold, gap),
        rounds=3,
        runs=4,
        triangles=2400,
        drift=0.0004,
    )


def unsteady() -> Landing:
    """A landing that breaks its limits, at no pressure, with values that are no numbers."""
    return replace(landing(fold=0.0071, gap=math.inf), pressure_landed=math.nan)


def tolerance() -> Tolerance:
    """An envelope of everyday size."""
    return Tolerance(
        along=0.00637,
        round=math.radians(3.19),
        main=0.00299,
        branch=0.0021,
        angle=math.radians(2.05),
        fillet=0.00249,
        runs=40,
        share=0.9279,
        confidence=0.95,
        breaks=("edge short of its place", "height of wrinkles", "", *(["height of wrinkles"] * 3)),
    )


def no_tolerance() -> Tolerance:
    """What is told where nothing may be off."""
    return Tolerance(
        along=0.0, round=0.0, main=0.0, branch=0.0, angle=0.0, fillet=0.0,
        runs=0, share=0.0, confidence=0.95, breaks=("height of wrinkles",) * 6,
    )  # fmt: skip


def offers(chosen: str = "saddle seam") -> tuple[Offer, ...]:
    """All layouts, one of them without flat pieces."""
    found = (
        Offer("saddle seam", 1.066, 1.303, 1.058, 2, chosen=False),
        Offer("four pieces", 1.044, 1.303, 1.592, 4, chosen=False),
        Offer("mirror halves", 1.231, 1.303, 1.246, 2, chosen=False),
        Offer("edge strip", 1.319, 1.303, 1.451, 3, chosen=False),
        Offer("one piece", math.inf, 1.303, 0.746, 1, chosen=False),
    )
    return tuple(replace(o, chosen=o.layout == chosen) for o in found)


def collar_map(junction: Junction, *, inset: float = 0.002) -> CollarMap:
    """The middle surface of a fabric on a junction, stretched most where the branch leaves."""
    middle = junction.main_diameter / 2.0 / math.tan(junction.angle)
    crown = junction.main_diameter / 2.0 / math.sin(junction.angle)
    mesh = mesh_skin(
        Skin(junction, inset),
        sleeve=(middle - 0.2, middle + 0.2),
        top=crown + 0.15,
        seam=Seam(0.6, 0.6, 0.6),
        size=0.012,
        half=False,
    )
    points, triangles = mesh.points, mesh.triangles
    high = points[triangles].mean(axis=1)[:, 2] - junction.main_diameter / 2.0
    near = np.exp(-((high / 0.03) ** 2))
    seam = mesh.grid[mesh.seam_row]
    flat, corners = _sheet(16, 8)
    return CollarMap(
        points=tuple((x, y, z) for x, y, z in points.tolist()),
        triangles=tuple((a, b, c) for a, b, c in triangles.tolist()),
        stretch=tuple((1.02 + 0.05 * near).tolist()),
        least=tuple((0.99 - 0.02 * near).tolist()),
        thickness=tuple((0.0044 - 0.0004 * near).tolist()),
        wrinkle=tuple((0.01 - 0.04 * near).tolist()),
        seams=(tuple((x, y, z) for x, y, z in points[np.append(seam, seam[0])].tolist()),),
        flats=(
            (
                "main",
                flat,
                corners,
                tuple(range(len(corners))),
            ),
        ),
    )


def _sheet(
    across: int, up: int
) -> tuple[tuple[tuple[float, float], ...], tuple[tuple[int, int, int], ...]]:
    """A flat rectangle in triangles, 0.64 m by 0.4 m."""
    points = tuple(
        (0.64 * i / across, 0.4 * j / up) for j in range(up + 1) for i in range(across + 1)
    )
    corners: list[tuple[int, int, int]] = []
    for j in range(up):
        for i in range(across):
            k = j * (across + 1) + i
            above = k + across + 1
            corners += [(k, k + 1, above + 1), (k, above + 1, above)]
    return points, tuple(corners)
