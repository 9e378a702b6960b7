"""The law of a textile as an orthotropic membrane in logarithmic (Hencky) strains.

Energy per area as cut, W = 1/2 (D11 h_a^2 + 2 D12 h_a h_l + D22 h_l^2 + D33 g^2) [N/m], with h_a
and h_l the logarithmic strains across and along the grain and g the shear, twice its tensor
part. What does work on them is the tension per width as cut times the stretch in its direction,
F lambda / w_0 (the Kirchhoff tension). For small strains it is Hooke's law of an orthotropic
lamina (R. M. Jones, Mechanics of Composite Materials, 2nd ed. 1999, ch. 2; formulas from
memory).
"""

import math
from dataclasses import dataclass
from typing import Literal

from teewright.errors import InputError
from teewright.kit.values import Fabric
from teewright.numerics.limits import within

ANGLE = (-2.0 * math.pi, 2.0 * math.pi)
"""Angles off the grain [rad]."""

OFF_AXIS = "the off-axis law of an orthotropic lamina"


@dataclass(frozen=True, slots=True)
class FabricLaw:
    """An orthotropic membrane; every number holds in logarithmic strains.

    Attributes:
        stiffness_across: Pulled across the grain, free to contract [N/m].
        stiffness_along: Pulled along the grain, free to contract [N/m].
        poisson: Contraction across per stretch along the grain, pulled along it [-].
        shear: Shear stiffness [N/m].

    Raises:
        InputError: The energy of the law would not be positive: a stiffness is not above 0, or
            Poisson's ratio reaches `poisson_bound`.
    """

    stiffness_across: float
    stiffness_along: float
    poisson: float
    shear: float

    def __post_init__(self) -> None:
        """Refuse a law that would give energy away."""
        for name in ("stiffness_across", "stiffness_along", "shear"):
            value = getattr(self, name)
            if not (math.isfinite(value) and value > 0.0):
                raise InputError("is no stiffness", field=name, value=value, allowed="> 0 N/m")
        bound = poisson_bound(self.stiffness_along, self.stiffness_across)
        if not abs(self.poisson) < bound:
            raise InputError(
                "is more than a stable fabric can have with these stiffnesses",
                field="poisson",
                value=self.poisson,
                allowed=f"less than √(along / across) = {bound:.4g}",
            )

    @property
    def poisson_across(self) -> float:
        """Contraction along per stretch across the grain, pulled across it [-].

        nu_al = nu_la E_a / E_l: the compliance is symmetric.
        """
        return self.poisson * self.stiffness_across / self.stiffness_along

    def matrix(self) -> tuple[float, float, float, float]:
        """D11 (across), D22 (along), D12 and D33 (shear) of the membrane law [N/m]."""
        free = 1.0 - self.poisson * self.poisson_across
        across, along = self.stiffness_across / free, self.stiffness_along / free
        return across, along, self.poisson * across, self.shear

    def stiffness_at(self, angle: float) -> float:
        """Stiffness of a strip cut at an angle to the grain and free to contract and shear [N/m].

        1/E = c^4/E_l + s^4/E_a + (1/G - 2 nu/E_l) s^2 c^2 (Jones 1999, eq. 2.97).

        Args:
            angle: Between the pull and the grain [rad].

        Raises:
            RangeError: The angle is more than a turn.
        """
        within(angle, ANGLE, quantity="angle off the grain", unit="rad", law=OFF_AXIS)
        c2, s2 = math.cos(angle) ** 2, math.sin(angle) ** 2
        mixed = 1.0 / self.shear - 2.0 * self.poisson / self.stiffness_along
        return 1.0 / (
            c2 * c2 / self.stiffness_along + s2 * s2 / self.stiffness_across + mixed * s2 * c2
        )

    def poisson_at(self, angle: float) -> float:
        """Contraction of such a strip across its pull, per stretch along it [-].

        nu = E [nu_la (s^4 + c^4)/E_l - (1/E_l + 1/E_a - 1/G) s^2 c^2] (Jones 1999, eq. 2.97).

        Args:
            angle: Between the pull and the grain [rad].

        Raises:
            RangeError: The angle is more than a turn.
        """
        c2, s2 = math.cos(angle) ** 2, math.sin(angle) ** 2
        mixed = 1.0 / self.stiffness_along + 1.0 / self.stiffness_across - 1.0 / self.shear
        straight = self.poisson / self.stiffness_along * (s2 * s2 + c2 * c2)
        return self.stiffness_at(angle) * (straight - mixed * s2 * c2)


