"""Colours of data: one map for magnitudes, one for margins, both safe for colour-blind eyes."""

from collections.abc import Sequence

CIVIDIS = (
    "#00224e",
    "#123570",
    "#3b496c",
    "#575d6d",
    "#707173",
    "#8a8678",
    "#a59c74",
    "#c3b369",
    "#e1cc55",
    "#fee838",
)
"""Magnitudes, low to high: lightness rises evenly, blue to yellow.

Ten even samples of cividis (Nuñez, Anderton and Renslow, PLoS ONE 13(7), 2018, e0199239, made so
that colour-blind eyes see the same steps; published under CC0).
"""

MARGINS = (
    "#912d06",
    "#b2511d",
    "#c27041",
    "#cf8c66",
    "#dbaa8d",
    "#e9cab8",
    "#ece5e0",
    "#c6dbe6",
    "#94bed2",
    "#619ebd",
    "#307da6",
    "#0c5e92",
    "#034481",
)
"""Margins, from beyond the limit by the limit itself to far from it: rust, paper, blue.

Thirteen even samples of vik, turned round, from 2/16 to 14/16 of its length (Crameri, Scientific
colour maps 8, doi 10.5281/zenodo.1243862, MIT licence, copyright 2020 Fabio Crameri): even in
lightness to both sides, and told apart by blue against yellow, which red-green-blind eyes see.
"""


def channels(colour: str) -> tuple[int, int, int]:
    """Red, green and blue of `#rrggbb`, 0 to 255."""
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def between(anchors: Sequence[str], share: float) -> str:
    """Colour of a map at a share of its length.

    Args:
        anchors: Even samples of the map, `#rrggbb` each.
        share: 0 to 1; cut off at the ends [-].

    Returns:
        `#rrggbb`.
    """
    place = min(max(share, 0.0), 1.0) * (len(anchors) - 1)
    k = min(int(place), len(anchors) - 2)
    pairs = zip(channels(anchors[k]), channels(anchors[k + 1]), strict=True)
    red, green, blue = (round(a + (b - a) * (place - k)) for a, b in pairs)
    return f"#{red:02x}{green:02x}{blue:02x}"
