"""Sentences of the rooms in the units that a reader wants.

A finding, a reason or a note is written once, in metric English, and so it is kept, printed and
signed. A page may tell its quantities in other units; the sentence as it is kept stays with it.
What is rewritten is only what can be nothing else: a number, a space and a unit, or a range of
numbers with the unit at its end. Whatever the user wrote stays letter by letter.
"""

import math
import re
from collections.abc import Iterable, Iterator
from dataclasses import fields, is_dataclass
from functools import lru_cache

from markupsafe import Markup

from teewright.units import BAR, KPA, LITRE, MBAR, MM, MPA, kelvin
from teewright.web.quantities import System, quantity

_NUMBER = r"[-−]?\d+(?:\.\d+)?"
_UNITS = {
    "mm": ("mm", MM), "m": ("m", 1.0), "m²": ("m2", 1.0), "m³": ("m3", 1.0), "l": ("l", LITRE),
    "kg": ("kg", 1.0), "bar": ("bar", BAR), "mbar": ("mbar", MBAR), "kPa": ("bar", KPA),
    "MPa": ("MPa", MPA), "kN": ("kN", 1e3), "kJ": ("kJ", 1e3), "K": ("K", 1.0),
    "l/s": ("l/s", LITRE), "l/h": ("l/h", LITRE / 3600.0), "°C": ("degC", 1.0),
}  # fmt: skip
"""Unit as it is written -> key of `quantity`, SI value of one."""
_UNIT = "|".join(sorted(map(re.escape, _UNITS), key=len, reverse=True))
QUANTITY = re.compile(
    rf"(?<![\w.,/#:=+*^-])(?:(?P<first>{_NUMBER})(?P<to> to |–)|\((?P<list>(?:{_NUMBER}, )+))?"
    rf"(?P<number>{_NUMBER})[ \u00a0](?P<unit>{_UNIT})(?![\w/²³°^*-]| [A-Z]_)"
)
"""A number with its unit, the end of a range, or the end of a list in brackets.

Before another symbol (`2 K E_L`) a letter is a symbol, not a unit.
"""
_JOINED = re.compile(rf"{_NUMBER}(?:,| and| or| by| x| ×|/|:| high and) ?$")
"""A bare number before: both may be of one unit, and half of it must not be rewritten."""
_ROUGH = 0.02
"""Most that rounding may change a quantity, as a share of it [-]."""


def in_units(sentence: str, system: System, given: Iterable[str] = ()) -> str:
    """A sentence with its quantities in the units that a reader wants.

    Args:
        sentence: In metric units.
        system: Units wanted.
        given: Words of the user, which stay as they are.
    """
    if system is System.METRIC:
        return sentence
    held = {
        f"\ue000{chr(0xE100 + k)}\ue000": words for k, words in enumerate(_within(sentence, given))
    }
    for mark, words in held.items():
        sentence = sentence.replace(words, mark)
    sentence = QUANTITY.sub(_rewritten, sentence)
    for mark, words in held.items():
        sentence = sentence.replace(mark, words)
    return sentence


def told(sentence: str, system: System, given: Iterable[str] = ()) -> Markup:
    """The same for a page; where it differs, the sentence as it is kept stays with it."""
    said = in_units(sentence, system, given)
    if said == sentence:
        return Markup.escape(said)
    return Markup('<span title="{}">{}</span>').format(sentence, said)


def words_given(*values: object) -> frozenset[str]:
    """Texts within some values that hold what looks like a quantity.

    Args:
        values: Of frozen dataclasses, tuples and texts: what a user gave.
    """
    return frozenset(words for words in _texts(values) if QUANTITY.search(words))


def _texts(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple | list | frozenset):
        for each in value:
            yield from _texts(each)
    elif is_dataclass(value):
        for field in fields(value):
            yield from _texts(getattr(value, field.name))


def _within(sentence: str, given: Iterable[str]) -> list[str]:
    return sorted((w for w in given if w and w in sentence), key=len, reverse=True)


def _rewritten(found: re.Match[str]) -> str:
    before = found.string[: found.start()]
    if found["list"] is None and _JOINED.search(before):
        return found[0]
    unit = found["unit"]
    if found["first"] is not None:
        return f"{_number(found['first'], unit)}{found['to']}{_converted(found['number'], unit)}"
    listed = [_number(each, unit) for each in (found["list"] or "").split(", ") if each]
    told_list = "".join(f"{each}, " for each in listed)
    return f"{'(' if listed else ''}{told_list}{_converted(found['number'], unit)}"


def _number(words: str, unit: str) -> str:
    return _converted(words, unit).split("\u00a0")[0]


@lru_cache(maxsize=4096)
def _converted(words: str, unit: str) -> str:
    """A quantity about as finely as it was told: to the power of ten nearest to its last digit.

    A finer one would tell digits that nobody gave, and another figure than the page has beside it.
    """
    key, one = _UNITS[unit]
    number = float(words.replace("−", "-"))
    zero = kelvin(0.0) if unit == "°C" else 0.0
    last = 10.0 ** -len(words.partition(".")[2])
    step = _plain(zero + last * one, key) - _plain(zero, key)
    digits = max(0, round(-math.log10(step)))
    value = zero + number * one
    exact = _plain(value, key)
    while digits < 6 and abs(round(exact, digits) - exact) > _ROUGH * abs(exact):
        digits += 1
    return quantity(value, key, System.US, digits=digits)


def _plain(value: float, key: str) -> float:
    """A quantity as a number in the unit of the reader."""
    return float(quantity(value, key, System.US, digits=9).split("\u00a0")[0].replace("−", "-"))
