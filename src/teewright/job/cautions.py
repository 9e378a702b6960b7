"""Cautions of a design: the cause and one short act, for the place where it matters.

Local rules and licensed practice come first; nothing here tells anyone to enter a manhole.
"""

import math

from teewright.kit.values import Packer, Resin
from teewright.pressure.stand_off import FLOOR
from teewright.pressure.values import PressureWindow
from teewright.units import BAR, MINUTE

HAZARDS = {
    "isocyanates": ("Isocyanates.", "Trained people only; no skin contact, no vapour breathed."),
    "styrene": ("Styrene.", "Keep vapour out of laterals and houses; ventilate; no ignition."),
    "amines": ("Amines.", "Gloves and eye protection; they burn and sensitise skin."),
    "peroxides": ("Peroxides.", "Keep apart from accelerator and from heat."),
}

RULE = "For air tests of pipes (ASME PCC-2, read second-hand)"
"""Whose distances the caution tells, see `teewright.pressure.stand_off`."""


def cautions(
    resin: Resin, packer: Packer, pressure: PressureWindow, hold: float
) -> tuple[tuple[str, str], ...]:
    """(cause, act) pairs for one collar.

    Args:
        resin: The resin used.
        packer: The packer used.
        pressure: The inflation window.
        hold: Least time for which the main is part blocked and the branch shut [s].
    """
    known = tuple(HAZARDS[h] for h in resin.hazards if h in HAZARDS)
    other = tuple(
        (f"{h.capitalize()}.", "Follow the safety data sheet.")
        for h in resin.hazards
        if h not in HAZARDS
    )
    stored = _stored(pressure)
    flow = (
        f"Branch shut and main part blocked for {math.ceil(hold / MINUTE)} min or more: no water "
        "used there; if the level upstream rises, vent and pull out."
    )
    return (
        ("Pressurised packer.", stored),
        *known,
        *other,
        ("Heat.", "Left-over resin can boil and smoke: spread it thin, outdoors."),
        ("Flow.", flow),
        ("Gas and access.", "Permit and gas test under local rules come before any opening."),
        ("Lifting.", f"The packer weighs {packer.mass:.0f} kg: lift with a davit or two people."),
        ("Traffic and waste.", "Guard the opening; cured and uncured resin go to licensed waste."),
    )


def _stored(pressure: PressureWindow) -> str:
    """Energy and what a rule of another trade says of distance; no distance is called safe."""
    set_bar = (pressure.set or pressure.high) / BAR
    found = pressure.stand_off
    pushes = f" and {found.thrust / 1e3:.1f} kN along the pipe" if found and found.thrust else ""
    text = (
        f"{pressure.stored_energy / 1e3:.1f} kJ{pushes} at {set_bar:.2f} bar: nobody in line with "
        "it or over the opening; vent before you touch it."
    )
    if found is None:
        return text
    blast = math.ceil(found.blast * 10.0 - 1e-9) / 10.0
    return (
        f"{text} No standard sets a distance. {RULE}: {blast:.1f} m for blast, {FLOOR:.0f} m at "
        "least, flying parts not covered."
    )
