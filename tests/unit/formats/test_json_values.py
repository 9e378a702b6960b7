"""Frozen values as JSON text, and back."""

import json
import math
from dataclasses import dataclass

from teewright.formats.json_values import dump, load, plain


@dataclass(frozen=True)
class Reading:
    name: str
    values: tuple[float, ...]


def test_numbers_without_end_come_back_as_they_were() -> None:
    kept = load(dump(Reading("a", (1.5, math.inf, -math.inf))), Reading)
    assert kept == Reading("a", (1.5, math.inf, -math.inf))
    (found,) = load(dump(Reading("b", (math.nan,))), Reading).values
    assert math.isnan(found)


def test_other_programs_read_null_where_there_is_no_number() -> None:
    shown = plain(Reading("a", (1.5, math.inf, math.nan)))
    assert json.loads(json.dumps(shown, allow_nan=False)) == {
        "name": "a",
        "values": [1.5, None, None],
    }