def law_of(fabric: Fabric) -> FabricLaw:
    """The law of a fabric of the kit; a shear stiffness of 0 there is estimated.

    Raises:
        InputError: The figures make no stable law; the message names the fabric.
    """
    along, across, poisson = fabric.stiffness_along, fabric.stiffness_across, fabric.poisson
    try:
        shear = fabric.stiffness_shear or estimated_shear(along, across, poisson)
        return FabricLaw(across, along, poisson, shear)
    except InputError as error:
        raise InputError(
            error.problem,
            field=f"{error.field} of fabric {fabric.name}",
            value=error.value,
            allowed=error.allowed,
        ) from error


def poisson_bound(along: float, across: float) -> float:
    """What Poisson's ratio, pulled along the grain, stays below in a stable fabric [-].

    nu_la nu_al < 1, so |nu_la| < sqrt(E_l / E_a): the energy is positive for every strain
    (Jones 1999, section 2.4).

    Args:
        along: Stiffness along the grain [N/m].
        across: Stiffness across the grain [N/m].
    """
    return math.sqrt(along / across)


def estimated_shear(along: float, across: float, poisson: float) -> float:
    """Shear stiffness where none was measured [N/m].

    G = sqrt(E_l E_a) / (2 (1 + sqrt(nu_la nu_al))), the form of Huber (1923, from memory), exact
    for a fabric that is the same in every direction. Near for felt; a woven fabric shears far
    more easily: measure it with a bias strip. Common practice, no source.

    Args:
        along: Stiffness along the grain [N/m].
        across: Stiffness across the grain [N/m].
        poisson: Contraction across per stretch along the grain [-].
    """
    mean = abs(poisson) * math.sqrt(across / along)
    return math.sqrt(along * across) / (2.0 * (1.0 + math.copysign(mean, poisson)))


def shear_from_bias(along: float, across: float, poisson: float, bias: float) -> float | None:
    """Shear stiffness from a strip at 45 degrees to the grain [N/m].

    1/G = 4/E_45 - 1/E_l - 1/E_a + 2 nu_la/E_l, the off-axis law at 45 degrees turned round
    (Jones 1999, section 2.6).

    Args:
        along: Stiffness along the grain [N/m].
        across: Stiffness across the grain [N/m].
        poisson: Contraction across per stretch along the grain [-].
        bias: Stiffness of the strip at 45 degrees [N/m].

    Returns:
        The stiffness, or None where no shear stiffness explains so stiff a strip.
    """
    rest = 4.0 / bias - 1.0 / along - 1.0 / across + 2.0 * poisson / along
    return 1.0 / rest if rest > 0.0 else None


Side = Literal["along", "across"]


def weaker_side(fabric: Fabric) -> Side:
    """The direction, along or across the grain, whose largest stretch is the smaller one."""
    return "along" if fabric.stretch_along <= fabric.stretch_across else "across"


def window(fabric: Fabric) -> tuple[float, float]:
    """Least and largest stretch within which panels are designed [-].

    The largest is the smaller of the two largest stretches of the fabric, since a principal
    stretch may turn to either direction. The least is the wrinkle limit across a fabric
    stretched to that largest one along, across or at 45 degrees, whichever contracts least.
    Where the larger stretch is less, the limit is nearer to 1: each place must also meet
    lambda^-nu at its own larger stretch (tension field), which its forming shows.

    Args:
        fabric: Of the kit.

    Raises:
        InputError: The figures make no stable law.
    """
    most = min(fabric.stretch_along, fabric.stretch_across)
    return float(most ** -_least_contraction(law_of(fabric))[0]), most


def window_reasons(fabric: Fabric) -> tuple[str, str]:
    """Why the window of a fabric ends where it does: one sentence for each end.

    Args:
        fabric: Of the kit.

    Raises:
        InputError: The figures make no stable law.
    """
    low, high = window(fabric)
    poisson, pull = _least_contraction(law_of(fabric))
    below = (
        f"below {low:.3f} {fabric.name} wrinkles even where it is pulled to {high:.3f} {pull}, "
        f"where it contracts by itself to {high:.3f}^−{poisson:.2f}; pulled less, it wrinkles "
        "sooner"
    )
    above = f"{high:.3f} is the largest stretch of {fabric.name} {weaker_side(fabric)} the grain"
    return below, above


def _least_contraction(law: FabricLaw) -> tuple[float, str]:
    """Smallest Poisson's ratio [-] and the pull that has it."""
    pulls = ((0.0, "along the grain"), (0.5, "across the grain"), (0.25, "at 45 degrees to it"))
    return min((law.poisson_at(turn * math.pi), words) for turn, words in pulls)
