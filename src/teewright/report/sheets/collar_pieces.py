"""The drawings of a collar of other pieces than one for the main and one for the branch."""

from collections.abc import Sequence

from teewright.collar.values import Collar, Panel
from teewright.report.figures import panels, views
from teewright.report.sheets.sheet import Json

_LEFT, _GUTTER, _TITLE = 116.0, 4.0, 5.0
"""Width of the column of drawings, between pieces, over a row of pieces [mm]."""


def drawing(collar: Collar, clock: float | None, height: float) -> dict[str, Json]:
    """Views over all pieces, each at its stated scale, beside one column of tables.

    Args:
        collar: The collar.
        clock: Of the connection [h], or None.
        height: For all of it [mm].

    Returns:
        Data of the template.
    """
    scale = view_scale(collar, clock)
    tall = _view_size(collar, scale, clock)[1] + 2.0 * _TITLE + 2.0
    shared, rows = fill(collar.panels, height - tall)
    return {
        "view": views.views(
            collar.junction,
            scale=scale,
            sleeve=collar.sleeve_length,
            branch=collar.branch_length,
            clock=clock,
        ),
        "view_scale": f"1 : {scale}",
        "panel_scale": f"1 : {shared}",
        "stacked": True,
        "abreast": False,
        "pieces": [[_piece(panel, shared) for panel in row] for row in rows],
    }


def _piece(panel: Panel, scale: int) -> dict[str, Json]:
    return {
        "name": panel.name,
        "figure": panels.panel_figure(panel, scale=scale, title="", names=0),
        "width": panels.size_of(panel, scale)[0],
    }


def view_scale(collar: Collar, clock: float | None) -> int:
    """Largest scale at which the views fit the column, from 1 : 10 down."""
    fitting = (s for s in panels.SCALES if s >= 10 and _view_size(collar, s, clock)[0] <= _LEFT)
    return next(fitting, panels.SCALES[-1])


def _view_size(collar: Collar, scale: int, clock: float | None) -> tuple[float, float]:
    return views.size_of(
        collar.junction,
        scale,
        sleeve=collar.sleeve_length,
        branch=collar.branch_length,
        clock=clock,
    )


def fill(pieces: Sequence[Panel], room: float) -> tuple[int, list[list[Panel]]]:
    """Largest scale at which all pieces find room in rows, and the rows.

    Args:
        pieces: In order.
        room: Height for them [mm].
    """
    for scale in panels.SCALES:
        rows = _rows(pieces, scale)
        tall = sum(_TITLE + max(panels.size_of(p, scale)[1] for p in row) for row in rows)
        wide = max(panels.size_of(p, scale)[0] for p in pieces)
        if tall <= room and wide <= _LEFT:
            break
    return scale, rows


def _rows(pieces: Sequence[Panel], scale: int) -> list[list[Panel]]:
    rows: list[list[Panel]] = []
    used = 0.0
    for panel in pieces:
        wide = panels.size_of(panel, scale)[0]
        if not rows or used + _GUTTER + wide > _LEFT:
            rows.append([])
            used = -_GUTTER
        rows[-1].append(panel)
        used += _GUTTER + wide
    return rows
