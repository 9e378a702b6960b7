"""From strip readings to the law of a fabric."""

import math
from collections.abc import Sequence
from itertools import chain

from teewright.errors import InputError
from teewright.fabric.doubts import direction_doubts, note, poisson_doubts, strip_doubts
from teewright.fabric.law import estimated_shear, poisson_bound, shear_from_bias
from teewright.fabric.strips import Curve, curves_of, fit_direction, poisson_of
from teewright.fabric.values import Direction, DirectionFit, FabricFit, StripReading
from teewright.findings import Finding, FindingKind
from teewright.numerics.limits import within

RANGE = (0.0, math.log(1.10))
"""Logarithmic strains over which the secant stiffness is taken: to 10 % of extension [-]."""
WIDEST_RANGE = (0.0, math.log(3.0))
"""Logarithmic strains over which it may be taken [-]."""
SAFE_SHARE = 0.8
"""Share of the logarithmic strain before the peak force that counts as safe; common practice,
no source [-]."""
POISSON = 0.3
"""Poisson's ratio where no width was measured; value from memory for needled felt [-]."""
NEAR_BOUND = 0.95
"""Share of the bound of a stable fabric at which a measured Poisson's ratio is held [-]."""


def fit_strips(
    readings: Sequence[StripReading],
    *,
    limits: tuple[float, float] = RANGE,
    share: float = SAFE_SHARE,
) -> FabricFit:
    """Fit the law of a fabric to strip tensile tests.

    Tension F lambda / w_0 against ln lambda, least squares through the origin, all strips of a
    direction together, up to the peak force of each. Shear from the strips at 45 degrees;
    Poisson's ratio from the widths. What is missing is assumed, with a finding.

    Args:
        readings: Of all strips, those of one strip in the order in which they were taken.
        limits: Least and largest logarithmic strain of the fit [-].
        share: Share of the logarithmic strain before the peak that counts as safe [-].

    Returns:
        The law with its residuals, its range and the findings.

    Raises:
        InputError: No strip was cut along or across the grain, no reading lies in the range, or
            a strip contradicts itself.
        RangeError: The range or the share is outside what is allowed.
    """
    _check(limits, share)
    curves = curves_of(readings)
    groups = {d: [c for c in curves if c.direction is d] for d in Direction}
    fits = {d: fit_direction(group, limits) for d, group in groups.items() if group}
    findings = [*chain.from_iterable(strip_doubts(curve) for curve in curves)]
    findings += chain.from_iterable(direction_doubts(fit, limits) for fit in fits.values())
    along, across = _straight(fits, findings)
    straight = groups[Direction.ALONG] + groups[Direction.ACROSS]
    poisson, count, rms = _poisson(straight, limits, (along.stiffness, across.stiffness), findings)
    shear, measured = _shear(along, across, poisson, fits.get(Direction.BIAS), findings)
    return FabricFit(
        directions=tuple(fits.values()),
        range=limits,
        stiffness_along=along.stiffness,
        stiffness_across=across.stiffness,
        poisson=poisson,
        poisson_readings=count,
        poisson_rms=rms,
        shear=shear,
        shear_measured=measured,
        stretch_along=safe_stretch(along, share),
        stretch_across=safe_stretch(across, share),
        share=share,
        findings=tuple(findings),
    )


def safe_stretch(fit: DirectionFit, share: float) -> float:
    """Largest safe stretch: of the strip that stood least, a share of its logarithmic strain.

    Args:
        fit: Of one direction.
        share: Of the logarithmic strain before the peak force [-].

    Returns:
        exp(share ln lambda) of the least `last` of the strips [-].

    Raises:
        InputError: A strip gave way before it was stretched at all.
    """
    least = min(fit.specimens, key=lambda s: s.last)
    if least.last <= 1.0:
        raise InputError(
            f"strip {least.name} {fit.direction.words} gave way before it was stretched",
            allowed="readings up to its peak force; leave a failed strip out",
        )  # fmt: skip
    return float(least.last**share)


def _check(limits: tuple[float, float], share: float) -> None:
    for value in limits:
        within(value, WIDEST_RANGE, quantity="range of the fit", unit="-", law="the strip fit")
    within(share, (0.1, 1.0), quantity="safe share", unit="-", law="the strip fit")
    if limits[1] <= limits[0]:
        raise InputError(
            "ends before it begins", field="range of the fit", value=limits,
            allowed="least strain, then a larger one",
        )  # fmt: skip


def _straight(
    fits: dict[Direction, DirectionFit], findings: list[Finding]
) -> tuple[DirectionFit, DirectionFit]:
    """Along and across; where one was not tested the other stands for it."""
    along, across = fits.get(Direction.ALONG), fits.get(Direction.ACROSS)
    found = along or across
    if found is None:
        raise InputError(
            "no strip was cut along or across the grain", allowed="at least one strip of each"
        )  # fmt: skip
    for direction, fit in ((Direction.ALONG, along), (Direction.ACROSS, across)):
        if fit is None:
            text = (
                f"no strip was cut {direction} the grain; the fabric is taken to be as stiff and "
                f"to stretch as far as {found.direction} it"
            )
            findings.append(note(FindingKind.ASSUMED, "fabric-direction-missing", text, direction))
    return along or found, across or found


def _poisson(
    curves: Sequence[Curve],
    limits: tuple[float, float],
    stiffness: tuple[float, float],
    findings: list[Finding],
) -> tuple[float, int, float]:
    found = poisson_of(curves, limits, *stiffness)
    bound = NEAR_BOUND * poisson_bound(*stiffness)
    if found is None:
        assumed = min(POISSON, bound)
        text = (
            f"no width was measured while a strip was stretched; Poisson's ratio {assumed:g} is "
            "assumed, and with it the stretch at which the fabric wrinkles"
        )
        findings.append(note(FindingKind.ASSUMED, "fabric-poisson", text, f"{assumed:g}"))
        return assumed, 0, math.nan
    findings.extend(poisson_doubts(curves, limits, stiffness))
    ratio, count, rms = found
    held = min(max(ratio, 0.0), bound)
    if held != ratio:
        text = (
            f"the widths give Poisson's ratio {ratio:.3f}, outside 0 to {bound:.3f}, where the "
            f"law is stable; {held:.3f} is taken; check the widths"
        )
        findings.append(note(FindingKind.DOUBT, "fabric-poisson-held", text, f"{ratio:.3f}"))
    return held, count, rms


def _shear(
    along: DirectionFit,
    across: DirectionFit,
    poisson: float,
    bias: DirectionFit | None,
    findings: list[Finding],
) -> tuple[float, bool]:
    pair = (along.stiffness, across.stiffness)
    guess = estimated_shear(*pair, poisson)
    estimate = f"shear stiffness {guess / 1e3:.3g} kN/m is estimated from the other two"
    if bias is None:
        text = f"no strip was cut at 45 degrees to the grain; {estimate}, near for felt only"
        findings.append(note(FindingKind.ASSUMED, "fabric-shear", text, f"{guess:.4g} N/m"))
        return guess, False
    found = shear_from_bias(*pair, poisson, bias.stiffness)
    if found is None:
        text = (
            f"the bias strips are stiffer, {bias.stiffness / 1e3:.3g} kN/m, than strips along and "
            f"across the grain allow; {estimate}; check how they were cut"
        )
        findings.append(note(FindingKind.DOUBT, "fabric-shear", text, f"{bias.stiffness:.4g} N/m"))
        return guess, False
    return found, True
