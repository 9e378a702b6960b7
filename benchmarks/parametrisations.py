"""Our panels beside known parametrisations: `python benchmarks/parametrisations.py [--json]`.

The same mesh, cut the same way, in the same run. libigl's least squares conformal map, its
as-rigid-as-possible map and its locally injective map with the symmetric Dirichlet energy know
nothing of seams: their pieces have edges of unequal length, which is told beside t*.
Needs libigl, which the package itself does not.
"""

import argparse
import json
import math
import time
from collections.abc import Callable

import igl
import numpy as np

from teewright.collar.layout_cut import Cut
from teewright.collar.layout_metric import true_sides
from teewright.collar.layouts import least
from teewright.collar.seams import start_seam
from teewright.flattening.solve import least_spread
from teewright.flattening.system import strains, system_of
from teewright.flattening.values import Pieces
from teewright.junction.mesh import mesh_skin
from teewright.junction.plan import ring_of
from teewright.junction.skin import SkinMesh
from teewright.junction.values import Junction, Skin

CASES = ((200, 100, 90), (150, 150, 90), (300, 150, 90), (200, 100, 45), (300, 150, 45))
"""Main [mm], branch [mm], angle [degrees]; edge radius 10 mm."""
Map = Callable[[np.ndarray, np.ndarray, np.ndarray], np.ndarray]


def conformal(points: np.ndarray, faces: np.ndarray, _: np.ndarray) -> np.ndarray:
    ends = np.array([0, int(np.argmax(np.linalg.norm(points - points[0], axis=1)))])
    apart = float(np.linalg.norm(points[ends[1]] - points[ends[0]]))
    held = np.array([[0.0, 0.0], [apart, 0.0]])
    return np.asarray(igl.lscm(points, faces, ends, held)[0])


def rigid(points: np.ndarray, faces: np.ndarray, start: np.ndarray) -> np.ndarray:
    data = igl.ARAPData()
    data.max_iter = 100
    igl.arap_precomputation(points, faces, 2, np.zeros(1, dtype=np.int32), data)
    return np.asarray(igl.arap_solve(start[:1].copy(), data, np.ascontiguousarray(start)))


def injective(points: np.ndarray, faces: np.ndarray, start: np.ndarray) -> np.ndarray:
    data = igl.slim_precompute(
        np.asfortranarray(points),
        np.asfortranarray(faces.astype(np.int32)),
        np.asfortranarray(start),
        igl.MappingEnergyType.SYMMETRIC_DIRICHLET,
        np.empty(0, dtype=np.int32),
        np.asfortranarray(np.empty((0, 2))),
        0.0,
    )
    return np.asarray(igl.slim_solve(data, 30))


MAPS: dict[str, Map] = {
    "LSCM": conformal,
    "ARAP": rigid,
    "SLIM": injective,
}


def mesh_of(case: tuple[int, int, int], columns: float) -> SkinMesh:
    """Mesh of a junction, its seam where the search for one begins."""
    main, branch, degrees = case
    skin = Skin(Junction(main / 1e3, branch / 1e3, math.radians(degrees), 0.01), 0.0)
    ring = ring_of(skin)
    x = ring.main_flat[:, 0]
    sleeve = float(x.min()) - 0.06, float(x.max()) + 0.06
    top = float(ring.branch_flat[:, 1].max()) + 0.06
    size = math.pi * (branch / 2e3 + 0.01) / columns
    return mesh_skin(skin, sleeve=sleeve, top=top, seam=start_seam(skin), size=size)


def by_library(way: Map, mesh: SkinMesh, cut: Cut) -> np.ndarray:
    """Each piece laid flat on its own by a map of the library."""
    flat = np.zeros((len(cut.vertices), 2))
    for piece in range(int(cut.piece.max()) + 1):
        own, local = np.unique(cut.triangles[cut.piece == piece], return_inverse=True)
        faces = np.ascontiguousarray(local.reshape(-1, 3))
        points = np.ascontiguousarray(mesh.points[cut.vertices[own]])
        flat[own] = way(points, faces, conformal(points, faces, flat[own]))
    return flat


def judged(pieces: Pieces, flat: np.ndarray) -> tuple[float, float]:
    """t*, nan where a triangle is turned over, and the largest difference in a seam [mm]."""
    system = system_of(pieces)
    for way in (flat, flat * np.array([-1.0, 1.0])):
        found = strains(system, np.ascontiguousarray(way))
        if found is not None:
            part = np.hypot(found[:, 1], found[:, 2])
            spread = float(np.max(part - found[:, 0]) - np.min(-part - found[:, 0]))
            return math.exp(spread), _apart(pieces, flat)
    return math.nan, math.nan


def _apart(pieces: Pieces, flat: np.ndarray) -> float:
    ends = flat[pieces.pairs]
    one = np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1)
    two = np.linalg.norm(ends[:, 3] - ends[:, 2], axis=1)
    return float(1e3 * np.max(np.abs(np.cumsum(one - two))))


def measure(case: tuple[int, int, int], columns: float) -> list[dict[str, object]]:
    """One line for each map, ours last."""
    mesh = mesh_of(case, columns)
    laid = least(mesh, "saddle seam", tolerance=0.2)
    name = f"{case[0]}/{case[1]} {case[2]}"
    head = {"junction": name, "vertices": len(mesh.points)}
    lines: list[dict[str, object]] = []

    def add(title: str, work: Callable[[], np.ndarray]) -> None:
        start = time.process_time()
        flat = work()
        seconds = time.process_time() - start
        ratio, apart = judged(laid.pieces, flat)
        lines.append({**head, "map": title, "ratio": ratio, "apart_mm": apart, "seconds": seconds})

    for title, way in MAPS.items():
        add(title, lambda way=way: by_library(way, mesh, laid.cut))  # type: ignore[misc]
    start = laid.flattening.flat
    add("ours", lambda: least_spread(laid.pieces, start).flat)
    assert laid.pieces.sides.shape == true_sides(mesh).shape
    return lines


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--quick", action="store_true", help="two junctions, coarse")
    asked = parser.parse_args()
    measure(CASES[0], 20.0)  # compiles
    cases = (CASES[0], CASES[3]) if asked.quick else CASES
    lines = [line for case in cases for line in measure(case, 24.0 if asked.quick else 40.0)]
    if asked.json:
        print(json.dumps(lines, indent=2))
        return
    print("junction      vertices  map    t*       seam edges apart   seconds")
    for line in lines:
        print(
            f"{line['junction']:13s} {line['vertices']:7d}  {line['map']:5s}  {line['ratio']:.4f}  "
            f"{line['apart_mm']:10.4f} mm  {line['seconds']:12.3f}"
        )


if __name__ == "__main__":
    main()
