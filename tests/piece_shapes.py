"""Collars of two to six pieces of odd outlines, from the plain development of two cylinders.

The edge of the opening is sharp here, so both edges of the saddle have one length, that of the
curve in space: what is written can be held against it.
"""

import math
from collections.abc import Sequence
from dataclasses import replace

from shapely import LineString, Polygon, union_all

from collar_shapes import collar as closed_form
from collar_shapes import tee
from teewright.collar.values import Collar, Notch, Panel, Point2

MAIN, BRANCH, DEGREES = 0.2, 0.1, 60.0
HALF_SLEEVE, REACH = 0.22, 0.12
ALLOWANCE, LAP = 0.010, 0.03
STEPS = 360
Line = list[Point2]
Side = tuple[str, Line]


def saddle(phi: float) -> tuple[Point2, Point2]:
    """The seam on the main (across, along) and on the branch (round, up) [m]."""
    big, small, lean = MAIN / 2, BRANCH / 2, math.radians(DEGREES)
    y = small * math.sin(phi)
    up = (math.sqrt(big**2 - y**2) + small * math.cos(phi) * math.cos(lean)) / math.sin(lean)
    along = up * math.cos(lean) + small * math.cos(phi) * math.sin(lean)
    return (big * math.asin(y / big), along - 0.06), (small * phi, up)


def curve(start: float, stop: float) -> tuple[Line, Line]:
    steps = [start + (stop - start) * k / STEPS for k in range(STEPS + 1)]
    both = [saddle(phi) for phi in steps]
    return [main for main, _ in both], [branch for _, branch in both]


def notches(line: Sequence[Point2], labels: Sequence[str]) -> list[Notch]:
    """Marks at equal shares of the length of a line that has its fabric on the left."""
    out, path = [], LineString(line)
    for k, label in enumerate(labels):
        at = (k + 0.5) / len(labels) * path.length
        a, b = path.interpolate(at), path.interpolate(at + 1e-4)
        size = math.hypot(b.x - a.x, b.y - a.y)
        out.append(Notch(label, (a.x, a.y), ((b.y - a.y) / size, -(b.x - a.x) / size)))
    return out


def piece(name: str, sides: Sequence[Side], *, hole: Line | None = None) -> Panel:
    """A piece from the lines round it, counter-clockwise; free edges are called `end`."""
    ring = [point for _, line in sides for point in line[:-1]]
    allowances = {"closing": LAP / 2, "end": 0.0}
    strips = [
        LineString(line).buffer(allowances.get(kind, ALLOWANCE), cap_style="flat")
        for kind, line in sides
        if kind != "end"
    ]
    whole = union_all([Polygon(ring), *strips])
    assert isinstance(whole, Polygon)
    seams = [(kind, tuple(line)) for kind, line in sides if kind != "end"]
    inner: tuple[Point2, ...] = ()
    marks: list[Notch] = []
    for kind, line in sides:
        if kind not in {"end", "closing"}:
            marks += notches(line, [f"{kind[0].upper()}{k}" for k in range(7)])
    if hole:
        seams.insert(0, ("saddle", tuple(hole)))
        cut = Polygon(hole).buffer(-ALLOWANCE).exterior.coords
        inner = tuple((float(x), float(y)) for x, y in list(cut)[:-1])
        marks += notches(hole, [f"S{k}" for k in range(12)])
    ys = [y for _, y in ring]
    quarter = (max(ys) - min(ys)) / 4
    x, y = Polygon(ring).centroid.coords[0]
    outer = whole.exterior.coords
    return Panel(
        name=name,
        cut=tuple((float(a), float(b)) for a, b in list(outer)[:-1]),
        hole=inner,
        seams=tuple(seams),
        laps=(),
        notches=tuple(marks),
        grain=((x, min(ys) + quarter), (x, max(ys) - quarter)),
        label_at=(x, y),
        area=Polygon(outer, [inner] if inner else []).area,
    )


