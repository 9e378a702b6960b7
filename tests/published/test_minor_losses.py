"""Losses at the ends of short pipes, and a pipe between two reservoirs."""

from typing import Final

import pytest

from support import Check
from teewright.hydraulics.losses import Bores, entry_loss, exit_loss, loss_coefficient
from teewright.units import GRAVITY

SECONDARY: Final = "published, read in a secondary source"
TABLE = "Fluid mechanics textbook, figures of entrance and exit losses"
RESERVOIRS = "Çengel & Cimbala, Fluid Mechanics: water between two reservoirs, as a course quiz"
WHERE = "example on gravity-driven flow; solution sheet of quiz 7, course 58:160, fall 2010"

# cast iron, 5 cm, 89 m, 10 degrees Celsius, 6 l/s
PIPE = Bores(1, 0.05, 89.0, 1.0, roughness=0.26e-3)
NU = 1.307e-3 / 999.7
VELOCITY = 0.006 / PIPE.area
LOSSES = loss_coefficient(PIPE, VELOCITY, kinematic_viscosity=NU)
# the sheet has two bends of 0.3, a gate valve of 0.2 and 1.06 at the exit
FITTINGS = 2.0 * 0.3 + 0.2 + (1.06 - exit_loss())
HEAD = (LOSSES + FITTINGS) * 3.06**2 / (2.0 * GRAVITY)  # the sheet goes on with v rounded
FRICTION = (LOSSES - entry_loss(0.05) - exit_loss()) * 0.05 / 89.0
PRINTED = "half of the last digit printed"

CHECKS: tuple[Check, ...] = (
    Check(
        "square-edged entry",
        TABLE,
        "sharp-edged, flush with the wall",
        SECONDARY,
        0.5,
        "-",
        0.005,
        "the figure is given to one digit",
        lambda: entry_loss(0.1),
    ),
    Check(
        "well-rounded entry",
        TABLE,
        "radius 0.2 of the diameter",
        SECONDARY,
        0.04,
        "-",
        0.011,
        "tables differ: 0.03 (Idelchik) and 0.04",
        lambda: entry_loss(0.1, 0.02),
    ),
    Check(
        "exit into still water",
        TABLE,
        "reentrant, sharp or rounded",
        SECONDARY,
        1.0,
        "-",
        0.0,
        "exact: all of the velocity head is lost",
        exit_loss,
    ),
    Check(
        "head lost at a square-edged entry at 3 m/s",
        "Applied fluid mechanics, worked examples of a course",
        "example 10.29 (b)",
        SECONDARY,
        0.229,
        "m",
        0.0005,
        PRINTED,
        lambda: entry_loss(0.1) * 3.0**2 / (2.0 * GRAVITY),
    ),
    Check(
        "velocity between the reservoirs",
        RESERVOIRS,
        WHERE,
        SECONDARY,
        3.06,
        "m/s",
        0.005,
        PRINTED,
        lambda: VELOCITY,
    ),
    Check(
        "friction factor between the reservoirs",
        RESERVOIRS,
        WHERE,
        SECONDARY,
        0.0315,
        "-",
        0.00005,
        PRINTED,
        lambda: FRICTION,
    ),
    Check(
        "head between the reservoirs",
        RESERVOIRS,
        WHERE,
        SECONDARY,
        27.9,
        "m",
        0.05,
        PRINTED,
        lambda: HEAD,
    ),
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()
