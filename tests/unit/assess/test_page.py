from pathlib import Path

from teewright.assess.page import rules_page
from teewright.assess.rules import LAST_RESORT, RULES


def test_the_page_of_rules_is_current() -> None:
    page = Path(__file__).parents[3] / "docs" / "assess-rules.md"
    assert page.read_text(encoding="utf-8") == rules_page(), "run: python docs/make_pages.py"


def test_the_page_names_every_rule() -> None:
    page = rules_page()
    assert all(f"`{rule.name}`" in page for rule in (*RULES, LAST_RESORT))
