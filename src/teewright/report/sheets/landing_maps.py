"""Maps of a landing sheet: stretch in space and on the flat pieces, wrinkles, thickness."""

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from teewright.collar.landing import INNER, quantile, triangle_areas
from teewright.collar.values import CollarMap
from teewright.junction.skin import FloatArray, IntArray
from teewright.kit.values import Fabric
from teewright.report import words
from teewright.report.figures.flat_maps import FlatMap, panels_figure
from teewright.report.figures.maps import junction_figure
from teewright.report.figures.patches import boundary_loops
from teewright.report.figures.projections import CROTCH_SIDE, HEEL_SIDE
from teewright.report.figures.scale import Scale
from teewright.report.sheets.sheet import Json

_TALL, _FLAT_TALL = 66.0, 58.0
_FOLDS = -1.0
_OUTLIERS = "Drawn for 99 % of the area; at the ends of seams single values are not to be trusted."


def figures(found: CollarMap | None, fabric: Fabric | None) -> dict[str, Json]:
    """Figures of a landing sheet, empty where no picture was kept.

    Args:
        found: The formed shape, or None.
        fabric: Its fabric, or None.
    """
    if found is None:
        return {"formed": "", "flat": "", "wrinkle": "", "thickness": ""}
    points, triangles = np.array(found.points), np.array(found.triangles, dtype=np.int64)
    area = triangle_areas(points, triangles)
    seams = _seams(found)
    stretch = clipped(np.array(found.stretch), area)
    scale = stretch_scale(stretch, fabric)
    margin = clipped(100.0 * np.array(found.wrinkle), area)
    thickness = 1e3 * np.array(found.thickness)
    return {
        "formed": junction_figure(
            points, triangles, stretch, scale=scale, lines=seams, tallest=_TALL
        ),
        "flat": panels_figure(_flats(found, stretch), scale=scale, tallest=_FLAT_TALL, bar=False),
        "wrinkle": junction_figure(
            points, triangles, margin, scale=wrinkle_scale(margin), lines=seams,
            views=(CROTCH_SIDE,), width=86.0, tallest=_TALL,
        ),
        "thickness": junction_figure(
            points, triangles, thickness, scale=thickness_scale(thickness), lines=seams,
            views=(HEEL_SIDE,), width=86.0, tallest=_TALL,
        ),
    }  # fmt: skip


def clipped(values: FloatArray, area: FloatArray) -> FloatArray:
    """Values of which the outer hundredth of the area at either end is drawn in.

    Args:
        values: Of each triangle, shape (m,).
        area: Of each triangle, shape (m,) [m2].
    """
    low, high = quantile(values, area, INNER), quantile(values, area, 1.0 - INNER)
    return np.asarray(np.clip(values, low, high))


def stretch_scale(values: FloatArray, fabric: Fabric | None) -> Scale:
    """From 1, or what is less, to the greatest stretch, in whole hundredths."""
    low = math.floor(100.0 * min(float(np.min(values)), 1.0) + 1e-6) / 100.0
    high = max(math.ceil(100.0 * float(np.max(values)) - 1e-6) / 100.0, low + 0.05)
    note = _OUTLIERS
    if fabric is not None:
        bears = f"{fabric.stretch_along:.2f} along and {fabric.stretch_across:.2f} across the grain"
        note = f"The fabric bears {bears}. {note}"
    return Scale("Greatest stretch, formed / cut", "", low, high, decimals=3, note=note)


def wrinkle_scale(values: FloatArray) -> Scale:
    """Evenly to both sides of the wrinkle limit, in whole percent."""
    reach = max(math.ceil(float(np.max(np.abs(values))) - 1e-6), 1.0)
    note = "Below 0 the fabric is too long for its place and folds; above 0 it is taut. As above."
    return Scale(
        "Wrinkle margin", "%", -reach, reach, limit=0.0, decimals=1, note=note, hatched=_FOLDS
    )


def thickness_scale(values: FloatArray) -> Scale:
    """All that was found, in whole tenths of a millimetre."""
    low = math.floor(10.0 * float(np.min(values)) + 1e-6) / 10.0
    high = max(math.ceil(10.0 * float(np.max(values)) - 1e-6) / 10.0, low + 0.1)
    note = "Under pressure; the wall check takes the least."
    return Scale("Thickness, formed", "mm", low, high, decimals=2, note=note)


def _seams(found: CollarMap) -> list[IntArray]:
    """Vertices along each seam, by their places."""
    at = {place: k for k, place in enumerate(found.points)}
    lines = ([at[p] for p in line if p in at] for line in found.seams)
    return [np.array(line, dtype=np.int64) for line in lines if len(line) > 1]


def _flats(found: CollarMap, values: FloatArray) -> list[FlatMap]:
    seams = {p for line in found.seams for p in line}
    out = []
    for name, flat, corners, faces in found.flats:
        triangles = np.array(corners, dtype=np.int64)
        mesh = [found.triangles[face] for face in faces]
        sewn = _sewn(corners, mesh, found, seams)
        out.append(
            FlatMap(
                words.capital(name), np.array(flat), triangles, values[list(faces)],
                _boundary(triangles, sewn),
            )
        )  # fmt: skip
    return out


def _sewn(
    corners: Sequence[tuple[int, int, int]],
    mesh: Sequence[tuple[int, int, int]],
    found: CollarMap,
    seams: set[tuple[float, float, float]],
) -> set[int]:
    """Vertices of a flat piece that lie on a seam."""
    pairs = zip(corners, mesh, strict=True)
    return {k for a, b in pairs for k, n in zip(a, b, strict=True) if found.points[n] in seams}


def _boundary(triangles: IntArray, sewn: set[int]) -> tuple[tuple[str, IntArray], ...]:
    """Lines round a flat piece, seams and free edges apart."""
    lines: list[tuple[str, IntArray]] = []
    for loop in boundary_loops(triangles):
        closed = [*loop, loop[0]]
        names = ["seam" if a in sewn and b in sewn else "end" for a, b in pairwise(closed)]
        start = 0
        for k in range(1, len(names) + 1):
            if k == len(names) or names[k] != names[start]:
                lines.append((names[start], np.array(closed[start : k + 1], dtype=np.int64)))
                start = k
    return tuple(lines)
