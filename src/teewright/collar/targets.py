"""The stretch that the panels are designed for, place by place."""

from dataclasses import dataclass

import numpy as np
from scipy.spatial import cKDTree

from teewright.junction.skin import FloatArray, SkinMesh

WIDTH = 0.3
"""Width of the band beside the saddle seam in which the stretch changes over, as a share of the
branch's diameter [-]; an engineer's choice."""


@dataclass(frozen=True, slots=True)
class Targets:
    """Wanted stretches, formed over cut.

    Attributes:
        round: Round both pipes, away from the saddle [-].
        along: Along both pipes, away from the saddle: what the fabric lands with [-].
        saddle: At the saddle seam, both ways [-]. Less than `round`: a seam cut too short
            bridges the crotch; a seam cut too long folds.
    """

    round: float
    along: float
    saddle: float

    def on(self, mesh: SkinMesh) -> FloatArray:
        """Wanted stretch (along, across the grain) of each triangle, shape (m, 2) [-].

        Args:
            mesh: Of the skin.
        """
        middles = mesh.points[mesh.triangles].mean(axis=1)
        away, _ = cKDTree(mesh.points[mesh.grid[mesh.seam_row]]).query(middles)
        near = np.exp(-((away / (WIDTH * mesh.skin.junction.branch_diameter)) ** 2))
        tube = np.array([self.along, self.round])
        return np.asarray(tube + near[:, None] * (self.saddle - tube))
