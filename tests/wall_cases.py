"""A collar of everyday size, as the checks of its wall are asked."""

import math

from teewright.wall.values import CollarCase, CuredWall, Ground, Opening, Part, Rules

WALL = CuredWall(modulus=1724e6, strength=31e6, long_term=0.5, poisson=0.3)
RULES = Rules(safety_factor=2.0, enhancement=7.0)
GROUND = Ground(cover=3.0, soil_weight=19e3, soil_modulus=6.9e6, traffic=5e3)
MAIN = Part(name="main", diameter=0.3, provided=0.006, head=3.0, ovality=0.02)
BRANCH = Part(name="branch", diameter=0.15, provided=0.006, head=2.9, ovality=0.02)
OPENING = Opening(
    branch_diameter=0.15, angle=math.radians(90.0), broken=0.0, provided=0.0055, head=2.9
)
CASE = CollarCase(main=MAIN, branch=BRANCH, opening=OPENING, wall=WALL, rules=RULES)
