"""How long the cure takes to compute: `python benchmarks/cure.py [--json]`.

An invented resin and the demo's kind of sewer: DN200, a collar of 4 mm in a liner of 4 mm. Each
line is the best of some repeats of the wall clock, in milliseconds, with the first run, which
compiles, left out; beside it one number of the result.
"""

import argparse
import json
import time
from collections.abc import Callable
from typing import Any

import numpy as np

from teewright.heat.answers import answer, what_if
from teewright.heat.batch import Pack, Spread, in_pack
from teewright.heat.sheet import fit_pot_sheet, usual_pot
from teewright.heat.situation import QUICK_PASSAGE, Situation, passage
from teewright.heat.wall import State, cure_in_place, usual_wall
from teewright.resin.cure_fit import sampled
from teewright.resin.data_sheet import fit_data_sheet
from teewright.resin.kinetics import conversion, time_to, times_to
from teewright.resin.path import Path, steady
from teewright.resin.readings import Marks, fit_readings
from teewright.units import HOUR, MINUTE, kelvin

REPEATS, SEED, CASES = 7, 1, 200
WORKING = ((10.0, 45.0), (20.0, 25.0), (30.0, 12.0))
RELEASE = ((10.0, 270.0), (20.0, 150.0), (30.0, 80.0))
"""Degrees Celsius and minutes, invented."""


def points(table: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
    return tuple((kelvin(T), t * MINUTE) for T, t in table)


def situation() -> Situation:
    return Situation(
        pack=Pack(0.03, 0.2, 1150.0, 1700.0),
        mixed=kelvin(18.0),
        air=Path((0.0, HOUR), (kelvin(15.0), kelvin(17.0))),
        spread_at=7.0 * MINUTE,
        spread=Spread(0.005, 1150.0, 1600.0, 950.0),
        inflation=12.0 * MINUTE,
        wall=usual_wall(
            main_diameter=0.2, collar_thickness=0.004, liner_thickness=0.004, ground=kelvin(12.0)
        ),
        spare_share=0.2,
        hold=6.0 * HOUR,
    )


def best(work: Callable[[], Any]) -> tuple[float, Any]:
    """Least milliseconds of some runs, and the result."""
    result, least = work(), float("inf")
    for _ in range(REPEATS):
        start = time.perf_counter()
        result = work()
        least = min(least, time.perf_counter() - start)
    return 1e3 * least, result


def lines() -> list[tuple[str, float, str]]:
    rng = np.random.default_rng(SEED)
    sheet = (points(WORKING), points(RELEASE))
    fit = fit_pot_sheet(*sheet, pot=usual_pot(0.1))
    k, day = fit.kinetics, situation()
    normals = rng.standard_normal((CASES, len(fit.theta) + 4))
    sets = sampled(fit, normals)
    warm = np.repeat([kelvin(10.0), kelvin(20.0), kelvin(30.0)], 12)
    times = np.tile(np.linspace(0.1, 1.3, 12), 3) * time_to(k, k.firm, warm)
    done = np.concatenate([conversion(k, t, steady(T)) for t, T in zip(
        times.reshape(3, 12), warm[::12], strict=True)])  # fmt: skip
    noisy = np.clip(done + 0.01 * rng.standard_normal(36), 0.0, 1.0)
    marks, grid = Marks(k.gel, k.firm, k.heat), kelvin(0.0) + np.linspace(10.0, 30.0, 9)
    fresh, inflated = State(0.0, day.mixed), State(0.05, day.mixed)
    air = steady(kelvin(16.0))
    stop = np.array([3600.0])
    pot, pack = usual_pot(0.1), day.pack
    jobs: list[tuple[str, Callable[[], Any], Callable[[Any], str]]] = [
        ("time to firm, one temperature", lambda: time_to(k, k.firm, 288.0), _minutes),
        ("conversion along a path of 1 h", lambda: conversion(k, stop, day.air), _share),
        (f"time to firm, {CASES} sets", lambda: times_to(sets, k.firm, 288.0).mean(), _minutes),
        ("fit to a data sheet", lambda: fit_data_sheet(*sheet), _energy),
        ("fit to a data sheet of a pot", lambda: fit_pot_sheet(*sheet, pot=pot), _energy),
        ("fit to 36 readings", lambda: fit_readings(warm, times, noisy, marks=marks), _energy),
        (f"{CASES} sets drawn", lambda: sampled(fit, normals), _count),
        ("batch, 1 cell, 1 h", lambda: in_pack(k, pack, fresh, air, duration=HOUR, cells=1), _gel),
        ("batch, 10 cells, 1 h", lambda: in_pack(k, day.pack, fresh, air, duration=HOUR), _gel),
        ("wall, 6 h", lambda: cure_in_place(k, day.wall, inflated, hold=6.0 * HOUR), _firm),
        ("passage, fine", lambda: passage(k, day), _release),
        ("passage, quick", lambda: passage(k, day, effort=QUICK_PASSAGE, full=False), _release),
        (f"answers, {CASES} cases", lambda: answer(fit, day, normals), _spread),
        ("what if, 9 x 9", lambda: what_if(fit, day, air=grid, mixed=grid), _grid),
    ]  # fmt: skip
    rows = []
    for name, work, tell in jobs:
        milliseconds, result = best(work)
        rows.append((name, milliseconds, tell(result)))
    return rows


def _minutes(value: Any) -> str:
    return f"{float(value) / MINUTE:.1f} min"


def _share(value: Any) -> str:
    return f"{100.0 * float(value[0]):.1f} %"


def _energy(fit: Any) -> str:
    return (
        f"E2 {fit.kinetics.e2 / 1e3:.1f} kJ/mol, worst residual {np.abs(fit.residuals).max():.3f}"
    )


def _count(value: Any) -> str:
    return f"{len(value)} sets"


def _gel(batch: Any) -> str:
    return f"gel {batch.gel / MINUTE:.1f} min, {batch.march.steps} steps"


def _firm(cure: Any) -> str:
    cells, steps = len(cure.mesh.owner), cure.march.steps
    return (
        f"firm {cure.firm / MINUTE:.1f} min, {cells} cells, {steps} steps, off {cure.imbalance:.1e}"
    )


def _release(found: Any) -> str:
    return f"release {found.release / MINUTE:.1f} min"


def _spread(found: Any) -> str:
    low, middle, high = (t / MINUTE for t in found.release_told)
    return f"release {low:.0f}, {middle:.0f}, {high:.0f} min (5, 50, 95 %)"


def _grid(found: Any) -> str:
    low, high = found.latest.min() / MINUTE, found.latest.max() / MINUTE
    return f"latest inflation {low:.0f} to {high:.0f} min"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--json", action="store_true")
    rows = lines()
    if parser.parse_args().json:
        print(json.dumps([{"what": a, "milliseconds": b, "result": c} for a, b, c in rows]))
        return
    for name, milliseconds, told in rows:
        print(f"{name:32}{milliseconds:10.3f} ms   {told}")


if __name__ == "__main__":
    main()
