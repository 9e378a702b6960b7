from dataclasses import replace

import pytest

from teewright.errors import InputError, UnknownNameError
from teewright.site.fields import check_fields
from teewright.site.order import (
    admit,
    disorder,
    next_actions,
    next_attempt,
    reached,
    repeats,
    steps,
)
from teewright.site.values import EventKind as K
from unit.site.story import USUAL, and_then, chained, correction, draft, usual


def test_the_usual_work_is_admitted_step_by_step() -> None:
    events = usual()
    for index, event in enumerate(events):
        assert event.kind in next_actions("A-B/01#1", events[:index])
        admit(events[:index], event)
    assert disorder(events) == ""


def test_what_comes_next_stands_first() -> None:
    firsts = [next_actions("A-B/01#1", usual(n))[0] for n in range(9)]
    assert firsts == [
        K.MIXED,
        K.WET_OUT,
        K.LOWERED,
        K.IN_PLACE,
        K.AT_PRESSURE,
        K.READING,
        K.READING,
        K.OUT,
        K.TEST_READING,
    ]


def test_nothing_but_notes_and_corrections_after_giving_up() -> None:
    events = and_then(usual(2), draft(K.ABORTED, 400))
    assert next_actions("A-B/01#1", events) == (K.CORRECTED, K.NOTE)
    with pytest.raises(InputError, match="cannot follow aborted"):
        admit(events, draft(K.LOWERED, 500))


@pytest.mark.parametrize(
    ("done", "kind"),
    [
        (0, K.WET_OUT),
        (0, K.ABORTED),
        (1, K.MIXED),
        (2, K.AT_PRESSURE),
        (4, K.RELEASED),
        (5, K.OUT),
        (7, K.INSPECTED),
        (11, K.ABORTED),
    ],
)
def test_a_step_out_of_order_is_refused_with_what_is_allowed(done: int, kind: K) -> None:
    with pytest.raises(InputError) as caught:
        admit(usual(done), draft(kind, 9000))
    allowed = next_actions("A-B/01#1", usual(done))
    assert all(name in caught.value.allowed for name in allowed)


def test_a_step_earlier_than_the_last_is_refused() -> None:
    with pytest.raises(InputError, match="earlier than wet-out"):
        admit(usual(2), draft(K.LOWERED, 299))
    admit(usual(2), draft(K.LOWERED, 300))


def test_other_installations_play_no_part() -> None:
    other = usual(3, installation="A-B/02#1")
    admit(other, draft(K.MIXED, 0))
    assert next_actions("A-B/01#1", other) == next_actions("A-B/01#1", ())


@pytest.mark.parametrize(
    ("kind", "data", "match"),
    [
        (K.READING, {}, "has no value"),
        (K.READING, {"pressure": "1,2"}, "not a number"),
        (K.READING, {"pressure": "nan"}, "not a number"),
        (K.READING, {"pressure": "-1"}, "not a number"),
        (K.RELEASED, {"elapsed": "soon"}, "not a number"),
    ],
)
def test_values_are_checked(kind: K, data: dict[str, str], match: str) -> None:
    with pytest.raises(InputError, match=match):
        admit(usual(5), draft(kind, 3000, data))


def test_fields_are_checked() -> None:
    good = draft(K.MIXED)
    for field, value in (("id", " "), ("device", ""), ("person", ""), ("sequence", 0)):
        with pytest.raises(InputError, match=field):
            admit((), replace(good, **{field: value}))  # type: ignore[arg-type]  # text or number
    with pytest.raises(InputError, match="twice"):
        admit((), replace(good, data=(("a", "1"), ("a", "2"))))
    with pytest.raises(InputError, match="no time zone"):
        admit((), replace(good, at=good.at.replace(tzinfo=None)))
    with pytest.raises(InputError, match="installation"):
        admit((), replace(good, installation="A-B/01"))


def test_sending_again_does_no_harm_but_another_body_is_refused() -> None:
    events = usual()
    admit(events, events[3])
    with pytest.raises(InputError, match="id of another event"):
        admit(events, replace(events[3], person="someone else"))


def test_a_second_attempt_needs_the_first_to_be_over() -> None:
    again = draft(K.MIXED, 9000, installation="A-B/01#2")
    for done in (0, 5, 8):
        with pytest.raises(InputError, match="A-B/01#1 is neither given up nor tested"):
            admit(usual(done), again)
    admit(usual(), again)
    admit(and_then(usual(3), draft(K.ABORTED, 1000)), again)


def test_next_attempt() -> None:
    assert next_attempt("A-B/01", ()) == "A-B/01#1"
    assert next_attempt("A-B/01", usual(4)) == "A-B/01#1"
    assert next_attempt("A-B/01", and_then(usual(4), draft(K.ABORTED, 1300))) == "A-B/01#2"


def test_a_correction_must_name_an_event_of_its_installation() -> None:
    events = and_then(usual(3), draft(K.MIXED, 1000, installation="A-B/02#1"))
    elsewhere = correction(events[-1], 1100, at="2025-05-12T09:10:00+02:00")
    for wrong in (
        replace(elsewhere, installation="A-B/01#1"),
        replace(elsewhere, data=(("event", "nothing"), ("void", "yes"))),
        replace(elsewhere, data=()),
    ):
        with pytest.raises(UnknownNameError, match="no event of"):
            admit(events, wrong)
    admit(events, elsewhere)


