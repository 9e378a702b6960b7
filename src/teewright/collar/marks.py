"""What is drawn on a piece, told once: every kind of cutting file and sheet draws this.

Notches, centre marks and grain arrow are lines; letters and label are placed where the fabric is
free of them (`teewright.collar.lettering`), so that nothing is clipped and nothing overlaps.
"""

import math
import textwrap
from collections.abc import Iterator, Sequence
from functools import lru_cache

from shapely import LineString, MultiPoint, Point, Polygon, union_all

from teewright.collar.centres import CentreMark, centre_marks
from teewright.collar.drawn import Drawn, Stroke, Words
from teewright.collar.labels import label_lines
from teewright.collar.lettering import (
    CLEAR,
    PITCH,
    FloatArray,
    Room,
    beside,
    box_corners,
    lines_of,
    words_width,
)
from teewright.collar.values import Collar, Notch, Panel, Point2

_NOTCH_WIDTH = 0.005
_NOTCH_DEPTH = 0.6
_FALLBACK = 0.004
_LETTER, _LEAST_LETTER = 0.004, 0.0015
_LABEL_SIZES = (0.008, 0.007, 0.006, 0.005, 0.004, 0.0035)
_LINE_SIZES = (0.004, 0.003, 0.0025, 0.002)
_TURNS = tuple(math.radians(a) for a in (0, 90, 15, -15, 30, -30, 45, -45, 60, -60, 75, -75))
_ARROW_HEAD, _LEAST_ARROW = 0.012, 0.016
_ARROW_SHARES = (1.0, 0.75, 0.5, 0.35, 0.25, 0.15, 0.1)
_NAME = 1.8
"""Room for the word beside the arrow, in heights of a capital."""


def drawn(panel: Panel, collar: Collar) -> Drawn:
    """Everything on a piece, its words placed on free fabric where none lies on another.

    Args:
        panel: Piece of the collar.
        collar: Collar.

    Returns:
        Strokes, the outer cut line first, and words.
    """
    return _drawn(panel, tuple(label_lines(panel, collar)))


@lru_cache(maxsize=256)
def _drawn(panel: Panel, label: tuple[str, ...]) -> Drawn:
    """The same, found once: finding free fabric for the words takes a while."""
    centres = centre_marks(panel)
    strokes = [*_outline(panel), *(Stroke("mark", c.line) for c in centres)]
    room = Room(body(panel))
    room.take(*(lines_of(s.points) for s in strokes if s.layer != "cut"))
    room.take(*(Polygon(s.points) for s in strokes if s.layer == "notch"))
    letter = _letter(panel)
    arrow, words = _grain(room, panel, letter)
    words += [_notch_letters(room, notch, letter) for notch in panel.notches]
    words += [_mark_words(room, centre, letter) for centre in centres]
    words += _label(room, panel, label)
    return Drawn(panel.name, (*strokes, Stroke("grain", arrow)), tuple(words))


def body(panel: Panel) -> Polygon:
    """The piece inside its cut lines."""
    return Polygon(panel.cut, [panel.hole] if panel.hole else [])


def _outline(panel: Panel) -> Iterator[Stroke]:
    yield Stroke("cut", panel.cut, closed=True)
    if panel.hole:
        yield Stroke("cut", panel.hole, closed=True)
    for _, seam in panel.seams:
        yield Stroke("seam", seam)
    for lap in panel.laps:
        yield Stroke("lap", lap)
    for notch in panel.notches:
        yield Stroke("notch", notch_triangle(panel, notch))


def notch_triangle(panel: Panel, notch: Notch) -> tuple[Point2, Point2, Point2]:
    """A notch as the cutter makes it: base on the cut edge, tip towards the seam line.

    Args:
        panel: Panel that carries the notch.
        notch: One of its notches.

    Returns:
        Base, tip, base [m]; the tip stops short of the seam line.
    """
    depth = _allowance_at(panel, notch)
    (x, y), (nx, ny) = notch.point, notch.normal
    tip = depth * (1.0 - _NOTCH_DEPTH)
    half = _NOTCH_WIDTH / 2.0
    edge_x, edge_y = x + depth * nx, y + depth * ny
    return (
        (edge_x - half * ny, edge_y + half * nx),
        (x + tip * nx, y + tip * ny),
        (edge_x + half * ny, edge_y - half * nx),
    )


def _allowance_at(panel: Panel, notch: Notch) -> float:
    """Distance from a notch on the seam line to the cut edge [m]."""
    (x, y), (nx, ny) = notch.point, notch.normal
    ray = LineString([(x, y), (x + 0.1 * nx, y + 0.1 * ny)])
    crossing = ray.intersection(body(panel).boundary)
    if crossing.is_empty:
        return _FALLBACK
    return max(float(crossing.distance(Point(x, y))), _FALLBACK)


def _letter(panel: Panel) -> float:
    """Height of the letters of notches and marks [m]."""
    seams = union_all([LineString(line) for _, line in panel.seams])
    inner = body(panel).difference(seams.buffer(_NOTCH_WIDTH)).area
    across = inner / max(LineString(panel.cut).length / 2.0, 1e-6)
    return min(_LETTER, max(0.0025, across / 8.0))


def _box(text: str, height: float, turn: float = 0.0) -> tuple[float, float, float]:
    """Arguments of `box_corners` for a line of words with free fabric round it."""
    return words_width(text, height) + 2.0 * CLEAR, 1.4 * height + 2.0 * CLEAR, turn


