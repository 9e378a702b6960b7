"""Invented fabric, packers and collars that the tests of this room share."""

import math
from typing import Any

from teewright.collar.panels import design_collar
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


def tee(main: float, branch: float, degrees: float, fillet: float = 0.005) -> Junction:
    return Junction(main, branch, math.radians(degrees), fillet)


def collar(junction: Junction, **changed: Any) -> Collar:
    choices: dict[str, Any] = {
        "thickness": 0.004,
        "stretch": 1.05,
        "sleeve_length": 0.5,
        "branch_length": 0.15,
        "lap": 0.03,
        "pattern": "P1",
    }
    fabric = changed.pop("fabric", FABRIC)
    return design_collar(junction, fabric, **{**choices, **changed})
