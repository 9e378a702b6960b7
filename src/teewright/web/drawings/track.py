"""The way of a job: one station a question, lines for what follows what, a piece for each row.

A piece is as high as its row, so that the words beside it may take the room that they need.
"""

from collections.abc import Sequence

from markupsafe import Markup, escape

from teewright.web.drawings.sketch import number
from teewright.web.stages import Answered, Stage

WIDTH = 60.0
"""Width of a piece [px]."""
LEVEL = 30.0
"""Of a station below the upper edge of its row [px]."""
_LANES = (14.0, 28.0, 42.0)
_RADIUS, _SMALL = 7.0, 4.5
_LANE_OF = {"day": 1, "price": 1}
"""Lane of each station; 0 where it is not named."""
_LINKS = (
    ("survey", "needs", 0), ("needs", "collars", 0), ("collars", "programme", 0),
    ("collars", "day", 1), ("day", "programme", 1), ("programme", "clock", 0),
    ("clock", "proof", 0), ("proof", "handover", 0), ("needs", "handover", 2),
    ("programme", "price", 1),
)  # fmt: skip
"""(question, question that follows it, lane between them)."""


def pieces(stages: Sequence[Stage]) -> tuple[Markup, ...]:
    """The piece of each question.

    Args:
        stages: All questions, in the order of the rows.
    """
    rows = {stage.room: row for row, stage in enumerate(stages)}
    made: list[list[str]] = [[] for _ in stages]
    for before, after, lane in _LINKS:
        reached = stages[rows[after]].answered is not Answered.WAITS
        look = "mid" if reached else "mid dash"
        first, last = rows[before], rows[after]
        made[first].append(_leaving(_LANE_OF.get(before, 0), lane, look))
        made[last].append(_coming(lane, _LANE_OF.get(after, 0), look))
        for row in range(first + 1, last):
            made[row].append(_line(_LANES[lane], "0", "100%", look))
    return tuple(
        _piece(stage, [*made[row], *_station(stage, _LANES[_LANE_OF.get(stage.room, 0)])])
        for row, stage in enumerate(stages)
    )


def sign(answered: Answered, *, following: bool = False) -> Markup:
    """The mark of a station alone, beside its word."""
    stage = Stage("", "", answered, 0.0, following)
    body = "".join(_station(stage, 10.0, 10.0))
    head = '<svg class="mk" viewBox="0 0 20 20" width="20" height="20" aria-hidden="true">'
    return Markup(f"{head}{body}</svg>")


def share_bar(share: float) -> Markup:
    """How much of a question is answered, as wide as its words may be."""
    return Markup(
        '<svg class="share" width="100%" height="6" aria-hidden="true">'
        '<rect class="tick" x="0.5" y="0.5" width="99%" height="5"/>'
        f'<rect class="ink" y="0" width="{99.5 * share:.1f}%" height="6"/></svg>'
    )


def _piece(stage: Stage, marks: Sequence[str]) -> Markup:
    return Markup(
        f'<svg class="piece" width="{WIDTH:.0f}" role="img" aria-label="{escape(stage.state)}">'
        f"{''.join(marks)}</svg>"
    )


def _line(x: float, top: str, foot: str, look: str) -> str:
    at = number(x)
    return f'<line class="{look}" x1="{at}" x2="{at}" y1="{top}" y2="{foot}"/>'


def _bend(upper: tuple[float, float], lower: tuple[float, float], look: str) -> str:
    (a, b), (c, d) = (map(number, point) for point in (upper, lower))
    return f'<line class="{look}" x1="{a}" y1="{b}" x2="{c}" y2="{d}"/>'


def _leaving(own: int, lane: int, look: str) -> str:
    """From a station down into a lane."""
    here, there = _LANES[own], _LANES[lane]
    foot = LEVEL + abs(there - here)
    bend = _bend((here, LEVEL), (there, foot), look) if own != lane else ""
    return bend + _line(there, number(foot), "100%", look)


def _coming(lane: int, own: int, look: str) -> str:
    """From a lane down into a station."""
    there, here = _LANES[lane], _LANES[own]
    top = LEVEL - abs(there - here)
    bend = _bend((there, top), (here, LEVEL), look) if own != lane else ""
    return _line(there, "0", number(top), look) + bend


def _station(stage: Stage, x: float, y: float = LEVEL) -> list[str]:
    small = stage.answered is Answered.WAITS and not stage.next
    radius = _SMALL if small else _RADIUS
    look = "ink" if stage.answered is Answered.WHOLE else "mid pap"
    left, right, r = (number(v) for v in (x - radius, x + radius, radius))
    at = f'cx="{number(x)}" cy="{number(y)}"'
    made = [f'<circle class="{look}" {at} r="{r}"/>']
    if stage.answered is Answered.PART:
        level = number(y)
        made.append(f'<path class="ink" d="M{left} {level}A{r} {r} 0 0 0 {right} {level}Z"/>')
    if stage.next:
        made.append(f'<circle class="ring" {at} r="{r}"/>')
    return made
