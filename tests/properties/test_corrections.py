"""Whatever is corrected by hand: no sighting is lost or doubled, read anew it is the same."""

from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.formats.corrections_json import read, write
from teewright.job.assessing import assess_survey
from teewright.job.correcting import LOST, RULE, correct
from teewright.network.conditions import Site
from teewright.network.corrections import (
    Act,
    Correction,
    Decide,
    Field,
    Join,
    SetField,
    Split,
    mark_of,
)
from teewright.network.reconcile import reconcile
from teewright.network.values import Survey
from unit.network.writing import Film, connection, finish, inspections

STATIONS = (4.0, 9.0, 9.6, 15.0, 21.0, 33.0)


def survey() -> Survey:
    """Six connections, four of them seen from both ends."""
    there = Film([*(connection(s, "3") for s in STATIONS), finish(40.0)], length=40.0)
    back = Film(
        [*(connection(40.0 - s, "9") for s in reversed(STATIONS[:4])), finish(40.0)],
        start="S2", direction="B", length=40.0, date="2025-01-01",
    )  # fmt: skip
    return reconcile(inspections(there, file="a.txt") + inspections(back, file="b.txt"))


PLAIN = survey()
MARKS = [mark_of(s, c.run_id) for c in PLAIN.connections for s in c.sightings]
marks = st.sampled_from(MARKS)
acts: st.SearchStrategy[Act] = st.one_of(
    st.builds(Join, marks, marks),
    st.builds(Split, marks),
    st.builds(SetField, marks, st.just(Field.CHAINAGE), st.floats(0.0, 40.0)),
    st.builds(SetField, marks, st.just(Field.DIAMETER), st.floats(0.05, 2.0)),
    st.builds(SetField, marks, st.just(Field.STATE), st.sampled_from(["open", "closed"])),
    st.builds(Decide, marks, st.sampled_from(["seal", "leave", "make ready first"])),
)
corrections = st.lists(
    st.builds(Correction, acts, st.just("ab"), st.just("2027-05-06T07:08:09+02:00")), max_size=12
)


@given(corrections)
@settings(deadline=None, max_examples=150)
def test_no_sighting_is_lost_or_doubled(made: list[Correction]) -> None:
    done = correct(PLAIN, Site(), made)
    ids = [c.id for c in done.survey.connections]
    assert len(ids) == len(set(ids))
    kept = [s for c in done.survey.connections for s in c.sightings]
    assert sorted(map(repr, kept)) == sorted(
        repr(s) for c in PLAIN.connections for s in c.sightings
    )
    places = [c.chainage for c in done.survey.connections]
    assert places == sorted(places)
    assert {cid for cid, _ in done.decisions} <= set(ids)
    told = [f for f in done.survey.findings if f.rule in {RULE, LOST}]
    assert len(told) == len(made)
    needs = assess_survey(done.survey, done.site, done.decisions)
    assert [v.connection_id for v in needs.verdicts] == ids


@given(corrections)
@settings(deadline=None, max_examples=60)
def test_kept_and_read_anew_they_give_the_same(made: list[Correction]) -> None:
    assert correct(survey(), Site(), read(write(made))) == correct(PLAIN, Site(), made)


@given(corrections, corrections)
@settings(deadline=None, max_examples=60)
def test_what_is_taken_back_leaves_no_trace(made: list[Correction], more: list[Correction]) -> None:
    before = correct(PLAIN, Site(), made)
    correct(PLAIN, Site(), [*made, *more])
    assert correct(PLAIN, Site(), made) == before
