"""Cutting file for a plotter or a cutting table: DXF of the year 2000, millimetres, 1:1.

The pieces of a collar lie side by side, the arrow of each up, or as they are nested on a roll.
Layers: CUT full lines to cut along, SEAM chain lines to sew along, LAP dashed lines to which the
other edge reaches, NOTCH marks and their letters, MARK crown, invert and flanks, GRAIN the
arrow, LABEL words and a line of 100 mm to check the plot by, ROLL the edges of the fabric.
"""

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from io import StringIO
from math import degrees

from ezdxf import options
from ezdxf.document import Drawing
from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import new
from ezdxf.layouts.layout import Modelspace

from teewright.collar.drawn import SPACING, Drawn, Stroke, Words, check_scale, side_by_side
from teewright.collar.marks import drawn
from teewright.collar.nested import nested, roll_edges
from teewright.collar.nesting import Nest
from teewright.collar.values import Collar

_MM = 1e3
_LAYERS = (
    ("CUT", 7, "CONTINUOUS", 40),
    ("SEAM", 5, "CHAIN", 20),
    ("LAP", 8, "DASHED", 20),
    ("NOTCH", 7, "CONTINUOUS", 20),
    ("MARK", 7, "CONTINUOUS", 20),
    ("GRAIN", 7, "CONTINUOUS", 20),
    ("LABEL", 7, "CONTINUOUS", 20),
    ("ROLL", 8, "CONTINUOUS", 20),
)
"""Name, colour index, line type, line width [1/100 mm]."""


def write_collar(collar: Collar) -> bytes:
    """Write the pieces of a collar as DXF.

    Args:
        collar: Collar to cut.

    Returns:
        The file: the same bytes for the same collar.
    """
    pieces = side_by_side([drawn(panel, collar) for panel in collar.panels])
    return _write([*pieces, check_scale(0.0, -SPACING)])


def write_nest(nest: Nest, collars: Sequence[Collar]) -> bytes:
    """Write a whole order, nested on its roll, as DXF.

    Args:
        nest: Where each piece lies; x across the roll, y along it.
        collars: The collars whose pieces were nested.

    Returns:
        The file: the same bytes for the same nest.

    Raises:
        UnknownNameError: A piece belongs to none of the collars.
    """
    pieces = nested(nest, collars)
    return _write([*pieces, check_scale(0.0, -SPACING)], roll_edges(nest))


def _write(pieces: Iterable[Drawn], roll: Sequence[Stroke] = ()) -> bytes:
    with _no_dates():
        drawing = _new_drawing()
        space = drawing.modelspace()
        for stroke in roll:
            _line(space, stroke)
        for piece in pieces:
            for stroke in piece.strokes:
                _line(space, stroke)
            for words in piece.words:
                _text(space, words)
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


def _line(space: Modelspace, stroke: Stroke) -> None:
    points = [(x * _MM, y * _MM) for x, y in stroke.points]
    layer = {"layer": stroke.layer.upper()}
    space.add_lwpolyline(points, close=stroke.closed, dxfattribs=layer)


def _text(space: Modelspace, words: Words) -> None:
    look = {"layer": words.layer.upper(), "rotation": degrees(words.turn)}
    entity = space.add_text(words.text, height=words.height * _MM, dxfattribs=look)
    at = (words.at[0] * _MM, words.at[1] * _MM)
    entity.set_placement(at, align=TextEntityAlignment.MIDDLE_CENTER)
