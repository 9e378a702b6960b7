import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq

from forming_shapes import held, isotropic, orthotropic, square, tee, tee_setup, tube
from teewright.errors import ConvergenceError, InputError
from teewright.forming.build import end_thrust, pressed, unsewn
from teewright.forming.solve import form, form_fine, ramp_for
from teewright.forming.values import Contact, Load, Moment, Restraint, Setup
from teewright.junction.field import distances, pipe_field, plane_field
from teewright.junction.values import Junction, Skin

STIFF = orthotropic(12e3, 24e3, 0.3, 6e3)


def sleeve(
    friction: float, *, around: int = 32, along: int = 16, pressure: float = 1e5, bore: float = 0.1
) -> Setup:
    """A free sleeve of 85 mm radius in a pipe."""
    patch = tube(0.085, 0.2, around, along)
    cloth = unsewn(patch.triangles, patch.rest, STIFF)
    count = len(patch.points)
    contact = Contact(pipe_field(bore), friction)
    return Setup(cloth, patch.points, pressed(count, pressure), contact, held(np.ones((count, 3))))


def test_sleeve_without_friction_lands_at_its_natural_contraction() -> None:
    """Hoop strain given by the bore, free along: E22 = -D12/D22 E11."""
    formed = form(sleeve(0.0), tolerance=1e-5)
    hoop = formed.along[:, 0].mean()
    axial = math.sqrt(1.0 - STIFF[2] / STIFF[1] * (hoop**2 - 1.0))
    assert formed.touching.all()
    assert formed.along[:, 1] == pytest.approx(axial, rel=1e-5)
    assert formed.gap == pytest.approx(0.0, abs=1e-7)


def test_friction_holds_back_a_sleeve_that_is_drawn_out() -> None:
    thrust = end_thrust_both(sleeve(0.0), 0.2)
    ends = [
        np.ptp(
            form(replace(sleeve(mu), load=Load(1e5, thrust, np.zeros(0))), ramp=2000).positions[
                :, 0
            ]
        )
        for mu in (0.0, 0.02, 0.05, 0.2)
    ]
    assert ends[0] > ends[1] > ends[2] > ends[3] > 0.19


def test_reaction_carries_the_pressure_that_the_cloth_does_not() -> None:
    """Balance of a quarter cut along the pipe: wall + hoop tension = p times bore."""
    setup = sleeve(0.3)
    formed = form(setup)
    hoop_force = formed.tension[:, 0].mean() / 0.1
    length = np.ptp(formed.positions[:, 0])
    wall = formed.reaction.sum() / (2.0 * math.pi * 0.1 * length)
    assert wall + hoop_force == pytest.approx(1e5, rel=0.01)
    assert (formed.landed > 0.0).all()


def test_sticking_vertices_stay_where_they_touched() -> None:
    formed = form(sleeve(5.0))
    before = form(sleeve(5.0, pressure=7e4))
    first = before.touching & formed.touching
    moved = np.linalg.norm(formed.positions - before.positions, axis=1)
    assert first.sum() > 100
    assert moved[first].max() < 2e-4
    assert formed.slid[first].max() < 2e-4


def test_more_pressure_presses_on_without_motion() -> None:
    """All stick: the way the pressure was raised beyond full contact leaves no trace."""
    places = [form(sleeve(0.5, pressure=p), ramp=2000).positions for p in (1.0e5, 1.6e5)]
    assert places[1] == pytest.approx(places[0], abs=1e-4)


@pytest.mark.parametrize("share", [0.9, 1.1, 2.0])
def test_sideways_pull_slips_at_coulombs_limit(share: float) -> None:
    """A sheet pressed on a plane and pulled by a share of mu times the load, against springs."""
    patch, friction, stiff = square(0.1, 6), 0.4, 4e4
    count = len(patch.points)
    cloth = unsewn(
        patch.triangles[:, ::-1], patch.rest[:, ::-1] * np.array([-1.0, 1.0]), isotropic(1e5, 0.3)
    )
    area = np.zeros(count)
    np.add.at(area, patch.triangles.ravel(), 0.1**2 / len(patch.triangles) / 3.0)
    thrust = share * friction * area[:, None] * np.array([1.0, 0.0, 0.0])
    # springs in proportion to the load, so that the sheet moves as one
    spring = stiff * area / area.sum()
    grip = np.tile([1.0, 0.0, 0.0], (count, 1))
    setup = Setup(
        cloth,
        patch.points,
        Load(1e4, thrust, np.zeros(0)),
        Contact(plane_field(0.0), friction),
        Restraint(np.ones((count, 3)), spring, grip),
    )
    moved = form(setup, tolerance=1e-5, ramp=4000).positions - patch.points
    wanted = max(share - 1.0, 0.0) * friction * 1e4 * 0.1**2 / stiff
    assert moved[:, 0] == pytest.approx(wanted, abs=1e-6 + 0.02 * wanted)
    assert np.abs(moved[:, 1:]).max() < 1e-6 + 0.01 * wanted


