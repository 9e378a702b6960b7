"""Projects that `benchmarks/web.py` serves: the demo, large ones, and one with finer bodies."""

import math
import shutil
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np

from teewright import demo
from teewright.bench.inputs import Document, Inputs, Options
from teewright.bench.keeping import keep
from teewright.bench.workbench import Workbench
from teewright.collar.values import CollarMap
from teewright.formats.json_values import dump
from teewright.store.project import Project

TODAY = date(2027, 5, 3)
RUNS, EACH = 200, 10
HEAD = "upstream,downstream,chainage_m,clock,dn_mm,kind,open,defects,date,remark\n"
COLLAR, PATTERN = "T01-T02/03", "P1"
"""The connection whose page is measured, and its pattern."""


def many(path: Path, count: int = RUNS) -> None:
    """A project of ten connections a run, read and assessed."""
    lines = [
        f"N{run},N{run + 1},{4.0 * k:.2f},{1 + (run + k) % 12},150,junction,open,"
        f"{('', 'BBFA', 'BBFC')[(run + k) % 3]},2026-09-30,"
        for run in range(count)
        for k in range(1, EACH + 1)
    ]
    runs = ["upstream,downstream,length_m,dn_mm,material,lined"]
    runs += [f"N{run},N{run + 1},48.00,300,concrete,yes" for run in range(count)]
    surveys = (
        Document("runs.csv", ("\n".join(runs) + "\n").encode()),
        Document("connections.csv", (HEAD + "\n".join(lines) + "\n").encode()),
    )
    kit = Document("kit.toml", demo.file(demo.KIT_FILE))
    keep(path, Inputs(surveys, kit, None, Options()))


def planned(path: Path) -> None:
    """The demo, designed and planned without placement tolerances."""
    surveys = tuple(Document(name, demo.file(name)) for name in demo.SURVEY_FILES)
    kit = Document("kit.toml", demo.file(demo.KIT_FILE))
    site = Document("site.toml", demo.file(demo.SITE_FILE))
    keep(path, Inputs(surveys, kit, site, Options()))
    with Project.open(path) as project:
        bench = Workbench(project, progress=lambda _: None, today=TODAY, quick=True)
        assert bench.programme.shifts


def with_body(made: Path, path: Path, least: int) -> int:
    """A copy of the demo's project in which the body of one pattern is finer.

    Args:
        made: The demo, designed.
        path: Of the copy.
        least: Triangles of the body at the least.

    Returns:
        Triangles that it has.
    """
    shutil.copy(made, path)
    with Project.open(path) as project:
        designs = Workbench(project, progress=lambda _: None, today=TODAY, quick=True).designs
        assert designs.of(COLLAR).collar.pattern == PATTERN
        maps = dict(designs.maps)
        maps[PATTERN] = finer(maps[PATTERN], least)
        kept = project.result("designs, quick")
        assert kept is not None
        finest = replace(designs, maps=tuple(maps.items()))
        project.put_result("designs, quick", kept.fingerprint, dump(finest))
    return len(maps[PATTERN].triangles)


def finer(found: CollarMap, least: int) -> CollarMap:
    """A map of at least so many triangles on the same surface.

    Each triangle is cut in four while that is not too many; then some are cut in three.
    """
    while 4 * len(found.triangles) <= least:
        found = _refined(found, np.arange(len(found.triangles)), _in_four)
    missing = max(0, math.ceil((least - len(found.triangles)) / 2))
    chosen = np.linspace(0, len(found.triangles) - 1, missing).astype(int)
    return _refined(found, chosen, _in_three)


def _refined(found: CollarMap, chosen: Any, cut: Any) -> CollarMap:
    """A map in which some triangles are cut, in space and on their flat pieces alike."""
    points, triangles, whole, part = cut(np.array(found.points), np.array(found.triangles), chosen)
    at = {pair: k for k, pair in enumerate(zip(whole.tolist(), part.tolist(), strict=True))}
    flats = []
    for name, flat, corners, faces in found.flats:
        here = np.flatnonzero(np.isin(np.array(faces), chosen))
        more, small, of, nth = cut(np.array(flat), np.array(corners), here)
        pairs = zip(np.array(faces)[of].tolist(), nth.tolist(), strict=True)
        flats.append((name, _tuples(more), _tuples(small), tuple(at[pair] for pair in pairs)))
    each = {
        name: tuple(np.array(getattr(found, name))[whole].tolist())
        for name in ("stretch", "thickness", "wrinkle", "least")
    }
    return replace(
        found, points=_tuples(points), triangles=_tuples(triangles), flats=tuple(flats), **each
    )


def _in_four(points: Any, triangles: Any, _: Any) -> tuple[Any, Any, Any, Any]:
    """All triangles cut at the middles of their edges; of which each is a part, and which."""
    edges = np.sort(triangles[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2), axis=1)
    unique, where = np.unique(edges, axis=0, return_inverse=True)
    middle = len(points) + where.reshape(-1, 3)
    (a, b, c), (ab, bc, ca) = triangles.T, middle.T
    small = np.stack([a, ab, ca, ab, b, bc, ca, bc, c, ab, bc, ca], axis=1).reshape(-1, 3)
    count = np.arange(len(triangles))
    made = np.concatenate([points, points[unique].mean(axis=1)])
    return made, small, np.repeat(count, 4), np.tile(np.arange(4), len(count))


def _in_three(points: Any, triangles: Any, chosen: Any) -> tuple[Any, Any, Any, Any]:
    """Some triangles cut from their middles; of which each is a part, and which."""
    middle = len(points) + np.arange(len(chosen))
    a, b, c = triangles[chosen].T
    small = np.stack([a, b, middle, b, c, middle, c, a, middle], axis=1).reshape(-1, 3)
    rest = np.setdiff1d(np.arange(len(triangles)), chosen)
    made = np.concatenate([points, points[triangles[chosen]].mean(axis=1)])
    return (
        made,
        np.concatenate([triangles[rest], small]),
        np.concatenate([rest, np.repeat(chosen, 3)]),
        np.concatenate([np.zeros(len(rest), dtype=int), np.tile(np.arange(3), len(chosen))]),
    )


def _tuples(array: Any) -> tuple[Any, ...]:
    return tuple(map(tuple, array.tolist()))
