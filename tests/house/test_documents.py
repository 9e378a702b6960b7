"""Pages that are made from the code are up to date."""

import re
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "docs"))

import make_pages  # type: ignore[import-not-found]  # noqa: E402 -- found through the line above


def test_published_checks_page_is_current() -> None:
    page = (ROOT / "docs" / "published-checks.md").read_text(encoding="utf-8")
    assert page == make_pages.published_checks(), "run: python docs/make_pages.py"


def test_commands_page_is_current() -> None:
    page = (ROOT / "docs" / "commands.md").read_text(encoding="utf-8")
    assert page == make_pages.commands(), "run: python docs/make_pages.py"


def test_the_steps_in_the_guide_are_current() -> None:
    page = (ROOT / "docs" / "guide.md").read_text(encoding="utf-8")
    assert page == make_pages.guide(page), "run: python docs/make_pages.py"


def test_links_of_the_pages_lead_somewhere() -> None:
    missing = [
        f"{page.name}: {target}"
        for page in (ROOT / "README.md", *(ROOT / "docs").glob("*.md"))
        for target in re.findall(r"\]\(([^)#:]+)\)", page.read_text(encoding="utf-8"))
        if not (page.parent / target).exists()
    ]
    assert missing == []


def test_commands_of_the_readme_exist() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    named = set(re.findall(r"teewright ([a-z]+)", text))
    known = {command.name for command in make_pages.app.registered_commands}
    assert named <= known


def test_there_are_enough_published_checks() -> None:
    checks = make_pages.collect()
    outside = [c for _, c in checks if c.standing.startswith("published")]
    assert len(checks) >= 40
    assert len(outside) >= 30
    assert len({(f, c.name) for f, c in checks}) == len(checks)
