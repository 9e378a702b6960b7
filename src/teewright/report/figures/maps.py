"""Maps of values on a formed collar in space and on its flat pieces, in the same colours."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from teewright.errors import InputError
from teewright.junction.skin import FloatArray, IntArray
from teewright.report.figures.labels import (
    Extreme,
    Label,
    Room,
    extremes,
    middles,
    untold,
    write,
)
from teewright.report.figures.outlines import in_sight, outline
from teewright.report.figures.painting import MapPen, simplified
from teewright.report.figures.projections import (
    CROTCH_SIDE,
    HEEL_SIDE,
    Picture,
    View,
    project,
)
from teewright.report.figures.scale import Scale, bar_height, draw_bar
from teewright.report.pen import MID, THIN

WIDTH = 178.0
"""Of both figures [mm]."""
TALLEST = 80.0
"""Most height for the pictures in space [mm]."""
INSIDE = "#efece6"
"""Ground of what is seen from inside."""

_GAP = 8.0
_LINE = 3.8
_SIDE = 2.0
_SEAM = THIN


def junction_figure(
    points: FloatArray,
    triangles: IntArray,
    values: FloatArray,
    *,
    scale: Scale,
    lines: Sequence[IntArray] = (),
    views: Sequence[View] = (CROTCH_SIDE, HEEL_SIDE),
    width: float = WIDTH,
    tallest: float = TALLEST,
) -> str:
    """The formed collar in space with a value on each triangle.

    Args:
        points: Shape (n, 3) [m].
        triangles: Counter-clockwise seen from outside, shape (m, 3).
        values: Of each triangle in the unit of the scale, nan where there is none, shape (m,).
        scale: Of the map.
        lines: Vertices in order along each seam.
        views: One picture each, side by side at one scale.
        width: Of the figure [mm].
        tallest: Most height for the pictures [mm].

    Returns:
        SVG: pictures with captions, extreme values marked, the bar of the scale under them.

    Raises:
        InputError: Arrays that do not belong together.
    """
    check_arrays(points, triangles, values, 3)
    pictures = [project(points, triangles, view) for view in views]
    boxes = _boxes(pictures, width, tallest)
    labels = _labels(boxes, triangles, extremes(values, scale), scale)
    row = boxes[0].tall + 3.6
    foot = row + (_LINE if untold(labels) else 0.0)
    pen = MapPen(width, foot + 4.0 + bar_height(scale, width, values))
    for box in boxes:
        _solid(pen, box, (points, triangles, values), scale, lines)
        pen.text((box.left, row), box.picture.view.words)
    write(pen, labels, (0.0, foot))
    draw_bar(pen, (0.0, foot + 3.0), width, scale, values)
    return pen.svg()


def check_arrays(points: FloatArray, triangles: IntArray, values: FloatArray, axes: int) -> None:
    """Refuse arrays of a map that do not belong together.

    Args:
        points: Shape (n, axes).
        triangles: Shape (m, 3).
        values: Shape (m,).
        axes: 2 or 3.

    Raises:
        InputError: With the shapes.
    """
    shapes = f"points {points.shape}, triangles {triangles.shape}, values {values.shape}"
    fits = points.ndim == triangles.ndim == 2 and triangles.shape[1] == 3
    if not (fits and points.shape[1] == axes and values.shape == triangles.shape[:1]):
        raise InputError(f"arrays of a map do not belong together: {shapes}")
    if not len(triangles) or not np.isfinite(points).all():
        raise InputError(f"a map needs triangles at finite places: {shapes}")


@dataclass(frozen=True, slots=True)
class _Box:
    """A picture and its place on paper."""

    picture: Picture
    left: float
    wide: float
    tall: float
    per: float

    def places(self, plane: FloatArray) -> FloatArray:
        """(right, up) [m] to the paper, in the middle of the box [mm]."""
        low, high = self.picture.plane.min(axis=0), self.picture.plane.max(axis=0)
        x = self.left + self.wide / 2 + (plane[:, 0] - (low[0] + high[0]) / 2) * self.per
        y = self.tall / 2 - (plane[:, 1] - (low[1] + high[1]) / 2) * self.per
        return np.column_stack([x, y])


def _boxes(pictures: Sequence[Picture], width: float, tallest: float) -> list[_Box]:
    wide = (width - _GAP * (len(pictures) - 1)) / len(pictures)
    sizes = [p.plane.max(axis=0) - p.plane.min(axis=0) for p in pictures]
    room = wide - 2 * _SIDE
    per = min(min(room / size[0], (tallest - 2 * _SIDE) / size[1]) for size in sizes)
    tall = max(float(size[1]) for size in sizes) * per + 2 * _SIDE
    return [_Box(p, k * (wide + _GAP), wide, tall, float(per)) for k, p in enumerate(pictures)]


Surface = tuple[FloatArray, IntArray, FloatArray]


def _solid(
    pen: MapPen, box: _Box, surface: Surface, scale: Scale, lines: Sequence[IntArray]
) -> None:
    points, triangles, values = surface
    picture = box.picture
    places = box.places(picture.plane)
    for layer in range(int(picture.layer.max()) + 1):
        now = picture.layer == layer
        back, front = now & ~picture.front, now & picture.front
        pen.region(places, triangles[back], INSIDE)
        pen.paint(places, triangles[front], values[front], scale)
    for line in lines:
        for part in in_sight(points[line], picture):
            pen.cased(simplified(box.places(part)), _SEAM)
    for part in outline(points, triangles, picture):
        pen.path(simplified(box.places(part)), MID)


def _labels(
    boxes: Sequence[_Box], triangles: IntArray, found: Sequence[Extreme], scale: Scale
) -> list[Label]:
    """Each extreme in the view that looks at it most squarely, its words where there is room."""
    rooms = [_room(box) for box in boxes]
    labels = []
    for extreme in found:
        figure = scale.written(extreme.value)
        seen = [
            (_squareness(box.picture, face, triangles[face]), -k, face)
            for k, box in enumerate(boxes)
            for face in extreme.faces
        ]
        area, k, face = max(seen, key=lambda one: (one[0], one[1]))
        if area <= 0.0:
            labels.append(Label(extreme.word, figure))
            continue
        box, room = boxes[-k], rooms[-k]
        x, y = box.places(middles(box.picture.plane, triangles, [face]))[0]
        labels.append(room.label(extreme.word, figure, (float(x), float(y))))
    return labels


def _room(box: _Box) -> Room:
    room = Room(box.left, (box.wide, box.tall))
    rows, columns = np.nonzero(np.isfinite(box.picture.nearest))
    cells = np.column_stack([columns, rows]) + 0.5
    room.take(box.places(box.picture.corner + cells * box.picture.cell))
    return room


def _squareness(picture: Picture, face: int, corners: IntArray) -> float:
    """Area of a triangle as it is seen, 0 where it is hidden [m2]."""
    if picture.layer[face] < 0 or not picture.front[face]:
        return 0.0
    a, b, c = picture.plane[corners]
    return float((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])) / 2
