"""Junctions an hour on two cores: `python benchmarks/batch.py [--json] [--quick]`.

Two counts, each by a pool of two processes of one thread, by the clock on the wall:

`designs`: whole collars, from the junction to drawn panels with the seam's place searched, all
layouts compared and panels corrected until the formed collar keeps its limits; the placement
tolerance is left out.

`forming`: forming runs alone of half models, as the placement tolerance makes them, from the
collar on the packer to the limits measured: every run has another place of the packer and
another junction. `path` is the largest distance of a
landing from that of a pressure that rises four times as slowly.

Before the clock starts each process makes one coarse collar, which loads and compiles the
solvers; that time is told as `warm-up` and not counted.
"""

import argparse
import json
import math
import os
import time
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from multiprocessing import get_context
from statistics import mean
from typing import Any

import numpy as np

from teewright import demo
from teewright.collar.closing import Cutting
from teewright.collar.edges import highest_seam
from teewright.collar.making import COARSER, make_collar
from teewright.collar.order import Effort, Order, edge_size, extent_of, wanted_of
from teewright.collar.seams import start_seam
from teewright.collar.targets import Targets
from teewright.collar.tolerance import Case
from teewright.collar.trial import Sewn, try_on
from teewright.errors import TeewrightError
from teewright.formats.kit_toml import read_kit
from teewright.junction.values import Junction

CORES = 2
SHAPES = (
    # diameters of main and branch [m], degrees between them, radius of the edge [m]
    (0.20, 0.10, 90.0, 0.008), (0.30, 0.15, 60.0, 0.008),
    (0.20, 0.15, 90.0, 0.008), (0.20, 0.10, 45.0, 0.008),
    (0.15, 0.15, 90.0, 0.006), (0.25, 0.15, 75.0, 0.010),
    (0.30, 0.20, 90.0, 0.010), (0.60, 0.15, 90.0, 0.008),
)  # fmt: skip
REPEATS, QUICK_REPEATS = 12, 3
WARM = Effort(fineness=2.0, rounds=0, seam=False, tolerance=False)
MESHES = {"tolerance": COARSER, "design": 1.0}
"""Length along the seam of the edges of each mesh over that of the design's [-]."""
OFF = Case(along=0.008, main=0.002, branch=0.0015, angle=math.radians(2.0), fillet=0.002)
"""Largest deviations of the forming runs."""


@dataclass(frozen=True)
class Counted:
    """One piece of work done in a process: its row, and what it took there [s]."""

    row: dict[str, Any]
    seconds: float


def order_of(number: int) -> Order:
    """The order of one shape, in the first fabric of the demo, stretched as its rules say."""
    kit = read_kit(demo.file(demo.KIT_FILE), file="kit.toml")[0]
    main, branch, degrees, edge = SHAPES[number]
    return Order(
        pattern=f"P{number + 1}",
        junction=Junction(main, branch, math.radians(degrees), edge),
        fabric=kit.fabric,
        pressure=5e4,
        thickness=0.004,
        stretch=kit.rules.stretch,
        void_fraction=kit.fabric.void_fraction,
        sleeve_length=max(0.5, 3.0 * branch / math.sin(math.radians(degrees))),
        branch_length=kit.rules.branch_length,
        lap=kit.rules.lap,
    )


def warm_up() -> None:
    """Load and compile all that a design needs."""
    make_collar(order_of(0), effort=WARM)


def ready(_: int) -> float:
    """A task that ends when its process is warm."""
    time.sleep(0.2)
    return time.monotonic()


def design(task: tuple[int, Effort]) -> Counted:
    """One whole collar."""
    number, effort = task
    began = time.process_time()
    row: dict[str, Any] = {"shape": name_of(number)}
    try:
        collar = make_collar(order_of(number), effort=effort).collar
    except TeewrightError as error:
        row |= {"layout": "none", "said": str(error)}
    else:
        landing = collar.landing
        row |= {
            "layout": collar.layout,
            "t*": round(next(o.ratio for o in collar.offers if o.chosen), 4),
            "triangles": landing.triangles,
            "rounds": landing.rounds,
            "margin": round(landing.margin, 2),
            "mismatch mm": round(1e3 * abs(collar.seam_edges[0] - collar.seam_edges[1]), 5),
        }
    spent = time.process_time() - began
    return Counted({**row, "seconds": round(spent, 2)}, spent)


def name_of(number: int) -> str:
    main, branch, degrees, _ = SHAPES[number]
    return f"{1e3 * main:.0f}/{1e3 * branch:.0f} {degrees:.0f}"


