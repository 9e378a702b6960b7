"""Sentences in the units of the reader: every quantity, nothing else, and nothing that is given."""

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from teewright.units import BAR, FOOT, INCH, MBAR, MM, PSI
from teewright.web.quantities import System
from teewright.web.wording import in_units, told, words_given
from unit.job import world

US = System.US
SI = {"mm": MM, "m": 1.0, "bar": BAR, "mbar": MBAR}
THERE = {"mm": ("in", INCH), "m": ("ft", FOOT), "bar": ("psi", PSI), "mbar": ("psi", PSI)}


@pytest.mark.parametrize(
    ("sentence", "said"),
    [
        ("groundwater can stand 1.64 m above it", "groundwater can stand 5.4 ft above it"),
        ("given up within 1 m of it", "given up within 3.3 ft of it"),
        ("from 0.91 to 3.35 m", "from 3.0 to 11.0 ft"),
        ("differ by 0.20 m (51.10, 51.30 m)", "differ by 0.66 ft (167.7, 168.3 ft)"),
        ("5.8 kJ stored at 1.05 bar", "4278 ft·lbf stored at 15.2 psi"),
        ("its own heat takes it 5 K above its data", "its own heat takes it 9 °F above its data"),
        ("an end thrust of 12.3 kN", "an end thrust of 2765 lbf"),
        ("≤ 6.0 mm", "≤ 0.24 in"),
        ("between −5 °C and 60 °C", "between 23 °F and 140 °F"),
        ("a plan area of 0.8 m²", "a plan area of 8.6 ft²"),
        ("125 mm (a.txt, line 18), 150 mm", "4.9 in (a.txt, line 18), 5.9 in"),
        ("passes 2.53 l/s and loses 1.2 l/h.", "passes 40.1 gal/min and loses 0.32 gal/h."),
    ],
)
def test_a_quantity_is_told_as_finely_as_it_was(sentence: str, said: str) -> None:
    assert in_units(sentence, US).replace("\u00a0", " ") == said


@pytest.mark.parametrize(
    "sentence",
    [
        "angles of 45 to 90°, this one is 38°",
        "after 60 s, 98 % of 12 cases",
        "D / {[2 K E_L C / (P N (1 − ν²))]^⅓ + 1}",  # a symbol, no temperature
        "5.8 kJ/mol, 3 m3, 2 mm/a, 7 kg/m³, 4 m-long",
        "300 high and 298 mm wide",  # half of a pair must not change alone
        "3, 5 mm and 200 x 300 mm",
        "T02-5 m, no. 3/4 m, v1.2 m and #5 m",
        "the 2nd l and a m",
        "",
    ],
)
def test_what_may_be_something_else_is_left(sentence: str) -> None:
    assert in_units(sentence, US) == sentence


WORD = st.text("abcdefghijklnopqrstuvwxyz", min_size=2, max_size=9)
QUANTITY = st.tuples(
    st.decimals(0, 5000, places=2, allow_nan=False).map(str), st.sampled_from(sorted(SI))
)


@given(st.lists(st.tuples(WORD, QUANTITY), min_size=1, max_size=6), WORD)
def test_every_quantity_follows_and_every_word_stays(
    parts: list[tuple[str, tuple[str, str]]], last: str
) -> None:
    sentence = " ".join(f"{word} {number} {unit}" for word, (number, unit) in parts) + f" {last}"
    assert in_units(sentence, System.METRIC) == sentence
    said = in_units(sentence, US)
    assert in_units(said, US) == said
    found = re.findall(r"([a-z]{2,}) ([\d.]+)\u00a0(in|ft|psi)", said)
    assert said.endswith(f" {last}")
    assert len(found) == len(parts)
    for (word, number, unit), (was, (value, metric)) in zip(found, parts, strict=True):
        name, one = THERE[metric]
        exact = float(value) * SI[metric] / one
        assert (word, unit) == (was, name)
        # half of a power of ten that is at most √10 of the last digit told; never over a fiftieth
        step = 0.01 * SI[metric] / one
        assert abs(float(number) - exact) <= 0.5 * math.sqrt(10.0) * step + 1e-9
        assert math.isclose(float(number), exact, rel_tol=0.0201, abs_tol=1.01e-6)


@given(WORD, QUANTITY, QUANTITY)
def test_the_words_of_the_user_stay_letter_by_letter(
    name: str, inside: tuple[str, str], beside: tuple[str, str]
) -> None:
    own = f"{name} {inside[0]} {inside[1]}"
    sentence = f"packer {own}, at {beside[0]} {beside[1]}"
    said = in_units(sentence, US, [own])
    assert said.startswith(f"packer {own}, at ")
    assert not said.endswith(f" {beside[1]}")


def test_what_the_user_gave_is_found_wherever_it_stands() -> None:
    kit, site = world.kit(), world.site()
    assert words_given(("a.txt", "pump 3 m deep", ("x", "hose of 50 mm"))) == {
        "pump 3 m deep",
        "hose of 50 mm",
    }
    assert all(re.search(r"\d", words) for words in words_given(kit, site))


def test_the_sentence_as_it_is_kept_stays_with_it() -> None:
    assert str(told("at 2 m <b>", System.METRIC)) == "at 2 m &lt;b&gt;"
    said = str(told('at 2 m "<b>"', US))
    assert said.startswith('<span title="at 2 m &#34;&lt;b&gt;&#34;">at 6.6')
    assert "<b>" not in said
