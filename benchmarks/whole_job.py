"""Seconds and memory of each step of the whole job: `python benchmarks/whole_job.py [--json]`.

The demo as it is, and the same town repeated until it has about 200 connections. Each size is
measured in a process of its own, so that the memory is its own.
"""

import argparse
import json
import resource
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import Any

from teewright import demo
from teewright.formats.detect import read_survey_file
from teewright.formats.kit_toml import read_kit
from teewright.formats.site_toml import read_site
from teewright.job.assessing import assess_survey
from teewright.job.designing import design_job
from teewright.job.planning import plan_job
from teewright.job.pricing import quote_job
from teewright.job.proving import prove_job
from teewright.job.values import Job
from teewright.network.reconcile import reconcile
from teewright.report.pack import build_pdf

FIRST_DAY = date(2027, 5, 3)


def town(copies: int) -> tuple[Any, Any, Any]:
    """Survey, site and kit of the demo, its runs repeated under other names."""
    contents = [read_survey_file(demo.file(n), file=n) for n in demo.SURVEY_FILES]
    survey = reconcile(
        tuple(i for c in contents for i in c.inspections),
        runs=tuple(r for c in contents for r in c.runs),
        sightings=tuple(s for c in contents for s in c.sightings),
    )
    site = read_site(demo.file(demo.SITE_FILE), file="site.toml")[0]
    kit = read_kit(demo.file(demo.KIT_FILE), file="kit.toml")[0]
    if copies == 1:
        return survey, site, kit

    def name(text: str, n: int) -> str:
        return "-".join(f"{part}{'abcdefgh'[n]}" for part in text.split("-"))

    runs, connections, nodes, declared, notes = [], [], [], [], []
    for n in range(copies):
        for r in survey.runs:
            ends = {"upstream": name(r.upstream, n), "downstream": name(r.downstream, n)}
            runs.append(replace(r, id=name(r.id, n), **ends))
        for c in survey.connections:
            run, number = c.run_id, c.id.split("/")[1]
            connections.append(replace(c, id=f"{name(run, n)}/{number}", run_id=name(run, n)))
        nodes += [replace(x, node=name(x.node, n)) for x in site.nodes]
        for d in site.runs:
            ends = {"upstream": name(d.upstream, n), "downstream": name(d.downstream, n)}
            declared.append(replace(d, **ends))
        notes += [replace(x, run=name(x.run, n)) for x in site.connections]
    more = replace(survey, runs=tuple(runs), connections=tuple(connections))
    parts = {"nodes": tuple(nodes), "runs": tuple(declared), "connections": tuple(notes)}
    return more, replace(site, **parts), kit


def measure(copies: int) -> dict[str, float]:
    """Seconds of each step, and the largest memory of the process [MB]."""
    seconds: dict[str, float] = {}

    def timed(step: str, work: Callable[[], Any]) -> Any:
        start = time.perf_counter()
        value = work()
        seconds[step] = time.perf_counter() - start
        return value

    survey, site, kit = timed("read", lambda: town(copies))
    needs = timed("assess", lambda: assess_survey(survey, site))
    designs = timed("design", lambda: design_job(survey, site, kit, needs))
    programme = timed(
        "plan", lambda: plan_job(survey, site, kit, needs, designs, first_day=FIRST_DAY)
    )
    states, records = timed("prove", lambda: prove_job(survey, needs, designs, programme, ()))
    quote = quote_job(kit, needs, designs, programme)
    job = Job(
        survey, site, kit, needs, designs, programme, quote, (), states, records,
        (*survey.findings, *needs.findings, *designs.findings), "00000000",
    )  # fmt: skip
    timed("sheets", lambda: build_pdf(job, made=FIRST_DAY))
    return {
        "connections": len(survey.connections),
        "collars": len(designs.designs),
        "shifts": len(programme.shifts),
        "least shifts": programme.bound,
        **seconds,
        "memory MB": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
    }


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--one", type=int, help=argparse.SUPPRESS)
    options = parser.parse_args()
    if options.one:
        print(json.dumps(measure(options.one)))
        return
    rows = []
    for copies in (1, 2, 6):
        command = [sys.executable, __file__, "--one", str(copies)]
        done = subprocess.run(command, capture_output=True, text=True, check=True)
        rows.append(json.loads(done.stdout))
    if options.json:
        print(json.dumps(rows, indent=2))
        return
    for key in rows[0]:
        whole = all(float(row[key]).is_integer() for row in rows)
        print(
            f"{key:14}"
            + "".join(f"{row[key]:12.0f}" if whole else f"{row[key]:12.2f}" for row in rows)
        )


if __name__ == "__main__":
    main()
