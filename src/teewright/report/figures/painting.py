"""A pen for maps: regions of one colour, hatched parts, lines that show on any ground, marks."""

from collections.abc import Sequence

import numpy as np

from teewright.junction.skin import FloatArray, IntArray
from teewright.report.figures.patches import boundary_loops
from teewright.report.figures.scale import Scale
from teewright.report.pen import INK, PAPER, Pen, Point, Stroke, number

_HATCH_STEP = 1.1
_RING = 0.85


class MapPen(Pen):
    """Draws regions of triangles as few, closed paths."""

    def paint(
        self, places: FloatArray, triangles: IntArray, values: FloatArray, scale: Scale
    ) -> None:
        """Paint triangles in the colours of their classes and hatch those beyond a limit.

        Args:
            places: Of the vertices on paper, shape (n, 2) [mm].
            triangles: Turned in one sense, shape (m, 3).
            values: Of each, shape (m,).
            scale: Of the map.
        """
        classes = scale.classes(values)
        for k in np.unique(classes):
            self.region(places, triangles[classes == k], scale.colour(int(k)))
        self.hatched(places, triangles[scale.beyond(values)])

    def region(self, places: FloatArray, triangles: IntArray, colour: str) -> None:
        """Fill triangles with one colour, with a fine line of it against gaps."""
        if not len(triangles):
            return
        loops = boundary_loops(triangles)
        body = "".join(f"M{_written(places[loop])}Z" for loop in loops)
        self._marks.append(
            f'<path d="{body}" fill="{colour}" fill-rule="evenodd" stroke="{colour}"'
            ' stroke-width="0.25" stroke-linejoin="round"/>'
        )

    def hatched(self, places: FloatArray, triangles: IntArray) -> None:
        """Hatch triangles at 45 degrees, dark on light, so that it shows on every colour."""
        if not len(triangles):
            return
        import shapely  # noqa: PLC0415 - heavy, and only what breaks a limit is hatched

        shape = shapely.union_all(shapely.polygons(places[triangles]))
        left, top, right, foot = shape.bounds
        tall = foot - top
        starts = np.arange(left - tall, right, _HATCH_STEP)
        lines = shapely.linestrings([((x, foot), (x + tall, top)) for x in starts])
        pieces = shapely.get_parts(shapely.get_parts(shapely.intersection(lines, shape)))
        written = [
            f"M{_written(shapely.get_coordinates(piece))}"
            for piece in pieces
            if piece.geom_type == "LineString" and piece.length > 0.1
        ]
        body = "".join(written)
        for width, colour in ((0.45, PAPER), (0.16, INK)):
            self._marks.append(
                f'<path d="{body}" fill="none" stroke="{colour}" stroke-width="{width}"/>'
            )

    def cased(self, points: Sequence[Point], stroke: Stroke) -> None:
        """Draw a line with a light edge, so that it shows on every colour."""
        self.path(points, Stroke(stroke.width + 0.4, PAPER))
        self.path(points, stroke)

    def ring(self, at: Point) -> None:
        """Mark an exact point."""
        self.circle(at, _RING + 0.35, None, PAPER)
        self.circle(at, _RING, Stroke(0.3, INK), PAPER)


def _written(line: FloatArray) -> str:
    return "L".join(f"{number(x)} {number(y)}" for x, y in line.tolist())


def simplified(line: FloatArray, tolerance: float = 0.02) -> list[Point]:
    """Points of a line without those that a straight line passes.

    Args:
        line: Shape (k, 2) [mm].
        tolerance: Largest distance of a point left out [mm].

    Returns:
        The rest.
    """
    import shapely  # noqa: PLC0415 - heavy

    kept = shapely.get_coordinates(shapely.simplify(shapely.linestrings(line), tolerance))
    return [(float(x), float(y)) for x, y in kept]
