"""How much fabric an order takes: strip packing beside plain shelves, on one roll.

Run `python benchmarks/nesting.py [--json] [--quick] [--seconds S ...]`. The orders are invented
mixes of junctions; panels are the closed-form ones, grain kept, a gap of 6 mm. The search stops
by the clock: a busy machine finds less in the same time.
"""

import argparse
import json
import math
import time
from itertools import combinations

from shapely import Polygon

from teewright.collar.making import make_collar
from teewright.collar.nesting import Nest, nest, shelves
from teewright.collar.order import Effort, Order
from teewright.collar.values import Panel
from teewright.junction.values import Junction
from teewright.kit.values import Fabric

GAP = 0.006
SEED = 1
ROUGH = Effort(fineness=1.5, rounds=2, seam=False, tolerance=False)
"""The pieces are about right; how well they land does not matter here."""
FABRIC = Fabric(
    name="invented felt",
    thickness=((0.0, 0.005), (5e4, 0.004)),
    void_fraction=0.85,
    stiffness_along=8e3,
    stiffness_across=4e3,
    stretch_along=1.25,
    stretch_across=1.35,
    seam_allowance=0.010,
    roll_width=1.5,
    price=20.0,
    source="invented",
)
ORDERS = {
    # main, branch [mm], angle [degrees], how many collars
    "one pattern": ((200, 100, 90, 12),),
    "three patterns": ((200, 100, 90, 6), (200, 150, 60, 5), (150, 100, 45, 4)),
    "a small town": ((200, 100, 90, 14), (250, 150, 60, 8), (300, 150, 90, 6), (300, 200, 45, 4)),
}


def order_of(name: str) -> list[tuple[Panel, int]]:
    """Panels of an order, and how many of each."""
    pieces = []
    for main, branch, degrees, count in ORDERS[name]:
        shape = Junction(main / 1e3, branch / 1e3, math.radians(degrees), 0.008)
        order = Order(
            pattern=f"{main}/{branch}",
            junction=shape,
            fabric=FABRIC,
            pressure=5e4,
            thickness=0.004,
            stretch=1.04,
            void_fraction=FABRIC.void_fraction,
            sleeve_length=0.55,
            branch_length=0.15,
            lap=0.03,
        )
        made = make_collar(order, effort=ROUGH)
        pieces += [(panel, count) for panel in made.collar.panels]
    return pieces


def least_gap(made: Nest) -> float:
    """Least distance of two outlines, by every pair [m]."""
    shapes = [Polygon(place.outline()) for place in made.placements]
    return min(float(a.distance(b)) for a, b in combinations(shapes, 2))


def row(name: str, made: Nest, seconds: float, took: float) -> dict[str, object]:
    """One line of the table."""
    return {
        "order": name,
        "pieces": len(made.placements),
        "area_m2": round(sum(p.panel.area for p in made.placements), 3),
        "method": made.method,
        "seconds": seconds,
        "took_s": round(took, 2),
        "metres": round(made.length, 3),
        "used_%": round(1e2 * made.utilisation, 1),
        "gap_mm": round(1e3 * least_gap(made), 3),
    }


def measure(name: str, seconds: tuple[int, ...]) -> list[dict[str, object]]:
    """Shelves, then strip packing for each time."""
    order = order_of(name)
    begin = time.perf_counter()
    plain = shelves(order, roll_width=FABRIC.roll_width, gap=GAP)
    rows = [row(name, plain, 0, time.perf_counter() - begin)]
    for limit in seconds:
        begin = time.perf_counter()
        made = nest(order, roll_width=FABRIC.roll_width, gap=GAP, seconds=limit, seed=SEED)
        rows.append(row(name, made, limit, time.perf_counter() - begin))
    return rows


def main() -> None:
    """Nest every order and print a table, or JSON."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--json", action="store_true", help="print JSON")
    parser.add_argument("--quick", action="store_true", help="two seconds each")
    parser.add_argument("--seconds", type=int, nargs="+", default=[5, 20, 60], help="of search")
    options = parser.parse_args()
    limits = (2,) if options.quick else tuple(options.seconds)
    rows = [line for name in ORDERS for line in measure(name, limits)]
    if options.json:
        print(json.dumps(rows, indent=1))
        return
    print(" ".join(f"{name:>14}" for name in rows[0]))
    for line in rows:
        print(" ".join(f"{value!s:>14}" for value in line.values()))


if __name__ == "__main__":
    main()
