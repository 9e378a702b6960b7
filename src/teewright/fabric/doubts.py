"""What is odd in strip readings and in what was fitted to them: one finding each."""

import math
from collections.abc import Iterator, Sequence

from teewright.fabric.strips import Curve, poisson_of
from teewright.fabric.values import Direction, DirectionFit
from teewright.findings import Finding, FindingKind

FEW = 3
"""Readings of a direction below which its residuals say nothing."""
DIP = 0.05
"""Fall of the force before its peak, over the peak, that is told [-]."""
APART = 0.25
"""Difference of strips, or of two ways to one number, over the number, that is told [-]."""
CURVED = 0.25
"""Difference of the lower and the upper half of the range from the secant that is told [-]."""
OFFSET = 0.10
"""Tension at no strain, over that at the top of the range, that is told [-]."""
PLAUSIBLE = (100.0, 1e6)
"""Stiffnesses that a textile for collars may have; outside them units are doubted [N/m]."""


def note(kind: FindingKind, rule: str, text: str, value: str = "", subject: str = "") -> Finding:
    """A finding on the fit."""
    return Finding(kind, rule, text, value=value, subject=subject)


def strip_doubts(curve: Curve) -> Iterator[Finding]:
    """What is odd in one strip."""
    name = f"strip {curve.name} {curve.direction.words}"
    if curve.dropped:
        text = f"{name}: what was read after its peak force is left out ({curve.dropped} lines)"
        yield note(FindingKind.DROPPED, "fabric-after-peak", text, subject=curve.name)
    if curve.dip > DIP:
        text = (
            f"{name}: its force falls by {100.0 * curve.dip:.0f} % of the peak before the peak is "
            "reached; it may have slipped in the clamps"
        )
        yield note(FindingKind.DOUBT, "fabric-force-falls", text, subject=curve.name)


def direction_doubts(fit: DirectionFit, limits: tuple[float, float]) -> Iterator[Finding]:
    """What is odd in one direction."""
    where = f"strips {fit.direction.words}"
    if fit.used < FEW:
        text = (
            f"{where}: {fit.used} readings lie in the range of the fit, at least {FEW} are wanted"
        )
        yield note(FindingKind.DOUBT, "fabric-few-readings", text, str(fit.used))
    if len(fit.specimens) == 1:
        text = f"{where}: one strip was tested, so how strips differ is not known"
        yield note(FindingKind.NOTE, "fabric-one-strip", text)
    if len([s for s in fit.specimens if s.used]) > 1 and fit.spread > APART:
        text = f"{where}: their stiffnesses differ by {100.0 * fit.spread:.0f} %"
        yield note(FindingKind.DOUBT, "fabric-strips-differ", text, f"{fit.spread:.2f}")
    if fit.most < 0.9 * limits[1]:
        reached, asked = (100.0 * math.expm1(v) for v in (fit.most, limits[1]))
        text = f"{where}: tested to {reached:.1f} % of extension, the fit is asked to {asked:.1f} %"
        yield note(FindingKind.DOUBT, "fabric-not-reached", text, f"{reached:.1f} %")
    if not PLAUSIBLE[0] <= fit.stiffness <= PLAUSIBLE[1]:
        text = (
            f"{where}: stiffness {fit.stiffness / 1e3:.3g} kN/m is not that of a textile for "
            "collars; check the units of force, width and extension"
        )
        yield note(FindingKind.DOUBT, "fabric-units", text, f"{fit.stiffness:.4g} N/m")
    yield from _shape_doubts(fit, where)


def _shape_doubts(fit: DirectionFit, where: str) -> Iterator[Finding]:
    halves = (fit.low_stiffness, fit.high_stiffness)
    known = not any(math.isnan(v) for v in halves)
    if known and any(abs(v / fit.stiffness - 1.0) > CURVED for v in halves):
        low, high = fit.low_stiffness / 1e3, fit.high_stiffness / 1e3
        text = (
            f"{where}: the curve is not straight, {low:.3g} kN/m in the lower and {high:.3g} kN/m "
            f"in the upper half of the range, {fit.stiffness / 1e3:.3g} kN/m over all of it"
        )
        yield note(FindingKind.DOUBT, "fabric-not-straight", text, f"{low:.3g}, {high:.3g} kN/m")
    if abs(fit.offset) > OFFSET * fit.top:
        text = (
            f"{where}: the readings point at {fit.offset:.0f} N/m at no extension, not at 0; "
            "zero the extension where the strip just comes tight"
        )
        yield note(FindingKind.DOUBT, "fabric-offset", text, f"{fit.offset:.4g} N/m")


def poisson_doubts(
    curves: Sequence[Curve], limits: tuple[float, float], stiffness: tuple[float, float]
) -> Iterator[Finding]:
    """Whether the widths of the two directions agree with one symmetric law."""
    by_side = [
        poisson_of([c for c in curves if c.direction is d], limits, *stiffness)
        for d in (Direction.ALONG, Direction.ACROSS)
    ]
    if by_side[0] is None or by_side[1] is None:
        return
    along, across = by_side[0][0], by_side[1][0]
    if abs(along - across) > APART * max(abs(along), abs(across)):
        text = (
            f"strips along the grain give Poisson's ratio {along:.3f}, those across it "
            f"{across:.3f} by the symmetry of the law; one slope through both is taken"
        )
        yield note(FindingKind.DOUBT, "fabric-poisson-differs", text, f"{along:.3f}, {across:.3f}")
