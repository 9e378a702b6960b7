"""EN 1610: air test times, water volumes, and the constants that DWA-A 139 derives from them.

The standard itself was not read. Times come from a public copy of the test time table of
DIN EN 1610:2015-12, which was read except for its last cells; those are values from memory.
"""

from collections.abc import Iterator
from functools import partial
from math import pi
from operator import truediv

import pytest

from support import Check, Standing
from teewright.proof.en1610 import (
    METHODS,
    TABLE_DRY,
    TABLE_WET,
    formula_time,
    kp,
    rounded_time,
    single_time,
)
from teewright.proof.en1610_water import WaterPart, allowance, wetted_area
from teewright.units import LITRE, MBAR, MINUTE, MM

COPY = "DIN EN 1610:2015-12, test time table, copy on a public document site"
BFR = "BFR Abwasser, A-2.5.2, on EN 1610:2015"
READ: Standing = "published, read in a secondary source"
MEMORY: Standing = "value from memory"
PRINTED = "whole and half minutes as printed; rounded by the rule of the standard, so exact"
Times = dict[str, tuple[float, ...]]
DIAMETERS = (100, 200, 300, 400, 600, 800, 1000)
WET: Times = {
    "LA": (5, 5, 7, 10, 14, 19, 24),
    "LB": (4, 4, 6, 7, 11, 15, 19),
    "LC": (3, 3, 4, 5, 8, 11, 14),
    "LD": (1.5, 1.5, 2, 2.5, 4, 5, 7),
}
DRY: Times = {
    "LA": (5, 5, 5, 7, 11, 14, 18),
    "LB": (4, 4, 4, 6, 8, 11, 14),
    "LC": (3, 3, 3, 4, 6, 8, 10),
    "LD": (1.5, 1.5, 1.5, 2, 3, 4, 5),
}
KP_DRY = (0.058, 0.058, 0.053, 0.040, 0.0267, 0.020, 0.016)
NOT_READ = {("LC", 800), ("LC", 1000), *(("LD", dn) for dn in DIAMETERS)}


def minutes(method: str, dn: int, *, dry: bool) -> float:
    return rounded_time(formula_time(dn * MM, method, dry_concrete=dry)) / MINUTE


def kp_dry(dn: int) -> float:
    return kp(dn * MM, dry_concrete=True) * MINUTE


def litres_per_metre(dn: int) -> float:
    return allowance(wetted_area(dn * MM, 1.0)) / LITRE


def litres_per_surface(part: WaterPart) -> float:
    return allowance(1.0, part) / LITRE


def minutes_per_dn(method: str) -> float:
    return formula_time(0.5, method) / MINUTE / 500.0


def times(table: Times, *, dry: bool) -> Iterator[Check]:
    concrete = "dry concrete" if dry else "wet concrete and others"
    for method, row in table.items():
        for dn, printed in zip(DIAMETERS, row, strict=True):
            if (method, dn) == ("LD", 1000) and not dry:
                continue  # the printed 7 min is not the rounded formula: see below
            standing = MEMORY if not dry and (method, dn) in NOT_READ else READ
            yield Check(
                f"{method} DN {dn}, {concrete}",
                COPY,
                f"row {method}, column DN {dn}",
                standing,
                printed,
                "min",
                1e-9,
                PRINTED,
                partial(minutes, method, dn, dry=dry),
            )


def constants() -> Iterator[Check]:
    for dn, printed in zip(DIAMETERS, KP_DRY, strict=True):
        yield Check(
            f"Kp DN {dn}, dry concrete",
            COPY,
            f"row Kp, column DN {dn}",
            READ,
            printed,
            "1/min",
            0.0005 if dn == 300 else 0.00005,
            "half of the last digit printed",
            partial(kp_dry, dn),
        )


def water() -> Iterator[Check]:
    printed = {100: 0.05, 150: 0.07, 200: 0.09, 300: 0.14, 400: 0.19, 600: 0.28, 800: 0.38}
    for dn, litres in printed.items():
        yield Check(
            f"water per metre, DN {dn}",
            "public guidance on EN 1610 method W, 0.15 l/m2",
            f"row DN {dn}",
            READ,
            litres,
            "l/m",
            0.005,
            "half of the last digit printed",
            partial(litres_per_metre, dn),
        )


def others() -> Iterator[Check]:
    for method, constant in (("LC", 0.01354), ("LD", 0.0065)):
        yield Check(
            f"time per DN, {method}",
            "DWA-A 139, read in BFR Abwasser A-2.5.2",
            f"t = {constant} DN",
            READ,
            constant,
            "min/mm",
            5e-6 if method == "LC" else 5e-5,
            "half of the last digit printed",
            partial(minutes_per_dn, method),
        )
    for name, pressure, drop in (
        ("LA", 10.0, 2.5),
        ("LB", 50.0, 10.0),
        ("LC", 100.0, 15.0),
        ("LD", 200.0, 15.0),
    ):
        tabled = METHODS[name]
        for what, value, found in (
            ("test pressure", pressure, tabled.pressure),
            ("drop allowed", drop, tabled.drop),
        ):
            yield Check(
                f"{what} {name}",
                BFR,
                f"Tab. A-2-102, {name}",
                READ,
                value,
                "mbar",
                1e-9,
                "printed exactly",
                partial(truediv, found, MBAR),
            )
    for part, rate in (
        (WaterPart.PIPE, 0.15),
        (WaterPart.PIPE_AND_MANHOLES, 0.20),
        (WaterPart.MANHOLE, 0.40),
    ):
        yield Check(
            f"water per surface, {part}",
            "public guidance on EN 1610 method W",
            "allowances",
            READ,
            rate,
            "l/m2",
            1e-9,
            "printed exactly",
            partial(litres_per_surface, part),
        )


CHECKS: tuple[Check, ...] = (
    *times(WET, dry=False),
    *times(DRY, dry=True),
    *constants(),
    *water(),
    *others(),
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()


def test_printed_tables_are_coded_as_read() -> None:
    for coded, read in ((TABLE_WET, WET), (TABLE_DRY, DRY)):
        assert {name: tuple(row.values()) for name, row in coded.items()} == read
        assert all(tuple(row) == DIAMETERS for row in coded.values())


def test_the_one_cell_that_the_rounded_formula_does_not_give() -> None:
    """LD at DN 1000: 6.497 min would round to 6; 7 is printed (value from memory)."""
    assert minutes("LD", 1000, dry=False) == 6.0
    assert TABLE_WET["LD"][1000] == 7.0


def test_single_connection_scales_with_the_volume_under_test() -> None:
    """Stein 2001 after Kaufmann 1997; DN 200, 1 m between the seals, 10 l under test."""
    time = single_time(0.2, "LC", test_volume=0.010, section_length=1.0) / MINUTE
    share_of_pipe = 0.010 / (pi / 4.0 * 0.2**2)
    assert time == pytest.approx(share_of_pipe * 2.802, rel=1e-3)
