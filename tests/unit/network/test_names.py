"""A connection keeps its name whatever is found beside it later."""

from collections.abc import Sequence

import pytest

from teewright.job.correcting import correct
from teewright.network.conditions import Site
from teewright.network.corrections import Act, Correction, Join, Split, mark_of
from teewright.network.names import Named, names_of
from teewright.network.reconcile import reconcile
from teewright.network.values import Connection, Survey
from unit.network.writing import Film, Shot, connection, finish, inspections

FIRST = (connection(4.0), connection(9.0, "9"), connection(20.0))


def seen(
    *shots: Shot, file: str = "a.txt", more: Sequence[Shot] = (), named: Sequence[Named] = ()
) -> Survey:
    """One pass along 40 m, and a second file with a later one where there is more."""
    found = inspections(Film([*shots, finish(40.0)], length=40.0), file=file)
    if more:
        film = Film([*more, finish(40.0)], length=40.0, date="2025-01-01")
        found += inspections(film, file="b.txt")
    return reconcile(found, named=named)


def at(survey: Survey) -> dict[str, float]:
    return {c.id.rpartition("/")[2]: c.chainage for c in survey.connections}


def as_corrected(survey: Survey, *acts: Act, named: Sequence[Named] = ()) -> Survey:
    given = [Correction(act, "engineer", "2027-05-06T07:08:09+02:00") for act in acts]
    return correct(survey, Site(), given, named).survey


def the(survey: Survey, number: int) -> Connection:
    return survey.connection(f"S1-S2/{number:02d}")


def test_without_names_the_numbers_follow_the_chainage() -> None:
    assert at(seen(*FIRST)) == {"01": 4.0, "02": 9.0, "03": 20.0}


def test_one_that_is_found_later_moves_no_name() -> None:
    named = names_of((), seen(*FIRST))
    more = [connection(1.5), *FIRST]
    assert at(seen(*FIRST, more=more, named=named)) == {
        "04": 1.5, "01": 4.0, "02": 9.0, "03": 20.0,
    }  # fmt: skip


def test_the_lines_of_a_file_may_move_and_its_name_change() -> None:
    named = names_of((), seen(*FIRST))
    shifted = [connection(1.5), connection(4.2), connection(9.0, "9"), connection(20.1)]
    assert at(seen(*shifted, file="c.txt", named=named)) == {
        "04": 1.5, "01": 4.2, "02": 9.0, "03": 20.1,
    }  # fmt: skip


def test_a_name_is_never_given_twice() -> None:
    named = names_of((), seen(*FIRST))
    without = seen(FIRST[0], FIRST[2], connection(30.0), named=named)
    assert at(without) == {"01": 4.0, "03": 20.0, "04": 30.0}
    again = seen(*FIRST, connection(30.0), named=names_of(named, without))
    assert at(again) == {"01": 4.0, "02": 9.0, "03": 20.0, "04": 30.0}


def test_another_connection_at_the_same_line_takes_no_name() -> None:
    named = names_of((), seen(*FIRST))
    assert at(seen(connection(6.0), *FIRST[1:], named=named)) == {
        "04": 6.0, "02": 9.0, "03": 20.0,
    }  # fmt: skip


@pytest.mark.parametrize("clock", ["9", ""])
def test_another_clock_at_the_same_place_takes_no_name(clock: str) -> None:
    named = names_of((), seen(*FIRST))
    other = seen(connection(4.0, clock), *FIRST[1:], file="c.txt", named=named)
    assert set(at(other)) == {"04", "02", "03"}


def test_what_was_split_off_or_joined_keeps_its_name() -> None:
    second = [connection(4.1), *FIRST[1:]]
    survey = seen(*FIRST, more=second)
    alone = next(s for s in the(survey, 1).sightings if s.inspection.startswith("b.txt"))
    acts = (
        Split(mark_of(alone, "S1-S2")),
        Join(mark_of(the(survey, 3).sightings[0], "S1-S2"),
             mark_of(the(survey, 2).sightings[0], "S1-S2")),
    )  # fmt: skip
    before = as_corrected(survey, *acts)
    assert set(at(before)) == {"01", "04", "03"}
    named = names_of((), survey, before)
    found = [connection(1.5), connection(2.5), *second]
    grown = seen(*FIRST, more=found, named=named)
    after = as_corrected(grown, *acts, named=named)
    assert at(after) == {"05": 1.5, "06": 2.5, "01": 4.0, "04": 4.1, "03": 20.0}