def test_mirrored_tee_forms_to_its_mirror_image() -> None:
    _, setup = tee(0.012, half=False)
    formed = form(setup)
    flip = np.array([1.0, -1.0, 1.0])
    cloth = setup.cloth
    mirrored = replace(
        cloth,
        triangles=np.ascontiguousarray(cloth.triangles[:, ::-1]),
        rest=np.ascontiguousarray(cloth.rest[:, ::-1]) * np.array([-1.0, 1.0]),
    )
    other = form(replace(setup, cloth=mirrored, start=setup.start * flip))
    assert other.positions * flip == pytest.approx(formed.positions, abs=2e-6)


def test_half_tee_is_half_of_the_whole() -> None:
    half, whole = (form(tee(0.012, half=half)[1], ramp=2000) for half in (True, False))
    gap = [np.linalg.norm(whole.positions - place, axis=1).min() for place in half.positions[::7]]
    assert max(gap) < 3e-5


def test_tee_lands_on_its_junction() -> None:
    mesh, setup = tee(0.008)
    seen: list[Moment] = []
    formed = form(setup, progress=seen.append)
    assert setup.contact is not None
    gap, _ = distances(setup.contact.field, formed.positions)  # type: ignore[arg-type]
    assert gap.min() > -1e-6
    assert gap[formed.touching].max() < 1e-6
    assert formed.touching.mean() > 0.8
    assert formed.residual <= 1e-3
    assert tuple(seen) == formed.path
    assert formed.track.shape == (len(formed.path), *formed.positions.shape)
    assert [m.pressure for m in seen] == sorted(m.pressure for m in seen)
    assert (formed.landed[formed.touching] <= 1e5).all()
    held_in = np.abs(np.abs(mesh.points[:, 0]) - 0.15) < 1e-9
    assert formed.positions[held_in, 0] == pytest.approx(mesh.points[held_in, 0], abs=1e-12)


def test_slower_path_lands_where_the_slow_one_does() -> None:
    _, setup = tee(0.008)
    slow = form(setup, ramp=8000)
    off = np.linalg.norm(form(setup).positions - slow.positions, axis=1).max()
    quick = np.linalg.norm(form(setup, ramp=64).positions - slow.positions, axis=1).max()
    assert off < 5e-4
    assert quick > off


def test_coarse_way_carries_the_fine_cloth() -> None:
    """The fine tube with the help of the coarse one, against the fine one alone."""
    coarse, fine = sleeve(0.3, around=16, along=8), sleeve(0.3)

    def carry(values: np.ndarray) -> np.ndarray:
        grid = values.reshape(9, 16, 3)
        out = np.zeros((17, 32, 3))
        out[::2, ::2] = grid
        out[1::2, ::2] = 0.5 * (grid[1:] + grid[:-1])
        out[:, 1::2] = 0.5 * (out[:, ::2] + np.roll(out[:, ::2], -1, axis=1))
        return out.reshape(-1, 3)

    alone = form(fine, ramp=8000)
    led = form_fine(form(coarse, ramp=2000), carry, fine)
    assert np.linalg.norm(led.positions - alone.positions, axis=1).max() < 2e-4
    assert led.residual <= 1e-3
    calm = form_fine(form(sleeve(0.0, around=16, along=8)), carry, sleeve(0.0), tolerance=1e-5)
    assert calm.along == pytest.approx(form(sleeve(0.0), tolerance=1e-5).along, rel=1e-4)


def test_refined_mesh_lands_alike() -> None:
    """Radius and length of the landed sleeve, on meshes of 16 and 32 around."""
    coarse, fine = form(sleeve(0.3, around=24, along=12)), form(sleeve(0.3, around=48, along=24))
    lengths = [np.ptp(f.positions[:, 0]) for f in (coarse, fine)]
    assert lengths[0] == pytest.approx(lengths[1], abs=3e-4)


def test_junction_turned_about_the_pipe_turns_the_landing() -> None:
    base = sleeve(0.3)
    formed = form(base)
    cosine, sine = math.cos(0.3), math.sin(0.3)
    turn = np.array([[1.0, 0.0, 0.0], [0.0, cosine, -sine], [0.0, sine, cosine]])
    other = form(replace(base, start=base.start @ turn.T))
    assert other.positions == pytest.approx(formed.positions @ turn.T, abs=1e-6)


def test_motion_that_blows_up_is_told() -> None:
    base = sleeve(0.3)
    with pytest.raises(ConvergenceError, match="forming of the cloth did not converge"):
        form(replace(base, contact=None, load=pressed(len(base.start), 1e300)))


