"""Write the pages that are made from the code: `python docs/make_pages.py`."""

import importlib.util
import sys
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT / "tests"))

from typer.main import get_command

from faces.web.steps import steps
from support import Check
from teewright.assess.page import rules_page
from teewright.formats.toml_docs import kit_page, site_page
from teewright.main import app

HEAD = """# Published checks

Made by `python docs/make_pages.py` from `tests/published/`; do not edit.

Each row is a number from outside the project that the package must reproduce; `pytest
tests/published` verifies every one. The standing says how well the source is known:
*published* was read in the source itself or a public copy of it, *published, read in a
secondary source* in a document that quotes it, *value from memory* was not confirmed, and
*common practice, no source* is a fact of the trade that no document states.
"""

BEGIN_STEPS = "<!-- made by `python docs/make_pages.py` from guide_steps.toml; do not edit -->\n"
END_STEPS = "<!-- end of what is made -->\n"
TABLET, SCREEN = 1024, 1440
"""Widths of pictures [CSS px]."""


def collect() -> list[tuple[str, Check]]:
    """All checks with the stem of their file, files in order of name."""
    found: list[tuple[str, Check]] = []
    for path in sorted((ROOT / "tests" / "published").glob("test_*.py")):
        spec = importlib.util.spec_from_file_location(f"page_{path.stem}", path)
        if spec is None or spec.loader is None:
            raise ImportError(path)
        module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
        found += [(path.stem, check) for check in module.CHECKS]
    return found


def row(check: Check) -> str:
    """One line of the table."""
    cells = (
        check.name,
        f"{check.expected:.6g} {check.unit}",
        f"± {check.tolerance:.2g}",
        check.where,
        check.standing,
        check.why,
    )
    return "| " + " | ".join(cell.replace("|", "/") for cell in cells) + " |"


def published_checks() -> str:
    """The page docs/published-checks.md."""
    checks = collect()
    lines = [HEAD]
    standings = sorted({check.standing for _, check in checks})
    counts = ", ".join(f"{sum(c.standing == s for _, c in checks)} {s}" for s in standings)
    lines.append(f"{len(checks)} checks: {counts}.\n")
    for file in dict.fromkeys(file for file, _ in checks):
        of_file = [check for name, check in checks if name == file]
        for source in dict.fromkeys(check.source for check in of_file):
            lines += [
                f"## {source}\n",
                f"`tests/published/{file}.py`\n",
                "| check | value | tolerance | where | standing | reason for the tolerance |",
                "|---|---|---|---|---|---|",
                *(row(check) for check in of_file if check.source == source),
                "",
            ]
    return "\n".join(lines)


def _parameter(parameter: Any) -> str:
    """One line of a command's table, from the declaration and not from the printed help."""
    name = ", ".join(parameter.opts) if parameter.param_type_name == "option" else parameter.name
    words = (parameter.help or "").replace("|", "/")
    if parameter.param_type_name == "argument":
        need = "must be there" if parameter.required else "may be left out"
        return f"| {name.upper()} | {words} | {need} |"
    plain = isinstance(parameter.default, (str, int, Path)) and parameter.default is not False
    return f"| `{name}` | {words} | {parameter.default if plain else ''} |"


def commands() -> str:
    """The page docs/commands.md: every command with its arguments and options."""
    parts = ["# Commands\n\nMade by `python docs/make_pages.py` from the commands; do not edit.\n"]
    group: Any = get_command(app)
    for name, command in sorted(group.commands.items()):
        rows = [_parameter(p) for p in command.params if p.name != "help"]
        table = ["| argument or option | what it is | without it |", "|---|---|---|", *rows]
        text = " ".join((command.help or "").split())
        parts.append(f"## teewright {name}\n\n{text}\n")
        if rows:
            parts.append("\n".join(table) + "\n")
    return "\n".join(parts)


def guide(page: str) -> str:
    """The page docs/guide.md with the steps in the browser between their two marks."""
    parts = [BEGIN_STEPS]
    for number, step in enumerate(steps(), start=1):
        width = TABLET if step.picture.startswith("clock") else SCREEN
        picture = f"![{step.title}](screens/{step.picture}-{width}.png)"
        parts.append(f"### {number} {step.title}\n\n{step.words}\n\n{picture}\n")
    before, rest = page.split(BEGIN_STEPS)
    return before + "\n".join(parts) + END_STEPS + rest.split(END_STEPS)[1]


def main() -> None:
    """Write the pages."""
    path = ROOT / "docs" / "guide.md"
    pages = {
        "guide.md": guide(path.read_text(encoding="utf-8")),
        "published-checks.md": published_checks(),
        "kit.md": kit_page(),
        "site.md": site_page(),
        "assess-rules.md": rules_page(),
        "commands.md": commands(),
    }
    for name, text in pages.items():
        (ROOT / "docs" / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
