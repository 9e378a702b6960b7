"""First half of a design: shape, packer and pressure of one connection."""

from collections.abc import Sequence
from dataclasses import dataclass

from teewright.collar.fit import fitting_packers, refusals
from teewright.collar.patterns import rounded
from teewright.errors import CannotBeMadeError
from teewright.hydraulics.bypass import capacity
from teewright.job.resolve import Inputs
from teewright.job.window_case import window_case
from teewright.junction.check import check_junction
from teewright.junction.values import Junction
from teewright.kit.values import Kit, Packer
from teewright.pressure.ends import BRANCH_CRACKED
from teewright.pressure.values import PressureWindow
from teewright.pressure.window import pressure_on_fabric, window_of
from teewright.resin.uptake import stretched_thickness, thickness_at
from teewright.units import BAR, MM


@dataclass(frozen=True, slots=True)
class Begun:
    """A connection for which a packer and a pressure were found.

    Attributes:
        connection_id: Connection.
        inputs: Inputs.
        junction: Shape to the millimetre and the degree.
        packers: Fitting packers, the one used first.
        window: Inflation window of the first.
        thickness: Of the fabric at the set pressure, stretched: what stands in the pipe at the
            least [m].
        soaked: Of the fabric as cut, under what presses it to the wall once groundwater,
            bladder and stretch have taken their share: what holds resin at the most [m].
        on_fabric: What presses it to the wall then [Pa].
        notes: What the forming run changed or refused, one sentence each.
    """

    connection_id: str
    inputs: Inputs
    junction: Junction
    packers: tuple[Packer, ...]
    window: PressureWindow
    thickness: float
    soaked: float
    on_fabric: float
    notes: tuple[str, ...] = ()


def begin(connection_id: str, inputs: Inputs, kit: Kit) -> Begun:
    """Shape, packer and pressure of one connection.

    Raises:
        CannotBeMadeError: No bore, no packer that fits, or no pressure that both forms and
            breaks nothing.
        GeometryError: The junction cannot exist.
        RangeError: The set pressure is outside the fabric's measured thickness.
    """
    if inputs.lined_diameter <= 0.0:
        liner, host = inputs.liner_thickness.value / MM, inputs.host_diameter.value / MM
        raise CannotBeMadeError(
            [f"A liner of {liner:.1f} mm leaves no bore in a host of {host:.0f} mm; check both."]
        )
    exact = Junction(
        main_diameter=inputs.lined_diameter,
        branch_diameter=inputs.branch_diameter.value,
        angle=inputs.angle.value,
        fillet=inputs.fillet.value,
    )
    check_junction(exact)
    junction = rounded(exact)
    fitting = fitting_packers(junction, kit.packers)
    if not fitting:
        raise CannotBeMadeError(refusals(junction, kit.packers, kit.fabric))
    windows = [(packer, window_of(window_case(inputs, packer, kit))) for packer in fitting]
    open_ = [(packer, window, window.set) for packer, window in windows if window.set is not None]
    if not open_:
        raise CannotBeMadeError([shut(*windows[0])])
    packer, window, pressure = open_[0]
    others = stand_ins(open_, inputs.lined_diameter)
    on_fabric = pressure_on_fabric(window, kit.rules.pressure_margin)
    thickness = stretched_thickness(thickness_at(kit.fabric, pressure), kit.rules.stretch)
    soaked = thickness_at(kit.fabric, on_fabric)
    return Begun(
        connection_id, inputs, junction, (packer, *others), window, thickness, soaked, on_fabric
    )


def shut(packer: Packer, window: PressureWindow) -> str:
    """Why no pressure does, with what would help.

    Args:
        packer: The packer.
        window: Its window, which is shut.
    """
    pipe = "branch pipe stands it" if window.high_governs == BRANCH_CRACKED else "host is sound"
    return (
        f"No pressure forms the collar and breaks nothing: packer {packer.name} needs "
        f"{window.low / BAR:.2f} bar (most of it {window.low_governs}), but "
        f"{window.high_governs} allows {window.high / BAR:.2f} bar; lower groundwater, a softer "
        f"fabric or a proof that the {pipe} would help."
    )


def stand_ins(
    open_: Sequence[tuple[Packer, PressureWindow, float]], main_diameter: float
) -> tuple[Packer, ...]:
    """Packers that can stand in for the first with its collar, pressure and allowed hours.

    Args:
        open_: (packer, its own window, pressure that it would be set to [Pa]) of each.
        main_diameter: Inner diameter of the lined main [m].

    Returns:
        Those that carry as much, whose own window holds the pressure set for the first, and
        that pass as much flow.
    """
    first, _, pressure = open_[0]
    least = bores_capacity(first, main_diameter)
    return tuple(
        packer
        for packer, window, _ in open_[1:]
        if packer.sleeve_length >= first.sleeve_length
        and packer.branch_reach >= first.branch_reach
        and window.low <= pressure <= window.high
        and bores_capacity(packer, main_diameter) >= least
    )


def bores_capacity(packer: Packer, main_diameter: float) -> float:
    """Flow that a packer's bores pass with the water at the crown of the main [m3/s]."""
    return capacity(
        main_diameter=main_diameter,
        bore_count=packer.bypass_count,
        bore_diameter=packer.bypass_diameter,
        bore_length=packer.length,
    )
