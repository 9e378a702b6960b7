from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from teewright.assess.coverage import seen_spans, unseen, unseen_parts
from teewright.findings import Place
from teewright.network.values import Direction, Observation

from .make import inspection, run, survey

AGAINST = Direction.AGAINST


FINISHED = Observation(
    code="BCE",
    char1="XP",
    char2="",
    q1=None,
    q2=None,
    station=25.0,
    clock_from=None,
    clock_to=None,
    continuous="",
    at_joint=False,
    remark="",
    photo="",
    video="",
    place=Place(),
)


def stopped(at: float, direction: Direction = Direction.WITH, key: str = "s.txt#1") -> object:
    return inspection(key=key, abandoned=True, last_station=at, direction=direction)


@pytest.mark.parametrize(
    ("passes", "parts"),
    [
        ((inspection(),), ()),
        ((inspection(last_station=38.0),), ()),
        ((inspection(last_station=25.0),), ((25.0, 40.0),)),
        ((inspection(last_station=25.0, observations=(FINISHED,)),), ()),
        ((stopped(18.0),), ((18.0, 40.0),)),
        ((stopped(18.0, AGAINST),), ((0.0, 22.0),)),
        ((stopped(18.0), stopped(21.5, AGAINST)), ()),
        ((stopped(18.0), stopped(21.0, AGAINST)), ((18.0, 19.0),)),
        ((stopped(18.0), stopped(30.0, AGAINST)), ()),
        ((stopped(18.0), inspection(direction=AGAINST)), ()),
        ((stopped(18.0, Direction.UNKNOWN),), ()),
        ((), ()),
    ],
)
def test_parts_that_no_pass_covered(passes: tuple[object, ...], parts: object) -> None:
    assert unseen(run(), passes) == parts  # type: ignore[arg-type]


def test_a_run_of_unknown_length_is_not_judged() -> None:
    assert unseen(run(length=None), (inspection(abandoned=True, last_station=3.0),)) == ()


def test_an_unseen_part_is_a_finding() -> None:
    passes = (inspection(abandoned=True, last_station=18.0),)
    (finding,) = unseen_parts(survey(passes=passes))
    assert finding.subject == "A-B"
    assert "18.00 to 40.00 m" in finding.text


@given(st.lists(st.tuples(st.floats(0.0, 40.0), st.booleans()), max_size=5))
def test_seen_and_unseen_make_the_whole_run(stops: list[tuple[float, bool]]) -> None:
    passes = tuple(
        inspection(abandoned=True, last_station=at, direction=AGAINST if back else Direction.WITH)
        for at, back in stops
    )
    spans = seen_spans(run(), passes)
    seen = sum(high - low for low, high in spans)
    missing = sum(high - low for low, high in unseen(run(), passes))
    assert all(a[1] < b[0] for a, b in pairwise(spans))
    if passes:
        # up to three parts under 0.5 m may be left out: before, between, after
        assert -1e-9 <= 40.0 - seen - missing <= 1.5 + 1e-9
