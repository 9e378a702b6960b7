"""`import teewright` costs little and loads nothing heavy."""

import json
import subprocess
import sys

import pytest

HEAVY = {
    "alembic", "ezdxf", "numpy", "openpyxl", "ortools", "pydantic", "rich", "scipy", "shapely",
    "fluids", "numba", "spyrrow", "sqlalchemy", "typer", "typst",
}  # fmt: skip
PROBE = """
import json, sys, time
start = time.perf_counter()
import {module}
seconds = time.perf_counter() - start
print(json.dumps([seconds, sorted(m for m in sys.modules if "." not in m)]))
"""


def probe(module: str) -> tuple[float, set[str]]:
    best = float("inf")
    names: set[str] = set()
    for _ in range(3):  # the least of three: another process may have had the core
        code = PROBE.format(module=module)
        run = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True)
        seconds, loaded = json.loads(run.stdout)
        best, names = min(best, seconds), set(loaded)
    return best, names


def test_import_is_quick_and_light() -> None:
    seconds, loaded = probe("teewright")
    assert loaded & HEAVY == set()
    assert seconds < 0.3


@pytest.mark.parametrize("module", ["teewright.web.app", "teewright.web.office"])
def test_a_server_answers_before_the_solvers_are_loaded(module: str) -> None:
    heavy = {"alembic", "ezdxf", "numba", "openpyxl", "ortools", "scipy", "spyrrow", "typst"}
    assert probe(module)[1] & heavy == set()


@pytest.mark.parametrize("room", ["network", "kit", "assess", "fabric", "programme", "job", "site"])
def test_values_are_light(room: str) -> None:
    assert probe(f"teewright.{room}.values")[1] & HEAVY == set()
