"""Pieces at 1:1 in millimetres as SVG, to print or to plot.

Near-black on nothing; what a line is for is told by its style: full to cut, chain to sew,
dashed where the other edge reaches, thin for marks.
"""

from collections.abc import Iterable, Sequence
from math import degrees
from xml.etree import ElementTree as ET

from teewright.collar.drawn import SCALE_LENGTH, Drawn, Stroke, Words, check_scale
from teewright.collar.labels import label_lines
from teewright.collar.lettering import words_width
from teewright.collar.marks import drawn
from teewright.collar.nested import nested, roll_edges
from teewright.collar.nesting import Nest
from teewright.collar.values import Collar, Panel

_MM = 1e3
_INK = "#161616"
_FONT = "'Atkinson Hyperlegible', 'Liberation Sans', Arial, sans-serif"
_CAPITAL = 0.7
"""Height of a capital of a plain font, per type size."""
_BORDER = 0.010
_FOOT = 0.022
_STYLE = {
    "cut": {"stroke-width": "0.4"},
    "seam": {"stroke-width": "0.2", "stroke-dasharray": "8 2 1 2"},
    "lap": {"stroke-width": "0.2", "stroke-dasharray": "3 2"},
    "notch": {"stroke-width": "0.2"},
    "mark": {"stroke-width": "0.3"},
    "grain": {"stroke-width": "0.3"},
    "label": {"stroke-width": "0.3"},
    "roll": {"stroke-width": "0.3", "stroke-dasharray": "12 3"},
}
_CHECK = f"this line is {_MM * SCALE_LENGTH:.0f} mm: if not, the print is not 1:1"


def write_panel(panel: Panel, collar: Collar) -> str:
    """Draw one piece at 1:1.

    Args:
        panel: Piece to draw, arrow up.
        collar: Collar to which it belongs.

    Returns:
        An SVG document, width and height in millimetres, one user unit a millimetre.
    """
    piece = drawn(panel, collar)
    return _write([piece], piece.bounds(), ", ".join(label_lines(panel, collar)))


def write_nest(nest: Nest, collars: Sequence[Collar]) -> str:
    """Draw a whole order, nested on its roll, at 1:1.

    Args:
        nest: Where each piece lies; x across the roll, y along it.
        collars: The collars whose pieces were nested.

    Returns:
        An SVG document, width and height in millimetres, one user unit a millimetre.

    Raises:
        UnknownNameError: A piece belongs to none of the collars.
    """
    pieces = nested(nest, collars)
    title = f"{len(pieces)} pieces on {nest.length:.2f} m of a roll of {nest.roll_width:.2f} m"
    return _write(pieces, (0.0, 0.0, nest.roll_width, nest.length), title, roll_edges(nest))


def _write(
    pieces: Iterable[Drawn],
    bounds: tuple[float, float, float, float],
    title: str,
    roll: Sequence[Stroke] = (),
) -> str:
    left, low, right, high = bounds
    wide = max(right - left, words_width(_CHECK, 0.003))
    sheet = _Sheet(left, high, wide, high - low)
    ET.SubElement(sheet.root, "title").text = title
    for stroke in roll:
        sheet.stroke(stroke)
    scale = check_scale(left, low - _BORDER - 0.006, words=_CHECK)
    for piece in (*pieces, scale):
        for stroke in piece.strokes:
            sheet.stroke(stroke)
        for words in piece.words:
            sheet.words(words)
    ET.indent(sheet.root)
    return ET.tostring(sheet.root, encoding="unicode") + "\n"


class _Sheet:
    """An SVG document under way: metres in, millimetres with y down out."""

    def __init__(self, left: float, high: float, width: float, height: float) -> None:
        self.left, self.high = left - _BORDER, high + _BORDER
        wide, tall = ((width + 2.0 * _BORDER) * _MM, (height + 2.0 * _BORDER + _FOOT) * _MM)
        self.root = ET.Element(
            "svg",
            {
                "xmlns": "http://www.w3.org/2000/svg",
                "width": f"{wide:.3f}mm",
                "height": f"{tall:.3f}mm",
                "viewBox": f"0 0 {wide:.3f} {tall:.3f}",
                "font-family": _FONT,
                "fill": _INK,
            },
        )

    def _at(self, point: tuple[float, float]) -> tuple[float, float]:
        return (point[0] - self.left) * _MM, (self.high - point[1]) * _MM

    def stroke(self, stroke: Stroke) -> None:
        """Draw a line."""
        places = " L".join(f"{x:.4f} {y:.4f}" for x, y in map(self._at, stroke.points))
        look = {"class": stroke.layer, "fill": "none", "stroke": _INK, "stroke-linejoin": "round"}
        path = {"d": f"M{places}" + (" Z" if stroke.closed else "")}
        ET.SubElement(self.root, "path", {**look, **_STYLE[stroke.layer], **path})

    def words(self, words: Words) -> None:
        """Write one line about its middle."""
        x, y = self._at(words.at)
        size = words.height * _MM / _CAPITAL
        place = {
            "class": words.layer,
            "x": f"{x:.3f}",
            "y": f"{y + 0.5 * words.height * _MM:.3f}",
            "font-size": f"{size:.2f}",
            "text-anchor": "middle",
        }
        if words.turn:
            place["transform"] = f"rotate({-degrees(words.turn):.2f} {x:.3f} {y:.3f})"
        ET.SubElement(self.root, "text", place).text = words.text
