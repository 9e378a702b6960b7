"""Drawings of a formed collar for a page: flat pieces in the colours of the map, and in space."""

import re
from dataclasses import dataclass

import numpy as np
from markupsafe import Markup

from teewright.collar.values import CollarMap, Notch, Panel
from teewright.junction.skin import FloatArray
from teewright.kit.values import Fabric
from teewright.report.figures.maps import junction_figure
from teewright.report.figures.painting import MapPen
from teewright.report.figures.panels import Box, bounds
from teewright.report.figures.projections import CROTCH_SIDE, HEEL_SIDE
from teewright.report.pen import CHAIN, HAIR, INK, LAP, MID, PAPER
from teewright.web.collar_map import Painted, painted
from teewright.web.kept import kept

WIDE = 84.0
"""Width of the widest piece in the pen's millimetres: lines are as bold as on paper."""
FORMED_WIDE, FORMED_TALL = 96.0, 74.0
"""Figure of the collar in space [mm]."""
_MARGIN = 0.012
_NOTCH = 0.008
_SMALL = 26.0
_MM = re.compile(r' width="[\d.]+mm" height="[\d.]+mm"')


@dataclass(frozen=True, slots=True)
class Drawn:
    """A flat piece.

    Attributes:
        name: Of the piece.
        svg: Key of a quantity -> drawing.
        box: What the drawing shows, in flat coordinates [m]: left, low, right, high.
        share: Its width as a share of that of the widest piece [%].
        wide: Between its cut edges across the grain [m].
        tall: Along the grain [m].
        letters: (label, left [%], top [%]) of the notches with short names.
    """

    name: str
    svg: tuple[tuple[str, Markup], ...]
    box: tuple[float, float, float, float]
    share: float
    wide: float
    tall: float
    letters: tuple[tuple[str, float, float], ...]


@kept(32)
def pieces(found: CollarMap, panels: tuple[Panel, ...], fabric: Fabric | None) -> tuple[Drawn, ...]:
    """All pieces at one scale, each in the colours of each quantity.

    Args:
        found: The formed collar.
        panels: Its pieces as cut.
        fabric: Its fabric, or None.
    """
    widest = max(_framed(panel).width for panel in panels)
    return tuple(_piece(panel, found, painted(found, fabric), widest) for panel in panels)


@kept(64)
def formed(found: CollarMap, fabric: Fabric | None, key: str) -> Markup:
    """The collar in space as the printed sheets have it, for browsers that draw no bodies.

    Args:
        found: The formed collar.
        fabric: Its fabric, or None.
        key: Which quantity.
    """
    one = next(part for part in painted(found, fabric) if part.key == key)
    return Markup(
        junction_figure(
            np.array(found.points),
            np.array(found.triangles, dtype=np.int64),
            one.shown,
            scale=one.scale,
            views=(HEEL_SIDE if key == "thickness" else CROTCH_SIDE,),
            width=FORMED_WIDE,
            tallest=FORMED_TALL,
        )
    )


@kept(64)
def outline(panels: tuple[Panel, ...], widest: float, share: float) -> tuple[Markup, ...]:
    """The bare pieces, small, at a scale that all patterns of a list share.

    Args:
        panels: Pieces as cut.
        widest: Width of the widest piece of the list [m].
        share: Of its column that the widest takes up [%].
    """
    made = []
    for panel in panels:
        frame = _Frame(_framed(panel), _SMALL / widest)
        pen = frame.pen()
        pen.shape(frame.line(panel.cut), MID, PAPER)
        if panel.hole:
            pen.shape(frame.line(panel.hole), MID)
        made.append(_sized(pen.svg(), share * frame.box.width / widest))
    return tuple(made)


class _Frame:
    """Flat coordinates [m] to the pen's."""

    def __init__(self, box: Box, per: float) -> None:
        self.box, self.per = box, per

    def pen(self) -> MapPen:
        return MapPen(self.box.width * self.per, self.box.height * self.per)

    def places(self, flat: FloatArray) -> FloatArray:
        corner, way = np.array([self.box.left, self.box.high]), np.array([1.0, -1.0])
        return np.asarray((flat - corner) * way * self.per)

    def line(self, points: tuple[tuple[float, float], ...]) -> list[tuple[float, float]]:
        return [(float(x), float(y)) for x, y in self.places(np.array(points))]


def _framed(panel: Panel) -> Box:
    box = bounds(panel.cut)
    return Box(box.left - _MARGIN, box.low - _MARGIN, box.right + _MARGIN, box.high + _MARGIN)


def _piece(panel: Panel, found: CollarMap, parts: tuple[Painted, ...], widest: float) -> Drawn:
    frame, cut = _Frame(_framed(panel), WIDE / widest), bounds(panel.cut)
    box, share = frame.box, 100.0 * frame.box.width / widest
    return Drawn(
        name=panel.name,
        svg=tuple((one.key, _sized(_drawing(panel, found, one, frame), share)) for one in parts),
        box=(box.left, box.low, box.right, box.high),
        share=share,
        wide=cut.width,
        tall=cut.height,
        letters=tuple(_letter(notch, box) for notch in panel.notches if len(notch.label) == 1),
    )


def _sized(svg: str, share: float) -> Markup:
    """A drawing as wide as a share of its column [%]."""
    return Markup(_MM.sub(f' width="{share:.2f}%"', svg, count=1))


def _drawing(panel: Panel, found: CollarMap, one: Painted, frame: _Frame) -> str:
    pen = frame.pen()
    pen.shape(frame.line(panel.cut), None, PAPER)
    for name, flat, corners, faces in found.flats:
        if name == panel.name:
            places = frame.places(np.array(flat))
            pen.paint(places, np.array(corners, dtype=np.int64), one.shown[list(faces)], one.scale)
    for _, seam in panel.seams:
        pen.cased(frame.line(seam), CHAIN)
    for lap in panel.laps:
        pen.path(frame.line(lap), LAP)
    for notch in panel.notches:
        pen.shape(_triangle(notch, frame), HAIR.coloured(PAPER), INK)
    pen.shape(frame.line(panel.cut), MID)
    if panel.hole:
        pen.shape(frame.line(panel.hole), MID)
    return pen.svg()


def _triangle(notch: Notch, frame: _Frame) -> list[tuple[float, float]]:
    (x, y), (nx, ny) = notch.point, notch.normal
    half, tip = _NOTCH / 2, _NOTCH
    corners = (
        (x + half * ny, y - half * nx),
        (x + tip * nx, y + tip * ny),
        (x - half * ny, y + half * nx),
    )
    return frame.line(corners)


def _letter(notch: Notch, box: Box) -> tuple[str, float, float]:
    """The name of a notch, inside the seam, as shares of the drawing."""
    away = 0.022
    x, y = notch.point[0] - away * notch.normal[0], notch.point[1] - away * notch.normal[1]
    return notch.label, 100.0 * (x - box.left) / box.width, 100.0 * (box.high - y) / box.height
