"""Every text that a page asks for is in the catalogue, and none lies there unused."""

import re
import string
from pathlib import Path

import teewright.web
from teewright.web.texts import catalogue, text

ROOT = Path(teewright.web.__file__).parent
ASKED = re.compile(r"""\b(?:t|text)\(\s*['"]([a-z_]+\.[a-z0-9_.\-]+)['"]""")
BEGUN = re.compile(r"""\b(?:t|text)\(\s*(?:f?['"])([a-z_]+\.[a-z0-9_.\-]*)(?:\{|['"]\s*~)""")


def sources() -> list[str]:
    kinds = (*ROOT.rglob("*.py"), *ROOT.rglob("*.html"), *ROOT.glob("static/**/*.mjs"))
    return [path.read_text(encoding="utf-8") for path in kinds]


def test_what_is_asked_for_is_there() -> None:
    asked = {key for source in sources() for key in ASKED.findall(source) if key[-1] not in "._"}
    begun = {key for source in sources() for key in BEGUN.findall(source)}
    known = set(catalogue())
    assert {key for key in asked - known if key not in begun} == set()
    assert {start for start in begun if not any(key.startswith(start) for key in known)} == set()


def test_no_text_has_a_value_without_a_name() -> None:
    for key, words in catalogue().items():
        names = [name for _, name, _, _ in string.Formatter().parse(words) if name is not None]
        assert all(name.isidentifier() for name in names), key


def test_one_of_something_is_said_so() -> None:
    keys = [key for key in catalogue() if key.endswith("_one")]
    for key in keys:
        assert key.removesuffix("_one") in catalogue()
    assert text("job.answer_read", n=2).startswith("2 connections")
