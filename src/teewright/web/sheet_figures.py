"""Figures of the printed sheets on a page: the same drawing, named for those who do not see it.

A page allows no style within itself: sizes of letters and the colours of the sheet that the reader
chose come from drawn.css, for whatever stands within an element of the class `drawn`.
"""

import re
from typing import Protocol, TypeVar

from markupsafe import Markup

from teewright.report.figures.reader import METRIC, Axis, Units
from teewright.units import INCH, PSI, US_GALLON
from teewright.web.quantities import System, fahrenheit, quantity


def _us(value: float, unit: str) -> str:
    if unit == "MPa":  # a modulus: three figures are known of it
        value = float(f"{value / PSI:.3g}") * PSI
    return quantity(value, unit, System.US)


Shown_contra = TypeVar("Shown_contra", contravariant=True)
UNITS = {
    System.METRIC: METRIC,
    System.US: Units(
        INCH,
        "in",
        fahrenheit,
        "°F",
        _us,
        {"bar": Axis(PSI, "psi", 1), "mbar": Axis(PSI, "psi", 3), "l": Axis(US_GALLON, "gal", 3)},
    ),
}
"""Units of a figure by what the reader wants."""
_SIZE = re.compile(r' width="[0-9.]+mm" height="[0-9.]+mm"')


def on_page(svg: str, name: str) -> Markup:
    """A figure of the report as a part of a page.

    Args:
        svg: As the report's pen drew it.
        name: What it shows, in words.

    Returns:
        The drawing, as wide as its place; empty where there is none.
    """
    if not svg:
        return Markup("")
    label = Markup('<svg role="img" aria-label="{}"').format(name)
    # the pen escapes every text that it writes
    return Markup(_SIZE.sub("", svg, count=1).replace("<svg", str(label), 1))


class Drawn(Protocol[Shown_contra]):
    """A figure of the report that can be drawn wide and narrow and in other units."""

    def __call__(
        self, shown: Shown_contra, /, units: Units = METRIC, *, narrow: bool = False
    ) -> str:
        """The figure as SVG."""


def for_any_width(
    figure: Drawn[Shown_contra], shown: Shown_contra, name: str, system: System
) -> Markup:
    """A figure as a part of a page: wide, and narrow for a hand-held screen.

    Args:
        figure: Of the report.
        shown: What it shows.
        name: What it shows, in words.
        system: Units that the reader wants.
    """
    units = UNITS[system]
    wide, slim = (figure(shown, units, narrow=narrow) for narrow in (False, True))
    places = '<div class="drawn wide-figure">{}</div><div class="drawn slim-figure">{}</div>'
    return Markup(places).format(on_page(wide, name), on_page(slim, name))