def sewn_of(number: int, mesh: str) -> Sewn:
    """The first panels of a shape, sewn: half of them, by symmetry."""
    order = order_of(number)
    seam = start_seam(order.skin)
    wanted = wanted_of(order, highest_seam(order.skin, seam))
    size = edge_size(order, Effort())
    cutting = Cutting(order, "saddle seam", seam, wanted, size, longer=MESHES[mesh])
    targets = Targets(round=order.stretch, along=1.0, saddle=order.stretch)
    return cutting.sew(extent_of(wanted), targets).sewn


def cases(number: int, count: int) -> list[Case]:
    """Random cases, the same in every run of this program."""
    drawn = np.random.default_rng(number).uniform(-1.0, 1.0, (count, 5))
    names = ("along", "main", "branch", "angle", "fillet")
    sizes = np.array([getattr(OFF, name) for name in names])
    return [Case(**dict(zip(names, (sizes * row).tolist(), strict=True))) for row in drawn]


def forming(task: tuple[int, str, int]) -> Counted:
    """Forming runs of one shape; only they are counted, and not the slow one beside them."""
    number, mesh, count = task
    sewn = sewn_of(number, mesh)
    spent, steps, failed = 0.0, 0, 0
    for case in cases(number, count):
        began = time.perf_counter()
        try:
            steps += try_on(sewn, case).formed.steps
        except TeewrightError:
            failed += 1
        spent += time.perf_counter() - began
    row = {
        "shape": name_of(number),
        "mesh": mesh,
        "triangles": len(sewn.cloth.triangles),
        "runs": count,
        "no balance": failed,
        "steps": round(steps / max(count - failed, 1)),
        "seconds": round(spent / count, 4),
        "path mm": round(path_error(sewn), 3),
    }
    return Counted(row, spent)


def path_error(sewn: Sewn) -> float:
    """Largest distance from where a rise four times as slow lands [mm]."""
    usual, slow = (try_on(sewn, slower=slower).formed.positions for slower in (1, 4))
    return float(1e3 * np.linalg.norm(usual - slow, axis=1).max())


def measure(*, quick: bool) -> dict[str, Any]:
    """Both counts."""
    for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
        os.environ[name] = "1"
    began = time.monotonic()
    context = get_context("spawn")
    with ProcessPoolExecutor(CORES, mp_context=context, initializer=warm_up) as pool:
        list(pool.map(ready, range(CORES)))
        warm = time.monotonic() - began
        numbers = range(4) if quick else range(len(SHAPES))
        effort = Effort(fineness=2.0 if quick else 1.0, seam=not quick, tolerance=False)
        began = time.monotonic()
        designs = list(pool.map(design, [(number, effort) for number in numbers]))
        wall = time.monotonic() - began
        repeats = QUICK_REPEATS if quick else REPEATS
        tasks = [(n, m, repeats) for m in (list(MESHES)[:1] if quick else MESHES) for n in numbers]
        formed = list(pool.map(forming, tasks))
    return {
        "cores": CORES,
        "warm-up s, not counted": round(warm, 1),
        "designs an hour": round(3600.0 * len(designs) / wall),
        "designs": [counted.row for counted in designs],
        "forming an hour": hourly(formed),
        "forming": [counted.row for counted in formed],
    }


def hourly(formed: Sequence[Counted]) -> dict[str, int]:
    """Runs an hour at each size of mesh, both cores busy all the time."""
    found: dict[str, int] = {}
    for mesh in dict.fromkeys(c.row["mesh"] for c in formed):
        rows = [c for c in formed if c.row["mesh"] == mesh]
        size = round(mean(c.row["triangles"] for c in rows))
        runs = sum(c.row["runs"] for c in rows)
        found[f"{mesh}, {size} triangles"] = round(
            3600.0 * CORES * runs / sum(c.seconds for c in rows)
        )
    return found


def table(rows: Sequence[dict[str, Any]]) -> str:
    """Rows under the names of their columns."""
    names = list(dict.fromkeys(key for row in rows for key in row if key != "said"))
    lines = ["".join(f"{name:>14}" for name in names)]
    for row in rows:
        lines.append("".join(f"{row.get(name, '')!s:>14}" for name in names))
        lines += [row["said"]] if "said" in row else []
    return "\n".join(lines)


def main() -> None:
    """Print the tables."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--quick", action="store_true", help="four shapes, coarse meshes")
    options = parser.parse_args()
    found = measure(quick=options.quick)
    if options.json:
        print(json.dumps(found, indent=2))
        return
    print(f"warm-up {found['warm-up s, not counted']} s, not counted")
    print(f"\nwhole designs on {CORES} cores: {found['designs an hour']} an hour")
    print(table(found["designs"]))
    print(f"\nforming alone on {CORES} cores, by the hour: {found['forming an hour']}")
    print(table(found["forming"]))


if __name__ == "__main__":
    main()
