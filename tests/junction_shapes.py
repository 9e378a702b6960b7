"""Junctions, skins and meshes that several tests look at."""

import math

import numpy as np

from teewright.junction.edge import edge_of
from teewright.junction.mesh import mesh_skin
from teewright.junction.skin import SkinMesh
from teewright.junction.values import Junction, Seam, Skin

MIDDLE = Seam(0.5, 0.5, 0.5)


def skin(
    main: float,
    branch: float,
    degrees: float,
    fillet: float = 0.008,
    *,
    inset: float = 0.0025,
    offset: float = 0.0,
    ovality: float = 0.0,
    short_axis: float = 0.0,
) -> Skin:
    """A skin by its sizes [m] and degrees."""
    angle = math.radians(degrees)
    return Skin(Junction(main, branch, angle, fillet, offset, ovality, short_axis), inset)


SKINS = {
    "200/100 at 90": skin(0.2, 0.1, 90.0, 0.010),
    "200/100 at 45": skin(0.2, 0.1, 45.0, 0.010),
    "150/150 at 90": skin(0.15, 0.15, 90.0, 0.010),
    "150/150 at 30": skin(0.15, 0.15, 30.0, 0.005),
    "sharp 300/150 at 60": skin(0.3, 0.15, 60.0, 0.0),
    "off-centre": skin(0.3, 0.15, 60.0, offset=0.03),
    "oval": skin(0.25, 0.1, 70.0, ovality=0.08),
    "oval, as wide as the main": skin(0.2, 0.19, 50.0, ovality=0.05, short_axis=math.pi / 2.0),
    "oval and off-centre": skin(0.3, 0.15, 60.0, offset=0.03, ovality=0.08, short_axis=0.5),
    "wide main": skin(0.9, 0.08, 30.0, offset=-0.2, ovality=0.03, short_axis=1.0),
}
"""A skin of each kind."""


def meshed(
    surface: Skin,
    *,
    size: float = 0.006,
    half: bool | None = None,
    seam: Seam = MIDDLE,
    sleeve: float = 0.08,
    top: float = 0.07,
) -> SkinMesh:
    """A mesh that reaches so far beyond the opening [m]."""
    ring = edge_of(surface, np.linspace(-math.pi, math.pi, 181))
    x, height = ring.main_flat[:, 0], ring.branch_flat[:, 1]
    return mesh_skin(
        surface,
        sleeve=(float(x.min()) - sleeve, float(x.max()) + sleeve),
        top=float(height.max()) + top,
        seam=seam,
        size=size,
        half=half,
    )
