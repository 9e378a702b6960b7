import numpy as np
import pytest

from forming_shapes import isotropic, mirror_free, orthotropic, square, tube
from teewright.errors import GeometryError, InputError
from teewright.forming.arrays import Body, body_of, nodes_of, wall_of
from teewright.forming.build import pressed, unheld, unsewn
from teewright.forming.elements import add_bars, add_cloth
from teewright.forming.outcome import strained
from teewright.forming.relax import weigh
from teewright.forming.values import Cloth

STIFF = orthotropic(10e3, 25e3, 0.3, 4e3)


def rumpled(count: int = 4, amount: float = 0.02) -> tuple[Cloth, np.ndarray]:
    """A square of 0.1 m whose vertices are moved about so that all states occur."""
    patch = square(0.1, count)
    noise = np.random.default_rng(7).normal(size=patch.points.shape)
    return unsewn(patch.triangles, patch.rest, STIFF), patch.points + amount * noise


def forces(body: Body, x: np.ndarray, pressure: float = 0.0) -> np.ndarray:
    f = np.zeros_like(x)
    add_cloth(body, x, pressure, pressure, f)
    return f


def energy(cloth: Cloth, x: np.ndarray) -> float:
    """Of the relaxed law: half of S : E over the area as cut, all in axes as cut."""
    corners, rest = x[cloth.triangles], cloth.rest
    edges = np.stack([corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]], axis=2)
    flat = np.stack([rest[:, 1] - rest[:, 0], rest[:, 2] - rest[:, 0]], axis=2)
    f = edges @ np.linalg.inv(flat)
    e = 0.5 * (np.swapaxes(f, 1, 2) @ f - np.eye(2))
    s = strained(body_of(cloth), x).resultants
    work = s[:, 0] * e[:, 0, 0] + s[:, 1] * e[:, 1, 1] + 2.0 * s[:, 2] * e[:, 0, 1]
    return float((0.25 * np.linalg.det(flat) * work).sum())


def test_force_is_the_slope_of_the_energy() -> None:
    cloth, x = rumpled()
    body = body_of(cloth)
    out = strained(body, x)
    assert out.wrinkled.any()
    assert (out.slack | ~out.wrinkled).any()
    found, step = forces(body, x), 1e-7
    slope = np.zeros_like(x)
    for i, k in np.ndindex(*x.shape):
        moved = x.copy()
        moved[i, k] += step
        up = energy(cloth, moved)
        moved[i, k] -= 2.0 * step
        slope[i, k] = (up - energy(cloth, moved)) / (2.0 * step)
    assert found == pytest.approx(-slope, abs=1e-5 * np.abs(slope).max())


def test_inner_forces_balance_and_turn_with_the_cloth() -> None:
    cloth, x = rumpled()
    body = body_of(cloth)
    f = forces(body, x)
    assert f.sum(axis=0) == pytest.approx(np.zeros(3), abs=1e-9 * np.abs(f).max())
    assert np.cross(x, f).sum(axis=0) == pytest.approx(np.zeros(3), abs=1e-9 * np.abs(f).max())
    turn = np.linalg.qr(np.random.default_rng(3).normal(size=(3, 3)))[0]
    assert forces(body, x @ turn.T + 0.3) == pytest.approx(f @ turn.T, abs=1e-8 * np.abs(f).max())


def test_turning_the_grain_of_an_isotropic_cloth_changes_nothing() -> None:
    patch = square(0.1, 3)
    x = rumpled(3)[1]
    cosine, sine = np.cos(0.7), np.sin(0.7)
    turned = patch.rest @ np.array([[cosine, sine], [-sine, cosine]])
    found = [
        forces(body_of(unsewn(patch.triangles, rest, isotropic(1e4, 0.3))), x)
        for rest in (patch.rest, turned)
    ]
    assert found[1] == pytest.approx(found[0], abs=1e-8 * np.abs(found[0]).max())


def test_pressure_is_the_slope_of_the_volume() -> None:
    """On a closed surface that is not strained: an octahedron pushed out of shape."""
    x = np.vstack([np.eye(3), -np.eye(3)]) + 0.2 * np.random.default_rng(5).normal(size=(6, 3))
    sides = [(0, 1, 2), (1, 3, 2), (3, 4, 2), (4, 0, 2), (1, 0, 5), (3, 1, 5), (4, 3, 5), (0, 4, 5)]
    triangles = np.array(sides)
    corners = x[triangles]
    u, v = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    first = np.linalg.norm(u, axis=1)
    along = (u * v).sum(axis=1) / first
    height = np.linalg.norm(np.cross(u, v), axis=1) / first
    zero = np.zeros_like(first)
    rest = np.stack(
        [np.column_stack(pair) for pair in ((zero, zero), (first, zero), (along, height))], axis=1
    )
    f = forces(body_of(unsewn(triangles, rest, isotropic(1.0, 0.3))), x, pressure=2.0)

    def volume(y: np.ndarray) -> float:
        a, b, c = (y[triangles[:, k]] for k in range(3))
        return float((a * np.cross(b, c)).sum() / 6.0)

    for i, k in np.ndindex(6, 3):
        moved = np.array([x, x])
        moved[0, i, k] += 1e-6
        moved[1, i, k] -= 1e-6
        slope = (volume(moved[0]) - volume(moved[1])) / 2e-6
        assert f[i, k] == pytest.approx(2.0 * slope, abs=1e-8)


