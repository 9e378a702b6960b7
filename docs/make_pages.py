"""Write the pages that are made from the code: `python docs/make_pages.py`."""

import importlib.util
import sys
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT / "tests"))

from support import Check  # noqa: E402
from teewright.assess.page import rules_page  # noqa: E402
from teewright.formats.toml_docs import kit_page, site_page  # noqa: E402

HEAD = """# Published checks

Made by `python docs/make_pages.py` from `tests/published/`; do not edit.

Each row is a number from outside the project that the package must reproduce; `pytest
tests/published` verifies every one. The standing says how well the source is known:
*published* was read in the source itself or a public copy of it, *published, read in a
secondary source* in a document that quotes it, *value from memory* was not confirmed, and
*common practice, no source* is a fact of the trade that no document states.
"""


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


def main() -> None:
    """Write the pages."""
    pages = {
        "published-checks.md": published_checks(),
        "kit.md": kit_page(),
        "site.md": site_page(),
        "assess-rules.md": rules_page(),
    }
    for name, text in pages.items():
        (ROOT / "docs" / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
