"""A panel at 1:1 in millimetres as SVG, to print or to plot.

Near-black on nothing; what a line is for is told by its style: full to cut, chain to sew,
dashed where the other edge reaches, thin for marks.
"""

from collections.abc import Sequence
from xml.etree import ElementTree as ET

from teewright.collar.marks import (
    SCALE_LENGTH,
    grain_arrow,
    grain_label_at,
    label_lines,
    label_size,
    notch_label_at,
    notch_triangle,
)
from teewright.collar.values import Collar, Notch, Panel, Point2

_MM = 1e3
_INK = "#161616"
_FONT = "'Atkinson Hyperlegible', 'Liberation Sans', Arial, sans-serif"
_BORDER = 10.0
_FOOT = 22.0
_STYLE = {
    "cut": {"stroke-width": "0.4"},
    "seam": {"stroke-width": "0.2", "stroke-dasharray": "8 2 1 2"},
    "lap": {"stroke-width": "0.2", "stroke-dasharray": "3 2"},
    "notch": {"stroke-width": "0.2"},
    "grain": {"stroke-width": "0.3"},
    "scale": {"stroke-width": "0.3"},
}


def write_panel(panel: Panel, collar: Collar) -> str:
    """Draw one panel at 1:1.

    Args:
        panel: Panel to draw, arrow up.
        collar: Collar to which it belongs.

    Returns:
        An SVG document, width and height in millimetres, one user unit a millimetre.
    """
    sheet = _Sheet(panel)
    title = ET.SubElement(sheet.root, "title")
    title.text = ", ".join(label_lines(panel, collar))
    sheet.line("cut", panel.cut, closed=True)
    if panel.hole:
        sheet.line("cut", panel.hole, closed=True)
    for _, seam in panel.seams:
        sheet.line("seam", seam)
    for lap in panel.laps:
        sheet.line("lap", lap)
    sheet.line("grain", grain_arrow(panel))
    sheet.text("grain", sheet.at(grain_label_at(panel)), 0.6 * label_size(panel) * _MM)
    for notch in panel.notches:
        _draw_notch(sheet, panel, notch)
    _draw_label(sheet, panel, collar)
    _draw_foot(sheet)
    ET.indent(sheet.root)
    return ET.tostring(sheet.root, encoding="unicode") + "\n"


class _Sheet:
    """An SVG document under way: metres in, millimetres with y down out."""

    def __init__(self, panel: Panel) -> None:
        xs, ys = zip(*panel.cut, strict=True)
        self.left, self.high = min(xs), max(ys)
        self.height = (self.high - min(ys)) * _MM + 2.0 * _BORDER + _FOOT
        width = max((max(xs) - min(xs)) * _MM, SCALE_LENGTH * _MM) + 2.0 * _BORDER
        self.root = ET.Element(
            "svg",
            {
                "xmlns": "http://www.w3.org/2000/svg",
                "width": f"{width:.3f}mm",
                "height": f"{self.height:.3f}mm",
                "viewBox": f"0 0 {width:.3f} {self.height:.3f}",
                "font-family": _FONT,
                "fill": _INK,
            },
        )

    def at(self, point: Point2) -> tuple[float, float]:
        """Place of a point of the panel on the sheet [mm]."""
        return (point[0] - self.left) * _MM + _BORDER, (self.high - point[1]) * _MM + _BORDER

    def line(self, kind: str, line: Sequence[Point2], *, closed: bool = False) -> None:
        """Draw a line of the panel [m]."""
        self.stroke(kind, [self.at(point) for point in line], closed=closed)

    def stroke(
        self, kind: str, line: Sequence[tuple[float, float]], *, closed: bool = False
    ) -> None:
        """Draw a line of the sheet [mm]."""
        places = " L".join(f"{x:.4f} {y:.4f}" for x, y in line)
        look = {"class": kind, "fill": "none", "stroke": _INK, "stroke-linejoin": "round"}
        path = {"d": f"M{places}" + (" Z" if closed else "")}
        ET.SubElement(self.root, "path", {**look, **_STYLE[kind], **path})

    def text(self, text: str, at: tuple[float, float], size: float, anchor: str = "middle") -> None:
        """Write one line, its middle at the height of `at` [mm]."""
        x, y = at
        place = {"x": f"{x:.3f}", "y": f"{y + 0.35 * size:.3f}"}
        entity = ET.SubElement(
            self.root, "text", {**place, "font-size": f"{size:.2f}", "text-anchor": anchor}
        )
        entity.text = text


def _draw_notch(sheet: _Sheet, panel: Panel, notch: Notch) -> None:
    triangle = [sheet.at(point) for point in notch_triangle(panel, notch)]
    sheet.stroke("notch", triangle)
    sheet.text(notch.label, sheet.at(notch_label_at(panel, notch)), 0.6 * label_size(panel) * _MM)


def _draw_label(sheet: _Sheet, panel: Panel, collar: Collar) -> None:
    size = label_size(panel) * _MM
    x, y = sheet.at(panel.label_at)
    for row, text in enumerate(label_lines(panel, collar)):
        sheet.text(text, (x, y + 1.5 * size * row), size)


def _draw_foot(sheet: _Sheet) -> None:
    left, right = _BORDER, _BORDER + SCALE_LENGTH * _MM
    level = sheet.height - _BORDER - 8.0
    sheet.stroke("scale", [(left, level), (right, level)])
    for x in (left, right):
        sheet.stroke("scale", [(x, level - 2.5), (x, level + 2.5)])
    sheet.text(
        f"this line is {_MM * SCALE_LENGTH:.0f} mm: if not, the print is not 1:1",
        (left, level + 6.5),
        4.0,
        "start",
    )