def test_masses_keep_unit_steps_stable() -> None:
    """The largest eigenvalue of the stiffness over the masses stays below 4."""
    patch = tube(0.1, 0.1, 8, 3)
    x = patch.points * np.array([1.1, 1.2, 1.2])
    cloth = unsewn(patch.triangles, patch.rest, STIFF)
    body = body_of(cloth)
    nodes = nodes_of(x, pressed(len(x), 1.0), unheld(len(x)), wall=False)
    weigh(body, nodes, 0.0)
    size, step = x.size, 1e-7
    matrix = np.zeros((size, size))
    for j in range(size):
        moved = np.array([x, x]).reshape(2, -1)
        moved[0, j] += step
        moved[1, j] -= step
        up, down = (forces(body, m.reshape(x.shape)) for m in moved)
        matrix[:, j] = (down - up).ravel() / (2.0 * step)
    mass = np.repeat(nodes.mass, 3)
    values = np.linalg.eigvals(matrix / mass[:, None]).real
    assert 1.0 < values.max() < 4.0


def test_seams_pull_but_do_not_push() -> None:
    bars = np.array([[0, 1]])
    for push, length in ((False, 1.2), (False, 0.8), (True, 0.8)):
        cloth = Cloth(
            np.zeros((0, 3), dtype=np.int64),
            np.zeros((0, 3, 2)),
            np.zeros((0, 4)),
            bars,
            np.array([1.0]),
            np.array([50.0]),
            bars_push=push,
        )
        x, f = np.array([[0.0, 0.0, 0.0], [length, 0.0, 0.0]]), np.zeros((2, 3))
        add_bars(body_of(cloth), x, f)
        pull = 50.0 * (length - 1.0) if push or length > 1.0 else 0.0
        assert f[0, 0] == pytest.approx(pull)
        assert f[1, 0] == pytest.approx(-pull)


def test_turned_triangle_and_soft_law_are_refused() -> None:
    patch = square(0.1, 2)
    with pytest.raises(GeometryError, match=r"triangle 0 .* turned over \(8 of 8"):
        body_of(unsewn(patch.triangles, patch.rest[:, ::-1], STIFF))
    with pytest.raises(InputError, match=r"D11 D22 > D12\^2"):
        body_of(unsewn(patch.triangles, patch.rest, np.array([1.0, 1.0, 2.0, 1.0])))


def test_wrinkles_hold_the_cloth_that_does_not_fit() -> None:
    """Pulled by 10 % and pushed together to half: the strip itself would contract by nu."""
    patch = square(0.1, 2)
    x = patch.points * np.array([0.5, 1.1, 1.0])
    stiff = orthotropic(10e3, 25e3, 0.25, 4e3)
    out = strained(body_of(unsewn(patch.triangles, patch.rest, stiff)), x)
    pulled = 0.5 * (1.1**2 - 1.0)
    natural = np.sqrt(1.0 - 2.0 * 0.25 * pulled)
    assert out.wrinkled.all()
    assert out.wrinkle == pytest.approx(natural / 0.5 - 1.0)
    assert out.along == pytest.approx(np.tile([0.5, 1.1], (8, 1)))
    assert out.stretch == pytest.approx(np.tile([1.1, 0.5], (8, 1)))
    # true tension: force along over the width that is spanned
    assert out.tension[:, 0] == pytest.approx(1.1 * 25e3 * pulled / 0.5)
    assert out.tension[:, 1] == pytest.approx(0.0, abs=1e-6)


def test_true_tension_of_a_sheared_cloth_is_that_of_its_stress_tensor() -> None:
    cloth, x = rumpled(3, 0.003)
    body = body_of(cloth)
    out = strained(body, x)
    corners, rest = x[cloth.triangles], cloth.rest
    edges = np.stack([corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]], axis=2)
    flat = np.stack([rest[:, 1] - rest[:, 0], rest[:, 2] - rest[:, 0]], axis=2)
    f = edges @ np.linalg.inv(flat)
    s11, s22, s12 = out.resultants.T
    s = np.stack([np.stack([s11, s12], 1), np.stack([s12, s22], 1)], 1)
    size = np.sqrt(np.linalg.det(np.swapaxes(f, 1, 2) @ f))
    true = f @ s @ np.swapaxes(f, 1, 2) / size[:, None, None]
    values = np.linalg.eigvalsh(true)[:, ::-1]
    largest = np.abs(values).max()
    assert np.maximum(values[:, :2], 0.0) == pytest.approx(out.tension, abs=1e-9 * largest)


def test_wall_without_contact_is_never_asked() -> None:
    patch = square(0.1, 2)
    nodes = nodes_of(patch.points, pressed(9, 1.0), unheld(9), wall=False)
    assert np.isinf(nodes.state[:, 1]).all()
    assert wall_of(None).friction == 0.0
    assert mirror_free(patch.points)[0].tolist() == [0.0, 0.0, 1.0]
