"""Figures of the printed sheets on a page: the same drawing, named for those who do not see it.

A page allows no style within itself: sizes of letters and the colours of the sheet that the reader
chose come from drawn.css, for whatever stands within an element of the class `drawn`.
"""

import re

from markupsafe import Markup

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
