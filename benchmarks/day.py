"""The numbers of a day, collars aside: `python benchmarks/day.py [--json]`.

For each connection: inputs, packer and pressure window, resin, times of the data sheet and the
computed cure with its cases, wall, bypass and the level behind the packer through the day. The
connections are those of the demo, each at an air temperature of its own, so that nothing is found
in a cache; their collar is made once, coarsely, and not counted. `first` holds the fit of the
resin and the loading of compiled loops.
"""

import argparse
import json
import time
from dataclasses import replace
from statistics import median
from typing import Any

from teewright import demo
from teewright.collar.made import Made
from teewright.collar.making import make_collar
from teewright.collar.order import Effort
from teewright.formats.detect import read_survey_file
from teewright.formats.kit_toml import read_kit
from teewright.formats.site_toml import read_site
from teewright.job.beginning import begin
from teewright.job.blocking import flow_forecast
from teewright.job.collars import orders_for
from teewright.job.designing import finish
from teewright.job.resolve import Inputs, resolve
from teewright.kit.values import Kit
from teewright.network.conditions import Site
from teewright.network.reconcile import reconcile
from teewright.network.values import Connection, Survey

ROUGH = Effort(fineness=2.0, rounds=2, seam=False, tolerance=False)
COUNT = 100
WARMEST = 8.0
"""Range of the air's temperatures above that of the demo [K]."""


def world() -> tuple[list[tuple[Connection, Inputs]], Survey, Kit, Site]:
    """Connections for which the demo's kit has a packer with their inputs, and the demo."""
    kit = read_kit(demo.file(demo.KIT_FILE), file="kit.toml")[0]
    site = read_site(demo.file(demo.SITE_FILE), file="site.toml")[0]
    contents = [read_survey_file(demo.file(n), file=n) for n in demo.SURVEY_FILES]
    survey = reconcile(
        tuple(i for c in contents for i in c.inspections),
        runs=tuple(r for c in contents for r in c.runs),
        sightings=tuple(s for c in contents for s in c.sightings),
    )
    first = resolve(survey, site, survey.connections[0])
    shape = (first.host_diameter.value, first.branch_diameter.value, first.angle.value)
    found = [(c, resolve(survey, site, c)) for c in survey.connections]
    alike = [
        (c, i) for c, i in found
        if (i.host_diameter.value, i.branch_diameter.value, i.angle.value) == shape
    ]  # fmt: skip
    return alike, survey, kit, site


def measure() -> dict[str, Any]:
    """Seconds of each connection."""
    known, survey, kit, site = world()
    begun = begin("X", known[0][1], kit)
    (order,) = orders_for({"X": begun}, kit).values()
    made: Made = make_collar(order, effort=ROUGH)
    seconds = []
    for number in range(COUNT):
        connection, plain = known[number % len(known)]
        warmer = plain.air.value + WARMEST * number / COUNT
        given = replace(plain, air=replace(plain.air, value=warmer))
        began = time.perf_counter()
        begun = begin(f"X{number}", given, kit)
        cure = finish(begun, made, kit, site).cure
        flow_forecast(survey, site, connection, given, begun.packers[0], cure, kit=kit)
        seconds.append(time.perf_counter() - began)
    return {
        "connections": COUNT,
        "first, ms": round(1e3 * seconds[0], 1),
        "median, ms": round(1e3 * median(seconds), 1),
        "slowest but the first, ms": round(1e3 * max(seconds[1:]), 1),
        "all, s": round(sum(seconds), 2),
    }


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--json", action="store_true")
    options = parser.parse_args()
    found = measure()
    if options.json:
        print(json.dumps(found, indent=2))
        return
    for name, value in found.items():
        print(f"{name:<28}{value:>10}")


if __name__ == "__main__":
    main()
