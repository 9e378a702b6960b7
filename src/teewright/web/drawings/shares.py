"""What comes in where: the entry of all connections as one bar, the greatest first."""

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup, escape

LEAST = 0.4
"""A part narrower than this share of the bar stands with the rest [%]."""


@dataclass(frozen=True, slots=True)
class Part:
    """One connection's part of the bar.

    Attributes:
        connection: Its id.
        label: Its name where there is room.
        share: Of the whole [-].
        address: Where it leads to.
    """

    connection: str
    label: str
    share: float
    address: str


def bar(parts: Sequence[Part], rest: str) -> Markup:
    """The bar; each part leads to its connection.

    Args:
        parts: The greatest first; their shares add up to 1.
        rest: Said of those too small to be drawn one by one.
    """
    x, made = 0.0, []
    shown = [part for part in parts if 100.0 * part.share >= LEAST]
    for part in shown:
        width = 100.0 * part.share
        made.append(_part(part, x, width))
        x += width
    if x < 99.99 and len(shown) < len(parts):
        made.append(_box(x, 100.0 - x, "mid ins"))
        made.append(_words(x, 100.0 - x, rest))
    half = '<line class="bold" x1="50%" x2="50%" y1="44" y2="54"/>'
    return Markup(f'<svg class="shares" width="100%" height="56">{"".join(made)}{half}</svg>')


def _part(part: Part, x: float, width: float) -> str:
    inside = _box(x, width, "mid pap") + _words(x, width, part.label)
    title = f"{part.connection}, {100.0 * part.share:.0f} %"
    return (
        f'<a href="{escape(part.address)}" data-id="{escape(part.connection)}">'
        f"<title>{escape(title)}</title>{inside}</a>"
    )


def _box(x: float, width: float, look: str) -> str:
    return f'<rect class="{look}" x="{x:.2f}%" y="1" width="{width:.2f}%" height="42"/>'


def _words(x: float, width: float, words: str) -> str:
    """Words in a part of the bar; where it is narrow they are left out, by the style sheet."""
    room = min((r for r in (3, 6, 12, 24) if r >= 0.9 * len(words)), default=24)
    if width < room * 0.5:
        return ""
    look = "fits" if width >= room * 1.2 else "fits-wide"
    return f'<text class="n b m {look}" x="{x + width / 2:.2f}%" y="27">{escape(words)}</text>'
