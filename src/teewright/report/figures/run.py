"""What is drawn of a run: values, scales and the columns under the unrolled main."""

import math
from dataclasses import dataclass

from teewright.report.index import Decision
from teewright.report.spread import slots

WIDTH = 267.0
"""Of every figure of a run sheet [mm]."""
START = 22.0
"""Where the upstream node stands [mm]."""
ROOM = 238.0
"""Room for the length of a run [mm]."""
HEAD = 24.6
"""Width of the first column of the table, with the names of its rows [mm]."""
COLUMN = 26.9
"""Width of each other column [mm]."""
COLUMNS = 9
"""Connections on one sheet."""

_ALONG = (10, 20, 50, 100, 200, 250, 500, 1000, 2000, 2500, 5000, 10000, 20000, 50000)
_ROUND = (5, 10, 20, 25, 40, 50, 75, 100, 150, 200, 250, 500, 1000)
_UP = (10, 20, 25, 50, 75, 100, 125, 150, 200, 250, 500, 1000, 2000, 5000)


@dataclass(frozen=True, slots=True)
class Opening:
    """The opening of a branch in the main, as it is drawn.

    Attributes:
        label: Short name.
        chainage: From the upstream node [m].
        clock: In flow view [h], or None.
        diameter: Of the branch [m], or None.
        angle: Between the axes [rad], or None, then drawn square.
        decision: What happens to it.
        shown: Whether it has a column on this sheet.
    """

    label: str
    chainage: float
    clock: float | None
    diameter: float | None
    angle: float | None
    decision: Decision
    shown: bool


@dataclass(frozen=True, slots=True)
class EndLevels:
    """Levels at one end of a run [m above datum].

    Attributes:
        invert: Of the main.
        ground: Or None.
        water: Highest groundwater, or None.
    """

    invert: float
    ground: float | None
    water: float | None


@dataclass(frozen=True, slots=True)
class RunDrawing:
    """A run as its sheet draws it.

    Attributes:
        upstream: Upstream node.
        downstream: Downstream node.
        length: To draw [m].
        measured: Whether the length is known.
        diameter: Inner diameter of the main [m], or None.
        levels: At the upstream and the downstream end, or None where an invert is not known.
        water_source: Where the groundwater level came from.
        facts: Plain words on the main, e.g. `DN 200 clay`.
        openings: In order of chainage.
        room: For the heights of the long section [mm].
        start: Chainage at which the drawing starts, 0 at the upstream node [m].
        end: Chainage at which it ends, the length at the downstream node [m].
    """

    upstream: str
    downstream: str
    length: float
    measured: bool
    diameter: float | None
    levels: tuple[EndLevels, EndLevels] | None
    water_source: str
    facts: str
    openings: tuple[Opening, ...]
    room: float = 36.0
    start: float = 0.0
    end: float = 0.0

    @property
    def stretch(self) -> float:
        """Length that is drawn [m]."""
        return self.end - self.start

    @property
    def whole(self) -> bool:
        """Whether the run is drawn from node to node."""
        return self.start <= 0.0 and self.end >= self.length


@dataclass(frozen=True, slots=True)
class Scales:
    """Scales of a run sheet, each the number after `1 : `.

    Attributes:
        along: Of lengths in section and strip.
        around: Round the main, and of the details.
        up: Of heights in the section.
    """

    along: int
    around: int
    up: int


def _least(size: float, room: float, steps: tuple[int, ...]) -> int:
    """The largest drawing of steps: `size` [m] into `room` [mm]."""
    return next((s for s in steps if size * 1e3 / s <= room), steps[-1])


def height_range(drawing: RunDrawing) -> tuple[float, float]:
    """Lowest and highest level that the section shows [m]."""
    ends = drawing.levels or (EndLevels(0.0, None, None),) * 2
    seen = [e.invert for e in ends]
    seen += [e.ground for e in ends if e.ground is not None]
    seen += [e.water for e in ends if e.water is not None]
    crown = max(e.invert for e in ends) + (drawing.diameter or 0.3)
    return min(seen), max(*seen, crown + 0.6)


def scales(drawing: RunDrawing) -> Scales:
    """Scales at which a run fits its sheet."""
    low, high = height_range(drawing)
    around = math.pi * (drawing.diameter or 0.3)
    return Scales(
        _least(drawing.stretch, ROOM, _ALONG),
        _least(around, 24.0 if drawing.levels else 38.0, _ROUND),
        _least(high - low, drawing.room, _UP),
    )


def place(drawing: RunDrawing, chainage: float) -> float:
    """Where a chainage stands on the sheet [mm]."""
    return START + (chainage - drawing.start) * 1e3 / scales(drawing).along


def girth(drawing: RunDrawing) -> float:
    """Height of the unrolled main on the sheet [mm]."""
    if drawing.diameter is None:
        return 24.0
    return math.pi * drawing.diameter * 1e3 / scales(drawing).around


def columns(drawing: RunDrawing) -> list[int]:
    """Column of each shown opening, in order, as near under it as the order allows."""
    centres = [HEAD + COLUMN * k + 10.0 for k in range(COLUMNS)]
    return slots([place(drawing, o.chainage) for o in drawing.openings if o.shown], centres)


def note(drawing: RunDrawing) -> str:
    """The facts of the main and every scale of the sheet, in one line."""
    s = scales(drawing)
    if not drawing.whole:
        return f"Chainage {drawing.start:.1f} to {drawing.end:.1f} m. {_scale_words(drawing, s)}"
    return _scale_words(drawing, s)


def _scale_words(drawing: RunDrawing, s: Scales) -> str:
    parts = [f"Unrolled: length 1 : {s.along}"]
    if drawing.diameter is not None:
        parts.append(f"round 1 : {s.around}; details 1 : {s.around}")
    else:
        parts.append("round not to scale, for the diameter is not known")
    if drawing.levels:
        parts.insert(0, f"Long section: length 1 : {s.along}, height 1 : {s.up}.")
        source = f" Groundwater: {drawing.water_source}." if drawing.water_source else ""
        return f"{parts[0]} {', '.join(parts[1:])}.{source}"
    return f"No long section, for the levels are not known. {', '.join(parts)}."
