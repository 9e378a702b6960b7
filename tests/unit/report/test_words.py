from datetime import date, datetime

import pytest

from teewright.report import words


@pytest.mark.parametrize(
    ("number", "text"),
    [(0, "no collars"), (1, "one collar"), (12, "twelve collars"), (13, "13 collars")],
)
def test_counts_are_words_up_to_twelve(number: int, text: str) -> None:
    assert words.count(number, "collar") == text


@pytest.mark.parametrize(
    ("seconds", "up", "text"),
    [
        (2112.0, False, "35 min"),
        (2112.0, True, "36 min"),
        (2100.0, False, "35 min"),
        (2100.0, True, "35 min"),
        (13200.0, True, "3 h 40"),
        (7199.0, False, "119 min"),
    ],
)
def test_a_deadline_is_cut_down_and_a_release_raised(seconds: float, up: bool, text: str) -> None:
    assert words.span(seconds, up=up) == text


def test_times_of_day_never_give_time_away() -> None:
    moment = datetime.fromisoformat("2027-05-11T23:59:30")
    assert words.at(moment) == "23:59"
    assert words.at(moment, up=True) == "00:00"


def test_days_and_money_do_not_depend_on_the_locale() -> None:
    assert words.day(date(2027, 5, 11)) == "Tue 11 May"
    assert words.full_day(date(2027, 5, 11)) == "11 May 2027"
    assert words.money(1234567.8) == "1\u202f234\u202f568"


def test_unknown_values_are_a_dash() -> None:
    assert words.fixed(None) == words.fixed(float("nan")) == words.millimetres(None) == "–"
    assert words.fixed(-0.5, 1, "m") == "−0.5 m"


def test_lists_are_counted_after_the_most() -> None:
    assert words.listed(["a"]) == "a"
    assert words.listed(["a", "b", "c"]) == "a, b and c"
    assert words.listed(list("abcdefgh"), 3) == "a, b, c and 5 more"


def test_long_names_may_break_and_short_ones_may_not() -> None:
    assert words.breakable("N13-N14/03 is dry") == "N13-N14/03 is dry"
    loosened = words.breakable("survey_of_the_northern_district_2027.txt")
    assert loosened.replace("\u200b", "") == "survey_of_the_northern_district_2027.txt"
    assert max(len(part) for part in loosened.split("\u200b")) <= 18