def two_pieces() -> tuple[Panel, ...]:
    girth, top = math.pi * MAIN / 2, saddle(0.0)[1][1] + REACH
    hole, _ = curve(math.pi, -math.pi)
    a, b = (-girth, -HALF_SLEEVE), (girth, -HALF_SLEEVE)
    c, d = (girth, HALF_SLEEVE), (-girth, HALF_SLEEVE)
    main = piece(
        "main",
        [("end", [a, b]), ("closing", [b, c]), ("end", [c, d]), ("closing", [d, a])],
        hole=hole[::-1] if Polygon(hole).exterior.is_ccw else hole,
    )
    _, low = curve(-math.pi, math.pi)
    e, f = (low[-1][0], top), (low[0][0], top)
    branch = piece(
        "branch",
        [("saddle", low), ("closing", [low[-1], e]), ("end", [e, f]), ("closing", [f, low[0]])],
    )
    return main, branch


def mirrored(panel: Panel, name: str) -> Panel:
    def t(line: Sequence[Point2]) -> tuple[Point2, ...]:
        return tuple((-x, y) for x, y in line)

    (a, b), (label,) = t(panel.grain), t([panel.label_at])
    return replace(
        panel,
        name=name,
        cut=t(panel.cut)[::-1],
        seams=tuple((kind, t(line)[::-1]) for kind, line in panel.seams),
        notches=tuple(
            replace(n, point=t([n.point])[0], normal=t([n.normal])[0]) for n in panel.notches
        ),
        grain=(a, b),
        label_at=label,
    )


def four_pieces() -> tuple[Panel, ...]:
    girth, top = math.pi * MAIN / 2, saddle(0.0)[1][1] + REACH
    main_line, low = curve(0.0, math.pi)
    crotch, heel = main_line[0], main_line[-1]
    a, b = (0.0, -HALF_SLEEVE), (girth, -HALF_SLEEVE)
    c, d = (girth, HALF_SLEEVE), (0.0, HALF_SLEEVE)
    left = piece(
        "main left",
        [
            ("end", [a, b]),
            ("closing", [b, c]),
            ("end", [c, d]),
            ("crown", [d, crotch]),
            ("saddle", main_line),
            ("crown", [heel, a]),
        ],
    )
    e, f = (low[-1][0], top), (0.0, top)
    up = piece(
        "branch left",
        [("saddle", low), ("crown", [low[-1], e]), ("end", [e, f]), ("crown", [f, low[0]])],
    )
    return left, mirrored(left, "main right"), up, mirrored(up, "branch right")


def strip() -> Panel:
    """A narrow curved piece: what the rounded edge is cut from where it is a piece of its own."""
    turns = [math.radians(250 + 300 * k / STEPS) for k in range(STEPS + 1)]

    def arc(radius: float) -> Line:
        return [(radius * math.cos(t), 0.8 * radius * math.sin(t)) for t in turns]

    outer, inner = arc(0.085), arc(0.071)[::-1]
    return piece(
        "edge",
        [
            ("saddle", outer),
            ("closing", [outer[-1], inner[0]]),
            ("edge", inner),
            ("closing", [inner[-1], outer[0]]),
        ],
    )


def halves() -> tuple[Panel, ...]:
    """Main and branch in one, mirrored: a T with rounded inner corners."""
    wide, neck, tall = 0.3, 0.06, 0.25
    corner = [math.pi / 2 * k / 40 for k in range(41)]
    r = 0.03
    right = [(neck + r - r * math.sin(t), 0.1 + r - r * math.cos(t)) for t in corner]
    left = [(-x, y) for x, y in right[::-1]]
    a, b, c = (-wide, -0.15), (wide, -0.15), (wide, 0.1)
    d, e, f = (neck, 0.1 + tall), (-neck, 0.1 + tall), (-wide, 0.1)
    one = piece(
        "left",
        [
            ("closing", [a, b]),
            ("end", [b, c]),
            ("crown", [c, *right, d]),
            ("end", [d, e]),
            ("crown", [e, *left, f]),
            ("end", [f, a]),
        ],
    )
    return one, mirrored(one, "right")


def collar_of(panels: tuple[Panel, ...], pattern: str = "P3") -> Collar:
    made = closed_form(tee(MAIN, BRANCH, DEGREES), pattern=pattern)
    return replace(made, panels=panels, fabric_area=sum(p.area for p in panels))


def all_collars() -> dict[str, Collar]:
    two = two_pieces()
    return {
        "two": collar_of(two),
        "four": collar_of(four_pieces()),
        "strip": collar_of((two[0], strip(), two[1])),
        "halves": collar_of(halves()),
    }
