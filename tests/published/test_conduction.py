"""Transient conduction: a plane wall and rods of published examples."""

import math

import numpy as np
import pytest

from support import Check
from teewright.heat.layers import Layer, Side, graded_mesh, radial_chain
from teewright.heat.march import March, run
from teewright.resin.kinetics import Kinetics
from teewright.resin.path import steady
from teewright.units import kelvin

INERT = Kinetics(1.0, 0.0, 1.0, 0.0, 1.0, 1.0, 0.5, 0.9, 1.0, (200.0, 2000.0))
LARGE = 200.0
"""Radius at which a wall of some centimetres is plane to 1e-4 [m]."""
STEEL = Layer("pipe wall", 0.040, 63.9, 7832.0, 434.0)
INCROPERA = "Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, plane wall example"
SHAPES = "Nellis and Klein, Heat Transfer (2009), in the help page of a library of its formulas"


def warm(
    inner: float, layer: Layer, outside: Side, *, start: float, end: float, inside: Side
) -> March:
    mesh = graded_mesh(inner, (layer,), resin_cells=60)
    chain = radial_chain(INERT, mesh, (layer,), inside=inside, outside=outside)
    return run(
        INERT,
        chain,
        temperature=np.full(60, start),
        conversion=np.zeros(60),
        times=np.array([0.0, end]),
        tolerance=1e-7,
    )


def steel() -> tuple[float, float, float]:
    """Insulated face, heated face [deg C], and flux at the heated face [W/m2] after 8 min."""
    oil = Side(500.0, steady(kelvin(60.0)))
    closed = Side(0.0, steady(kelvin(60.0)))
    march = warm(LARGE, STEEL, oil, start=kelvin(-20.0), end=480.0, inside=closed)
    T = march.last[0] - kelvin(0.0)
    half = 0.5 * STEEL.thickness / 60
    # the face lies half a cell beyond the last middle: film and half a cell in series
    flux = (T[-1] - 60.0) / (1.0 / 500.0 + half / STEEL.conductivity)
    return float(T[0]), float(60.0 + flux / 500.0), float(flux)


def rod_heat(fourier: float, biot: float) -> float:
    """Share of all its heat that a rod has taken up by a Fourier number."""
    rod = Layer("rod", 1.0, 1.0, 1.0, 1.0)
    closed = Side(0.0, steady(400.0))
    march = warm(0.0, rod, Side(biot, steady(400.0)), start=300.0, end=fourier, inside=closed)
    return march.heat_in[1] / (math.pi * 100.0)


CHECKS: tuple[Check, ...] = (
    Check(
        "steel wall of 40 mm, 8 min in oil at 60 degrees: insulated face",
        INCROPERA,
        "Bi 0.313, Fo 5.64",
        "value from memory",
        43.0,
        "degC",
        0.5,
        "printed without decimals",
        lambda: steel()[0],
    ),
    Check(
        "the same: face in the oil",
        INCROPERA,
        "Bi 0.313, Fo 5.64",
        "value from memory",
        45.0,
        "degC",
        0.5,
        "printed without decimals",
        lambda: steel()[1],
    ),
    Check(
        "the same: flux into the wall",
        INCROPERA,
        "Bi 0.313, Fo 5.64",
        "value from memory",
        -7400.0,
        "W/m2",
        111.0,
        "1.5 %: the book's coefficients are interpolated in a table",
        lambda: steel()[2],
    ),
    Check(
        "heat taken up by a rod, Fo 0.23 and Bi 1.02",
        SHAPES,
        "heat transfer of a long cylinder in a fluid, sec. 3.5.2",
        "published, read in a secondary source",
        0.319,
        "-",
        0.0005,
        "half of the last digit printed",
        lambda: rod_heat(0.23, 1.02),
    ),
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_published(check: Check) -> None:
    check.verify()
