"""Window bars: a quantity against its limits, as wide as there is room, letters always legible.

Places are shares of the width, so that a bar stretches with its column while its figures keep
their size. Hatched is what is not allowed.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import combinations, product

from markupsafe import Markup, escape

NARROWEST = 290.0
"""Width at which no two figures under a bar may touch [px]."""
_LETTER = 7.4
_TOP, _TALL, _FOOT, _HEIGHT = 8.0, 16.0, 40.0, 46
_Way = tuple[str, float, float]
"""How a label is set: anchor, left and right end [%]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WindowBar:
    """One quantity on its axis.

    Attributes:
        name: What it says, in words, for those who do not see it.
        ends: Of the axis [SI].
        least: Least allowed, or None [SI].
        most: Most allowed, or None [SI].
        spread: Least and greatest that was found or is expected, or None [SI].
        at: What is set or found, or None [SI].
        ticks: (value [SI], words) of further marks.
        bands: (from, to, colour) of a scale of colours [SI].
        write: Writes a value as it stands under the bar.
    """

    name: str
    ends: tuple[float, float]
    write: Callable[[float], str]
    least: float | None = None
    most: float | None = None
    spread: tuple[float, float] | None = None
    at: float | None = None
    ticks: tuple[tuple[float, str], ...] = ()
    bands: tuple[tuple[float, float, str], ...] = ()

    def place(self, value: float) -> float:
        """Share of the width, 0 to 100 [%]."""
        low, high = self.ends
        return 100.0 * min(max((value - low) / ((high - low) or 1.0), 0.0), 1.0)


@dataclass(frozen=True, slots=True)
class _Label:
    """Words under a bar.

    Attributes:
        place: Where their mark stands [%].
        words: They.
        needed: Whether they may be left out where there is no room.
    """

    place: float
    words: str
    needed: bool


def drawn(bar: WindowBar) -> Markup:
    """The bar as SVG; its hatching is the pattern `hatch` of the page."""
    marks = [*_bands(bar), *_barred(bar), _outline(), *_limits(bar), *_found(bar)]
    marks += [_written(*placed) for placed in _placed(_labels(bar))]
    body = "".join(marks)
    return Markup(
        f'<svg class="window" width="100%" height="{_HEIGHT}" role="img"'
        f' aria-label="{escape(bar.name)}">{body}</svg>'
    )


def _pc(value: float) -> str:
    return f"{value:.2f}%"


def _bands(bar: WindowBar) -> list[str]:
    found = []
    for low, high, colour in bar.bands:
        a, b = bar.place(low), bar.place(high)
        if b > a:
            found.append(
                f'<rect class="crisp" x="{_pc(a)}" y="{_TOP}" width="{_pc(b - a)}"'
                f' height="{_TALL}" fill="{colour}"/>'
            )
    return found


def _barred(bar: WindowBar) -> list[str]:
    parts = []
    if bar.least is not None:
        parts.append((0.0, bar.place(bar.least)))
    if bar.most is not None:
        parts.append((bar.place(bar.most), 100.0))
    return [
        f'<rect x="{_pc(a)}" y="{_TOP}" width="{_pc(b - a)}" height="{_TALL}" fill="url(#hatch)"/>'
        for a, b in parts
        if b > a
    ]


def _outline() -> str:
    return f'<rect class="hairbox" x="0" y="{_TOP}" width="100%" height="{_TALL}"/>'


def _upright(place: float, top: float, foot: float, kind: str) -> str:
    return f'<line class="{kind}" x1="{_pc(place)}" x2="{_pc(place)}" y1="{top}" y2="{foot}"/>'


def _limits(bar: WindowBar) -> list[str]:
    ends = [v for v in (bar.least, bar.most) if v is not None]
    found = [_upright(bar.place(v), _TOP - 4, _TOP + _TALL + 4, "mid") for v in ends]
    marks = (_upright(bar.place(v), _TOP + _TALL, _TOP + _TALL + 4, "thin") for v, _ in bar.ticks)
    return [*found, *marks]


def _found(bar: WindowBar) -> list[str]:
    """Spread as a line with caps, above the colours where there are some; a lozenge for the set."""
    marks = []
    middle = _TOP + _TALL / 2
    if bar.spread is not None:
        a, b = (bar.place(v) for v in bar.spread)
        y, kind = (_TOP - 5, "bold") if bar.bands else (middle, "mid")
        marks.append(f'<line class="{kind}" x1="{_pc(a)}" x2="{_pc(b)}" y1="{y}" y2="{y}"/>')
        if not bar.bands:
            marks += [_upright(x, middle - 5, middle + 5, "mid") for x in (a, b)]
    if bar.at is not None:
        marks.append(
            f'<svg x="{_pc(bar.place(bar.at))}" y="{middle}" overflow="visible">'
            '<path class="lozenge" d="M0 -7L7 0L0 7L-7 0Z"/></svg>'
        )
    return marks


def _labels(bar: WindowBar) -> list[_Label]:
    low, high = bar.ends
    ends = [v for v in (bar.least, bar.most) if v is not None]
    found = [_Label(bar.place(v), bar.write(v), needed=True) for v in ends]
    found += [_Label(bar.place(v), words, needed=False) for v, words in bar.ticks]
    # an end that is a limit is written already
    found += [
        _Label(bar.place(v), bar.write(v), needed=False) for v in (low, high) if v not in ends
    ]
    return found


def _placed(labels: Sequence[_Label]) -> list[tuple[float, str, str]]:
    """(place, anchor, words) of those that find room, the limits always."""
    limits = [label for label in labels if label.needed]
    found = list(zip(limits, _apart([_anchors(label) for label in limits]), strict=True))
    for label in labels:
        if label.needed:
            continue
        taken = [way for _, way in found]
        free = [way for way in _anchors(label) if all(_clear(way, other) for other in taken)]
        found += [(label, way) for way in free[:1]]
    return [(label.place, way[0], label.words) for label, way in found]


def _apart(ways: Sequence[Sequence[_Way]]) -> tuple[_Way, ...]:
    """The best way of each at which no two touch, or the best of each where there is none."""
    every = product(*ways)
    best = tuple(own[0] for own in ways)
    return next((s for s in every if all(_clear(a, b) for a, b in combinations(s, 2))), best)


def _clear(one: _Way, other: _Way) -> bool:
    return one[1] > other[2] or one[2] < other[1]


def _anchors(label: _Label) -> list[_Way]:
    """Ways to set a label within the bar, the best first."""
    wide = 100.0 * (_LETTER * len(label.words) + 8.0) / NARROWEST
    x = label.place
    ways = [("m", x - wide / 2, x + wide / 2), ("", x, x + wide), ("e", x - wide, x)]
    inside = [way for way in ways if way[1] >= -1.5 and way[2] <= 101.5]
    return inside or [("" if x < 50.0 else "e", x, x + wide)]


def _written(place: float, anchor: str, words: str) -> str:
    kind = f"n {anchor}".strip()
    return f'<text class="{kind}" x="{_pc(place)}" y="{_FOOT}">{escape(words)}</text>'
