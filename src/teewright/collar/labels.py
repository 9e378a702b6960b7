"""What a piece is called: the lines of its label."""

import math
import textwrap

from teewright.collar.values import Collar, Panel

FACE = "top side: face to the pipe"
"""Said on the side that is drawn: it is the one that meets the host."""
_LONGEST = 30
_ARROW = {"main": "arrow upstream", "branch": "arrow up the branch"}


def label_lines(panel: Panel, collar: Collar) -> tuple[str, ...]:
    """Text of a panel's label.

    Args:
        panel: Panel of the collar.
        collar: Collar.

    Returns:
        Short lines: pattern and piece, which of how many, shape, fabric, stretch, which side
        is drawn and where the arrow points.
    """
    shape = collar.junction
    names = [piece.name for piece in collar.panels]
    number = names.index(panel.name) + 1 if panel.name in names else 1
    sizes = f"{1e3 * shape.main_diameter:.0f} / {1e3 * shape.branch_diameter:.0f} mm"
    return (
        f"{collar.pattern} {panel.name}",
        f"piece {number} of {len(names)}",
        f"{sizes}, {math.degrees(shape.angle):.0f}°",
        *fabric_lines(collar.fabric),
        f"stretch {collar.stretch:.3f}",
        FACE,
        _ARROW.get(panel.name.partition(" ")[0], "arrow along the grain"),
    )


def fabric_lines(fabric: str) -> list[str]:
    """The fabric's name in lines that fit a label."""
    name = " ".join(fabric.split())
    return textwrap.wrap(name, _LONGEST, max_lines=3, placeholder=" …") or ["no name"]
