"""Corrections by hand: applied after the files are read, found again, told, and never over them."""

from collections.abc import Sequence
from dataclasses import replace

import pytest

from teewright.assess.values import Need
from teewright.errors import InputError
from teewright.findings import Finding, FindingKind
from teewright.job.assessing import BY_HAND, assess_survey
from teewright.job.correcting import LOST, RULE, Corrected, correct
from teewright.network.conditions import ConnectionNote, RunConditions, Site
from teewright.network.corrections import (
    Act,
    Correction,
    Decide,
    Field,
    Join,
    Mark,
    SetField,
    SetRun,
    Split,
    mark_of,
)
from teewright.network.reconcile import reconcile
from teewright.network.values import Connection, Survey
from unit.network.writing import Film, Shot, connection, finish, inspections

LINED = Site(runs=(RunConditions("S1", "S2", lined=True),))
AT = "2027-05-06T07:08:09+02:00"


def films(*first: Shot, second: Sequence[Shot] = (), header: int = 0) -> Survey:
    """One pass with the flow, and a later one against it where there is a second."""
    more = {f"AB{k}": "x" for k in range(header)}
    made = [Film([*first, finish(40.0)], length=40.0, more=more)]
    passes = inspections(*made, file="a.txt")
    if second:
        back = Film(
            [*second, finish(40.0)], start="S2", direction="B", length=40.0, date="2025-01-01"
        )
        passes += inspections(back, file="b.txt")
    return reconcile(passes)


def by(*acts: Act, why: str = "") -> list[Correction]:
    return [Correction(act, "engineer", AT, why) for act in acts]


def the(survey: Survey, number: int = 1) -> Connection:
    return survey.connection(f"S1-S2/{number:02d}")


def mark(survey: Survey, number: int = 1, sighting: int = 0) -> Mark:
    found = the(survey, number)
    return mark_of(found.sightings[sighting], found.run_id)


def told(done: Corrected) -> list[Finding]:
    return [f for f in done.survey.findings if f.rule in {RULE, LOST}]


def test_nothing_corrected_changes_nothing() -> None:
    survey = films(connection(10.0))
    done = correct(survey, LINED, [])
    assert done.survey is survey
    assert done.site is LINED


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        (Field.CHAINAGE, 12.5, "chainage 12.50 m instead of 10.00 m"),
        (Field.CLOCK, 9.0, "clock 9 instead of 3"),
        (Field.DIAMETER, 0.125, "diameter 125 mm instead of 150 mm"),
        (Field.ANGLE, 0.7853981633974483, "angle 45° instead of not known"),
        (Field.STATE, "closed", "state closed instead of open"),
        (Field.KIND, "saddle, drilled", "kind saddle, drilled instead of junction"),
    ],
)
def test_a_field_is_set_and_the_sighting_keeps_what_was_seen(
    field: Field, value: float | str, words: str
) -> None:
    survey = films(connection(10.0))
    done = correct(survey, LINED, by(SetField(mark(survey), field, value), why="seen on site"))
    now = the(done.survey)
    name = "is_open" if field is Field.STATE else field.value
    expected: object = {"closed": False}.get(str(value), value)
    assert getattr(now, name) == expected
    assert now.settled == (field.value,)
    assert now.sightings == the(survey).sightings
    (finding,) = told(done)
    assert finding.kind is FindingKind.REPAIRED
    assert finding.subject == "S1-S2/01"
    assert finding.place == the(survey).sightings[0].place
    assert finding.text == f"corrected by hand: {words} (engineer, 2027-05-06, seen on site)"


@pytest.mark.parametrize(
    ("field", "value"),
    [
        (Field.CHAINAGE, -1.0),
        (Field.CLOCK, 0.0),
        (Field.CLOCK, 12.5),
        (Field.DIAMETER, 0.0),
        (Field.ANGLE, 0.1),
        (Field.DIAMETER, "wide"),
        (Field.STATE, "ajar"),
    ],
)
def test_what_cannot_be_is_refused(field: Field, value: float | str) -> None:
    survey = films(connection(10.0))
    with pytest.raises(InputError, match=field.value):
        correct(survey, LINED, by(SetField(mark(survey), field, value)))