def _notch_letters(room: Room, notch: Notch, height: float) -> Words:
    inwards = (-notch.normal[0], -notch.normal[1])
    return _attached(room, "notch", notch.label, (notch.point, inwards), height)


def _mark_words(room: Room, centre: CentreMark, height: float) -> Words:
    start, end = centre.line
    length = math.dist(start, end)
    inwards = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    return _attached(room, "mark", centre.name, (end, inwards), height)


def _attached(
    room: Room, layer: str, text: str, foot: tuple[Point2, Point2], height: float
) -> Words:
    """Words that belong to a point of an edge, as near to it as there is room."""
    while True:
        corners = box_corners(*_box(text, height))
        tries = beside(*foot, corners, step=height)
        at = next((place for place in tries if room.fits(corners, place)), None)
        at = at or room.nearest(corners, foot[0])
        if at or height <= _LEAST_LETTER:
            found = Words(layer, text, at or foot[0], height)
            room.take(Polygon(found.box()))
            return found
        height *= 0.8


def _grain(room: Room, panel: Panel, letter: float) -> tuple[tuple[Point2, ...], list[Words]]:
    """The arrow where it lies free, and the word on the left of its shaft where it fits."""
    (x0, y0), (x1, y1) = panel.grain
    turn = math.atan2(y1 - y0, x1 - x0)
    c, s = math.cos(turn), math.sin(turn)
    (x, y), length, named = _arrow_place(room, panel, letter, turn)
    aside = _NAME * letter / 2.0 if named else 0.0
    shaft = (x + aside * s, y - aside * c)
    half = (length / 2.0 * c, length / 2.0 * s)
    arrow = _arrow(
        (shaft[0] - half[0], shaft[1] - half[1]), (shaft[0] + half[0], shaft[1] + half[1])
    )
    at = (x - _ARROW_HEAD / 3.0 * s, y + _ARROW_HEAD / 3.0 * c)
    words = [Words("grain", "grain", at, letter, turn)] if named else []
    room.take(_hull(arrow), *(Polygon(w.box()) for w in words))
    return arrow, words


def _arrow_place(
    room: Room, panel: Panel, letter: float, turn: float
) -> tuple[Point2, float, bool]:
    """Middle of the arrow and its word, length of the shaft, and whether the word is there.

    As long as it was asked for, if it can be; then shorter, and at last without its word.
    """
    (x0, y0), (x1, y1) = panel.grain
    wish, whole = ((x0 + x1) / 2.0, (y0 + y1) / 2.0), math.hypot(x1 - x0, y1 - y0)
    least = words_width("grain", letter) + _ARROW_HEAD
    lengths = [whole * share for share in _ARROW_SHARES]
    tries = [(length, True) for length in lengths if length > least]
    tries += [(max(length, _LEAST_ARROW), False) for length in lengths]
    for length, named in tries:
        wide = 2.0 * _ARROW_HEAD / 3.0 + (_NAME * letter if named else 0.0)
        corners = box_corners(length + 2.0 * CLEAR, wide + 2.0 * CLEAR, turn)
        at = room.middle(corners, wish)
        if at:
            return at, length, named
    x, y = body(panel).representative_point().coords[0]
    return (x, y), _LEAST_ARROW, False


def _hull(points: tuple[Point2, ...]) -> Polygon:
    """The least convex shape round the points of an arrow."""
    hull = MultiPoint(points).convex_hull
    return hull if isinstance(hull, Polygon) else Polygon()


def _arrow(start: Point2, end: Point2) -> tuple[Point2, ...]:
    """An arrow in one stroke: start, end, one barb, end, other barb [m]."""
    length = math.dist(start, end)
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    head = min(_ARROW_HEAD, length / 3.0)
    back_x, back_y = end[0] - head * ux, end[1] - head * uy
    half = head / 3.0
    left = (back_x - half * uy, back_y + half * ux)
    right = (back_x + half * uy, back_y - half * ux)
    return start, end, left, end, right


def _label(room: Room, panel: Panel, lines: tuple[str, ...]) -> list[Words]:
    """The label as one block, upright if it can be; in parts where no block fits."""
    for height in _LABEL_SIZES:
        for turn in _TURNS[:2]:
            at = room.middle(_block_corners(lines, height, turn), panel.label_at)
            if at:
                return _block(lines, at, height, turn)
    return [words for line in lines for words in _part(room, line, panel.label_at)]


def _block_corners(lines: Sequence[str], height: float, turn: float) -> FloatArray:
    wide = max(words_width(line, height) for line in lines) + 2.0 * CLEAR
    tall = ((len(lines) - 1) * PITCH + 1.4) * height + 2.0 * CLEAR
    return box_corners(wide, tall, turn)


def _block(lines: Sequence[str], at: Point2, height: float, turn: float) -> list[Words]:
    found = []
    for row, line in enumerate(lines):
        down = (row - (len(lines) - 1) / 2.0) * PITCH * height
        x, y = at[0] + down * math.sin(turn), at[1] - down * math.cos(turn)
        found.append(Words("label", line, (x, y), height, turn))
    return found


def _part(room: Room, line: str, wish: Point2) -> list[Words]:
    """One line of a label wherever it finds room, as large and as level as it can be."""
    halves = textwrap.wrap(line, max(int(0.6 * len(line)), 8))
    for height in _LINE_SIZES:
        for rows in ([line], halves):
            for turn in _TURNS:
                at = room.anywhere(_block_corners(rows, height, turn))
                if at:
                    found = _block(rows, at, height, turn)
                    room.take(*(Polygon(words.box()) for words in found))
                    return found
    return [Words("label", line, wish, _LEAST_LETTER)]
