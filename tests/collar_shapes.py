"""Invented fabric and packer, and collars made of it that many tests share.

A collar is made once in a process and kept: coarsely, without a search for its seam and without
a placement tolerance, which takes a second or two.
"""

import math
from dataclasses import replace
from functools import cache
from typing import Any

from teewright.collar.closing import Cutting
from teewright.collar.edges import highest_seam
from teewright.collar.made import Made
from teewright.collar.making import make_collar
from teewright.collar.numbers import collar_trace
from teewright.collar.order import Effort, Order, edge_size, extent_of, wanted_of
from teewright.collar.seams import start_seam
from teewright.collar.targets import Targets
from teewright.collar.trial import Sewn, Trial, try_on
from teewright.collar.values import Collar
from teewright.junction.values import Junction
from teewright.kit.values import Fabric, Packer

FABRIC = Fabric(
    name="Invented felt",
    thickness=((0.0, 0.005), (5e4, 0.004)),
    void_fraction=0.85,
    stiffness_along=8e3,
    stiffness_across=4e3,
    stretch_along=1.25,
    stretch_across=1.35,
    seam_allowance=0.010,
    roll_width=1.5,
    price=20.0,
    source="invented",
)
PACKER = Packer(
    name="Invented packer",
    main_min=0.18,
    main_max=0.32,
    branch_min=0.09,
    branch_max=0.16,
    angle_min=math.radians(60.0),
    angle_max=math.radians(90.0),
    rating=1.5e5,
    bladder_pressure=3e4,
    bypass_count=1,
    bypass_diameter=0.05,
    length=1.2,
    sleeve_length=0.6,
    branch_reach=0.3,
    mass=25.0,
    count=1,
)
QUICK = Effort(fineness=2.0, seam=False, tolerance=False)
"""A mesh of some hundred triangles: a second or two."""


def tee(main: float, branch: float, degrees: float, fillet: float = 0.005) -> Junction:
    return Junction(main, branch, math.radians(degrees), fillet)


def order(junction: Junction, **changed: Any) -> Order:
    choices: dict[str, Any] = {
        "pattern": "P1",
        "fabric": FABRIC,
        "pressure": 5e4,
        "thickness": 0.004,
        "stretch": 1.05,
        "void_fraction": FABRIC.void_fraction,
        "sleeve_length": 0.5,
        "branch_length": 0.15,
        "lap": 0.03,
    }
    return Order(junction=junction, **{**choices, **changed})


@cache
def made(given: Order, effort: Effort = QUICK) -> Made:
    """A collar and its picture, made once."""
    return make_collar(given, effort=effort)


def collar(junction: Junction, **changed: Any) -> Collar:
    """A collar; names of pattern and fabric cost no second one."""
    asked = order(junction, **changed)
    plain = replace(asked, pattern="P1", fabric=replace(asked.fabric, name=FABRIC.name))
    named = replace(made(plain).collar, pattern=asked.pattern, fabric=asked.fabric.name)
    trace = collar_trace(named, asked.pressure, design_stretch=asked.stretch)
    return replace(named, trace=trace)


def cutting(given: Order, *, fineness: float = QUICK.fineness, half: bool | None = None) -> Cutting:
    """A layout of an order, its seam in the usual place."""
    seam = start_seam(given.skin)
    return Cutting(
        order=given,
        layout=given.layout or "saddle seam",
        seam=seam,
        wanted=wanted_of(given, highest_seam(given.skin, seam)),
        size=edge_size(given, Effort(fineness=fineness)),
        half=half,
    )


@cache
def sewn(given: Order, *, fineness: float = QUICK.fineness, half: bool | None = None) -> Sewn:
    """The first panels of an order, laid flat and sewn, once."""
    ways = cutting(given, fineness=fineness, half=half)
    first = Targets(round=given.stretch, along=1.0, saddle=min(1.0, given.stretch))
    return ways.sew(extent_of(ways.wanted), first).sewn


@cache
def tried(given: Order) -> Trial:
    """The first panels of an order, formed once."""
    return try_on(sewn(given))
