"""Decisions in the log, and what came after them."""

from dataclasses import replace

from teewright.job.proving import decided
from teewright.proof.values import Matter
from teewright.site.decisions import DECISION, decisions
from teewright.site.values import EventKind as K
from unit.site.story import and_then, correction, draft, usual

WHO = "A-B/01#1"
TAKEN = replace(draft(K.NOTE, 9000, {DECISION: "Leave it."}, name="taken"), person="Engineer")


def test_a_decision_is_a_note_that_says_so() -> None:
    events = and_then(usual(), draft(K.NOTE, 8900, {"text": "It rains."}), TAKEN)
    (found,) = decisions(WHO, events)
    assert (found.text, found.person, found.event) == ("Leave it.", "Engineer", events[-1])
    assert found.since == frozenset()
    assert decisions("A-B/02#1", events) == ()


def test_a_decision_is_corrected_and_taken_back() -> None:
    events = and_then(usual(), TAKEN)
    changed = and_then(events, correction(events[-1], 9100, decision="Dig."))
    assert [d.text for d in decisions(WHO, changed)] == ["Dig."]
    assert decisions(WHO, and_then(events, correction(events[-1], 9100, void="yes"))) == ()


def test_what_comes_after_a_decision_must_be_decided_anew() -> None:
    events = and_then(usual(), TAKEN)
    (whole,) = decided(WHO, events)
    assert whole.on == frozenset(Matter)
    tested = and_then(events, draft(K.TEST_READING, 9500, {"pressure": "10000"}))
    assert decided(WHO, tested)[0].on == {Matter.ATTEMPT, Matter.LIMITS}
    assert decided(WHO, and_then(events, draft(K.ABORTED, 9500)))[0].on == {
        Matter.TEST,
        Matter.LIMITS,
    }
    assert decided(WHO, and_then(events, draft(K.INSPECTED, 9500)))[0].on == frozenset(Matter)


def test_a_correction_bears_on_what_it_corrects() -> None:
    events = and_then(usual(), TAKEN)
    reading = next(e for e in events if e.kind is K.TEST_READING)
    corrected = and_then(events, correction(reading, 9500, pressure="9000"))
    assert decided(WHO, corrected)[0].on == {Matter.ATTEMPT, Matter.LIMITS}
    inflated = next(e for e in events if e.kind is K.AT_PRESSURE)
    late = and_then(events, correction(inflated, 9500, at="2025-05-12T09:40:00+02:00"))
    assert decided(WHO, late)[0].on == {Matter.ATTEMPT, Matter.TEST}
    after = and_then(corrected, replace(TAKEN, id="again"))
    assert [d.on == frozenset(Matter) for d in decided(WHO, after)] == [False, True]
