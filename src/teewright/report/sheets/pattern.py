"""Pattern sheets: what is cut, one sheet for each pattern."""

import re
from collections.abc import Sequence

from teewright.collar.values import Collar, Panel
from teewright.job.values import Design
from teewright.report import letters, words
from teewright.report.figures import panels
from teewright.report.index import JobIndex
from teewright.report.sheets.cautions import RIGHTS
from teewright.report.sheets.sheet import Json, Sheet

_ROOMS = {"main": (178.0, 98.0)}
_BESIDE = (129.0, 74.0)


def by_pattern(index: JobIndex) -> dict[str, list[Design]]:
    """Designs of each pattern, patterns in order of name: P2 before P10."""
    out: dict[str, list[Design]] = {}
    for design in index.job.designs.designs:
        out.setdefault(design.collar.pattern, []).append(design)
    return dict(sorted(out.items(), key=lambda item: (len(item[0]), item[0])))


def _drawn(panel: Panel, collar: Collar, count: int) -> dict[str, Json]:
    scale = panels.scale_for((panel,), _ROOMS.get(panel.name, _BESIDE))
    lines = (collar.fabric, f"cut {count}")
    figure = panels.panel_figure(
        panel, scale=scale, title=f"{collar.pattern}, {panel.name} panel", lines=lines
    )
    return {
        "title": f"{words.capital(panel.name)} panel, scale 1 : {scale}, mm",
        "figure": figure,
        "area": f"{panel.area:.3f} m²",
        "ordinates": [
            [str(k), f"{x * 1e3:.1f}", f"{y * 1e3:.1f}"] for k, x, y in panels.seam_ordinates(panel)
        ],
    }


def _facts(collar: Collar) -> list[Json]:
    j = collar.junction
    rows = (
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
        drawn = [_drawn(p, collar, len(designs)) for p in collar.panels]
        pieces = words.count(len(designs), "collar")
        body: dict[str, Json] = {
            "panels": drawn,
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
