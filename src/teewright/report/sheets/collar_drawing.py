"""How the drawings and tables of a collar sheet share the paper."""

from collections.abc import Iterator
from dataclasses import dataclass

from teewright.job.values import Design
from teewright.report import letters
from teewright.report.figures import panels, views, windows
from teewright.report.sheets import collar_pieces
from teewright.report.sheets.cautions import Caution
from teewright.report.sheets.pattern import clear_arrow
from teewright.report.sheets.sheet import Json

_WIDE, _TALL = 178.0, 265.0
_GAP = 3.0
_PAIRED = (92.0, 51.0)
_STACKED = (44.0, 55.0)
_THIRD = 24.0
_TITLES = 4.4
"""For a line more in the titles of many pieces [mm]."""
_ABREAST = 36.0
"""Height of the three tables side by side [mm]."""


@dataclass(frozen=True, slots=True)
class Layout:
    """A way to fill the sheet.

    Attributes:
        views: Scale of the views, the number after `1 : `.
        panels: Scale of the flat panels.
        beside: Panel that stands beside the views, `branch` or `main`.
        stacked: Whether the tables stand in one column instead of two.
        abreast: Whether both panels stand beside the views, and all tables side by side below
            them: the least height of all.
    """

    views: int
    panels: int
    beside: str
    stacked: bool
    abreast: bool = False


def room(rows: int, review: str, cautions: list[Caution]) -> float:
    """Height that is left for drawings and tables [mm].

    Args:
        rows: Rows of quantities against their limits.
        review: Words over the cautions.
        cautions: Cause and act of each caution.
    """
    said = " ".join(f"{cause}. {act}" for cause, act in cautions)
    lines = len(letters.wrap(said, _WIDE - 26.0, 9.0, 500))
    lines += len(letters.wrap(f"For review: {review}", _WIDE, 8.5))
    return _TALL - 20.0 - windows.height(rows) - 15.0 - 4.4 * lines - 4.6


def _layouts() -> Iterator[Layout]:
    """Every way to fill the sheet, the best first: large panels, then views at their scale."""
    for k, scale in enumerate(panels.SCALES):
        for view_scale in panels.SCALES[k : k + 2]:
            for beside in ("branch", "main"):
                for stacked in (False, True):
                    yield Layout(view_scale, scale, beside, stacked)
            yield Layout(view_scale, scale, "branch", stacked=False, abreast=True)


def _fits(design: Design, clock: float | None, layout: Layout, height: float) -> bool:
    collar = design.collar
    drawn = {p.name: panels.size_of(p, layout.panels) for p in collar.panels[:2]}
    view = views.size_of(
        collar.junction,
        layout.views,
        sleeve=collar.sleeve_length,
        branch=collar.branch_length,
        clock=clock,
    )
    if layout.abreast:
        wide = view[0] + sum(max(w, _STACKED[0]) + _GAP for w, _ in drawn.values())
        tall = 5.0 + max(view[1], *(h for _, h in drawn.values())) + 2.0 + _ABREAST
        return wide <= _WIDE and tall <= height
    beside = drawn.get(layout.beside, (0.0, 0.0))
    under = drawn.get("main" if layout.beside == "branch" else "branch", (0.0, 0.0))
    tables = _STACKED if layout.stacked else _PAIRED
    if layout.stacked:
        beside = max(beside[0], tables[0]), beside[1] + _THIRD
    wide = max(view[0] + beside[0], under[0] + tables[0]) + _GAP
    tall = 5.0 + max(view[1], beside[1]) + 2.0 + 5.0 + max(under[1], tables[1])
    return wide <= _WIDE and tall <= height


def _width(design: Design, layout: Layout, name: str) -> float:
    found = (p for p in design.collar.panels[:2] if p.name == name)
    return max((panels.size_of(p, layout.panels)[0] for p in found), default=0.0)


def choose(design: Design, clock: float | None, height: float) -> Layout:
    """The best layout that fits; the smallest where none does.

    Args:
        design: With its collar.
        clock: Of the connection [h], or None.
        height: For drawings and tables [mm].
    """
    smallest = Layout(panels.SCALES[-1], panels.SCALES[-1], "branch", stacked=False)
    return next((w for w in _layouts() if _fits(design, clock, w, height)), smallest)


def drawing(design: Design, clock: float | None, height: float) -> dict[str, Json]:
    """Views and flat panels of a collar, each at its stated scale.

    Args:
        design: With its collar.
        clock: Of the connection [h], or None.
        height: For drawings and tables [mm].

    Returns:
        Data of the template.
    """
    collar = design.collar
    if {p.name for p in collar.panels} != {"main", "branch"}:
        return collar_pieces.drawing(collar, clock, height - _TITLES)
    layout = choose(design, clock, height)
    named = 9 if layout.panels <= 5 else 1 if layout.panels <= 10 else 0
    drawn = {
        p.name: panels.panel_figure(
            clear_arrow(p, collar),
            scale=layout.panels,
            title=f"{collar.pattern}, {p.name}",
            lines=(collar.fabric,),
            names=named,
        )
        for p in collar.panels[:2]
    }
    under = "main" if layout.beside == "branch" else "branch"
    view = views.views(
        collar.junction,
        scale=layout.views,
        sleeve=collar.sleeve_length,
        branch=collar.branch_length,
        clock=clock,
    )
    return {
        "pieces": [],
        "view": view,
        "view_scale": f"1 : {layout.views}",
        "panel_scale": f"1 : {layout.panels}",
        "beside_width": max(_width(design, layout, layout.beside), _STACKED[0]),
        "beside": drawn.get(layout.beside, ""),
        "beside_name": layout.beside,
        "under": drawn.get(under, ""),
        "under_name": under,
        "under_width": max(_width(design, layout, under), _STACKED[0]),
        "stacked": layout.stacked,
        "abreast": layout.abreast,
    }
