"""The house style, by the tools that hold it: formatter, linter, strict type checker, sizes."""

import ast
import statistics
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
SOURCES = sorted((ROOT / "src").rglob("*.py"))


def run(*command: str) -> None:
    done = subprocess.run(
        [sys.executable, "-m", *command], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr


def test_formatted() -> None:
    run("ruff", "format", "--check", ".")


def test_linted() -> None:
    run("ruff", "check", ".")


def test_typed_strictly() -> None:
    run("mypy")


def test_files_are_short() -> None:
    lines = {path: len(path.read_text(encoding="utf-8").splitlines()) for path in SOURCES}
    assert statistics.median(lines.values()) <= 200
    assert {str(path): n for path, n in lines.items() if n > 500} == {}


def test_functions_are_short() -> None:
    sizes = []
    for path in SOURCES:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.FunctionDef):
                body = node.body[1:] if ast.get_docstring(node) else node.body
                sizes.append(body[-1].end_lineno - body[0].lineno + 1 if body else 0)  # type: ignore[operator]
    share = sum(size <= 20 for size in sizes) / len(sizes)
    assert share >= 0.8
    assert sum(size > 60 for size in sizes) <= 0.02 * len(sizes)
