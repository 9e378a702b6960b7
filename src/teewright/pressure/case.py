"""Everything that a window of inflation pressure is worked out from."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from teewright.errors import InputError
from teewright.kit.values import Fabric, Packer
from teewright.numerics.limits import within
from teewright.pressure.host import CrackedBranch, Ground, over_branch
from teewright.pressure.limits import PipeWall, rating_share

MARGIN = (0.0, 2e5)
"""Margins at the lower end [Pa]."""
RATING = (1e3, 2e6)
"""Ratings of packers, liners and branch pipes [Pa]."""
ALLOWANCE = (0.0, 1e6)
"""Pressures for forming, squeezing and friction [Pa]."""
WINDOW = "the inflation window"


@dataclass(frozen=True, slots=True, kw_only=True)
class WindowCase:
    """One collar, one packer and what is known of the place.

    Attributes:
        main_diameter: Inner diameter of the lined main [m].
        branch_diameter: Inner diameter of the branch [m].
        fabric: The fabric.
        stretch: Design stretch, formed over cut [-].
        packer: The packer.
        ground: Groundwater, cover and state of the host; its head is the greatest while the
            collar cures.
        liner_pressure: Pressure that the lined main stands from inside [Pa], or None.
        margin: Added at the lower end [Pa].
        landed: Least pressure on the fabric from which on it lies within its gap limit, from a
            forming run [Pa], or None where none ran and the membrane formula is used.
        squeeze: Pressure that presses the soaked fabric to its thickness [Pa], see
            `teewright.pressure.squeeze`.
        friction: Allowance for friction on the wall while it forms [Pa]; 0 with a forming run,
            which counts the friction of the fabric itself.
        packer_temperature: Of the packer's skin while it is inflated [K], or None.
        derating: (temperature [K], share of the rating [-]) as declared; empty for none.
        host_wall: Wall of a host known to be sound, or None where it is not to limit.
        branch_wall: Wall of a sound branch pipe, or None.
        branch_pressure: Pressure declared for the branch pipe [Pa], or None.
        branch_cracked: The branch pipe where it is declared as cracked, or None.
        head_least: Least groundwater above the invert while the packer is inflated [m], or
            None where it does not change; a cracked host is held by the least.
        never_landed: Whether a forming run was made in which the fabric never lay within its gap
            limit, so that the membrane formula is used in its place.
        squeeze_to: Thickness that `squeeze` presses the fabric to, not stretched [m], or None
            where it was not worked out from one.
    """

    main_diameter: float
    branch_diameter: float
    fabric: Fabric
    stretch: float
    packer: Packer
    ground: Ground
    liner_pressure: float | None
    margin: float
    landed: float | None = None
    squeeze: float = 0.0
    friction: float = 0.0
    packer_temperature: float | None = None
    derating: tuple[tuple[float, float], ...] = ()
    host_wall: PipeWall | None = None
    branch_wall: PipeWall | None = None
    branch_pressure: float | None = None
    branch_cracked: CrackedBranch | None = None
    head_least: float | None = None
    never_landed: bool = False
    squeeze_to: float | None = None

    @property
    def ground_least(self) -> Ground:
        """The ground with the least water that is told."""
        if self.head_least is None:
            return self.ground
        return replace(self.ground, head=self.head_least)

    @property
    def ground_of_branch(self) -> Ground | None:
        """The ground at a cracked branch pipe with the least water, or None."""
        if self.branch_cracked is None:
            return None
        return over_branch(self.ground_least, self.branch_cracked, self.branch_diameter)

    @property
    def held_from_outside(self) -> bool:
        """Whether the host is not known to be sound, so that only the ground holds it."""
        return self.ground.host_cracked is not False

    @property
    def share(self) -> float:
        """Share of the packer's rating left at its temperature [-]."""
        if not self.derating or self.packer_temperature is None:
            return 1.0
        return rating_share(self.derating, self.packer_temperature)


def check_case(case: WindowCase) -> None:
    """Refuse what cannot be.

    Raises:
        InputError: A derating without a temperature, a fabric that never landed, the wall of a
            pipe that is not known to be sound, or a least water above the greatest.
        RangeError: A value outside the ranges of this room, or a stretch that the fabric does
            not stand.
    """
    fabric, packer = case.fabric, case.packer
    most = min(fabric.stretch_along, fabric.stretch_across)
    law = f"the largest stretch of fabric {fabric.name} ({fabric.source})"
    within(case.stretch, (1.0, most), quantity="stretch", unit="-", law=law)
    within(case.margin, MARGIN, quantity="pressure margin", unit="Pa", law=WINDOW)
    within(packer.rating, RATING, quantity="packer rating", unit="Pa", law=WINDOW)
    bladder = (0.0, packer.rating)
    within(packer.bladder_pressure, bladder, quantity="bladder pressure", unit="Pa", law=WINDOW)
    _check_pressures(
        RATING, (("liner pressure", case.liner_pressure), ("branch pressure", case.branch_pressure))
    )
    _check_landed(case)
    _check_pressures(
        ALLOWANCE,
        (
            ("forming pressure", case.landed),
            ("squeezing pressure", case.squeeze),
            ("friction allowance", case.friction),
        ),
    )
    _check_place(case)


def _check_pressures(
    limits: tuple[float, float], named: Sequence[tuple[str, float | None]]
) -> None:
    for name, value in named:
        if value is not None:
            within(value, limits, quantity=name, unit="Pa", law=WINDOW)


def _check_landed(case: WindowCase) -> None:
    if case.landed is not None and math.isnan(case.landed):
        raise InputError(
            "is no pressure: the fabric never lay within its gap limit in the forming run",
            field="forming pressure",
            value=case.landed,
            allowed="panels that land, or no forming run and the membrane formula",
        )
    if case.landed is not None and case.never_landed:
        raise InputError(
            "is told, though the forming run never landed",
            field="forming pressure",
            value=case.landed,
            allowed="none where the run never landed",
        )


def _check_place(case: WindowCase) -> None:
    if case.derating and case.packer_temperature is None:
        raise InputError(
            "is not given, though the packer is derated by it",
            field="packer_temperature",
            value="none",
            allowed="a temperature in the range of the derating",
        )
    if case.host_wall is not None and case.held_from_outside:
        raise InputError(
            "counts on a sound ring, though the host is cracked or not known to be sound",
            field="host_wall",
            value=case.host_wall.source,
            allowed="a host known not to be cracked, or no wall",
        )
    if case.branch_wall is not None and case.branch_cracked is not None:
        raise InputError(
            "counts on a sound ring, though the branch pipe is cracked",
            field="branch_wall",
            value=case.branch_wall.source,
            allowed="a branch pipe known not to be cracked, or no wall",
        )
    if case.head_least is not None and not case.head_least <= case.ground.head:
        raise InputError(
            "is above the greatest",
            field="head_least",
            value=case.head_least,
            allowed=f"up to {case.ground.head:g} m",
        )
