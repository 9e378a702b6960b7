"""Figures of the printed sheets on a page: the same drawing in the page's own colours and type.

A page allows no style within itself, so sizes of letters become classes (`f` and the size in
hundredths of a millimetre, see figures.css) and colours become those of the sheet, light or
night.
"""

import re

from markupsafe import Markup

from teewright.report.pen import BLUE, GREY, INK, PAPER

_COLOURS = {
    INK: "currentColor",
    PAPER: "var(--paper)",
    BLUE: "var(--act)",
    GREY: "var(--mark)",
}
_TEXT = re.compile(r'<text ([^>]*?) ?font-size="([0-9.]+)"([^>]*)>')
_SIZE = re.compile(r' width="[0-9.]+mm" height="[0-9.]+mm"')


def on_page(svg: str, name: str) -> Markup:
    """A figure of the report as a part of a page.

    Args:
        svg: As the report's pen drew it.
        name: What it shows, in words, for those who do not see it.
    """
    if not svg:
        return Markup("")
    drawn = _TEXT.sub(_lettered, svg)
    for colour, own in _COLOURS.items():
        drawn = drawn.replace(f'"{colour}"', f'"{own}"')
    drawn = _SIZE.sub("", drawn, count=1)
    label = Markup('<svg class="of-sheet" role="img" aria-label="{}"').format(name)
    # the pen escapes every text that it writes
    return Markup(drawn.replace("<svg", str(label), 1))


def _lettered(found: re.Match[str]) -> str:
    before, size, after = found.groups()
    classes = f"f{round(100 * float(size))}"
    if BLUE in after:
        classes += " a"
    return f'<text class="{classes}" {before}{after}>'
