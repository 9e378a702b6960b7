"""Groundwater that enters at all connections, before and after the work."""

from dataclasses import dataclass

from teewright.report import letters
from teewright.report.pen import INK, THIN, Lettering, Pen

LITRES_AN_HOUR = 3.6e6
"""Litres an hour in one cubic metre a second."""
_LEFT, _ROOM = 26.0, 84.0


@dataclass(frozen=True, slots=True)
class Amount:
    """What enters together.

    Attributes:
        flow: Estimated [m3/s].
        unknown: Number of connections without an estimate, besides it.
    """

    flow: float
    unknown: int


def bars(before: Amount, after: Amount, *, width: float = 178.0) -> str:
    """Two bars at one scale; what is not known is hatched, not left out.

    Args:
        before: At all connections.
        after: At those that are not sealed or closed off.
        width: Of the figure [mm].

    Returns:
        SVG.
    """
    pen = Pen(width, 23.0)
    scale = _ROOM / (max(before.flow, after.flow) * LITRES_AN_HOUR or 1.0)
    pen.text(
        (0.0, 2.8), "Groundwater entry at all connections, estimated at the highest groundwater"
    )
    _bar(pen, "Before", before, 6.0, scale)
    _bar(pen, "After", after, 15.0, scale)
    pen.line((_LEFT, 4.6), (_LEFT, 21.4), THIN)
    return pen.svg()


def _bar(pen: Pen, name: str, amount: Amount, y: float, scale: float) -> None:
    litres = amount.flow * LITRES_AN_HOUR
    pen.text((0.0, y + 3.6), name, Lettering(10.0, 600))
    x = _LEFT + 2.5
    if litres > 0.0:
        long = max(litres * scale, 0.4)
        pen.rect((_LEFT, y), (long, 5.0), None, INK)
        x += long
    if litres > 0.0 or not amount.unknown:
        text = f"{litres:.1f} l/h"
        pen.text((x, y + 3.6), text, Lettering(10.0, 600))
        x += letters.width(text, 10.0, 600) + 4.0
    if amount.unknown:
        pen.hatch((x, y), (12.0, 5.0))
        pen.rect((x, y), (12.0, 5.0), THIN.dashed("1.4 0.8"))
        pen.text((x + 14.0, y + 3.6), f"{amount.unknown} not known", Lettering(10.0))
