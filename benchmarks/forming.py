"""Time and error of forming: `python benchmarks/forming.py [--json] [--quick]`.

A collar for a DN200/DN100 tee (90 degrees, edge 5 mm) starts at 85 % of the bore, the flat
triangles of that smaller shape as its cut, and is blown against the junction with 1 bar. Cloth
5 mm thick of 6 and 3 MPa, ends held along the pipes, friction 0.3. Seconds are processor time,
the best of some runs, one thread; the first run, which compiles, is not counted.

`path` is the largest distance from where a very slow rise of the pressure lands (24,000 steps);
`mesh` that of the common vertices from where the mesh twice as fine lands.
"""

import argparse
import json
import math
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from typing import Any, NamedTuple

import numpy as np

from teewright.forming.build import pressed, unsewn
from teewright.forming.solve import form, form_fine
from teewright.forming.values import Contact, FloatArray, Formed, Restraint, Setup
from teewright.junction.field import field_of
from teewright.junction.mesh import build_mesh
from teewright.junction.plan import MeshPlan, finer, plan_mesh
from teewright.junction.refine import Prolongation, prolongation
from teewright.junction.skin import SkinMesh
from teewright.junction.values import Junction, Seam, Skin

UNDER, EDGE, THICK, NU = 0.85, 0.005, 0.005, 0.3
SLOW = 24_000
CLOTHS = (("hoop 6, axial 3 MPa", 6e6, 3e6), ("hoop 3, axial 6 MPa", 3e6, 6e6))
SHAPES = (
    # main, branch [m], angle [deg] of the batch
    (0.15, 0.10, 90.0), (0.20, 0.10, 90.0), (0.20, 0.15, 90.0), (0.25, 0.15, 90.0),
    (0.30, 0.15, 90.0), (0.30, 0.20, 90.0), (0.20, 0.10, 60.0), (0.30, 0.15, 60.0),
)  # fmt: skip


class Level(NamedTuple):
    """A mesh of a case, and how it hangs on the coarser one."""

    mesh: SkinMesh
    setup: Setup
    carry: Prolongation | None


def rest_of(mesh: SkinMesh, angle: float) -> FloatArray:
    """Each triangle flat on its own, its grain along the axis of its pipe."""
    corners = mesh.points[mesh.triangles]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    normal /= np.linalg.norm(normal, axis=1)[:, None]
    on_main = (mesh.zone == 0) | ((mesh.zone == 1) & (np.abs(normal[:, 2]) > 0.7))
    branch = np.array([math.cos(angle), 0.0, math.sin(angle)])
    axis = np.where(on_main[:, None], np.array([1.0, 0.0, 0.0]), branch)
    along = axis - (axis * normal).sum(axis=1)[:, None] * normal
    along /= np.linalg.norm(along, axis=1)[:, None]
    across = np.cross(along, normal)
    apart = corners - corners[:, :1]
    return np.stack([(apart @ side[:, :, None])[..., 0] for side in (across, along)], axis=2)


def setup_of(mesh: SkinMesh, host: Skin, hoop: float, axial: float, friction: float) -> Setup:
    """Ends held along the pipes, by springs where the branch leans."""
    points, angle = mesh.points, host.junction.angle
    free = np.ones_like(points)
    if mesh.half:
        free[points[:, 1] == 0.0, 1] = 0.0
    x = points[:, 0]
    ends = (x > x.max() - 1e-9) | (x < x.min() + 1e-9)
    free[ends & (points[:, 2] < 0.9 * host.junction.main_diameter / 2.0), 0] = 0.0
    spring = np.zeros(len(points))
    spring[mesh.grid[-1]] = 1e5
    grip = np.tile([math.cos(angle), 0.0, math.sin(angle)], (len(points), 1))
    loose = 1.0 - NU * NU * hoop / axial
    law = np.array([hoop / loose, axial / loose, NU * hoop / loose, 0.4 * hoop]) * THICK
    cloth = unsewn(mesh.triangles, rest_of(mesh, angle), law)
    contact = Contact(field_of(host), friction)
    return Setup(cloth, points, pressed(len(points), 1e5), contact, Restraint(free, spring, grip))


