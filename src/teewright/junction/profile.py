"""The main's profile: a circle or an ellipse, and its parallel curves.

A profile is described by its normal: at the angle psi from z towards +y the outward normal is
n = (sin psi, cos psi) in (y, z), the support function is h(psi), and the point is h n + h' n'.
A parallel curve only adds its distance to h, so that host, skin and the path of the ball in
the rounded edge are one formula. For semi-axes b (short, at the angle alpha) and c:
h^2 = b^2 cos^2(psi - alpha) + c^2 sin^2(psi - alpha), radius of curvature b^2 c^2 / h^3.
"""

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from teewright.junction.skin import FloatArray
from teewright.junction.values import Junction

_SAMPLES = 64
_STEPS = 60


@dataclass(frozen=True, slots=True)
class Profile:
    """An ellipse by its mean radius.

    Attributes:
        radius: Mean of both semi-axes [m].
        ovality: (mean - least)/mean [-].
        short_axis: Angle from z towards +y to the least diameter [rad].
    """

    radius: float
    ovality: float = 0.0
    short_axis: float = 0.0

    @property
    def semi_axes(self) -> tuple[float, float]:
        """Short and long semi-axis [m]."""
        return self.radius * (1.0 - self.ovality), self.radius * (1.0 + self.ovality)


def profile_of(junction: Junction) -> Profile:
    """Profile of a junction's main."""
    return Profile(junction.main_diameter / 2.0, junction.ovality, junction.short_axis)


def support(profile: Profile, psi: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Support function, its slope, and the radius of curvature at given normals.

    Args:
        profile: The ellipse.
        psi: Angle of the outward normal from z towards +y, shape (n,) [rad].

    Returns:
        h, h' and b^2 c^2 / h^3, each shape (n,) [m].
    """
    if profile.ovality == 0.0:
        whole = np.full_like(psi, profile.radius)
        return whole, np.zeros_like(psi), whole
    short, long = profile.semi_axes
    turn = psi - profile.short_axis
    cosine, sine = np.cos(turn), np.sin(turn)
    height = np.hypot(short * cosine, long * sine)
    slope = (long**2 - short**2) * sine * cosine / height
    return height, slope, (short * long) ** 2 / height**3


def profile_point(profile: Profile, psi: FloatArray, outwards: float = 0.0) -> FloatArray:
    """Points of a parallel curve by their normal.

    Args:
        profile: The ellipse.
        psi: Angle of the normal, shape (n,) [rad].
        outwards: Distance of the parallel curve, negative inwards [m].

    Returns:
        (y, z), shape (n, 2) [m].
    """
    height, slope, _ = support(profile, psi)
    sine, cosine = np.sin(psi), np.cos(psi)
    away = height + outwards
    return np.column_stack([away * sine + slope * cosine, away * cosine - slope * sine])


def half_width(profile: Profile) -> float:
    """Greatest y of the profile [m]."""
    return float(profile_point(profile, np.array([math.pi / 2.0]))[0, 0])


def half_round(profile: Profile, outwards: float = 0.0) -> float:
    """Half the circumference of a parallel curve [m]: Steiner's formula, L/2 + pi d."""
    return math.pi * (_series(profile)[0][0] + outwards)


def normal_at(profile: Profile, across: FloatArray, outwards: float = 0.0) -> FloatArray:
    """Normal of the upper side of a parallel curve at a given y.

    Newton in sin psi, in which y has the slope h + h'' + d, regular up to the flank.

    Args:
        profile: The ellipse.
        across: y, at most the half width plus `outwards`, shape (n,) [m].
        outwards: Distance of the parallel curve [m].

    Returns:
        psi between -pi/2 and pi/2, shape (n,) [rad].
    """
    sine = np.clip(across / (half_width(profile) + outwards), -1.0, 1.0)
    if profile.ovality == 0.0:
        return np.asarray(np.arcsin(sine))
    for _ in range(_STEPS):
        psi = np.arcsin(sine)
        height, slope, bend = support(profile, psi)
        y = (height + outwards) * sine + slope * np.cos(psi)
        moved = np.clip(sine + (across - y) / (bend + outwards), -1.0, 1.0)
        still = float(np.abs(moved - sine).max(initial=0.0)) < 1e-15
        sine = moved
        if still:
            break
    return np.asarray(np.arcsin(sine))


def arc_at(profile: Profile, psi: FloatArray, outwards: float = 0.0) -> FloatArray:
    """Arc length of a parallel curve from the crown (y = 0, z > 0), positive to +y.

    Args:
        profile: The ellipse.
        psi: Angle of the normal, shape (n,) [rad].
        outwards: Distance of the parallel curve [m].

    Returns:
        Shape (n,) [m].
    """
    crown = normal_at(profile, np.zeros(1), outwards)
    start, here = _turned_arc(profile, crown), _turned_arc(profile, psi)
    return np.asarray(here - start + outwards * (psi - crown))


def normal_at_arc(profile: Profile, arc: FloatArray, outwards: float = 0.0) -> FloatArray:
    """Normal of a parallel curve at an arc length from the crown: Newton on `arc_at`.

    Args:
        profile: The ellipse.
        arc: From the crown, positive to +y, shape (n,) [m].
        outwards: Distance of the parallel curve [m].

    Returns:
        psi, shape (n,) [rad].
    """
    if profile.ovality == 0.0:
        return np.asarray(arc / (profile.radius + outwards))
    psi = arc * (math.pi / half_round(profile, outwards))
    for _ in range(_STEPS):
        bend = support(profile, psi)[2] + outwards
        step = (arc - arc_at(profile, psi, outwards)) / bend
        psi = psi + step
        if float(np.abs(step).max(initial=0.0)) < 1e-14:
            break
    return np.asarray(psi)


@lru_cache(maxsize=256)
def _series(profile: Profile) -> tuple[tuple[float, ...], tuple[int, ...]]:
    """Cosine series of the radius of curvature about the short axis: terms, orders."""
    turn = np.linspace(0.0, math.pi, _SAMPLES, endpoint=False)
    bend = support(profile, turn + profile.short_axis)[2]
    terms = np.fft.rfft(bend).real * (2.0 / _SAMPLES)
    terms[0] /= 2.0
    kept = [k for k in range(1, _SAMPLES // 2) if abs(terms[k]) > 1e-18 * terms[0]]
    return (float(terms[0]), *(float(terms[k]) for k in kept)), (0, *kept)


def _turned_arc(profile: Profile, psi: FloatArray) -> FloatArray:
    """Arc length of the profile from any fixed start: its cosine series, integrated."""
    terms, orders = _series(profile)
    turn = psi - profile.short_axis
    arc = terms[0] * turn
    for term, order in zip(terms[1:], orders[1:], strict=True):
        arc = arc + term / (2.0 * order) * np.sin(2.0 * order * turn)
    return np.asarray(arc)
