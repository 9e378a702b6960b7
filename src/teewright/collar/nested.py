"""A nest as a drawing: every piece with all its marks where it lies on the roll."""

from collections.abc import Sequence

from teewright.collar.drawn import Drawn, Stroke
from teewright.collar.marks import drawn
from teewright.collar.nesting import Nest
from teewright.collar.values import Collar, Panel
from teewright.errors import UnknownNameError


def nested(nest: Nest, collars: Sequence[Collar]) -> list[Drawn]:
    """The pieces where they lie, x across the roll, y along it.

    Args:
        nest: Where each piece lies.
        collars: The collars whose pieces were nested.

    Returns:
        One drawing a piece, in the order of the placements.

    Raises:
        UnknownNameError: A piece belongs to none of the collars.
    """
    owners = {panel: collar for collar in reversed(collars) for panel in collar.panels}
    made: dict[Panel, Drawn] = {}
    out = []
    for place in nest.placements:
        panel = place.panel
        if panel not in owners:
            raise UnknownNameError(
                "belongs to none of the collars that were given with the nest",
                field="piece",
                value=panel.name,
            )
        if panel not in made:
            made[panel] = drawn(panel, owners[panel])
        out.append(made[panel].moved(place.x, place.y, rotation=place.rotation))
    return out


def roll_edges(nest: Nest) -> tuple[Stroke, ...]:
    """The part of the roll that is used, on a layer of its own, `roll`."""
    wide, long = nest.roll_width, nest.length
    return (Stroke("roll", ((0.0, 0.0), (wide, 0.0), (wide, long), (0.0, long)), closed=True),)
