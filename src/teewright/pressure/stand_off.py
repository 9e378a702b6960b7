"""How far the energy in an inflated packer might reach: a caution, not a permission.

No public standard fixes a stand-off for inflatable packers or plugs in sewers. The formula here
was made for tests of piping with air; it counts the blast alone and no flying parts. Local
rules, the maker of the packer and licensed practice come first.
"""

from dataclasses import dataclass

from teewright.numerics.limits import within
from teewright.pressure.stored import adiabatic_energy, isothermal_energy, plug_thrust
from teewright.trace import Origin, TraceRow

TNT_ENERGY = 4_266_920.0
"""Energy that the source counts for a kilogram of TNT [J/kg]."""
SCALED_DISTANCE = 20.0
"""Least scaled distance of the source [m/kg^(1/3)]."""
ENERGY = (0.0, 135.5e6)
"""Energies for which the source's floor is `FLOOR` [J]."""
FLOOR = 30.0
"""Least distance that the source itself asks for, whatever the formula gives [m]."""
BLAST = "ASME PCC-2, mandatory appendices 501-II and 501-III"
READ = f"{BLAST} (read in a secondary source; made for tests of piping with air)"
SLOW = "isothermal expansion"
QUICK = "adiabatic expansion"


@dataclass(frozen=True, slots=True)
class StandOff:
    """What is stored in an inflated packer, and how far a formula of another trade reaches.

    Attributes:
        pressure: Gauge [Pa].
        gas: Volume of gas [m3].
        isothermal: Work of the slow expansion to the atmosphere [J].
        adiabatic: Work of the quick one [J].
        energy: The greater of the two, which the distance is worked out from [J].
        governs: Which of the two that is.
        tnt: The same energy as TNT [kg].
        blast: Distance that the formula gives [m].
        floor: Distance that its source asks for at the least [m].
        text: Caution in plain sentences.
        trace: Numbers in checking order.
        thrust: Force of the pressure on an end of the packer [N]; 0 where it was not asked.
    """

    pressure: float
    gas: float
    isothermal: float
    adiabatic: float
    energy: float
    governs: str
    tnt: float
    blast: float
    floor: float
    text: str
    trace: tuple[TraceRow, ...]
    thrust: float = 0.0


def blast_distance(energy: float) -> float:
    """Distance to a burst, R = R_s (2 m)^(1/3) with m = E/E_TNT, R_s = 20 m/kg^(1/3).

    ASME PCC-2, eq. II-3 and III-1, as quoted in a secondary source. Fragments are not covered.

    Args:
        energy: Stored, E [J]; 0 to 135.5 MJ.

    Returns:
        Distance R [m].

    Raises:
        RangeError: The energy is outside the range.
    """
    within(energy, ENERGY, quantity="stored energy", unit="J", law=BLAST)
    return float(SCALED_DISTANCE * (2.0 * energy / TNT_ENERGY) ** (1.0 / 3.0))


def stand_off(pressure: float, gas: float, bore: float) -> StandOff:
    """Energy of an inflated packer both ways, and the caution that goes with it.

    Both count the whole work of the gas; what pushes the atmosphere aside is not taken off. A
    real burst lies between the two: the slow expansion draws heat that a burst has no time
    for, so its work is the greater and is taken.

    Args:
        pressure: Gauge [Pa].
        gas: Volume of the gas, e.g. of `teewright.pressure.stored.packer_gas` [m3].
        bore: Inner diameter of the pipe that the packer fills [m].

    Returns:
        Energies, thrust, distances and the caution.

    Raises:
        RangeError: Pressure or volume outside the ranges of `teewright.pressure.stored`, or
            more energy than the distance is stated for.
    """
    slow, quick = isothermal_energy(pressure, gas), adiabatic_energy(pressure, gas)
    energy, governs = max((slow, SLOW), (quick, QUICK))
    blast = blast_distance(energy)
    thrust = plug_thrust(pressure, bore)
    return StandOff(
        pressure=pressure,
        gas=gas,
        isothermal=slow,
        adiabatic=quick,
        energy=energy,
        governs=governs,
        tnt=energy / TNT_ENERGY,
        blast=blast,
        floor=FLOOR,
        text=_text(energy, governs, blast),
        trace=(
            *_trace(pressure, gas, slow=slow, quick=quick, blast=blast),
            TraceRow("thrust on an end of the packer", "F", thrust, "kN", "p π D²/4"),
        ),
        thrust=thrust,
    )


def _text(energy: float, governs: str, blast: float) -> str:
    return (
        f"{energy / 1e3:.1f} kJ stored ({governs}, the greater bound). No public standard fixes a "
        f"stand-off for packers in sewers. A rule for tests of piping with air gives {blast:.1f} m "
        f"for the blast alone and asks for {FLOOR:.0f} m at the least; it does not cover flying "
        "parts. Nobody in line with the pipe or over the opening while it is under pressure; "
        "local rules and the packer's maker come first."
    )


def _trace(
    pressure: float, gas: float, *, slow: float, quick: float, blast: float
) -> tuple[TraceRow, ...]:
    return (
        TraceRow("pressure set", "p", pressure, "bar", "", "window", Origin.INPUT),
        TraceRow("gas in the packer", "V_g", gas, "l", "", "packer and bores", Origin.INPUT),
        TraceRow("work of a slow expansion", "E_g", slow, "kJ", "p V_g ln(p/p₀), absolute"),
        TraceRow(
            "work of a quick expansion",
            "E_s",
            quick,
            "kJ",
            "2.5 p V_g [1 − (p₀/p)^0.286], absolute",
        ),
        TraceRow(
            "blast distance of another trade's rule",
            "R_b",
            blast,
            "m",
            "20 (2 max(E_g; E_s)/4.267 MJ)^(1/3)",
            READ,
            Origin.ASSUMED,
        ),
        TraceRow("least distance of that rule", "R_0", FLOOR, "m", "", READ, Origin.ASSUMED),
    )
