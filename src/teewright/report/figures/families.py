"""Number of patterns against margin: what another pattern would bring."""

from collections.abc import Sequence
from dataclasses import dataclass

from teewright.collar.families import Family
from teewright.report import letters, words
from teewright.report.pen import BLUE, GREY, HAIR, INK, MID, PAPER, THIN, Lettering, Pen, Stroke

WIDTH, HEIGHT = 84.0, 62.0
_LEFT, _RIGHT, _TOP, _FOOT = 12.0, 79.0, 7.0, 50.0
_DOT = 0.8
_MOST_DOTS = 30


@dataclass(frozen=True, slots=True)
class _Axes:
    """Numbers of patterns, 0 to the last, and margins, 0 to 100 %, on paper."""

    last: int

    def x(self, count: float) -> float:
        return _LEFT + (_RIGHT - _LEFT) * count / self.last

    def y(self, margin: float) -> float:
        return _FOOT - (_FOOT - _TOP) * min(max(margin, 0.0), 1.0)


def trade_off_figure(families: Sequence[Family], *, chosen: int) -> str:
    """Steps of the least margin over the number of patterns, the chosen number marked.

    Args:
        families: Of rising size, at least one, as the search gives them.
        chosen: Number of patterns that is set; what is not in the families is not marked.

    Returns:
        SVG.
    """
    pen = Pen(WIDTH, HEIGHT)
    axes = _Axes(max(len(families[-1].patterns) + 1, 4))
    _frame(pen, axes, families[0])
    _steps(pen, axes, families)
    mark = next((f for f in families if len(f.patterns) == chosen), None)
    if mark is not None:
        _chosen(pen, axes, mark)
    return pen.svg()


def _frame(pen: Pen, axes: _Axes, fewest: Family) -> None:
    """Axes; the numbers that are proved not to serve all are hatched."""
    pen.text((0.0, 3.0), "least margin, % of the tolerance")
    barred = axes.x(fewest.bound - 0.5)
    if fewest.bound > 1:
        pen.hatch((_LEFT, _TOP), (barred - _LEFT, _FOOT - _TOP), stroke=HAIR.coloured(GREY))
        pen.line((barred, _TOP), (barred, _FOOT), MID)
    pen.line((_LEFT, _TOP), (_LEFT, _FOOT), THIN)
    pen.line((_LEFT, _FOOT), (_RIGHT, _FOOT), THIN)
    for share in (0.0, 0.25, 0.5, 0.75, 1.0):
        y = axes.y(share)
        pen.line((_LEFT - 1.2, y), (_LEFT, y), THIN)
        pen.text((_LEFT - 2.0, y + 1.0), f"{100 * share:.0f}", Lettering(anchor="end"))
    every = _every(axes.last)
    for count in range(0, axes.last + 1, every):
        x = axes.x(count)
        pen.line((x, _FOOT), (x, _FOOT + 1.2), THIN)
        pen.text((x, _FOOT + 4.6), str(count), Lettering(anchor="middle"))
    pen.text((_RIGHT, _FOOT + 8.4), "patterns", Lettering(anchor="end"))
    note = f"Hatched: fewer than {fewest.bound} cannot serve all." if fewest.bound > 1 else ""
    pen.text((0.0, _FOOT + 8.4), note)


def _every(last: int) -> int:
    """Step of the numbers on the axis, so that they stand apart."""
    return next(s for s in (1, 2, 5, 10, 20, 50, 100, 200, 500, last) if last / s <= 12)


def _steps(pen: Pen, axes: _Axes, families: Sequence[Family]) -> None:
    """What is found as a full line, what is not ruled out above it dashed."""
    for dashed in (True, False):
        line = []
        for family, after in zip(families, [*families[1:], None], strict=True):
            level = axes.y(family.margin_bound if dashed else family.margin)
            end = axes.last if after is None else len(after.patterns)
            line += [(axes.x(len(family.patterns)), level), (axes.x(end), level)]
        if not dashed or not all(f.margin >= f.margin_bound for f in families):
            pen.path(line, THIN.dashed("1 0.8") if dashed else MID)
    if len(families) <= _MOST_DOTS:
        for family in families:
            at = (axes.x(len(family.patterns)), axes.y(family.margin))
            pen.circle(at, _DOT, Stroke(0.3, INK), PAPER)


def _chosen(pen: Pen, axes: _Axes, family: Family) -> None:
    count = len(family.patterns)
    x, y = axes.x(count), axes.y(family.margin)
    pen.line((x, y), (x, _FOOT), Stroke(0.3, BLUE))
    lozenge = ((x, y - 2.0), (x + 2.0, y), (x, y + 2.0), (x - 2.0, y))
    pen.shape(lozenge, Stroke(0.3, PAPER), BLUE)
    text = f"{words.figures(count, 'pattern')}, {100 * family.margin:.0f} %"
    wide = letters.width(text, 9.5, 700)
    style = Lettering(9.5, 700, "start", BLUE, plate=True)
    for left, foot in (
        (x + 2.6, y + 5.2),  # under the steps, which rise to the right
        (x - wide - 2.6, y - 2.6),  # over those to the left
        (_LEFT + 1.5, _TOP + 4.0),
    ):
        if left > _LEFT and left + wide < WIDTH and _TOP + 3.0 < foot < _FOOT - 1.2:
            break
    else:
        pen.line((x, y), (left + wide / 2, foot), Stroke(0.3, BLUE))
    pen.text((left, foot), text, style)
