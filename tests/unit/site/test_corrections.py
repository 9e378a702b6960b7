from datetime import timedelta

from teewright.site.chain import verify
from teewright.site.corrections import effective
from teewright.site.values import EventKind as K
from unit.site.story import START, and_then, chained, correction, draft, usual


def test_without_corrections_nothing_changes() -> None:
    assert effective(usual()) == usual()


def test_a_correction_replaces_time_and_data_and_keeps_the_original() -> None:
    events = usual(5)
    corrected = and_then(
        events, correction(events[4], 1600, at="2025-05-12T09:24:00+02:00", pressure="80000")
    )
    shown = effective(corrected)[4]
    assert shown.at == START + timedelta(minutes=24)
    assert dict(shown.data)["pressure"] == "80000"
    assert corrected[4] == events[4]
    verify(corrected)


def test_a_later_correction_outdoes_an_earlier_one_field_by_field() -> None:
    events = usual(5)
    twice = and_then(
        events,
        correction(events[4], 1600, pressure="80000", gauge="G1"),
        correction(events[4], 1700, pressure="70000"),
    )
    assert dict(effective(twice)[4].data) == {"pressure": "70000", "gauge": "G1"}


def test_an_event_taken_back_is_gone_but_stays_in_the_log() -> None:
    events = usual(5)
    after = and_then(events, correction(events[4], 1600, void="yes"))
    assert effective(after) == events[:4]
    assert len(after) == 6


def test_corrections_without_effect_do_no_harm() -> None:
    events = usual(3)
    elsewhere = draft(K.CORRECTED, 1000, {"event": events[0].id, "void": "yes"}, installation="C#1")
    unread = correction(events[1], 1100, at="tomorrow")
    assert effective(and_then(events, elsewhere, unread)) == events
    alone = chained([draft(K.CORRECTED, 0, {"event": "nothing", "void": "yes"})])
    assert effective(alone) == ()