def test_a_correction_must_correct_something_that_can_be_read() -> None:
    events = usual(3)
    for data, match in (
        ({}, "corrects nothing"),
        ({"reason": "slip"}, "corrects nothing"),
        ({"void": "no"}, "void"),
        ({"at": "yesterday"}, "not a time"),
        ({"at": "2025-05-12T09:10:00"}, "no time zone"),
        ({"at": "2025-05-12T09:16:41+02:00"}, "later than the correction itself"),
        ({"pressure": "high"}, "not a number"),
    ):
        with pytest.raises(InputError, match=match):
            admit(events, correction(events[-1], 1000, **data))


def test_a_correction_may_not_leave_the_work_out_of_order() -> None:
    events = usual(5)
    with pytest.raises(InputError, match="out of order: wet-out is earlier than mixed"):
        admit(events, correction(events[1], 1600, at="2025-05-12T08:00:00+02:00"))
    with pytest.raises(InputError, match="out of order: in-place was logged after wet-out"):
        admit(events, correction(events[2], 1600, void="yes"))
    admit(events, correction(events[4], 1600, void="yes"))


def test_a_step_taken_back_can_be_logged_anew() -> None:
    events = usual(5)
    events = and_then(events, correction(events[4], 1600, void="yes", reason="wrong button"))
    assert next_actions("A-B/01#1", events)[0] is K.AT_PRESSURE
    admit(events, draft(K.AT_PRESSURE, 1700))


def test_disorder_of_a_log_that_was_not_admitted_is_told() -> None:
    assert disorder(chained([draft(K.RELEASED)])) == "released was logged as the first step."
    skipped = [draft(kind, after) for kind, after, _ in USUAL[:3]] + [draft(K.RELEASED, 1000)]
    assert disorder(chained(skipped)) == "released was logged after lowered."


def test_a_repeat_counts_for_nothing_and_breaks_nothing() -> None:
    events = usual(5)
    again = and_then(
        events,
        replace(draft(K.MIXED, 5, name="m2"), device="tablet-2"),
        replace(draft(K.AT_PRESSURE, 1510, name="p2"), device="tablet-2"),
    )
    assert steps(again) == events
    assert [event.id for event in repeats(again)] == ["m2", "p2"]
    assert disorder(again) == ""
    assert next_actions("A-B/01#1", again) == next_actions("A-B/01#1", events)


def test_readings_and_inspections_are_no_repeats() -> None:
    twice = and_then(
        usual(), draft(K.TEST_READING, 8700, {"pressure": "1"}), draft(K.INSPECTED, 8800)
    )
    assert repeats(twice) == ()
    assert len(steps(twice)) == len(USUAL) + 2


def test_the_first_of_two_taken_back_leaves_the_second() -> None:
    events = and_then(usual(1), replace(draft(K.MIXED, 30, name="m2"), device="tablet-2"))
    back = and_then(events, correction(events[0], 60, void="yes"))
    assert [event.id for event in steps(back)] == ["m2"]
    assert repeats(back) == ()


def test_a_tablet_that_sends_late_is_put_where_its_work_was_done() -> None:
    early = [draft(K.MIXED, 0), draft(K.WET_OUT, 300)]
    late = [
        replace(draft(kind, after), device="tablet-2")
        for kind, after in ((K.LOWERED, 900), (K.IN_PLACE, 1200))
    ]
    sent_late = chained([*late, *early])
    kinds = [event.kind for event in steps(sent_late)]
    assert kinds == [K.MIXED, K.WET_OUT, K.LOWERED, K.IN_PLACE]
    assert disorder(sent_late) == ""


def test_one_tablet_whose_clock_was_set_back_keeps_its_own_order() -> None:
    events = chained([draft(K.MIXED, 900), draft(K.WET_OUT, 300)])
    assert [event.kind for event in steps(events)] == [K.MIXED, K.WET_OUT]
    assert disorder(events) == "wet-out is earlier than mixed before it."


def test_a_slow_clock_does_not_bring_the_work_back() -> None:
    slow = replace(draft(K.LOWERED, -600), device="tablet-2")
    events = and_then(usual(2), slow)
    assert disorder(events) == "lowered was logged as the first step."
    last = reached(events)
    assert last is not None
    assert last.kind is K.LOWERED
    assert next_actions("A-B/01#1", events)[0] is K.IN_PLACE


def test_a_reading_without_pressure_brings_the_work_no_further() -> None:
    events = and_then(usual(2), draft(K.READING, 400, {"pressure": "1000"}))
    last = reached(events)
    assert last is not None
    assert last.kind is K.WET_OUT
    assert reached(chained([draft(K.READING, 0, {"pressure": "1"})])) is None


def test_fields_alone_do_not_ask_for_the_order() -> None:
    check_fields(draft(K.RELEASED, 0))
    check_fields(correction(usual(1)[0], 60, at="2025-05-12T09:30:00+02:00"))
    for data, match in (
        ({}, "no event of"),
        ({"event": "e"}, "corrects nothing"),
        ({"event": "e", "at": "noon"}, "not a time"),
        ({"event": "e", "void": "perhaps"}, "void"),
    ):
        with pytest.raises(InputError, match=match):
            check_fields(draft(K.CORRECTED, 0, data))
    with pytest.raises(InputError, match="installation"):
        check_fields(replace(draft(K.NOTE), installation="A-B/01"))
