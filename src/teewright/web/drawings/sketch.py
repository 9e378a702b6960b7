"""A pen for the drawings of a page: lengths in CSS pixels, looks by class, never by style."""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager

from markupsafe import Markup, escape

from teewright.report import letters

Point = tuple[float, float]
"""A point of the page, right and down from the top left corner [px]."""
_UNSEEN = dict.fromkeys((*range(9), 11, 12, *range(14, 32)), "\ufffd")


def number(value: float) -> str:
    """A coordinate to a tenth of a pixel."""
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


def path_of(points: Iterable[Point], *, close: bool = False) -> str:
    """Path data through some points."""
    body = "L".join(f"{number(x)} {number(y)}" for x, y in points)
    return f"M{body}{'Z' if close else ''}"


def wide(words: str, size: float = 13.0, weight: int = 400) -> float:
    """Width of a text [px].

    Args:
        words: One line.
        size: Of the letters [px].
        weight: 400, 600 or 700.
    """
    return letters.width(words, size, weight) / letters.POINT


class Sketch:
    """Collects the marks of one drawing."""

    def __init__(self) -> None:
        self._marks: list[str] = []

    def line(self, a: Point, b: Point, look: str = "thin") -> None:
        """Draw a straight line."""
        self.path((a, b), look)

    def path(self, points: Iterable[Point], look: str = "thin", *, close: bool = False) -> None:
        """Draw a line through the points, or a closed shape."""
        self._marks.append(f'<path class="{look}" d="{path_of(points, close=close)}"/>')

    def curve(self, data: str, look: str = "thin") -> None:
        """Draw path data as they are."""
        self._marks.append(f'<path class="{look}" d="{data}"/>')

    def rect(self, at: Point, size: Point, look: str = "thin") -> None:
        """Draw a rectangle from its top left corner."""
        x, y, w, h = (number(v) for v in (*at, *size))
        self._marks.append(f'<rect class="{look}" x="{x}" y="{y}" width="{w}" height="{h}"/>')

    def circle(self, at: Point, radius: float, look: str = "thin") -> None:
        """Draw a circle."""
        x, y, r = (number(v) for v in (*at, radius))
        self._marks.append(f'<circle class="{look}" cx="{x}" cy="{y}" r="{r}"/>')

    def ellipse(self, at: Point, radii: Point, look: str = "thin") -> None:
        """Draw an ellipse with its axes along the page's."""
        x, y, rx, ry = (number(v) for v in (*at, *radii))
        self._marks.append(f'<ellipse class="{look}" cx="{x}" cy="{y}" rx="{rx}" ry="{ry}"/>')

    def text(self, at: Point, words: str, look: str = "n", *, turn: float = 0.0) -> None:
        """Write one line; `at` is its foot, `look` says where it is anchored.

        Args:
            at: Foot of the text.
            words: Any text; signs that XML forbids become a replacement sign.
            look: Classes of the tokens.
            turn: Clockwise about its foot [deg].
        """
        x, y = number(at[0]), number(at[1])
        turned = f' transform="rotate({number(turn)} {x} {y})"' if turn else ""
        said = escape(words.translate(_UNSEEN))
        self._marks.append(f'<text class="{look}" x="{x}" y="{y}"{turned}>{said}</text>')

    @contextmanager
    def group(self, name: str, **attributes: str) -> Iterator[None]:
        """Everything drawn within is one element.

        Args:
            name: Of the element, e.g. `g` or `a`.
            **attributes: Of it; an underscore stands for a hyphen.
        """
        named = ((key.rstrip("_").replace("_", "-"), value) for key, value in attributes.items())
        told = "".join(f' {key}="{escape(value)}"' for key, value in named)
        self._marks.append(f"<{name}{told}>")
        yield
        self._marks.append(f"</{name}>")

    def body(self) -> Markup:
        """All marks, without an element round them."""
        return Markup("\n".join(self._marks))

    def svg(self, size: Point, label: str, look: str = "") -> Markup:
        """The drawing.

        Args:
            size: Width and height [px].
            label: What it shows, for those who do not see it; empty where words stand beside it.
            look: Classes.
        """
        w, h = (number(v) for v in size)
        told = f'role="group" aria-label="{escape(label)}"' if label else 'aria-hidden="true"'
        return Markup(
            f'<svg class="{look}" viewBox="0 0 {w} {h}" width="{w}" height="{h}" {told}>'
            f"{self.body()}</svg>"
        )
