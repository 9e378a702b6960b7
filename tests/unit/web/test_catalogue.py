"""Texts of the pages: a form for one takes no value that the form for many is not given."""

from string import Formatter

import pytest

from teewright.web.texts import catalogue, text

MORE = {"clock.answer.runs_one": {"name"}}
"""Values that are given for many too, though their form has no place for them."""
ONES = sorted(key for key in catalogue() if key.endswith("_one"))


def names(words: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(words) if name}


@pytest.mark.parametrize("key", ONES)
def test_the_form_for_one_can_be_filled_like_the_form_for_many(key: str) -> None:
    many = catalogue().get(key.removesuffix("_one"))
    # a key of that form is taken by itself wherever `n` is 1
    assert many is not None
    assert names(catalogue()[key]) <= names(many) | {"n"} | MORE.get(key, set())


def test_one_is_told_as_one() -> None:
    assert text("job.collars", n=1) == "1 collar"
    assert text("job.collars", n=2) == "2 collars"
    assert text("day.answer", n=1) == "The one collar cures, holds and passes the flow"
