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
_OVER_TWO = 48.0
"""Titles and seam points of two pieces [mm]."""
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
        clear_arrow(panel, collar),
        scale=scale,
        title=f"{collar.pattern}, {panel.name}" if two else "",
        lines=(collar.fabric, f"cut {count}") if two else (),
        names=9 if scale <= _LETTERED else 0,
    )
    return {
        "title": words.capital(panel.name) + (f", scale 1 : {scale}, mm" if two else ""),
        "scale": scale,
        "figure": figure,
        "width": panels.size_of(panel, scale)[0],
        "area": f"{panel.area:.3f} m²",
        "ordinates": [
            [str(k), f"{x * 1e3:.1f}", f"{y * 1e3:.1f}"]
            for k, x, y in panels.seam_ordinates(panel)
            if two
        ],
    }


def clear_arrow(panel: Panel, collar: Collar) -> Panel:
    """The piece with its grain arrow where the cutting files have it: clear of every line.

    Args:
        panel: A piece of the collar.
        collar: The collar.
    """
    arrow = next(s.points for s in drawn(panel, collar).strokes if s.layer == "grain")
    return replace(panel, grain=(arrow[0], arrow[1]))


def _rows(collar: Collar, count: int) -> list[list[dict[str, Json]]]:
    """Pieces in rows across the sheet; the facts have their place beside the last.

    Of two pieces each is drawn as large as its own place allows; of more, all to one scale, so
    that they can be compared.
    """
    room = _HEIGHT - _LINE * (count // 8)
    if len(collar.panels) == 2:
        pairs = zip(collar.panels, _two(collar.panels, room), strict=True)
        return [[_drawn(panel, collar, count, scale)] for panel, scale in pairs]
    scale, rows = _shared(collar, room)
    return [[_drawn(panel, collar, count, scale) for panel in row] for row in rows]


def _two(pieces: Sequence[Panel], room: float) -> list[int]:
    """Scales of two pieces, the second drawn smaller, then the first, until both find room."""
    scales = [panels.scale_for((panel,), _ROOMS.get(panel.name, _BESIDE)) for panel in pieces]
    for k in (1, 0, 1, 0):
        tall = [panels.size_of(p, scale)[1] for p, scale in zip(pieces, scales, strict=True)]
        if tall[0] + max(tall[1], _FACTS[1]) + _OVER_TWO <= room:
            break
        scales[k] = next((s for s in panels.SCALES if s > scales[k]), scales[k])
    return scales


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
        ("Branch, leans", f"{j.branch_diameter * 1e3:.0f} mm, {words.degrees(j.angle)}"),
        ("Edge radius", f"{j.fillet * 1e3:.1f} mm"),
        ("Along main", f"{collar.sleeve_length * 1e3:.0f} mm"),
        ("Up branch", f"{collar.branch_length * 1e3:.0f} mm"),
        ("Fabric", f"{collar.fabric_area:.3f} m²"),
        ("Seam, formed", f"{collar.seam_length * 1e3:.0f} mm"),
        ("Seam, cut", " / ".join(f"{v * 1e3:.0f}" for v in collar.seam_edges)),
        ("Stretch round", f"{collar.stretch:.3f}"),
        ("Stretch along", f"{collar.stretch_along:.3f}"),
        ("Of panels", "–".join(words.fixed(v, 3) for v in collar.designed)),
        ("Layout's t*", _ratio(collar)),
    )
    return [[name, value] for name, value in rows]


def _ratio(collar: Collar) -> str:
    """Stretch ratio of the layout against what the fabric allows."""
    chosen = next((offer for offer in collar.offers if offer.chosen), None)
    return f"{words.fixed(chosen.ratio, 2)} of {words.fixed(chosen.allowed, 2)}" if chosen else "–"


def _used(designs: Sequence[Design]) -> list[Json]:
    return [letters.shorten(d.connection_id, 50.0, 10.0) for d in designs]


def _files(pattern: str, drawings: Sequence[str]) -> list[Json]:
    """Cutting files whose name holds the pattern as a word."""
    word = re.compile(rf"(?<![0-9A-Za-z]){re.escape(pattern)}(?![0-9A-Za-z])")
    return [letters.shorten(name, 80.0, 10.0) for name in drawings if word.search(name)]


def alone(collar: Collar) -> Sheet:
    """The sheet of a pattern that belongs to no job.

    Args:
        collar: The collar.
    """
    body: dict[str, Json] = {
        "rows": [[dict(piece) for piece in row] for row in _rows(collar, 1)],
        "facts": _facts(collar),
        "used": [],
        "drawings": [],
        "scale": "",
        "rights": RIGHTS,
    }
    pieces = words.count(len(collar.panels), "panel")
    answer = f"Pattern {collar.pattern}: cut {pieces}, {collar.layout}"
    return Sheet("pattern", "Pattern sheet", answer, f"Pattern {collar.pattern}", "", body)


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
        rows = _rows(collar, len(designs))
        two = len(collar.panels) == 2
        body: dict[str, Json] = {
            "rows": rows,
            "scale": "" if two else f"All pieces at scale 1 : {rows[0][0]['scale']}, mm.",
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
