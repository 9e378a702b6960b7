"""Maps of values on flat pieces, at a stated scale."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from teewright.junction.skin import FloatArray, IntArray
from teewright.report import letters
from teewright.report.figures.labels import Label, Room, extremes, middles, untold, write
from teewright.report.figures.maps import WIDTH, check_arrays
from teewright.report.figures.painting import MapPen, simplified
from teewright.report.figures.panels import SCALES
from teewright.report.figures.projections import covered
from teewright.report.figures.scale import Scale, bar_height, draw_bar
from teewright.report.pen import CHAIN, HAIR, MID, Lettering

_GAP, _ROW_GAP, _TITLE, _GRAIN = 9.0, 4.0, 5.0, 5.0
_TALLEST = 110.0
_LINE = 3.8
_KEY = "full line: free edge; chain line: seam, without its allowance"
_TITLES = Lettering(9.0, 600)


@dataclass(frozen=True, slots=True, eq=False)
class FlatMap:
    """One flat piece with a value on each triangle.

    Attributes:
        name: As it is written over the piece.
        flat: (across the grain, along the grain) of each vertex, shape (k, 2) [m].
        triangles: Turned in one sense, shape (t, 3).
        values: Of each triangle in the unit of the scale, nan where there is none, shape (t,).
        lines: (name, vertices in order) of the boundary; `end` is a free edge, the rest seams.
    """

    name: str
    flat: FloatArray
    triangles: IntArray
    values: FloatArray
    lines: tuple[tuple[str, IntArray], ...] = ()


def panels_figure(
    pieces: Sequence[FlatMap],
    *,
    scale: Scale,
    ratio: int | None = None,
    width: float = WIDTH,
    tallest: float = _TALLEST,
    bar: bool = True,
) -> str:
    """Flat pieces with a value on each triangle, side by side, in the colours of the scale.

    Args:
        pieces: At least one.
        scale: Of the map.
        ratio: The number after `1 : `; None for the largest at which the pieces find room.
        width: Of the figure [mm].
        tallest: Most height for the pieces [mm].
        bar: Whether the bar of the scale is drawn; not where it stands over the pieces already.

    Returns:
        SVG: pieces with their grain, extreme values marked, the bar of the scale under them.

    Raises:
        InputError: Arrays that do not belong together, or no pieces.
    """
    for piece in pieces:
        check_arrays(piece.flat, piece.triangles, piece.values, 2)
    ratio = ratio or ratio_for(pieces, width=width, tallest=tallest)
    places = _placed(pieces, ratio, width)
    values = np.concatenate([piece.values for piece in pieces])
    labels = _labels(places, width, scale)
    words = letters.wrap(f"scale 1 : {ratio}; {_KEY}", width, 8.0)
    row = max(place.foot for place in places) + 4.0
    foot = row + _LINE * (len(words) if untold(labels) else len(words) - 1)
    pen = MapPen(width, foot + (3.0 + bar_height(scale, width, values) if bar else 1.5))
    for place in places:
        _piece(pen, place, scale)
    write(pen, labels, (0.0, foot))
    for k, line in enumerate(words):
        pen.text((0.0, row + _LINE * k), line)
    if bar:
        draw_bar(pen, (0.0, foot + 3.0), width, scale, values)
    return pen.svg()


def ratio_for(pieces: Sequence[FlatMap], *, width: float = WIDTH, tallest: float = _TALLEST) -> int:
    """Largest scale at which the pieces find room side by side, the number after `1 : `."""
    for ratio in SCALES:
        places = _placed(pieces, ratio, width)
        if all(p.right <= width and p.foot <= tallest for p in places):
            return ratio
    return SCALES[-1]


@dataclass(frozen=True, slots=True, eq=False)
class _Placed:
    """A piece on paper, its longer side across [mm]."""

    piece: FlatMap
    at: FloatArray
    turned: bool
    left: float
    top: float
    right: float
    foot: float


def _placed(pieces: Sequence[FlatMap], ratio: int, width: float) -> list[_Placed]:
    """Set pieces in rows, a new row where the next finds no room."""
    found: list[_Placed] = []
    x = y = row = 0.0
    for piece in pieces:
        at, turned = _laid(piece.flat, 1e3 / ratio)
        wide, tall = (float(v) for v in at.max(axis=0))
        beside, under = (0.0, _GRAIN) if turned else (_GRAIN, 0.0)
        if x > 0.0 and x + beside + wide > width:
            x, y, row = 0.0, y + row + _ROW_GAP, 0.0
        left, top = x + beside, y + _TITLE
        whole = _TITLE + tall + under
        corner = np.array([left, top])
        found.append(_Placed(piece, at + corner, turned, left, top, left + wide, y + whole))
        x, row = max(left + wide, x + beside + _title_width(piece)) + _GAP, max(row, whole)
    return found


def _title_width(piece: FlatMap) -> float:
    return letters.width(piece.name, _TITLES.size, _TITLES.weight)


def _laid(flat: FloatArray, per: float) -> tuple[FloatArray, bool]:
    """Paper coordinates from the top left corner, and whether the grain runs across."""
    size = flat.max(axis=0) - flat.min(axis=0)
    turned = bool(size[1] > size[0])
    up = np.column_stack([flat[:, 1], -flat[:, 0]]) if turned else flat
    paper = up * np.array([per, -per])
    return paper - paper.min(axis=0), turned


def _piece(pen: MapPen, place: _Placed, scale: Scale) -> None:
    piece = place.piece
    pen.text((place.left, place.top - 1.6), piece.name, _TITLES)
    pen.paint(place.at, piece.triangles, piece.values, scale)
    for name, line in piece.lines:
        points = simplified(place.at[line])
        if name == "end":
            pen.path(points, MID)
        else:
            pen.cased(points, CHAIN)
    _grain(pen, place)


def _grain(pen: MapPen, place: _Placed) -> None:
    """An arrow along the grain beside the piece, with its word where it finds room."""
    style = Lettering(anchor="middle", plate=True, turn=0.0 if place.turned else -90.0)
    if place.turned:
        y, foot = place.foot - _GRAIN + 2.6, place.foot - _GRAIN + 3.6
        middle = (place.left + place.right) / 2
        half = min((place.right - place.left) / 2, 14.0)
        ends = ((middle - half, y), (middle + half, y))
        at = (middle, foot)
    else:
        middle = (place.top + place.foot) / 2
        half = min((place.foot - place.top) / 2, 14.0)
        x = place.left - 2.6
        ends = ((x, middle - half), (x, middle + half))
        at = (x + 1.0, middle)
    pen.arrow(*ends, HAIR, both=True)
    if 2 * half > letters.width("grain", 8.0) + 6.0:
        pen.text(at, "grain", style)


def _labels(places: Sequence[_Placed], width: float, scale: Scale) -> list[Label]:
    """The extremes of all pieces together, each with its value where nothing is drawn."""
    room = Room(0.0, (width, max(place.foot for place in places)))
    for place in places:
        room.take(covered(place.at, place.piece.triangles, 0.4))
        wide, tall = place.right - place.left, place.foot - place.top
        room.take_rectangle((place.left, place.top - _TITLE), (_title_width(place.piece), _TITLE))
        beside = (
            (place.left, place.foot - _GRAIN) if place.turned else (place.left - _GRAIN, place.top)
        )
        room.take_rectangle(beside, (wide, _GRAIN) if place.turned else (_GRAIN, tall))
    starts = np.cumsum([0, *(len(place.piece.values) for place in places)])
    labels = []
    for extreme in extremes(np.concatenate([p.piece.values for p in places]), scale):
        k = int(np.searchsorted(starts, extreme.faces[0], side="right")) - 1
        place, face = places[k], extreme.faces[0] - int(starts[k])
        x, y = middles(place.at, place.piece.triangles, [face])[0]
        figure = scale.written(extreme.value)
        labels.append(room.label(extreme.word, figure, (float(x), float(y))))
    return labels
