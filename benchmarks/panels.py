"""Flat panels of the default layout: `python benchmarks/panels.py [--json] [--quick]`.

For each junction: where the seam runs best, t*, the stretches of the design in its window, the
mismatch of the seam, seconds of each step, and how far the outline moves on a mesh twice as fine.
Seconds are those of the process, so that other work on the machine counts little.
"""

import argparse
import json
import math
import time
from collections.abc import Callable
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np

from teewright.collar.flat import FlatCollar
from teewright.collar.layout_lines import LAYOUTS
from teewright.collar.layouts import flatten, least
from teewright.collar.seams import best_seam
from teewright.errors import TeewrightError
from teewright.flattening.values import Stiffness
from teewright.junction.mesh import build_mesh
from teewright.junction.plan import finer, plan_mesh, ring_of
from teewright.junction.values import Junction, Skin

CASES = (
    (200, 100, 90), (150, 150, 90), (300, 150, 90), (200, 100, 45), (150, 150, 45), (300, 150, 45),
    (250, 125, 60), (600, 200, 75),
)  # fmt: skip
"""Main [mm], branch [mm], angle [degrees]; edge radius 10 mm, surface of the host."""
FELT = Stiffness(across=3000.0, along=6000.0, coupling=900.0, shear=1100.0)
TARGETS = np.array([1.02, 1.08])
WINDOW = (0.97, 1.20)


@dataclass(frozen=True, slots=True)
class Line:
    """What is told of one junction."""

    junction: str
    vertices: int
    ratio: float
    most: float
    least: float
    mismatch_mm: float
    seam: tuple[float, float, float]
    outline_mm: float
    seconds_seam: float
    seconds_ratio: float
    seconds_design: float
    others: dict[str, float]


def timed(work: Callable[[], Any]) -> tuple[Any, float]:
    """A result and the seconds it took."""
    start = time.process_time()
    value = work()
    return value, time.process_time() - start


def outline_apart(coarse: FlatCollar, fine: FlatCollar) -> float:
    """Largest distance of a border vertex of the coarse pieces from the finer border [m]."""
    worst = 0.0
    for one, two in zip(coarse.pieces, fine.pieces, strict=True):
        a = np.concatenate([one.flat[line] for _, line in one.lines])
        b = np.concatenate([_densely(two.flat[line]) for _, line in two.lines])
        turn, shift = _fit(one.flat, two.flat, one.vertices, two.vertices, (coarse, fine))
        moved = a @ turn + shift
        apart = np.linalg.norm(moved[:, None] - b[None], axis=2).min(axis=1)
        worst = max(worst, float(apart.max()))
    return worst


def _densely(line: np.ndarray) -> np.ndarray:
    share = np.linspace(0.0, 1.0, 9)[None, :, None]
    return (line[:-1, None] * (1.0 - share) + line[1:, None] * share).reshape(-1, 2)


def _fit(
    one: np.ndarray,
    two: np.ndarray,
    here: np.ndarray,
    there: np.ndarray,
    meshes: tuple[FlatCollar, FlatCollar],
) -> tuple[np.ndarray, np.ndarray]:
    """Turn and shift that bring the vertices that both meshes have together."""
    points = meshes[1].mesh.points[there]
    gaps = np.linalg.norm(meshes[0].mesh.points[here][:, None] - points[None], axis=2)
    near = gaps.argmin(axis=1)
    same = gaps.min(axis=1) < 1e-7
    a, b = one[same], two[near[same]]
    left, _, right = np.linalg.svd((a - a.mean(axis=0)).T @ (b - b.mean(axis=0)))
    turn = left @ right
    return turn, b.mean(axis=0) - a.mean(axis=0) @ turn


def measure(case: tuple[int, int, int], *, quick: bool) -> Line:
    """All figures of one junction."""
    main, branch, degrees = case
    skin = Skin(Junction(main / 1e3, branch / 1e3, math.radians(degrees), 0.01), 0.0)
    ring = ring_of(skin)
    x = ring.main_flat[:, 0]
    sleeve = float(x.min()) - 0.06, float(x.max()) + 0.06
    top = float(ring.branch_flat[:, 1].max()) + 0.06
    found, seconds_seam = timed(lambda: best_seam(skin, sleeve=sleeve, top=top))
    seam = found.seam
    size = math.pi * (branch / 2e3 + 0.01) / (30.0 if quick else 44.0)
    plan = plan_mesh(skin, sleeve=sleeve, top=top, seam=seam, size=size)
    mesh = build_mesh(skin, plan)
    laid, seconds_ratio = timed(lambda: least(mesh, "saddle seam"))

    def design(on: Any, start: Any) -> FlatCollar:
        return flatten(
            on, "saddle seam", seam=seam, stiffness=FELT, targets=TARGETS, window=WINDOW, laid=start
        )

    collar, seconds_design = timed(lambda: design(mesh, laid))
    apart = math.nan
    if not quick:
        fine = build_mesh(skin, finer(plan))
        way = 1 if laid.plan.price > 1.0 else 0
        apart = outline_apart(collar, design(fine, least(fine, "saddle seam", way=way)))
    return Line(
        junction=f"{main}/{branch} {degrees}",
        vertices=len(mesh.points),
        ratio=collar.ratio,
        most=float(collar.stretch.max()),
        least=float(collar.stretch.min()),
        mismatch_mm=1e3 * collar.mismatch,
        seam=(seam.crotch, seam.flank, seam.heel),
        outline_mm=1e3 * apart,
        seconds_seam=seconds_seam,
        seconds_ratio=seconds_ratio,
        seconds_design=seconds_design,
        others={} if quick else others(mesh),
    )


def others(mesh: Any) -> dict[str, float]:
    """t* of the other layouts on the same mesh."""
    told: dict[str, float] = {}
    for layout in LAYOUTS[1:]:
        try:
            told[layout] = least(mesh, layout).flattening.ratio
        except TeewrightError:
            told[layout] = math.nan
    return told


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--quick", action="store_true", help="two junctions, coarse, no refining")
    asked = parser.parse_args()
    measure(CASES[0], quick=True)  # compiles
    cases = (CASES[0], CASES[3]) if asked.quick else CASES
    lines = [measure(case, quick=asked.quick) for case in cases]
    if asked.json:
        print(json.dumps([asdict(line) for line in lines], indent=2))
        return
    head = ("junction     ", "vertices", "t*", "stretch", "mismatch", "outline", "seconds")
    print("  ".join(head) + " of seam, t*, design; other layouts")
    for line in lines:
        print(
            f"{line.junction:13s} {line.vertices:7d}  {line.ratio:.4f}  {line.least:.3f} to "
            f"{line.most:.3f}  {line.mismatch_mm:.5f} mm {line.outline_mm:.3f} mm  "
            f"{line.seconds_seam:.1f} {line.seconds_ratio:.2f} {line.seconds_design:.2f} s  "
            + ", ".join(f"{name} {ratio:.3f}" for name, ratio in line.others.items())
        )


if __name__ == "__main__":
    main()
