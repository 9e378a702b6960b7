"""Runs as lines, all at one scale, that fit any width: places in per cent, marks in pixels."""

from collections.abc import Iterable

from markupsafe import Markup

from teewright.assess.values import Need
from teewright.web.drawings import marks
from teewright.web.drawings.sketch import Sketch

HEIGHT = 30.0
"""Height of a line with its marks [px]."""
_ENDS = 5.0


def line(length: float, longest: float, placed: Iterable[tuple[float, Need]]) -> Markup:
    """One run with the mark of each connection.

    Args:
        length: Of the run [m].
        longest: Of the longest run beside it [m].
        placed: (chainage [m], need) of each connection.
    """
    share = 96.0 * (length / longest if longest > 0.0 else 1.0)
    middle = HEIGHT / 2

    def across(part: float) -> str:
        return f"{1.5 + share * min(max(part, 0.0), 1.0):.2f}%"

    side = 2.0 * _ENDS
    box = f'<rect class="mid pap" x="{-_ENDS}" y="{-_ENDS}" width="{side}" height="{side}"/>'
    marks_ = [
        _mark(need, across(chainage / length if length else 0.0)) for chainage, need in placed
    ]
    ends = "".join(
        f'<svg x="{across(end)}" y="{middle}" class="over">{box}</svg>' for end in (0.0, 1.0)
    )
    return Markup(
        f'<svg class="run-line" width="100%" height="{HEIGHT:.0f}" aria-hidden="true">'
        f'<line class="bold" x1="{across(0.0)}" x2="{across(1.0)}" y1="{middle}" y2="{middle}"/>'
        f"{ends}{''.join(marks_)}</svg>"
    )


def _mark(need: Need, across: str) -> str:
    sketch = Sketch()
    marks.draw(sketch, (0.0, 0.0), need)
    return f'<svg x="{across}" y="{HEIGHT / 2}" class="over">{sketch.body()}</svg>'
