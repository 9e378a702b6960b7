"""How much each uncertain input moves the utilisation: the bars of a tornado chart.

One input at a time goes to the ends of its declared range while all others stay. The ends are
enough: the thickness needed rises or falls with each of them throughout.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from teewright.errors import InputError, UnknownNameError
from teewright.wall.answers import Bar, Tornado
from teewright.wall.collar import collar_wall
from teewright.wall.values import CollarCase, Part


@dataclass(frozen=True, slots=True, kw_only=True)
class Declared:
    """Range in which an input lies.

    Attributes:
        key: A key of `inputs_of` the case.
        low: Lower end [SI].
        high: Upper end [SI].
        evidence: Where the range comes from, in words.
    """

    key: str
    low: float
    high: float
    evidence: str


@dataclass(frozen=True, slots=True)
class Input:
    """An input that can be moved.

    Attributes:
        name: Plain name.
        shown_in: Unit in which it is shown.
        read: Takes it out of a case.
        move: Puts another value into a case.
    """

    name: str
    shown_in: str
    read: Callable[[CollarCase], float]
    move: Callable[[CollarCase, float], CollarCase]


def tornado(case: CollarCase, ranges: tuple[Declared, ...], *, part: str = "") -> Tornado:
    """Utilisation at both ends of the range of each declared input.

    Args:
        case: The collar as checked.
        ranges: One for each input that is to be moved.
        part: A part's name, to see what moves it though another part governs; without it the
            whole collar is told.

    Returns:
        The bars, the longest first.

    Raises:
        InputError: An unknown input, one declared twice, a range without evidence, or one that
            does not hold the value checked.
        UnknownNameError: No part bears that name.
        RangeError: An end outside the range of an equation.
    """
    keys = [declared.key for declared in ranges]
    for declared in ranges:
        _accept(case, declared, keys.count(declared.key))
    bars = sorted((_bar(case, declared, part) for declared in ranges), key=lambda b: -b.swing)
    return Tornado(part, _judged(case, part)[0], tuple(bars))


def _judged(case: CollarCase, part: str) -> tuple[float, str]:
    found = collar_wall(case)
    if not part:
        return found.utilisation, f"{found.governing_part}: {found.governing}"
    by_name = {check.name: check for check in (*found.parts, found.beside)}
    if part not in by_name:
        raise UnknownNameError(
            "is no part of the collar", field="part", value=part, allowed=", ".join(by_name)
        )
    return by_name[part].utilisation, f"{part}: {by_name[part].governing}"


def inputs_of(case: CollarCase) -> dict[str, Input]:
    """Inputs of a case that can be moved, by key: those of the ground where it is a load.

    Args:
        case: The collar as checked.
    """
    grounds = (case.main.ground, case.branch.ground)
    return INPUTS if None in grounds else INPUTS | SOIL_INPUTS


def _accept(case: CollarCase, declared: Declared, times: int) -> None:
    inputs = inputs_of(case)
    if declared.key not in inputs:
        raise InputError(
            "is not an input that can be moved",
            field="key",
            value=declared.key,
            allowed=", ".join(inputs),
        )
    if times > 1:
        raise InputError("is declared twice", field="key", value=declared.key, allowed="once")
    nominal = inputs[declared.key].read(case)
    if not declared.low <= nominal <= declared.high:
        raise InputError(
            f"does not hold the value checked, {nominal:.6g}",
            field=f"range of {declared.key}",
            value=f"{declared.low:.6g} to {declared.high:.6g}",
            allowed="a lower end below and an upper end above it",
        )
    if not declared.evidence.strip():
        raise InputError(
            "has no evidence",
            field=f"range of {declared.key}",
            value=f"{declared.low:.6g} to {declared.high:.6g}",
            allowed="where the range comes from, in words",
        )


def _bar(case: CollarCase, declared: Declared, part: str) -> Bar:
    known = inputs_of(case)[declared.key]
    at_low, governs_low = _judged(known.move(case, declared.low), part)
    at_high, governs_high = _judged(known.move(case, declared.high), part)
    return Bar(
        key=declared.key,
        name=known.name,
        shown_in=known.shown_in,
        low=declared.low,
        nominal=known.read(case),
        high=declared.high,
        at_low=at_low,
        at_high=at_high,
        governing_low=governs_low,
        governing_high=governs_high,
        evidence=declared.evidence.strip(),
    )


def _head(case: CollarCase, head: float) -> CollarCase:
    # the water table rises over all parts alike
    rise = head - case.main.head
    return replace(
        case,
        main=replace(case.main, head=head),
        branch=replace(case.branch, head=case.branch.head + rise),
        opening=replace(case.opening, head=case.opening.head + rise),
    )


def _thickness(case: CollarCase, thickness: float) -> CollarCase:
    # the fabric is one: thicker in the main is thicker everywhere, in proportion
    ratio = thickness / case.main.provided
    return replace(
        case,
        main=replace(case.main, provided=thickness),
        branch=replace(case.branch, provided=case.branch.provided * ratio),
        opening=replace(case.opening, provided=case.opening.provided * ratio),
    )


INPUTS: dict[str, Input] = {
    "head": Input("groundwater above the main's invert", "m", lambda c: c.main.head, _head),
    "thickness": Input("thickness in the main", "mm", lambda c: c.main.provided, _thickness),
    "ovality": Input(
        "ovality of the main",
        "%",
        lambda c: c.main.ovality,
        lambda c, v: replace(c, main=replace(c.main, ovality=v)),
    ),
    "branch_ovality": Input(
        "ovality of the branch",
        "%",
        lambda c: c.branch.ovality,
        lambda c, v: replace(c, branch=replace(c.branch, ovality=v)),
    ),
    "modulus": Input(
        "modulus, short-term",
        "MPa",
        lambda c: c.wall.modulus,
        lambda c, v: replace(c, wall=replace(c.wall, modulus=v)),
    ),
    "strength": Input(
        "strength, short-term",
        "MPa",
        lambda c: c.wall.strength,
        lambda c, v: replace(c, wall=replace(c.wall, strength=v)),
    ),
    "long_term": Input(
        "share left in the long term",
        "%",
        lambda c: c.wall.long_term,
        lambda c, v: replace(c, wall=replace(c.wall, long_term=v)),
    ),
    "enhancement": Input(
        "enhancement factor",
        "-",
        lambda c: c.rules.enhancement,
        lambda c, v: replace(c, rules=replace(c.rules, enhancement=v)),
    ),
    "angle": Input(
        "branch angle",
        "deg",
        lambda c: c.opening.angle,
        lambda c, v: replace(c, opening=replace(c.opening, angle=v)),
    ),
}
"""Inputs that can be moved, by key."""


def _soil_modulus(case: CollarCase) -> float:
    return math.nan if case.main.ground is None else case.main.ground.soil_modulus


def _with_soil_modulus(case: CollarCase, modulus: float) -> CollarCase:
    # the trench is one: the same soil lies beside main and branch
    return replace(case, main=_in_soil(case.main, modulus), branch=_in_soil(case.branch, modulus))


def _in_soil(part: Part, modulus: float) -> Part:
    ground = part.ground
    return replace(part, ground=None if ground is None else replace(ground, soil_modulus=modulus))


SOIL_INPUTS: dict[str, Input] = {
    "soil_modulus": Input("modulus of the soil", "MPa", _soil_modulus, _with_soil_modulus),
}
"""Further ones where the host leaves the ground to the collar."""
