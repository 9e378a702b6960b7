"""Pages that are made from the code are up to date."""

import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "docs"))

import make_pages  # type: ignore[import-not-found]  # noqa: E402


def test_published_checks_page_is_current() -> None:
    page = (ROOT / "docs" / "published-checks.md").read_text(encoding="utf-8")
    assert page == make_pages.published_checks(), "run: python docs/make_pages.py"


def test_there_are_enough_published_checks() -> None:
    checks = make_pages.collect()
    outside = [c for _, c in checks if c.standing.startswith("published")]
    assert len(checks) >= 40
    assert len(outside) >= 30
    assert len({(f, c.name) for f, c in checks}) == len(checks)