def plan_of(
    shape: tuple[float, float, float], size: float, *, half: bool
) -> tuple[MeshPlan, Skin, Skin]:
    """Mesh plan of the smaller collar, its skin, and the host's."""
    main, branch, degrees = shape
    angle = math.radians(degrees)
    small = Skin(Junction(UNDER * main, UNDER * branch, angle, EDGE), 0.0)
    host = Skin(Junction(main, branch, angle, EDGE), 0.0)
    lean = main / 2.0 / math.tan(angle)
    reach = max(0.15, branch / math.sin(angle) / 2.0 + lean + 0.06)
    plan = plan_mesh(
        small,
        sleeve=(-reach, reach),
        top=main / 2.0 / math.sin(angle) + branch / 2.0 / math.tan(angle) + 0.1,
        seam=Seam(0.5, 0.5, 0.5),
        size=size,
        half=half,
    )
    return plan, small, host


def ladder(
    cloth: tuple[str, float, float], size: float, levels: int, friction: float, *, half: bool
) -> list[Level]:
    """The case on meshes each twice as fine as the one before."""
    plan, small, host = plan_of((0.2, 0.1, 90.0), size, half=half)
    rungs: list[Level] = []
    for _ in range(levels):
        mesh = build_mesh(small, plan)
        carry = prolongation(rungs[-1].mesh, mesh) if rungs else None
        rungs.append(Level(mesh, setup_of(mesh, host, cloth[1], cloth[2], friction), carry))
        plan = finer(plan)
    return rungs


def timed(run: Callable[[], Formed], times: int) -> tuple[Formed, float]:
    """A result, and the least processor time that it took [s]."""
    best, result = math.inf, run()
    for _ in range(times):
        began = time.process_time()
        result = run()
        best = min(best, time.process_time() - began)
    return result, best


def apart(one: FloatArray, two: FloatArray) -> float:
    """Largest distance [mm]."""
    return float(1e3 * np.linalg.norm(one - two, axis=1).max())


def common(carry: Prolongation) -> tuple[np.ndarray, np.ndarray]:
    """Fine vertices that are coarse ones too, and which."""
    same = np.flatnonzero(carry.parents[:, 0] == carry.parents[:, 1])
    return same, carry.parents[same, 0]


def measure(cloth: tuple[str, float, float], size: float, levels: int, times: int) -> list[Any]:
    """Each mesh alone without and with friction, and led by the next coarser one."""
    rows: list[Any] = []
    rungs = ladder(cloth, size, levels, 0.3, half=False)
    calm = ladder(cloth, size, levels, 0.0, half=False)
    slow = [form(r.setup, ramp=SLOW, tolerance=1e-4, max_steps=10 * SLOW) for r in rungs]
    led, spent = form(rungs[0].setup), 0.0
    for k, (rung, still) in enumerate(zip(rungs, calm, strict=True)):
        count = len(rung.mesh.triangles)
        mesh_error = None
        if k + 1 < levels:
            fine, coarse = common(rungs[k + 1].carry)  # type: ignore[arg-type]
            mesh_error = apart(slow[k + 1].positions[fine], slow[k].positions[coarse])
        carry = rung.carry
        free, seconds = timed(lambda still=still: form(still.setup), times)  # type: ignore[misc]
        rows.append(row(cloth[0], count, "no friction", free, seconds, None, None))
        alone, seconds = timed(lambda rung=rung: form(rung.setup), times)  # type: ignore[misc]
        path = apart(alone.positions, slow[k].positions)
        rows.append(row(cloth[0], count, "friction", alone, seconds, path, mesh_error))
        if carry is None:
            led, spent = alone, seconds
            continue
        before = led
        led, seconds = timed(
            lambda b=before, c=carry, r=rung: form_fine(b, c.carried, r.setup),  # type: ignore[misc]
            times,
        )
        spent += seconds
        path = apart(led.positions, slow[k].positions)
        rows.append(row(cloth[0], count, "friction, led", led, spent, path, mesh_error))
    return rows


def row(
    cloth: str,
    count: int,
    way: str,
    formed: Formed,
    seconds: float,
    path: float | None,
    mesh: float | None,
) -> dict[str, Any]:
    """One line of the table."""
    return {
        "cloth": cloth,
        "triangles": count,
        "way": way,
        "steps": formed.steps,
        "seconds": round(seconds, 4),
        "path_mm": None if path is None else round(path, 3),
        "mesh_mm": None if mesh is None else round(mesh, 3),
        "touching": round(float(formed.touching.mean()), 3),
        "wrinkle_max": round(float(formed.wrinkle.max()), 3),
    }


