"""Who may import whom: the rule of docs/decisions/0001-rooms.md, held against the tree.

Every import statement counts wherever it stands: at the top, inside a function, under
`if TYPE_CHECKING`, and calls of `importlib.import_module` or `__import__` with a literal.
"""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import teewright

ROOT = Path(teewright.__file__).parent
FOUNDATION = {"errors", "findings", "trace", "units", "numerics", "__init__"}
DOMAIN: dict[str, set[str]] = {
    "network": set(),
    "kit": set(),
    "assess": {"network"},
    "junction": set(),
    "fabric": {"kit"},
    "flattening": set(),
    "forming": {"junction"},
    "collar": {"junction", "kit", "fabric", "flattening", "forming"},
    "resin": {"kit"},
    "heat": {"kit", "resin"},
    "pressure": {"kit"},
    "hydraulics": set(),
    "wall": set(),
    "programme": {"network", "kit"},
    "site": {"network"},
    "proof": {"network"},
    "price": {"network", "kit"},
}
"""Domain room -> domain rooms that it may import, all of them below it."""
ROOMS: dict[str, set[str]] = {
    **DOMAIN,
    "job": set(DOMAIN),
    "report": {"job", *DOMAIN},
    "formats": {"job", *DOMAIN},
    "store": set(DOMAIN),
    "demo": set(),
    "bench": {"report", "formats", "store", "demo", "job", *DOMAIN},
    "cli": {"bench", "report", "formats", "store", "demo", "job", *DOMAIN},
    "web": {"bench", "report", "formats", "store", "demo", "job", *DOMAIN},
}
OPENING = {"__main__", "main"}
"""Where the faces are put together."""
PURE = {"network", *DOMAIN, "job"}
FORBIDDEN_IN_DOMAIN = {
    "datetime.now", "datetime.today", "date.today", "time.time", "time.monotonic", "open",
    "print", "input", "uuid.uuid4", "uuid4", "random.random", "Path.open", "read_text",
    "write_text", "read_bytes", "write_bytes", "utcnow", "default_rng",
}  # fmt: skip


def modules() -> Iterator[tuple[str, Path]]:
    for path in sorted(ROOT.rglob("*.py")):
        parts = path.relative_to(ROOT).parts
        yield (parts[0] if len(parts) > 1 else parts[0].removesuffix(".py")), path


def imported(tree: ast.AST, package: tuple[str, ...]) -> Iterator[tuple[int, str]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = node.module or ""
            if node.level:
                stem = package[: len(package) - node.level + 1]
                base = ".".join((*stem, base)).rstrip(".")
            yield from ((node.lineno, f"{base}.{alias.name}") for alias in node.names)
        elif isinstance(node, ast.Call) and node.args:
            name = ast.unparse(node.func)
            first = node.args[0]
            if name.endswith(("import_module", "__import__")) and isinstance(first, ast.Constant):
                yield node.lineno, str(first.value)


def rooms_used(path: Path) -> Iterator[tuple[int, str]]:
    package = ("teewright", *path.relative_to(ROOT).parts[:-1])
    for line, name in imported(ast.parse(path.read_text(encoding="utf-8")), package):
        parts = name.split(".")
        if parts[0] == "teewright" and len(parts) > 1:
            yield line, parts[1]


def breaches(room: str, path: Path) -> list[str]:
    if room in FOUNDATION or room not in ROOMS:
        allowed = set(FOUNDATION)
    else:
        allowed = FOUNDATION | ROOMS[room] | {room, "__version__"}
    return [
        f"{path.relative_to(ROOT)}:{line}: {room} imports {used}"
        for line, used in rooms_used(path)
        if used not in allowed
    ]


def test_each_room_is_known() -> None:
    found = {room for room, _ in modules()}
    assert found <= set(ROOMS) | FOUNDATION | OPENING, "a new room needs its line in ROOMS"


def test_imports_follow_the_rule() -> None:
    assert [
        b for room, path in modules() if room not in OPENING for b in breaches(room, path)
    ] == []


def test_domain_order_has_no_cycle() -> None:
    done: set[str] = set()
    while len(done) < len(DOMAIN):
        ready = {room for room, below in DOMAIN.items() if room not in done and below <= done}
        assert ready, f"cycle among {set(DOMAIN) - done}"
        done |= ready


@pytest.mark.parametrize(
    "code",
    [
        "import teewright.cli",
        "def f():\n    from teewright.store import project",
        "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    from teewright.cli import main",
        "import importlib\nimportlib.import_module('teewright.web')",
        "from ..cli import main",
    ],
)
def test_the_walker_sees_every_kind_of_import(code: str) -> None:
    found = {
        name.split(".")[1]
        for _, name in imported(ast.parse(code), ("teewright", "wall"))
        if name.startswith("teewright.")
    }
    assert found & {"cli", "store", "web"}


def test_domain_rooms_do_no_input_or_output_and_read_no_clock() -> None:
    found = []
    for room, path in modules():
        if room not in PURE:
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call):
                name = ast.unparse(node.func)
                if any(name == f or name.endswith("." + f) for f in FORBIDDEN_IN_DOMAIN):
                    found.append(f"{path.relative_to(ROOT)}:{node.lineno}: {name}")
    assert found == []
