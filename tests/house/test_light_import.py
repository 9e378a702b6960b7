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
import json, sys
before = set(sys.modules)
import {module}
print(json.dumps(sorted(set(sys.modules) - before)))
"""


def probe(module: str) -> set[str]:
    """All that is loaded with a module, beyond what Python has at its start."""
    code = PROBE.format(module=module)
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True)
    return set(json.loads(run.stdout))


def test_the_package_loads_nothing_but_itself() -> None:
    loaded = probe("teewright")
    assert "teewright" in loaded
    assert {name for name in loaded if name.partition(".")[0] != "teewright"} == set()


@pytest.mark.parametrize("module", ["teewright.web.app", "teewright.web.office"])
def test_a_server_answers_before_the_solvers_are_loaded(module: str) -> None:
    heavy = {"alembic", "ezdxf", "numba", "openpyxl", "ortools", "scipy", "spyrrow", "typst"}
    assert probe(module) & heavy == set()


@pytest.mark.parametrize("room", ["network", "kit", "assess", "fabric", "programme", "job", "site"])
def test_values_are_light(room: str) -> None:
    assert probe(f"teewright.{room}.values") & HEAVY == set()