def slopes(rows: list[Any]) -> list[Any]:
    """Power of the number of triangles by which the time grows, least squares."""
    found = []
    for key in sorted({(r["cloth"], r["way"]) for r in rows}):
        mine = [r for r in rows if (r["cloth"], r["way"]) == key and r["triangles"] > 900]
        if len(mine) > 1:
            size, spent = (np.log([r[k] for r in mine]) for k in ("triangles", "seconds"))
            power = float(np.polyfit(size, spent, 1)[0])
            found.append({"cloth": key[0], "way": key[1], "slope": round(power, 2)})
    return found


def one_of_batch(index: int) -> tuple[float, int, float]:
    """Form one half collar: seconds, triangles and path error where it is asked for [mm]."""
    shape = SHAPES[index % len(SHAPES)]
    plan, small, host = plan_of(shape, 0.001 + 0.018 * shape[1] ** 0.5, half=True)
    mesh = build_mesh(small, plan)
    setup = setup_of(mesh, host, 3e6, 6e6, 0.3)
    began = time.process_time()
    formed = form(setup)
    spent = time.process_time() - began
    error = 0.0
    if index < len(SHAPES):
        slow = form(setup, ramp=SLOW, tolerance=1e-4, max_steps=10 * SLOW)
        error = apart(formed.positions, slow.positions)
    return spent, len(mesh.triangles), error


def batch(count: int) -> dict[str, Any]:
    """Half collars of several junctions in two processes."""
    with ProcessPoolExecutor(2) as pool:
        list(pool.map(one_of_batch, range(len(SHAPES), len(SHAPES) + 4)))
        shown = list(pool.map(one_of_batch, range(len(SHAPES))))
        done = list(pool.map(one_of_batch, range(len(SHAPES), len(SHAPES) + count)))
    each = sum(seconds for seconds, _, _ in done) / len(done)
    return {
        "collars": count,
        "triangles": sorted({triangles for _, triangles, _ in done}),
        "seconds_each": round(each, 4),
        "an_hour_on_two_cores": round(2 * 3600.0 / each),
        "path_mm": [round(error, 3) for _, _, error in shown],
    }


def show(rows: list[Any], found: list[Any], collars: dict[str, Any]) -> None:
    """Print the tables."""
    print(f"{'cloth':<21}{'triangles':>10}  {'way':<14}{'steps':>6}{'s':>8}{'path mm':>9}", end="")
    print(f"{'mesh mm':>9}{'touching':>10}")
    for r in rows:
        path, mesh = ("" if r[k] is None else f"{r[k]:.2f}" for k in ("path_mm", "mesh_mm"))
        print(
            f"{r['cloth']:<21}{r['triangles']:>10}  {r['way']:<14}{r['steps']:>6}"
            f"{r['seconds']:>8.3f}{path:>9}{mesh:>9}{r['touching']:>10.2f}"
        )
    for r in found:
        print(f"{r['cloth']}, {r['way']}: time grows as triangles^{r['slope']:.2f}")
    print(
        f"{collars['collars']} half collars of {collars['triangles'][0]} to "
        f"{collars['triangles'][-1]} triangles, {len(SHAPES)} junctions: "
        f"{collars['seconds_each']:.3f} s each, {collars['an_hour_on_two_cores']} an hour on two "
        f"cores; path errors {collars['path_mm']} mm"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--json", action="store_true", help="print JSON")
    parser.add_argument("--quick", action="store_true", help="small meshes, one run each")
    options = parser.parse_args()
    rows = []
    for cloth in CLOTHS:
        if options.quick:
            rows += measure(cloth, 0.014, 2, 1)
        else:
            rows += measure(cloth, 0.01, 3, 3)
    found, collars = slopes(rows), batch(16 if options.quick else 96)
    if options.json:
        print(json.dumps({"runs": rows, "slopes": found, "batch": collars}, indent=1))
    else:
        show(rows, found, collars)


if __name__ == "__main__":
    main()
