"""The length of a run as an engineer sets it: it counts before all that the passes say."""

from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.findings import FindingKind
from teewright.job.correcting import LOST, RULE, Corrected, correct
from teewright.network.conditions import Site
from teewright.network.corrections import (
    Correction,
    Field,
    SetField,
    SetRun,
    lengths_of,
    mark_of,
)
from teewright.network.reconcile import reconcile
from teewright.network.values import Inspection, Survey
from unit.network.writing import Film, Shot, connection, finish, inspections, rules

RUN = "S1-S2"


def against(*shots: Shot, length: float | None = None, file: str = "b.txt") -> list[Inspection]:
    film = Film(shots, start="S2", direction="B", length=length, date="2025-01-01")
    return inspections(film, file=file)


def laid(passes: list[Inspection], length: float | None) -> Survey:
    return reconcile(passes, lengths={} if length is None else {RUN: length})


def places(survey: Survey) -> list[float]:
    return [round(c.chainage, 3) for c in survey.connections]


def test_a_pass_against_the_flow_is_turned_round_on_the_length_that_was_set() -> None:
    passes = against(connection(10.0), connection(25.0))
    guessed = laid(passes, None)
    assert guessed.run(RUN).length is None
    assert places(guessed) == [0.0, 15.0]
    assert "length-unknown" in rules(guessed)
    known = laid(passes, 40.0)
    assert known.run(RUN).length == 40.0
    assert places(known) == [15.0, 30.0]
    assert "length-unknown" not in rules(known)


def test_a_pass_with_the_flow_stays_where_it_is() -> None:
    passes = inspections(Film([connection(10.0), finish(40.0)], length=40.0))
    assert places(laid(passes, 55.0)) == places(laid(passes, None)) == [10.0]
    assert laid(passes, 55.0).run(RUN).length == 55.0


def test_a_length_that_was_set_settles_lengths_that_differ() -> None:
    passes = [
        *inspections(Film([connection(10.0), finish(40.0)], length=40.0)),
        *against(connection(25.0), finish(35.0), length=35.0),
    ]
    assert "length-differs" in rules(laid(passes, None))
    assert "length-differs" not in rules(laid(passes, 40.0))


def test_a_pass_that_came_farther_is_told_and_the_length_is_believed() -> None:
    passes = inspections(Film([connection(10.0), finish(40.0)], length=40.0))
    survey = laid(passes, 35.0)
    (finding,) = [f for f in survey.findings if f.rule == "beyond-length"]
    assert finding.kind is FindingKind.DOUBT
    assert "40.00 m" in finding.text
    assert "35.00 m" in finding.text
    assert survey.run(RUN).length == 35.0


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.integers(1, 390), min_size=1, max_size=6, unique=True),
    st.integers(400, 900),
    st.integers(400, 900),
)
def test_all_places_move_by_the_difference_of_the_lengths(
    tenths: list[int], first: int, second: int
) -> None:
    passes = against(*(connection(t / 10.0) for t in sorted(tenths)))
    one, other = (places(laid(passes, length / 10.0)) for length in (first, second))
    assert len(one) == len(other)
    assert all(abs(b - a - (second - first) / 10.0) < 2e-3 for a, b in zip(one, other, strict=True))


def by_hand(what: SetRun | SetField) -> Correction:
    return Correction(what, "engineer", "2027-05-06T07:08:09+02:00", "measured")


def corrected(passes: list[Inspection], corrections: list[Correction]) -> Corrected:
    """As a project is loaded: the lengths first, then all corrections."""
    return correct(reconcile(passes, lengths=lengths_of(corrections)), Site(), corrections)


def test_the_last_length_counts() -> None:
    acts = [by_hand(SetRun(RUN, "length", value)) for value in (38.0, 41.5)]
    acts.append(by_hand(SetRun(RUN, "diameter", 0.25)))
    assert lengths_of(acts) == {RUN: 41.5}


def test_a_length_is_told_beside_what_the_passes_say() -> None:
    passes = against(connection(10.0), finish(35.0), length=35.0)
    done = corrected(passes, [by_hand(SetRun(RUN, "length", 40.0))])
    (finding,) = [f for f in done.survey.findings if f.rule == RULE]
    assert finding.value == "length of the run 40.00 m instead of 35.00 m"
    assert finding.subject == RUN
    assert done.survey.run(RUN).length == 40.0
    assert done.survey.inspections[0].length == 35.0


def test_another_correction_finds_its_sighting_whatever_the_length_is() -> None:
    passes = against(connection(10.0, "3"), connection(25.0, "9"), finish(35.0), length=35.0)
    longer = by_hand(SetRun(RUN, "length", 48.0))
    for before in ([], [longer]):
        # said while the run was taken for shorter, or longer, than it is taken for afterwards
        then = corrected(passes, before).survey
        far = next(c for c in then.connections if c.sightings[0].station == 10.0)
        dn = by_hand(SetField(mark_of(far.sightings[0], RUN), Field.DIAMETER, 0.2))
        for now in ([dn], [longer, dn], [dn, longer]):
            done = corrected(passes, now).survey
            assert LOST not in rules(done)
            assert {c.sightings[0].station: c.diameter for c in done.connections} == {
                10.0: 0.2,
                25.0: 0.15,
            }
