"""What an inflated packer or a plug holds back: thrust and energy."""

import math

from teewright.kit.values import Packer
from teewright.numerics.limits import within

ATMOSPHERE = 101325.0
"""Standard atmosphere [Pa], exact by definition."""
GAUGE = (0.0, 2e6)
"""Gauge pressures of inflatable packers and plugs [Pa]."""
DIAMETER = (0.01, 5.0)
"""Diameters [m]."""
VOLUME = (0.0, 100.0)
"""Gas volumes [m3]."""
THRUST = "thrust on a plug"
ENERGY = "work of an ideal gas that expands"
HEAT_RATIO = 1.4
"""Ratio of the specific heats of air [-]."""


def plug_thrust(pressure: float, diameter: float) -> float:
    """Force of a pressure on a plug, F = p pi d^2/4.

    Args:
        pressure: Difference of pressure over the plug [Pa].
        diameter: Of the bore that it closes [m].

    Returns:
        Force along the pipe [N].

    Raises:
        RangeError: A value outside the ranges of this module.
    """
    within(pressure, GAUGE, quantity="pressure", unit="Pa", law=THRUST)
    within(diameter, DIAMETER, quantity="diameter", unit="m", law=THRUST)
    return pressure * math.pi * diameter**2 / 4.0


def packer_gas(packer: Packer, main_diameter: float, branch_diameter: float) -> float:
    """Gas in an inflated packer, taken as filling main and branch (upper bound) [m3].

    Args:
        packer: The packer; its length and branch reach count.
        main_diameter: Inner diameter of the main [m].
        branch_diameter: Inner diameter of the branch [m].
    """
    main = main_diameter**2 * packer.length
    return math.pi / 4.0 * (main + branch_diameter**2 * packer.branch_reach)


def isothermal_energy(pressure: float, volume: float) -> float:
    """Work that a compressed gas can do on expanding slowly, E = p1 V ln(p1/p0).

    Absolute pressures; ideal gas at a constant temperature (textbooks of thermodynamics). A
    burst is quicker and does less work, see `adiabatic_energy`: this is the upper bound.

    Args:
        pressure: Gauge [Pa].
        volume: Of the gas [m3].

    Returns:
        Energy [J].

    Raises:
        RangeError: A value outside the ranges of this module.
    """
    absolute = _absolute(pressure, volume)
    return absolute * volume * math.log(absolute / ATMOSPHERE)


def adiabatic_energy(pressure: float, volume: float) -> float:
    """Work of a compressed gas that bursts out, E = p1 V [1 - (p0/p1)^((k-1)/k)] / (k - 1).

    Absolute pressures; k = 1.4. With 1/(k-1) = 2.5 and (k-1)/k = 0.286 it is the form of ASME
    PCC-2, mandatory appendix 501-II, eq. II-2 (read in a secondary source).

    Args:
        pressure: Gauge [Pa].
        volume: Of the gas [m3].

    Returns:
        Energy [J].

    Raises:
        RangeError: A value outside the ranges of this module.
    """
    absolute = _absolute(pressure, volume)
    left = math.pow(ATMOSPHERE / absolute, (HEAT_RATIO - 1.0) / HEAT_RATIO)
    return absolute * volume * (1.0 - left) / (HEAT_RATIO - 1.0)


def _absolute(pressure: float, volume: float) -> float:
    within(pressure, GAUGE, quantity="gauge pressure", unit="Pa", law=ENERGY)
    within(volume, VOLUME, quantity="gas volume", unit="m3", law=ENERGY)
    return pressure + ATMOSPHERE
