"""Cutting file for a plotter or a cutting table: DXF of the year 2000, millimetres, 1:1.

Both panels lie side by side, the arrow of each up. Layers: CUT full lines to cut along, SEAM
chain lines to sew along, LAP dashed lines to which the other edge reaches, NOTCH marks and
their labels, GRAIN the arrow, LABEL text and a line of 100 mm to check the plot by.
"""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from io import StringIO

from ezdxf import options
from ezdxf.document import Drawing
from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import new
from ezdxf.layouts.layout import Modelspace

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

GAP = 0.05
"""Between the two panels, and between them and the check line [m]."""

_MM = 1e3
_LAYERS = (
    ("CUT", 7, "CONTINUOUS", 40),
    ("SEAM", 5, "CHAIN", 20),
    ("LAP", 8, "DASHED", 20),
    ("NOTCH", 7, "CONTINUOUS", 20),
    ("GRAIN", 7, "CONTINUOUS", 20),
    ("LABEL", 7, "CONTINUOUS", 20),
)
"""Name, colour index, line type, line width [1/100 mm]."""


def write_collar(collar: Collar) -> bytes:
    """Write the panels of a collar as DXF.

    Args:
        collar: Collar to cut.

    Returns:
        The file: the same bytes for the same collar.
    """
    with _no_dates():
        drawing = _new_drawing()
        space = drawing.modelspace()
        across = 0.0
        for panel in collar.panels:
            xs, ys = zip(*panel.cut, strict=True)
            _draw_panel(space, panel, collar, (across - min(xs), -min(ys)))
            across += max(xs) - min(xs) + GAP
        _draw_check_line(space)
        stream = StringIO()
        drawing.write(stream)
        return bytes(drawing.encode(stream.getvalue()))


@contextmanager
def _no_dates() -> Iterator[None]:
    """Write a fixed date and fixed identifiers, so that equal collars give equal files."""
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _new_drawing() -> Drawing:
    drawing = new("R2000")
    drawing.header["$INSUNITS"] = 4
    drawing.header["$MEASUREMENT"] = 1
    drawing.linetypes.add("CHAIN", [13.0, 8.0, -2.0, 1.0, -2.0], description="chain")
    drawing.linetypes.add("DASHED", [6.0, 4.0, -2.0], description="dashed")
    for name, colour, line, width in _LAYERS:
        drawing.layers.add(name, color=colour, linetype=line, lineweight=width)
    return drawing


def _draw_panel(space: Modelspace, panel: Panel, collar: Collar, shift: Point2) -> None:
    _line(space, "CUT", panel.cut, shift, closed=True)
    if panel.hole:
        _line(space, "CUT", panel.hole, shift, closed=True)
    for _, seam in panel.seams:
        _line(space, "SEAM", seam, shift)
    for lap in panel.laps:
        _line(space, "LAP", lap, shift)
    _line(space, "GRAIN", grain_arrow(panel), shift)
    size = label_size(panel)
    x, y = grain_label_at(panel)
    _text(space, "GRAIN", "grain", (x + shift[0], y + shift[1]), size / 2.0)
    for notch in panel.notches:
        _draw_notch(space, panel, notch, shift, size / 2.0)
    x, y = panel.label_at
    for row, text in enumerate(label_lines(panel, collar)):
        _text(space, "LABEL", text, (x + shift[0], y + shift[1] - 1.6 * size * row), size)


def _draw_notch(space: Modelspace, panel: Panel, notch: Notch, shift: Point2, size: float) -> None:
    _line(space, "NOTCH", notch_triangle(panel, notch), shift)
    x, y = notch_label_at(panel, notch)
    _text(space, "NOTCH", notch.label, (x + shift[0], y + shift[1]), size)


def _draw_check_line(space: Modelspace) -> None:
    ends = ((0.0, -GAP), (SCALE_LENGTH, -GAP))
    _line(space, "LABEL", ends, (0.0, 0.0))
    for x, y in ends:
        _line(space, "LABEL", ((x, y - 0.003), (x, y + 0.003)), (0.0, 0.0))
    middle = (SCALE_LENGTH / 2.0, -GAP - 0.008)
    _text(space, "LABEL", f"this line is {_MM * SCALE_LENGTH:.0f} mm", middle, 0.006)


def _line(
    space: Modelspace, layer: str, line: Sequence[Point2], shift: Point2, *, closed: bool = False
) -> None:
    moved = [((x + shift[0]) * _MM, (y + shift[1]) * _MM) for x, y in line]
    space.add_lwpolyline(moved, close=closed, dxfattribs={"layer": layer})


def _text(space: Modelspace, layer: str, text: str, at: Point2, size: float) -> None:
    entity = space.add_text(text, height=size * _MM, dxfattribs={"layer": layer})
    entity.set_placement((at[0] * _MM, at[1] * _MM), align=TextEntityAlignment.MIDDLE_CENTER)
