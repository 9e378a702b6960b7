import math

import numpy as np
import pytest

from junction_shapes import SKINS, skin
from teewright.junction.edge import arc_points, edge_of, seam_share
from teewright.junction.surface import on_branch, on_edge, on_main
from teewright.junction.values import Seam, Skin

PHI = np.linspace(-math.pi, math.pi, 73)


@pytest.mark.parametrize("surface", SKINS.values(), ids=SKINS.keys())
def test_the_edge_begins_on_the_main_and_ends_on_the_branch(surface: Skin) -> None:
    edge = edge_of(surface, PHI)
    start = on_edge(surface, PHI, np.zeros(len(PHI)))
    end = on_edge(surface, PHI, np.ones(len(PHI)))
    assert start == pytest.approx(on_main(surface, edge.main_flat), abs=1e-12)
    assert end == pytest.approx(on_branch(surface, PHI, edge.branch_flat[:, 1]), abs=1e-12)


@pytest.mark.parametrize("surface", SKINS.values(), ids=SKINS.keys())
def test_arcs_have_the_ball_s_radius_and_their_length(surface: Skin) -> None:
    edge = edge_of(surface, PHI)
    share = np.linspace(0.0, 1.0, 401)
    points = arc_points(edge, np.broadcast_to(share, (len(PHI), 401)))
    away = np.linalg.norm(points - edge.centre[:, None, :], axis=2)
    assert away == pytest.approx(edge.radius, rel=1e-12)
    length = np.linalg.norm(np.diff(points, axis=1), axis=2).sum(axis=1)
    assert length == pytest.approx(edge.length, rel=1e-5, abs=1e-12)


@pytest.mark.parametrize("name", ["200/100 at 45", "oval and off-centre", "wide main"])
def test_the_unrolled_arc_leaves_in_the_arc_s_direction(name: str) -> None:
    """First and last bit of the arc, unrolled by the pipes' own developments."""
    surface, bit = SKINS[name], 1e-4
    edge = edge_of(surface, PHI)
    for share, sign in ((bit, 1.0), (1.0 - bit, -1.0)):
        there = on_edge(surface, PHI, np.full(len(PHI), share))
        if sign > 0.0:
            near = on_main(surface, edge.main_flat + bit * edge.main_reach)
        else:
            flat = edge.branch_flat + bit * edge.branch_reach
            radius = surface.junction.branch_diameter / 2.0 - surface.inset
            near = on_branch(surface, flat[:, 0] / radius, flat[:, 1])
        assert there == pytest.approx(near, abs=20.0 * edge.radius * bit**2)


def test_an_off_centre_branch_is_the_mirror_image_of_its_mirror_image() -> None:
    first = edge_of(skin(0.3, 0.15, 60.0, offset=0.03, ovality=0.05, short_axis=0.4), PHI)
    second = edge_of(skin(0.3, 0.15, 60.0, offset=-0.03, ovality=0.05, short_axis=-0.4), -PHI)
    assert second.centre == pytest.approx(first.centre * [1.0, -1.0, 1.0], abs=1e-14)


def test_seam_goes_through_its_four_places() -> None:
    seam = Seam(0.9, 0.6, 0.3, 0.1)
    quarters = np.array([0.0, math.pi / 2.0, math.pi, -math.pi / 2.0])
    assert seam_share(seam, quarters) == pytest.approx([0.9, 0.7, 0.3, 0.5])
    assert seam_share(Seam(0.4, 0.4, 0.4), PHI) == pytest.approx(0.4)
