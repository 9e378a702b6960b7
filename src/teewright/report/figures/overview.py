"""Runs as lines with their connections at their chainage, and the mains unrolled."""

from collections.abc import Sequence
from dataclasses import dataclass

from teewright.report import letters
from teewright.report.figures import marks
from teewright.report.index import OPEN, Decision
from teewright.report.pen import BOLD, HAIR, INK, MID, PAPER, THIN, Lettering, Pen, Point


@dataclass(frozen=True, slots=True)
class DrawnConnection:
    """A connection as the overviews draw it.

    Attributes:
        chainage: From the upstream node [m].
        clock: In flow view [h], or None.
        decision: What happens to it.
    """

    chainage: float
    clock: float | None
    decision: Decision


@dataclass(frozen=True, slots=True)
class DrawnRun:
    """A run as the overviews draw it.

    Attributes:
        name: Of the run.
        upstream: Upstream node.
        downstream: Downstream node.
        length: [m].
        measured: Whether the length is known, or only as far as anything was seen.
        connections: In order of chainage.
    """

    name: str
    upstream: str
    downstream: str
    length: float
    measured: bool
    connections: tuple[DrawnConnection, ...]


_NAMES = 30.0
_LENGTHS = 16.0


def runs(drawn: Sequence[DrawnRun], *, pitch: float, width: float = 178.0) -> str:
    """Each run as a line, all at one scale, with the mark of each connection.

    Args:
        drawn: Runs in order.
        pitch: From one line to the next [mm].
        width: Of the figure [mm].

    Returns:
        SVG.
    """
    pen = Pen(width, 7.0 + pitch * len(drawn))
    longest = max((r.length for r in drawn), default=1.0)
    scale = (width - _NAMES - _LENGTHS - 4.0) / longest
    pen.text((0.0, 3.0), "Run")
    pen.text((_NAMES, 3.0), "Connections at their chainage, flow to the right")
    pen.text((width, 3.0), "length", Lettering(anchor="end"))
    for k, run in enumerate(drawn):
        _run_line(pen, run, 7.0 + pitch * (k + 0.5), scale, min(1.0, pitch / 8.0))
    return pen.svg()


def _run_line(pen: Pen, run: DrawnRun, y: float, scale: float, size: float) -> None:
    name = letters.shorten(run.name, _NAMES - 3.0, 10.0, 600)
    pen.text((0.0, y + 1.2), name, Lettering(10.0, 600))
    end = _NAMES + run.length * scale
    pen.line((_NAMES, y), (end, y), BOLD)
    half = min(1.3 * size, run.length * scale / 4)
    for x in (_NAMES, end):
        pen.rect((x - half, y - half), (2 * half, 2 * half), MID, PAPER)
    length = f"{run.length:.1f} m" if run.measured else "not known"
    pen.text((pen.width, y + 1.2), length, Lettering(9.0, anchor="end"))
    size = _crowded(size, run.length * scale, len(run.connections))
    points = [(_NAMES + c.chainage * scale, c.decision) for c in run.connections]
    shifts = _dodged([x for x, _ in points], size)
    for (x, _), shift in zip(points, shifts, strict=True):
        if shift:
            pen.line((x, y), (x, y + shift), THIN)
    for (x, decision), shift in zip(points, shifts, strict=True):
        marks.draw(pen, (x, y + shift), decision, size)


def _crowded(size: float, length: float, count: int) -> float:
    """Size of the marks of a run, so that three rows of them hold all."""
    room = 3.0 * length / (2.15 * marks.RADIUS * max(count, 1))
    return max(min(size, 0.8 * room) if room < 2.0 * size else size, 0.3)


def _dodged(places: Sequence[float], size: float) -> list[float]:
    """Offset from the line of each mark, so that near ones stand over and under each other."""
    need = 2.15 * marks.RADIUS * size
    levels = (0.0, -need, need)
    last: dict[float, float] = {}
    out = []
    for x in places:
        free = [lv for lv in levels if x - last.get(lv, -1e9) >= need]
        level = free[0] if free else min(levels, key=lambda lv: last[lv])
        last[level] = x
        out.append(level)
    return out


def unrolled(drawn: Sequence[DrawnRun], height: float, width: float = 178.0) -> str:
    """Each main unrolled from invert to invert, all at one scale along.

    Args:
        drawn: Runs in order; as many as find room are drawn.
        height: Of the figure [mm].
        width: Of the figure [mm].

    Returns:
        SVG.
    """
    pen = Pen(width, height)
    shown = list(drawn)[: max(1, int(height // 8.0))]
    if not shown:
        return pen.svg()
    pitch = min(30.0, height / len(shown))
    tall = min(23.0, pitch * 0.76)
    names = [
        max(letters.width(n, 9.0, 600) for n in pair)
        for pair in zip(*((_node(r.upstream), _node(r.downstream)) for r in shown), strict=True)
    ]
    left, right = names[0] + 3.0, names[1] + 3.0
    scale = (width - left - right) / max(r.length for r in shown)
    for k, run in enumerate(shown):
        _strip(pen, run, (left, 1.0 + k * pitch), (run.length * scale, tall))
    return pen.svg()


def _node(name: str) -> str:
    return letters.shorten(name, 24.0, 9.0, 600)


def _strip(pen: Pen, run: DrawnRun, at: Point, size: Point) -> None:
    (x, y), (wide, tall) = at, size
    pen.rect(at, size, MID)
    for share in (0.25, 0.5, 0.75):
        stroke = HAIR if share == 0.5 else HAIR.dashed("1 1")
        pen.line((x, y + tall * share), (x + wide, y + tall * share), stroke)
    foot = y + tall / 2 + 1.2
    pen.text((x - 2.0, foot), _node(run.upstream), Lettering(9.0, 600, "end"))
    pen.text((x + wide + 2.0, foot), _node(run.downstream), Lettering(9.0, 600))
    for connection in run.connections:
        clock = 12.0 if connection.clock is None else connection.clock
        centre = (
            x + wide * connection.chainage / run.length,
            y + tall * ((clock - 6.0) % 12.0) / 12.0,
        )
        _opening(pen, centre, connection.decision, tall / 23.0)


def _opening(pen: Pen, at: Point, decision: Decision, size: float) -> None:
    x, y = at
    rx, ry = 1.35 * max(size, 0.5), 2.1 * max(size, 0.5)
    if decision in {Decision.SEAL, Decision.READY}:
        ring = THIN if decision is Decision.SEAL else THIN.dashed("1 0.7")
        pen.ellipse(at, (rx * 2.1, ry * 1.7), ring, PAPER)
        pen.ellipse(at, (rx, ry), THIN, INK)
        return
    dashed = decision in OPEN
    open_ring = MID if decision is Decision.LEAVE else THIN
    pen.ellipse(at, (rx, ry), THIN.dashed("0.8 0.6") if dashed else open_ring, PAPER)
    if decision is Decision.CLOSE:
        pen.line((x - 0.9 * rx, y - 0.8 * ry), (x + 0.9 * rx, y + 0.8 * ry), THIN)
        pen.line((x - 0.9 * rx, y + 0.8 * ry), (x + 0.9 * rx, y - 0.8 * ry), THIN)