@pytest.mark.parametrize(("ramp", "most"), [(24, 200), (5000, 1000)])
def test_steps_used_up_are_told(ramp: int, most: int) -> None:
    with pytest.raises(ConvergenceError, match="did not converge in") as caught:
        form(sleeve(0.0), ramp=ramp, max_steps=most, tolerance=1e-16)
    assert most <= caught.value.iterations <= 1.3 * most
    assert caught.value.residual > 1e-16


@pytest.mark.parametrize("pressure", [0.0, -1.0, math.nan, math.inf])
def test_pressure_that_cannot_form_is_refused(pressure: float) -> None:
    with pytest.raises(InputError, match="pressure"):
        form(sleeve(0.0, pressure=pressure))


def test_ramp_grows_as_triangles_shrink() -> None:
    fine, finer = sleeve(0.3, around=48, along=24), sleeve(0.3, around=96, along=48)
    assert ramp_for(finer) == pytest.approx(2.0 * ramp_for(fine), rel=0.01)
    assert ramp_for(replace(finer, contact=None)) == ramp_for(sleeve(0.0))


def end_thrust_both(setup: Setup, share: float) -> np.ndarray:
    """A share of the thrust of the bore on both ends of the sleeve."""
    axis, area = np.array([1.0, 0.0, 0.0]), share * math.pi * 0.1**2
    x = setup.start[:, 0]
    lines = (np.flatnonzero(x < 1e-9), np.flatnonzero(x > 0.2 - 1e-9))
    return sum(  # type: ignore[return-value]
        end_thrust(setup.start, line, sign * axis, area, closed=True)
        for line, sign in zip(lines, (-1.0, 1.0), strict=True)
    )


@pytest.mark.parametrize("bladder", [0.0, 0.004])
def test_end_thrust_draws_the_sleeve_out_as_its_equation_says(bladder: float) -> None:
    """Without friction: S22 + p b = p A / (2 pi R lambda_z), with the hoop as the bore gives it.

    b is what the bladder carries itself.
    """
    base = sleeve(0.0, around=64, along=16)
    thrust = end_thrust_both(base, 0.3)
    assert thrust[base.start[:, 0] > 0.1].sum(axis=0)[0] == pytest.approx(0.3 * math.pi * 0.01)
    carried = np.full(len(base.cloth.triangles), bladder)
    formed = form(replace(base, load=Load(1e5, thrust, carried)), tolerance=1e-5)
    hoop = 0.5 * (formed.along[:, 0].mean() ** 2 - 1.0)
    pull = 1e5 * 0.3 * math.pi * 0.01 / (2.0 * math.pi * 0.085)
    exact = brentq(
        lambda z: STIFF[2] * hoop + STIFF[1] * 0.5 * (z * z - 1.0) + 1e5 * bladder - pull / z,
        0.9,
        1.3,
    )
    assert formed.along[:, 1] == pytest.approx(exact, rel=2e-4)


def test_seams_round_a_tube_share_the_hoop() -> None:
    """Hoop balance with seams at spacing h: lambda S h + k (lambda - 1) = p R lambda h."""
    patch, pressure, stiff = tube(0.1, 0.1, 64, 8), 4e4, 300.0
    cloth = unsewn(patch.triangles, patch.rest, STIFF)
    ends = np.stack([patch.grid, np.roll(patch.grid, -1, axis=1)], axis=2)
    share = np.full(ends.shape[:2], stiff)
    share[[0, -1]] *= 0.5
    bars = ends.reshape(-1, 2)
    sewn = replace(
        cloth,
        bars=bars,
        bar_rest=np.full(len(bars), 2.0 * math.pi * 0.1 / 64),
        bar_stiffness=share.ravel(),
    )
    free = np.ones_like(patch.points)
    free[:, 0] = 0.0
    free[np.abs(patch.points) < 1e-12] = 0.0
    load = pressed(len(free), pressure)
    formed = form(Setup(sewn, patch.points, load, None, held(free)), tolerance=1e-5)
    spacing = 0.1 / 8
    exact = brentq(
        lambda z: (
            z * STIFF[0] * 0.5 * (z * z - 1.0) * spacing
            + stiff * (z - 1.0)
            - pressure * 0.1 * z * spacing
        ),
        1.0,
        2.0,
    )
    assert formed.along[:, 0] == pytest.approx(exact, rel=1e-3)
    assert exact < math.sqrt(1.0 + 2.0 * pressure * 0.1 / STIFF[0]) - 0.02


def test_other_junction_same_cloth() -> None:
    """A collar for 100 mm set in a branch of 104 mm: it still lands, more stretched."""
    mesh, setup = tee(0.012)
    wide = Skin(Junction(0.2, 0.104, math.pi / 2.0, 0.005), 0.0)
    formed, other = form(setup), form(tee_setup(mesh, wide, 0.3))
    top = mesh.zone == 2
    assert other.along[top, 0].mean() > formed.along[top, 0].mean()
