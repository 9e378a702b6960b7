"""Leak test with air, EN 1610 method L: pressures, drops and test times.

Pressures are gauge pressures. Readings are judged in `teewright.proof.en1610_air`; method W, with
water, is in `teewright.proof.en1610_water`.
"""

from dataclasses import dataclass
from math import floor, isclose, log

from teewright.errors import InputError, RangeError
from teewright.proof.air import Space
from teewright.units import MINUTE, MM

LAW = "EN 1610:2015 method L"
DIAMETERS = (0.1, 1.0)
"""Diameters of the standard's table [m]."""
KP_LARGEST = 0.058 / MINUTE
"""Upper bound of Kp [1/s]."""


@dataclass(frozen=True, slots=True)
class AirMethod:
    """One of the four air methods.

    Attributes:
        name: `LA` to `LD`.
        pressure: Test pressure p0 [Pa].
        drop: Largest drop of pressure [Pa].
    """

    name: str
    pressure: float
    drop: float


METHODS = {
    "LA": AirMethod("LA", 1000.0, 250.0),
    "LB": AirMethod("LB", 5000.0, 1000.0),
    "LC": AirMethod("LC", 10000.0, 1500.0),
    "LD": AirMethod("LD", 20000.0, 1500.0),
}
"""EN 1610:2015 as tabled in BFR Abwasser A-2.5.2, read in a secondary source."""

_COLUMNS = (100, 200, 300, 400, 600, 800, 1000)
TABLE_WET: dict[str, dict[int, float]] = {
    "LA": dict(zip(_COLUMNS, (5.0, 5.0, 7.0, 10.0, 14.0, 19.0, 24.0), strict=True)),
    "LB": dict(zip(_COLUMNS, (4.0, 4.0, 6.0, 7.0, 11.0, 15.0, 19.0), strict=True)),
    "LC": dict(zip(_COLUMNS, (3.0, 3.0, 4.0, 5.0, 8.0, 11.0, 14.0), strict=True)),
    "LD": dict(zip(_COLUMNS, (1.5, 1.5, 2.0, 2.5, 4.0, 5.0, 7.0), strict=True)),
}
"""Printed times [min] for wet concrete and all other materials by method and DN [mm].

LA, LB and LC to DN 600 read in a copy of DIN EN 1610:2015-12; LC from DN 800 and LD are
values from memory. LD at DN 1000 is printed as 7 where the rounded formula gives 6.
"""
TABLE_DRY: dict[str, dict[int, float]] = {
    "LA": dict(zip(_COLUMNS, (5.0, 5.0, 5.0, 7.0, 11.0, 14.0, 18.0), strict=True)),
    "LB": dict(zip(_COLUMNS, (4.0, 4.0, 4.0, 6.0, 8.0, 11.0, 14.0), strict=True)),
    "LC": dict(zip(_COLUMNS, (3.0, 3.0, 3.0, 4.0, 6.0, 8.0, 10.0), strict=True)),
    "LD": dict(zip(_COLUMNS, (1.5, 1.5, 1.5, 2.0, 3.0, 4.0, 5.0), strict=True)),
}
"""Printed times [min] for dry concrete, read in the same copy."""


def air_method(name: str) -> AirMethod:
    """The air method of that name.

    Raises:
        InputError: There is none.
    """
    if name not in METHODS:
        raise InputError("is no air method", field="method", value=name, allowed=", ".join(METHODS))
    return METHODS[name]


def kp(diameter: float, *, dry_concrete: bool = False) -> float:
    """Constant Kp of EN 1610 [1/s].

    `Kp = 12/DN <= 0.058` for wet concrete and all other materials, `16/DN <= 0.058` for dry
    concrete, per minute with DN in mm. Source: EN 1610:2015, 13.2, table; read in BFR Abwasser
    A-2.5.2 and a copy of the table.

    Args:
        diameter: Inner diameter, 0.1 to 1.0 [m].
        dry_concrete: Whether the pipe is of concrete and dry.

    Raises:
        RangeError: The diameter is outside the table of the standard.
    """
    low, high = DIAMETERS
    if not low - 1e-9 <= diameter <= high + 1e-9:
        raise RangeError("diameter", diameter, low=low, high=high, unit="m", law=LAW)
    numerator = 16.0 if dry_concrete else 12.0
    return min(KP_LARGEST, numerator / (diameter / MM) / MINUTE)


def formula_time(diameter: float, method: str, *, dry_concrete: bool = False) -> float:
    """Test time by the formula, not rounded [s].

    `t = (1/Kp) ln(p0 / (p0 - dp))`, EN 1610:2015, 13.2 (wording from memory; the constants of
    DWA-A 139, 0.01354 DN and 0.0065 DN minutes, follow from it).

    Args:
        diameter: Inner diameter, 0.1 to 1.0 [m].
        method: `LA` to `LD`.
        dry_concrete: Whether the pipe is of concrete and dry.

    Raises:
        InputError: There is no such method.
        RangeError: The diameter is outside the table of the standard.
    """
    chosen = air_method(method)
    ratio = chosen.pressure / (chosen.pressure - chosen.drop)
    return log(ratio) / kp(diameter, dry_concrete=dry_concrete)


def rounded_time(seconds: float) -> float:
    """Round a test time [s] as the standard's table is rounded.

    To the nearest half minute up to 5 min, to the nearest minute above; halves between two
    go up, to the longer test. Source: BFR Abwasser A-2.5.2, read in a secondary source, which
    leaves 5 min itself open: both rules give 5 min there.
    """
    step = MINUTE / 2.0 if seconds < 5.0 * MINUTE else MINUTE
    return floor(seconds / step + 0.5) * step


def table_time(diameter: float, method: str, *, dry_concrete: bool = False) -> float | None:
    """Test time as the standard prints it [s], or None between the diameters of its table."""
    table = TABLE_DRY if dry_concrete else TABLE_WET
    minutes = table[air_method(method).name].get(round(diameter / MM))
    whole = isclose(diameter / MM, round(diameter / MM), abs_tol=0.01)
    return minutes * MINUTE if minutes is not None and whole else None


def required_time(diameter: float, method: str, *, dry_concrete: bool = False) -> float:
    """Test time of a pipe [s]: the printed one or the rounded formula, the longer counts."""
    computed = rounded_time(formula_time(diameter, method, dry_concrete=dry_concrete))
    return max(computed, table_time(diameter, method, dry_concrete=dry_concrete) or 0.0)


def single_time(
    diameter: float,
    method: str,
    *,
    test_volume: float,
    section_length: float,
    dry_concrete: bool = False,
) -> float:
    """Test time of one joint or connection between two seals, not rounded [s].

    See `teewright.proof.air.Space.scaled`.

    Args:
        diameter: Inner diameter, 0.1 to 1.0 [m].
        method: `LA` to `LD`.
        test_volume: Air volume under test [m3].
        section_length: Distance between the seals [m].
        dry_concrete: Whether the pipe is of concrete and dry.

    Raises:
        InputError: A volume or length that is not above 0, or no such method.
        RangeError: The diameter is outside the table of the standard.
    """
    whole = formula_time(diameter, method, dry_concrete=dry_concrete)
    return Space(test_volume, section_length).scaled(whole, diameter)
