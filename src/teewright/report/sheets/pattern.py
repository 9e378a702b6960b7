"""Pattern sheets: what is cut, one sheet for each pattern."""

import re
from collections.abc import Sequence
from dataclasses import replace

from teewright.collar.marks import drawn
from teewright.collar.values import Collar, Panel
from teewright.job.values import Design
from teewright.report import letters, words
from teewright.report.figures import panels
from teewright.report.index import JobIndex
from teewright.report.sheets.cautions import RIGHTS
from teewright.report.sheets.sheet import Json, Sheet

_ROOMS = {"main": (178.0, 98.0)}
_BESIDE = (129.0, 74.0)
"""Room for the one and the other piece of two [mm]."""
_WIDTH, _HEIGHT, _GUTTER, _OVER, _LINE = 178.0, 210.0, 4.0, 10.0, 5.0
"""Of the rows of more than two pieces, facts included; between pieces; title of a row and what
lies between rows; one more line of connections under them [mm]."""
_FACTS, _FACTS_ACROSS = (46.0, 62.0), 28.0
"""Room for the facts beside pieces, and their height in columns of their own [mm]."""
_LETTERED = 5
"""Smallest scale at which the letters of notches find room."""


def by_pattern(index: JobIndex) -> dict[str, list[Design]]:
    """Designs of each pattern, patterns in order of name: P2 before P10."""
    out: dict[str, list[Design]] = {}
    for design in index.job.designs.designs:
        out.setdefault(design.collar.pattern, []).append(design)
    return dict(sorted(out.items(), key=lambda item: (len(item[0]), item[0])))


def _drawn(panel: Panel, collar: Collar, count: int, scale: int) -> dict[str, Json]:
    """One piece; of more than two, the words on it stand over it, for these are small."""
    two = len(collar.panels) == 2
    figure = panels.panel_figure(
        _clear(panel, collar),
        scale=scale,
        title=f"{collar.pattern}, {panel.name}" if two else "",
        lines=(collar.fabric, f"cut {count}") if two else (),
        names=9 if scale <= _LETTERED else 0,
    )
    return {
        "title": f"{words.capital(panel.name)}, {'scale ' if two else ''}1 : {scale}, mm",
        "figure": figure,
        "width": panels.size_of(panel, scale)[0],
        "area": f"{panel.area:.3f} m²",
        "ordinates": [
            [str(k), f"{x * 1e3:.1f}", f"{y * 1e3:.1f}"]
            for k, x, y in panels.seam_ordinates(panel)
            if two
        ],
    }


def _clear(panel: Panel, collar: Collar) -> Panel:
    """The piece with its grain arrow where the cutting files have it: clear of every line."""
    arrow = next(s.points for s in drawn(panel, collar).strokes if s.layer == "grain")
    return replace(panel, grain=(arrow[0], arrow[1]))


def _rows(collar: Collar, count: int) -> list[list[dict[str, Json]]]:
    """Pieces in rows across the sheet; the facts have their place beside the last.

    Of two pieces each is drawn as large as its own place allows; of more, all to one scale, so
    that they can be compared.
    """
    if len(collar.panels) == 2:
        scales = [
            panels.scale_for((panel,), _ROOMS.get(panel.name, _BESIDE)) for panel in collar.panels
        ]
        pairs = zip(collar.panels, scales, strict=True)
        return [[_drawn(panel, collar, count, scale)] for panel, scale in pairs]
    scale, rows = _shared(collar, _HEIGHT - _LINE * (count // 8))
    return [[_drawn(panel, collar, count, scale) for panel in row] for row in rows]


def _shared(collar: Collar, room: float) -> tuple[int, list[list[Panel]]]:
    """Largest scale at which all pieces find room, and which of them stand in each row."""
    for scale in panels.SCALES:
        rows = _fill(collar.panels, scale)
        tall = [max((panels.size_of(p, scale)[1] for p in row), default=0.0) for row in rows]
        tall[-1] = max(tall[-1], _FACTS[1] if rows[-1] else _FACTS_ACROSS)
        wide = max(panels.size_of(p, scale)[0] for p in collar.panels)
        if sum(tall) + _OVER * sum(map(bool, rows)) <= room and wide <= _WIDTH:
            break
    return scale, rows


def _fill(pieces: Sequence[Panel], scale: int) -> list[list[Panel]]:
    """Pieces in the first row that has room; a last row of none where the facts need one."""
    rows: list[list[Panel]] = []
    left: list[float] = []
    for panel in pieces:
        wide = panels.size_of(panel, scale)[0] + _GUTTER
        row = next((k for k, room in enumerate(left) if wide - _GUTTER <= room), len(rows))
        if row == len(rows):
            rows.append([])
            left.append(_WIDTH)
        rows[row].append(panel)
        left[row] -= wide
    return rows if left[-1] >= _FACTS[0] else [*rows, []]


def _facts(collar: Collar) -> list[Json]:
    j = collar.junction
    rows = (
        ("Layout", collar.layout),
        ("Main inside", f"{j.main_diameter * 1e3:.0f} mm"),
        ("Branch", f"{j.branch_diameter * 1e3:.0f} mm"),
        ("Leans", words.degrees(j.angle)),
        ("Edge radius", f"{j.fillet * 1e3:.1f} mm"),
        ("Along main", f"{collar.sleeve_length * 1e3:.0f} mm"),
        ("Up branch", f"{collar.branch_length * 1e3:.0f} mm"),
        ("Fabric", f"{collar.fabric_area:.3f} m²"),
        ("Seam", f"{collar.seam_length * 1e3:.0f} mm"),
        ("Seams", " / ".join(f"{v * 1e3:.0f}" for v in collar.seam_edges) + " mm"),
        ("Stretch", f"{collar.seam_stretch[0]:.3f}–{collar.seam_stretch[1]:.3f}"),
        ("By design", f"{collar.stretch:.3f}"),
        ("Cut back", "–".join(f"{v * 1e3:.1f}" for v in collar.excess) + " mm"),
    )
    return [[name, value] for name, value in rows]


def _used(designs: Sequence[Design]) -> list[Json]:
    return [letters.shorten(d.connection_id, 50.0, 10.0) for d in designs]


def _files(pattern: str, drawings: Sequence[str]) -> list[Json]:
    """Cutting files whose name holds the pattern as a word."""
    word = re.compile(rf"(?<![0-9A-Za-z]){re.escape(pattern)}(?![0-9A-Za-z])")
    return [letters.shorten(name, 80.0, 10.0) for name in drawings if word.search(name)]


def sheets(index: JobIndex, drawings: Sequence[str] = ()) -> list[Sheet]:
    """One sheet for each pattern.

    Args:
        index: The job.
        drawings: Names of the cutting files.

    Returns:
        In order of first use.
    """
    out = []
    for pattern, designs in by_pattern(index).items():
        collar = designs[0].collar
        pieces = words.count(len(designs), "collar")
        body: dict[str, Json] = {
            "rows": _rows(collar, len(designs)),
            "facts": _facts(collar),
            "used": _used(designs),
            "drawings": _files(pattern, drawings),
            "rights": RIGHTS,
        }
        answer = (
            f"Pattern {pattern}: cut {words.count(len(collar.panels), 'panel')} each for {pieces}"
        )
        out.append(
            Sheet("pattern", "Pattern sheet", answer, f"Pattern {pattern}", "Pattern sheets", body)
        )
    return out
