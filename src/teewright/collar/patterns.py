"""Patterns: junctions of equal shape are cut from one pattern.

A pattern is drawn for sizes to the millimetre and the degree and for one thickness of fabric.
Against the true junction its seam lines are off by 3.2 mm at the most and the stretch along the
seam by 0.02 (right angle) to 0.055 (45 degrees, DN 150/100), where all errors add up; half a
degree of the angle is the greatest part. That is less than an angle or an edge radius is known
to on site.
"""

import math
from collections.abc import Mapping

from teewright.junction.values import Junction

Shape = tuple[int, int, int, int, int, int, int]
"""Main [mm], branch [mm], angle [degrees], rounding of the edge [mm], branch off the axis [mm],
ovality [0.1 %], direction of the short axis [degrees]."""


def shape_of(junction: Junction) -> Shape:
    """The shape of a junction to the millimetre and the degree.

    Args:
        junction: Shape in full.

    Returns:
        Rounded sizes, halves to the even number.
    """
    ovality = round(junction.ovality * 1e3)
    return (
        round(junction.main_diameter * 1e3),
        round(junction.branch_diameter * 1e3),
        round(math.degrees(junction.angle)),
        round(junction.fillet * 1e3),
        round(junction.offset * 1e3),
        ovality,
        round(math.degrees(junction.short_axis)) % 180 if ovality else 0,
    )


def rounded(junction: Junction) -> Junction:
    """The junction that a pattern is drawn for: its shape to the millimetre and the degree."""
    main, branch, angle, fillet, offset, ovality, short_axis = shape_of(junction)
    return Junction(
        main_diameter=main / 1e3,
        branch_diameter=branch / 1e3,
        angle=math.radians(angle),
        fillet=fillet / 1e3,
        offset=offset / 1e3,
        ovality=ovality / 1e3,
        short_axis=math.radians(short_axis),
    )


def name_patterns(junctions: Mapping[str, Junction]) -> dict[str, str]:
    """Give equal shapes one name: `P1`, `P2`, ... by main, branch, angle, rounding.

    Args:
        junctions: Junction of each connection id.

    Returns:
        Name of the pattern of each connection id, the same whatever the order of the ids.
    """
    shapes = {key: shape_of(junction) for key, junction in junctions.items()}
    names = {shape: f"P{n}" for n, shape in enumerate(sorted(set(shapes.values())), start=1)}
    return {key: names[shape] for key, shape in shapes.items()}
