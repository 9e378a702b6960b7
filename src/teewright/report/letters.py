"""Widths of words, from the fonts that the pack carries, so that plates and gaps are exact."""

from functools import lru_cache
from pathlib import Path

from fontTools.ttLib import TTFont

FONTS = Path(__file__).parent / "fonts"
"""Folder of the fonts, each beside its licence."""
FAMILY = "Atkinson Hyperlegible Next, Noto Sans Math"
"""Font families of every sheet and figure: text, then Greek and signs."""
POINT = 0.352778
"""One typographic point [mm]."""

_TEXT = "AtkinsonHyperlegibleNext_{cut}.ttf"
_SIGNS = "NotoSansMath-Regular.ttf"
_UNKNOWN = 600


@lru_cache(maxsize=8)
def _advances(file: str) -> tuple[dict[int, int], int]:
    """Advance of each character of a font, and its units per em."""
    font = TTFont(FONTS / file)
    metrics, cmap = font["hmtx"], font.getBestCmap()
    return {code: metrics[name][0] for code, name in cmap.items()}, font["head"].unitsPerEm


def _cut(weight: int) -> str:
    if weight >= 700:
        return "700Bold"
    if weight >= 600:
        return "600SemiBold"
    return "500Medium" if weight >= 500 else "400Regular"


def width(text: str, size: float, weight: int = 400) -> float:
    """Width of one line of text.

    Args:
        text: One line.
        size: Type size [pt].
        weight: 400 to 700.

    Returns:
        Width [mm].
    """
    letters, em = _advances(_TEXT.format(cut=_cut(weight)))
    signs, sign_em = _advances(_SIGNS)
    total = 0.0
    for character in text:
        code = ord(character)
        if code in letters:
            total += letters[code] / em
        elif code in signs:
            total += signs[code] / sign_em
        else:
            total += _UNKNOWN / em
    return total * size * POINT


def shorten(text: str, room: float, size: float, weight: int = 400) -> str:
    """Cut a line so that it fits, with an ellipsis in its middle, where names differ least.

    Args:
        text: One line.
        room: Width to fit in [mm].
        size: Type size [pt].
        weight: 400 to 700.

    Returns:
        The text itself where it fits.
    """
    text = " ".join(text.split())
    if width(text, size, weight) <= room:
        return text
    for kept in range(len(text) - 1, 1, -1):
        tail = kept // 3
        cut = text[: kept - tail].rstrip() + "…" + text[len(text) - tail :].lstrip()
        if width(cut, size, weight) <= room:
            return cut
    return "…"


def clip(text: str, room: float, size: float, weight: int = 400) -> str:
    """Cut a line at the end of a word so that it fits, with an ellipsis after it.

    Args:
        text: One line.
        room: Width to fit in [mm].
        size: Type size [pt].
        weight: 400 to 700.

    Returns:
        The text itself where it fits; one long word is shortened in its middle.
    """
    text = " ".join(text.split())
    if width(text, size, weight) <= room:
        return text
    kept = text.split(" ")
    while len(kept) > 1:
        kept.pop()
        cut = " ".join(kept).rstrip(",;:.- ") + " …"
        if width(cut, size, weight) <= room:
            return cut
    return shorten(text, room, size, weight)


def wrap(text: str, room: float, size: float, weight: int = 400) -> list[str]:
    """Break a text into lines that fit.

    Args:
        text: Words with spaces.
        room: Width to fit in [mm].
        size: Type size [pt].
        weight: 400 to 700.

    Returns:
        Lines; a single word that does not fit is shortened.
    """
    lines: list[str] = []
    for word in text.split():
        trial = f"{lines[-1]} {word}" if lines else word
        if lines and width(trial, size, weight) <= room:
            lines[-1] = trial
        else:
            lines.append(shorten(word, room, size, weight))
    return lines
