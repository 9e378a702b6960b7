"""Properties of the forming solver over the whole range of cloths, strains and junctions."""

import math

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from forming_shapes import held, local_rest, orthotropic, square, tube
from teewright.forming.arrays import body_of
from teewright.forming.build import pressed, unsewn
from teewright.forming.elements import add_cloth
from teewright.forming.law import SLACK, TAUT, WRINKLED, relaxed
from teewright.forming.outcome import strained
from teewright.forming.solve import form
from teewright.forming.values import Contact, Setup
from teewright.junction.field import distances, field_of, pipe_field
from teewright.junction.mesh import mesh_skin
from teewright.junction.values import Junction, Seam, Skin

STRAIN = st.floats(-0.45, 0.8)
STIFF = st.floats(0.05, 50.0)


@settings(max_examples=300, deadline=None)
@given(m=STRAIN, d=STRAIN, g=STRAIN, a=STIFF, b=STIFF, c=STIFF)
def test_stress_is_the_projection_onto_tension(
    m: float, d: float, g: float, a: float, b: float, c: float
) -> None:
    """S and the fold strain W are both never negative, and do no work on each other."""
    sm, sd, sg, state = relaxed(m, d, g, a, b, c)
    wm, wd, wg = sm / a - m, sd / b - d, sg / c - g
    scale = max(abs(m), abs(d), abs(g))
    stiff = max(a, b, c)
    scale = max(scale, 1e-29)  # smaller strains count as none
    assert sm - math.hypot(sd, sg) >= -1e-8 * stiff * scale
    assert wm - math.hypot(wd, wg) >= -1e-7 * scale * stiff / min(a, b, c)
    assert abs(sm * wm + sd * wd + sg * wg) <= 1e-7 * stiff * scale**2 * stiff / min(a, b, c)
    assert state in (TAUT, WRINKLED, SLACK)


@settings(max_examples=200, deadline=None)
@given(
    first=st.tuples(STRAIN, STRAIN, STRAIN), second=st.tuples(STRAIN, STRAIN, STRAIN),
    a=STIFF, b=STIFF, c=STIFF,
)  # fmt: skip
def test_law_is_monotone(
    first: tuple[float, float, float],
    second: tuple[float, float, float],
    a: float,
    b: float,
    c: float,
) -> None:
    """A convex energy: more strain never meets less stress in its own direction."""
    one, two = relaxed(*first, a, b, c), relaxed(*second, a, b, c)
    work = sum((one[k] - two[k]) * (first[k] - second[k]) for k in range(3))
    size = max(a, b, c) * sum((p - q) ** 2 for p, q in zip(first, second, strict=True))
    assert -1e-9 * max(a, b, c) <= work <= size + 1e-9 * max(a, b, c)


@settings(max_examples=30, deadline=None)
@given(
    seed=st.integers(0, 10_000),
    across=st.floats(1e3, 1e5),
    along=st.floats(1e3, 1e5),
    nu=st.floats(0.0, 0.9),
    shear=st.floats(1e2, 1e5),
)
def test_forces_turn_with_the_cloth(
    seed: int, across: float, along: float, nu: float, shear: float
) -> None:
    patch = square(0.1, 2)
    rng = np.random.default_rng(seed)
    stiff = orthotropic(across, along, nu * math.sqrt(along / across) * 0.9, shear)
    body = body_of(unsewn(patch.triangles, patch.rest, stiff))
    x = patch.points + 0.02 * rng.normal(size=patch.points.shape)
    turn = np.linalg.qr(rng.normal(size=(3, 3)))[0]
    turn *= np.sign(np.linalg.det(turn))
    f, turned = np.zeros_like(x), np.zeros_like(x)
    add_cloth(body, x, 5e3, 5e3, f)
    add_cloth(body, x @ turn.T, 5e3, 5e3, turned)
    assert np.abs(turned - f @ turn.T).max() <= 1e-8 * np.abs(f).max()
    assert (strained(body, x).tension >= 0.0).all()


@settings(max_examples=12, deadline=None)
@given(
    under=st.floats(0.8, 0.99),
    friction=st.floats(0.0, 1.5),
    across=st.floats(2e3, 2e4),
    pressure=st.floats(3e4, 2e5),
)
def test_sleeve_never_goes_through_its_pipe(
    under: float, friction: float, across: float, pressure: float
) -> None:
    patch = tube(0.1 * under, 0.1, 24, 6)
    cloth = unsewn(patch.triangles, patch.rest, orthotropic(across, 2.0 * across, 0.3, across))
    count = len(patch.points)
    free = np.ones((count, 3))
    free[patch.grid[[0, -1]].ravel(), 0] = 0.0
    setup = Setup(
        cloth,
        patch.points,
        pressed(count, pressure),
        Contact(pipe_field(0.1), friction),
        held(free),
    )
    formed = form(setup)
    assert formed.gap.min() > -1e-6
    assert formed.residual <= 1e-3
    assert (formed.reaction[~formed.touching] == 0.0).all()


@settings(max_examples=6, deadline=None)
@given(
    main=st.floats(0.15, 0.6),
    share=st.floats(0.4, 0.8),
    angle=st.floats(45.0, 90.0),
    friction=st.sampled_from([0.1, 0.3, 0.6]),
)
def test_collars_of_many_junctions_land(
    main: float, share: float, angle: float, friction: float
) -> None:
    """At 90 % of the bore, held along its pipes, every half collar comes to rest on its skin."""
    theta, branch = math.radians(angle), share * main
    host = Skin(Junction(main, branch, theta, 0.01), 0.003)
    small = Skin(Junction(0.9 * main, 0.9 * branch, theta, 0.01), 0.003)
    reach = 0.5 * branch / math.sin(theta) + 0.5 * main / math.tan(theta) + 0.1
    mesh = mesh_skin(
        small,
        sleeve=(-reach, reach),
        top=0.5 * main / math.sin(theta) + 0.5 * branch / math.tan(theta) + 0.1,
        seam=Seam(0.5, 0.5, 0.5),
        size=0.03 * main**0.5,
        half=True,
    )
    points = mesh.points
    free = np.ones_like(points)
    free[points[:, 1] == 0.0, 1] = 0.0
    free[np.abs(np.abs(points[:, 0]) - reach) < 1e-9] = 0.0
    free[mesh.grid[-1]] = 0.0
    # as stiff as lets it reach the bore at the given pressure
    cloth = unsewn(mesh.triangles, local_rest(mesh, theta), orthotropic(1e5, 2e5, 0.3, 4e4) * main)
    load = pressed(len(points), 1e5)
    setup = Setup(cloth, points, load, Contact(field_of(host), friction), held(free))
    formed = form(setup)
    gap, _ = distances(field_of(host), formed.positions)
    assert gap.min() > -2e-6
    assert formed.residual <= 1e-3
    assert formed.touching.mean() > 0.2