def test_a_value_set_by_hand_settles_what_the_sightings_dispute() -> None:
    survey = films(connection(10.0, q1="150"), second=[connection(30.0, "9", q1="100")])
    assert len(survey.connections) == 1
    assert "diameter-differs" in {f.rule for f in survey.findings}
    before = assess_survey(survey, LINED).verdicts[0]
    assert before.need is Need.LOOK_AGAIN
    done = correct(survey, LINED, by(SetField(mark(survey), Field.DIAMETER, 0.15)))
    assert "diameter-differs" not in {f.rule for f in done.survey.findings}
    after = assess_survey(done.survey, done.site).verdicts[0]
    assert after.need is not Need.LOOK_AGAIN


def test_an_open_state_set_by_hand_settles_the_dispute() -> None:
    shut = replace(connection(30.0, "9"), char2="B")
    survey = films(connection(10.0), second=[shut])
    assert assess_survey(survey, LINED).verdicts[0].reasons[0].rule == "open-state-disputed"
    done = correct(survey, LINED, by(SetField(mark(survey), Field.STATE, "closed")))
    assert assess_survey(done.survey, done.site).verdicts[0].need is Need.CLOSE_OFF


def test_two_are_joined_into_one_with_all_their_sightings() -> None:
    # 3 h apart in clock: the passes are kept as two, with a finding that asks
    survey = films(connection(10.0, "3"), second=[connection(30.0, "12")])
    assert len(survey.connections) == 2
    assert "perhaps-one" in {f.rule for f in survey.findings}
    done = correct(survey, LINED, by(Join(mark(survey, 1), mark(survey, 2))))
    (one,) = done.survey.connections
    assert one.id == "S1-S2/01"
    assert [s.place.file for s in one.sightings] == ["b.txt", "a.txt"]
    rules = {f.rule for f in done.survey.findings}
    assert not rules & {"perhaps-one", "not-seen-by-all"}
    assert "clock-differs" in rules


def test_a_sighting_is_split_off_under_a_new_number_and_the_others_keep_theirs() -> None:
    survey = films(
        connection(10.0), connection(20.0, "9"), second=[connection(29.9, "9"), connection(20.0)]
    )
    assert len(survey.connections) == 2
    done = correct(survey, LINED, by(Split(mark(survey, 1, sighting=0))))
    found = {c.id: c for c in done.survey.connections}
    assert list(found) == ["S1-S2/01", "S1-S2/03", "S1-S2/02"]  # in order of chainage
    assert [s.place.file for s in found["S1-S2/03"].sightings] == ["b.txt"]
    assert [s.place.file for s in found["S1-S2/01"].sightings] == ["a.txt"]
    assert found["S1-S2/03"].chainage == pytest.approx(10.1)
    (finding,) = told(done)
    assert finding.subject == "S1-S2/03"


def test_one_that_was_seen_once_cannot_be_split() -> None:
    survey = films(connection(10.0))
    (finding,) = told(correct(survey, LINED, by(Split(mark(survey)))))
    assert finding.rule == LOST


def test_split_and_join_again_gives_back_what_was() -> None:
    survey = films(connection(10.0), second=[connection(29.9, "9")])
    acts = (Split(mark(survey, 1, sighting=0)), Join(mark(survey, 1, 1), mark(survey, 1, 0)))
    done = correct(survey, LINED, by(*acts))
    assert done.survey.connections == survey.connections


def test_corrections_are_found_again_where_the_lines_of_the_file_moved() -> None:
    survey = films(connection(10.0), connection(20.0, "9"))
    acts = by(SetField(mark(survey, 2), Field.DIAMETER, 0.2))
    moved = films(connection(5.0), connection(10.0), connection(20.1, "9"))
    assert the(moved, 3).sightings[0].place.line != the(survey, 2).sightings[0].place.line
    done = correct(moved, LINED, acts)
    assert [c.diameter for c in done.survey.connections] == [0.15, 0.15, 0.2]


