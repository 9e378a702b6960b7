"""Step: the window of a connection once its collar was formed, at the pressure that it has."""

import math
from dataclasses import replace

from teewright.errors import CannotBeMadeError
from teewright.job.beginning import Begun, shut
from teewright.job.window_case import window_case
from teewright.kit.values import Kit
from teewright.pressure.keeping import Before
from teewright.pressure.values import PressureWindow
from teewright.pressure.window import window_after
from teewright.resin.uptake import stretched_thickness, thickness_at
from teewright.units import BAR

NEVER = (
    "The simulated fabric never lay within its gap limit: the pressure that forms it is that of "
    "the membrane formula."
)
"""Said where a forming run gives no pressure."""


def settle(begun: Begun, landed: float, kit: Kit) -> Begun:
    """The connection with its final window, once a collar was formed for it.

    The pressure that was set from the membrane formula is kept where the final window holds it,
    and with it the thickness and the resin that follow from it. Where the collar needs more to
    lie within its gap limit, the pressure is raised: the fabric then counts as thinner, which is
    the safe side for the wall, and the collar only lies closer than in its run. Where nothing
    stands the pressure that it needs, the collar is refused.

    Args:
        begun: With its first window.
        landed: Least pressure on the fabric from which on it lies within its gap limit [Pa];
            nan where it never did.
        kit: Packers, fabric and rules.

    Returns:
        The same with window, packers, thickness and what presses on the fabric as they are in
        the end, and with notes where the run changed or refused an answer.

    Raises:
        CannotBeMadeError: No pressure forms the collar, as simulated, and breaks nothing.
        RangeError: The raised pressure is outside the fabric's measured thickness.
    """
    first = begun.window
    set_before = first.low if first.set is None else first.set
    before = Before(set_before, first.low, kit.rules.friction)
    packer, *others = begun.packers
    window = window_after(window_case(begun.inputs, packer, kit), landed, before=before)
    if window.set is None:
        raise CannotBeMadeError([shut(packer, window)])
    kept = [
        other
        for other in others
        if _holds(window_after(window_case(begun.inputs, other, kit), landed, before=before),
                  window.set)
    ]  # fmt: skip
    same = replace(
        begun,
        window=window,
        packers=(packer, *kept),
        notes=(NEVER,) if math.isnan(landed) else (),
    )
    return same if window.set == set_before else _moved(same, window.set - set_before, kit)


def _holds(window: PressureWindow, pressure: float) -> bool:
    return window.low <= pressure <= window.high


def _moved(begun: Begun, by: float, kit: Kit) -> Begun:
    """Thickness and resin at another pressure than the first."""
    pressure = begun.window.set or 0.0
    on_fabric = begun.on_fabric + by
    note = (
        f"The pressure was raised from {(pressure - by) / BAR:.2f} to {pressure / BAR:.2f} bar, "
        "as the simulated collar lies within its gap limit only then, margin included."
    )
    return replace(
        begun,
        thickness=stretched_thickness(thickness_at(kit.fabric, pressure), kit.rules.stretch),
        soaked=thickness_at(kit.fabric, on_fabric),
        on_fabric=on_fabric,
        notes=(*begun.notes, note),
    )
