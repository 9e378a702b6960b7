"""Time and error of the level behind a packer: `python benchmarks/blocking.py [--json]`.

A street of three pipes and three manholes (DN200, 120 m), a packer with two bores of 65 mm, a
day's pattern with a shower, 24 starts. Milliseconds are wall time in one process, the best of
some runs; the first run is shown apart. The error is that of the levels at the end of the hold
against steps of half a second.
"""

import argparse
import json
import time
from collections.abc import Callable
from typing import Any

import numpy as np

from teewright.hydraulics.blocking import holds, pump_needed
from teewright.hydraulics.holds import Setting, Watch
from teewright.hydraulics.inflow import Inflow, hourly_series, triangular_rain
from teewright.hydraulics.losses import Bores
from teewright.hydraulics.storage import PACKER, PoolNode, PoolPipe, upstream_of

PATTERN = (
    0.4, 0.3, 0.25, 0.25, 0.3, 0.6, 1.2, 1.8, 1.9, 1.7, 1.4, 1.3,
    1.2, 1.1, 1.0, 1.0, 1.1, 1.3, 1.5, 1.6, 1.4, 1.0, 0.8, 0.6,
)  # fmt: skip
HOLDS = (30.0, 60.0, 90.0)


def street() -> Setting:
    pipes = (
        PoolPipe("M1", PACKER, 0.2, 30.0, 10.15, 10.0),
        PoolPipe("M2", "M1", 0.2, 50.0, 10.42, 10.17),
        PoolPipe("M3", "M1", 0.2, 40.0, 10.4, 10.2, share=0.3),
    )
    nodes = tuple(
        PoolNode(name, floor, rim, 0.785)
        for name, floor, rim in (("M1", 10.35, 12.5), ("M2", 10.62, 12.6), ("M3", 10.6, 12.55))
    )
    rain = triangular_rain(0.004, 900.0, 1800.0, start=600.0)
    watches = tuple(Watch(f"M1/{k}", 10.24 + 0.005 * x, "M1", x) for k, x in enumerate((6.0, 19.0)))
    inflow = Inflow(hourly_series(0.004, PATTERN), 5e-4, rain)
    return Setting(upstream_of(pipes, nodes), Bores(2, 0.065, 1.25, 0.1), inflow, watches, 0.02)


def milliseconds(work: Callable[[], object], runs: int) -> tuple[float, float]:
    """First and best time of some runs."""
    spent = []
    for _ in range(runs):
        start = time.perf_counter()
        work()
        spent.append(1e3 * (time.perf_counter() - start))
    return spent[0], min(spent)


def measure(minutes: float, runs: int) -> dict[str, Any]:
    case, duration = street(), 60.0 * minutes
    first, best = milliseconds(lambda: holds(case, duration), runs)
    _, pumps = milliseconds(lambda: pump_needed(case, duration), runs)
    found, fine = holds(case, duration), holds(case, duration, step=0.5)
    return {
        "hold_min": minutes,
        "starts": found.starts.size,
        "first_ms": round(first, 2),
        "best_ms": round(best, 2),
        "pumps_ms": round(pumps, 2),
        "error_mm": round(1e3 * float(np.abs(found.levels[:, -1] - fine.levels[:, -1]).max()), 3),
        "peak_error_mm": round(1e3 * float(np.abs(found.greatest - fine.greatest).max()), 3),
        "closure": float(found.balance.closure.max()),
    }


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--json", action="store_true", help="print JSON")
    parser.add_argument("--quick", action="store_true", help="fewer runs")
    options = parser.parse_args()
    rows = [measure(minutes, 3 if options.quick else 20) for minutes in HOLDS]
    if options.json:
        print(json.dumps(rows, indent=1))
        return
    for row in rows:
        print(
            f"{row['hold_min']:.0f} min, {row['starts']} starts: {row['best_ms']:.1f} ms (first "
            f"{row['first_ms']:.1f}), least pumps {row['pumps_ms']:.1f} ms; level within "
            f"{row['error_mm']:.2f} mm, peak within {row['peak_error_mm']:.2f} mm; balance open by "
            f"{row['closure']:.0e}"
        )


if __name__ == "__main__":
    main()
