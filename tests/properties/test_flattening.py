"""Flattening over the whole range of junctions."""

import math

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.collar.layout_lines import LAYOUTS
from teewright.collar.layout_pieces import cumulated
from teewright.collar.layouts import least
from teewright.collar.seams import coarse_plan, start_seam
from teewright.junction.mesh import build_mesh
from teewright.junction.plan import ring_of
from teewright.junction.values import Junction, Skin


@settings(max_examples=10, deadline=None)
@given(
    main=st.floats(0.1, 0.9),
    share=st.floats(0.25, 1.0),
    degrees=st.floats(30.0, 90.0),
    fillet=st.floats(0.004, 0.02),
    layout=st.sampled_from(LAYOUTS[:4]),
)
def test_every_junction_is_laid_flat(
    main: float, share: float, degrees: float, fillet: float, layout: str
) -> None:
    branch = min(max(0.08, share * main), 0.3, main)
    skin = Skin(Junction(main, branch, math.radians(degrees), fillet), 0.002)
    ring = ring_of(skin)
    x = ring.main_flat[:, 0]
    beyond = 0.04 + 0.3 * branch
    sleeve = float(x.min()) - beyond, float(x.max()) + beyond
    top = float(ring.branch_flat[:, 1].max()) + beyond
    plan = coarse_plan(skin, sleeve=sleeve, top=top, seam=start_seam(skin))
    laid = least(build_mesh(skin, plan), layout, tolerance=0.1)
    found = laid.flattening
    assert 1.0 < found.ratio < 2.5
    assert np.all(found.stretch > 0.0)
    assert cumulated(laid.cut, found.flat) < 5e-5
    # the extremes stand evenly about 1 where the spread is least
    assert found.stretch.max() * found.stretch.min() == np.clip(
        found.stretch.max() * found.stretch.min(), 0.9, 1.1
    )