def test_a_correction_does_not_go_to_another_connection_at_its_line() -> None:
    survey = films(connection(10.0), connection(20.0, "9"))
    acts = by(SetField(mark(survey, 1), Field.DIAMETER, 0.2))
    other = films(connection(15.0), connection(20.0, "9"))
    done = correct(other, LINED, acts)
    assert [c.diameter for c in done.survey.connections] == [0.15, 0.15]
    (finding,) = told(done)
    assert finding.rule == LOST
    assert finding.kind is FindingKind.DOUBT
    assert "10.00 m of S1-S2" in finding.text


def test_a_need_is_decided_and_the_rules_are_still_told() -> None:
    survey = films(connection(10.0))
    plain = assess_survey(survey, LINED).verdicts[0]
    done = correct(survey, LINED, by(Decide(mark(survey), "leave"), why="owner asks for it"))
    verdict = assess_survey(done.survey, done.site, done.decisions).verdicts[0]
    assert verdict.need is Need.LEAVE
    assert verdict.reasons[0].rule == BY_HAND
    assert verdict.reasons[0].text.endswith("(engineer, 2027-05-06): owner asks for it")
    assert verdict.reasons[1:] == plain.reasons


def test_the_last_decision_counts() -> None:
    survey = films(connection(10.0))
    acts = by(Decide(mark(survey), "leave"), Decide(mark(survey), "look again"))
    done = correct(survey, LINED, acts)
    assert [(cid, d.need) for cid, d in done.decisions] == [("S1-S2/01", Need.LOOK_AGAIN)]


def test_make_ready_by_hand_takes_the_works_that_are_named_or_that_the_rules_ask_for() -> None:
    survey = films(connection(10.0), Shot(10.0, "BBA", "A", clock="3"), connection(20.0))
    acts = (
        Decide(mark(survey, 1), "make ready first"),
        Decide(mark(survey, 2), "make ready first", ("descale",)),
    )
    done = correct(survey, LINED, by(*acts))
    first, second = assess_survey(done.survey, done.site, done.decisions).verdicts
    assert first.make_ready == ("cut roots",)
    assert second.make_ready == ("descale",)


def test_make_ready_by_hand_without_any_work_is_doubted() -> None:
    survey = films(connection(10.0))
    done = correct(survey, LINED, by(Decide(mark(survey), "make ready first")))
    found = assess_survey(done.survey, done.site, done.decisions)
    assert found.verdicts[0].make_ready == ()
    assert "make-ready-unnamed" in {f.rule for f in found.findings}


def test_a_need_that_is_none_is_refused() -> None:
    survey = films(connection(10.0))
    with pytest.raises(InputError, match="make ready first"):
        correct(survey, LINED, by(Decide(mark(survey), "forget it")))


def test_what_is_set_by_hand_counts_before_a_note_and_the_note_moves_along() -> None:
    survey = films(connection(10.0))
    note = ConnectionNote("S1-S2", 10.0, clock=3.0, diameter=0.1, must_leave="owner")
    site = replace(LINED, connections=(note,))
    acts = (
        SetField(mark(survey), Field.DIAMETER, 0.2),
        SetField(mark(survey), Field.CHAINAGE, 14.0),
    )
    done = correct(survey, site, by(*acts))
    (moved,) = done.site.connections
    assert (moved.chainage, moved.clock, moved.diameter) == (14.0, 3.0, 0.2)
    found = assess_survey(done.survey, done.site)
    assert found.verdicts[0].reasons[0].rule == "must-leave"
    assert "note-without-connection" not in {f.rule for f in found.findings}


def test_a_run_is_said_to_be_lined_or_not_whatever_survey_and_site_say() -> None:
    survey = films(connection(10.0))
    bare = Site()
    assert assess_survey(survey, bare).verdicts[0].reasons[0].rule == "not-lined"
    lined = correct(survey, bare, by(SetRun("S1-S2", "lined", value=True)))
    assert assess_survey(lined.survey, lined.site).verdicts[0].reasons[0].rule != "not-lined"
    not_lined = correct(survey, LINED, by(SetRun("S1-S2", "lined", value=False)))
    rules = assess_survey(not_lined.survey, not_lined.site).verdicts[0].reasons
    assert rules[0].rule == "not-lined"


def test_a_run_that_is_gone_is_told() -> None:
    survey = films(connection(10.0))
    (finding,) = told(correct(survey, LINED, by(SetRun("S8-S9", "diameter", 0.3))))
    assert finding.rule == LOST
