"""How many shifts the programme needs, what is proved, and how long it takes.

Run `python benchmarks/programme.py [--json] [--seconds S]`. All towns are invented: their
connections, distances and release times are drawn from a seeded generator.
"""

import argparse
import json
import random
import time
from datetime import date

from teewright.kit.values import Crew, ShiftRules
from teewright.programme.check import check
from teewright.programme.optimise import plan
from teewright.programme.values import Installation

MONDAY = date(2024, 5, 6)
WEEK = (1, 2, 3, 4, 5)
HOUR, MINUTE = 3600.0, 60.0
CREWS = (Crew("East", 3, ("P", "Q")), Crew("West", 3, ("P", "Q")))
RULES = ShiftRules(
    start=7 * HOUR,
    length=9 * HOUR,
    set_up=25 * MINUTE,
    clear=15 * MINUTE,
    move=15 * MINUTE,
    mix=5 * MINUTE,
    wet_out=15 * MINUTE,
    lower=5 * MINUTE,
    travel_speed=0.1,
    position=5 * MINUTE,
    inflate=5 * MINUTE,
    remove=10 * MINUTE,
    test=15 * MINUTE,
    spare_share=0.2,
    max_collars=6,
)
TOWNS = (
    # connections, runs, release time of the runs [min], seed
    (12, 4, (90, 90), 1),
    (28, 6, (90, 90), 1),
    (28, 6, (180, 180), 1),
    (28, 6, (35, 240), 1),
    (28, 6, (35, 240), 2),
    (60, 10, (120, 120), 1),
    (60, 10, (35, 240), 1),
    (60, 14, (35, 240), 2),
)


def town(count: int, runs: int, release: tuple[int, int], seed: int) -> tuple[Installation, ...]:
    """An invented town: each run with its own manhole, release time and packers."""
    rng = random.Random(seed)
    cure = [rng.randint(*release) * MINUTE for _ in range(runs)]
    packers = [rng.choice([("P", "Q"), ("P", "Q"), ("Q",)]) for _ in range(runs)]
    street = [rng.choice([(), ((7 * HOUR, 17 * HOUR),)]) for _ in range(runs)]
    return tuple(
        Installation(
            connection_id=f"R{k % runs}/{k:02}",
            run_id=f"R{k % runs}",
            manhole=f"M{k % runs}",
            distance=rng.uniform(2.0, 55.0),
            packers=packers[k % runs],
            latest_inflation=70 * MINUTE,
            release=cure[k % runs],
            allowed_hours=tuple(range(24)),
            access=street[k % runs],
            not_before=MONDAY,
        )
        for k in range(count)
    )


def measure(case: tuple[int, int, tuple[int, int], int], seconds: float) -> dict[str, object]:
    """Plan one town and hold the programme against every rule."""
    asked = town(*case)
    begin, work = time.perf_counter(), time.process_time()
    found = plan(asked, crews=CREWS, shifts=RULES, first_day=MONDAY, days=WEEK, seconds=seconds)
    wall, used = time.perf_counter() - begin, time.process_time() - work
    breaches = check(found, asked, crews=CREWS, shifts=RULES, days=WEEK, first_day=MONDAY)
    return {
        "connections": case[0],
        "runs": case[1],
        "release_min": f"{case[2][0]}-{case[2][1]}",
        "seed": case[3],
        "shifts": len(found.shifts),
        "bound": found.bound,
        "proved": found.proved,
        "days": len({s.day for s in found.shifts}),
        "unplanned": len(found.unplanned),
        "breaches": len(breaches),
        "wall_s": round(wall, 2),
        "cpu_s": round(used, 2),
    }


def main() -> None:
    """Measure every town and print a table, or JSON."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--json", action="store_true", help="print JSON")
    parser.add_argument("--seconds", type=float, default=6.0, help="search; for 60 thrice that")
    options = parser.parse_args()
    rows = [measure(case, options.seconds * (1 if case[0] < 40 else 3)) for case in TOWNS]
    if options.json:
        print(json.dumps(rows, indent=1))
        return
    print(" ".join(f"{name:>11}" for name in rows[0]))
    for row in rows:
        print(" ".join(f"{value!s:>11}" for value in row.values()))


if __name__ == "__main__":
    main()
