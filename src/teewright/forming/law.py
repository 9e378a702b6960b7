"""The law of a cloth that wrinkles: St Venant-Kirchhoff, orthotropic, relaxed.

The energy of an area as cut is w(E) = 1/2 E : D : E in Green's strain E. A cloth takes no
compression: it folds until its stress S is nowhere negative. The relaxed energy is the least
of w(E + W) over all fold strains W that are positive semidefinite (A. C. Pipkin, IMA J. Appl.
Math. 36 (1986) 85-99 and 52 (1994) 297-308; references from memory), so that S is the point of
the cone of positive semidefinite tensors next to D E in the metric of the compliance. The
energy is convex, and S is continuous.

Congruence keeps that cone. So the axes as cut are scaled by a = (D22/D11)^(1/8) and 1/a, after
which both stiffnesses are D = sqrt(D11 D22). Written in mean m = (E11 + E22)/2, half difference
d = (E11 - E22)/2 and shear g = E12 the energy is A m^2 + B d^2 + C g^2 with A = D + D12,
B = D - D12, C = 2 D33, the cone is sigma_m >= hypot(sigma_d, sigma_g), and the projection is
one scalar equation.
"""

import math

from teewright.forming.compiled import compiled

TAUT, WRINKLED, SLACK = 0, 1, 2
"""States of a triangle."""
_LOOPS = 30
_NOTHING = 1e-60


@compiled
def secular_root(m: float, d2: float, g2: float, A: float, B: float, C: float) -> float:
    """Find the multiplier of the projection onto the cone.

    It is the root of nu - A - A m / q(nu), q = hypot(B d/(nu + B), C g/(nu + C)). As 1/q is
    concave, Newton's way from the tangent at infinity runs to it from one side.

    Args:
        m: Mean strain [-].
        d2: Square of half the difference [-].
        g2: Square of the shear [-].
        A: Stiffness of the mean [N/m].
        B: Stiffness of the difference [N/m].
        C: Stiffness of the shear [N/m].

    Returns:
        The root nu > 0 [N/m].
    """
    b2, c2 = B * B * d2, C * C * g2
    Q2 = b2 + c2
    Q = math.sqrt(Q2)
    if Q - A * m <= 1e-12 * Q:  # as good as taut
        return 1e12 * A
    nu = max((A * Q + A * m * (B * b2 + C * c2) / Q2) / (Q - A * m), 0.0)
    for _ in range(_LOOPS):
        u, v = 1.0 / (nu + B), 1.0 / (nu + C)
        bu, cv = b2 * u * u, c2 * v * v
        q = math.sqrt(bu + cv)
        slope = 1.0 - A * m * (bu * u + cv * v) / (q * q * q)
        step = (nu - A - A * m / q) / slope
        nu = max(nu - step, 0.0)
        if abs(step) <= 1e-11 * (nu + A):
            break
    return nu


@compiled
def relaxed(
    m: float, d: float, g: float, A: float, B: float, C: float
) -> tuple[float, float, float, int]:
    """Return the stress of a cloth that wrinkles, in scaled axes.

    Args:
        m: Mean of the normal strains [-].
        d: Half their difference [-].
        g: Shear strain (tensor) [-].
        A: Stiffness of the mean [N/m].
        B: Stiffness of the difference [N/m].
        C: Stiffness of the shear [N/m].

    Returns:
        Mean, half difference and shear of the stress [N/m], and the state.
    """
    d2, g2 = d * d, g * g
    if m * m + d2 + g2 < _NOTHING:
        return 0.0, 0.0, 0.0, TAUT
    if A * m >= 0.0 and A * A * m * m >= B * B * d2 + C * C * g2:
        return A * m, B * d, C * g, TAUT
    if m <= 0.0 and m * m >= d2 + g2:
        return 0.0, 0.0, 0.0, SLACK
    nu = secular_root(m, d2, g2, A, B, C)
    sd, sg = B * d * nu / (nu + B), C * g * nu / (nu + C)
    return math.sqrt(sd * sd + sg * sg), sd, sg, WRINKLED
