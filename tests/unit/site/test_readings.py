from dataclasses import replace

from teewright.site.readings import leak_readings, taken_at
from teewright.site.values import EventKind as K
from unit.site.story import and_then, chained, correction, draft, usual

ONE = "A-B/01#1"


def test_readings_of_the_usual_test() -> None:
    (test,) = leak_readings(ONE, usual())
    assert (test.label, test.method) == ("1", "LC")
    assert test.pressures == ((0.0, 10_000.0), (200.0, 9_000.0))
    assert test.volumes == ()


def test_the_gauge_keeps_its_own_time() -> None:
    events = and_then(
        usual(8),
        draft(K.TEST_READING, 8000, {"volume": "0", "elapsed": "0"}),
        draft(K.TEST_READING, 8001, {"volume": "0.00005", "elapsed": "1800"}),
    )
    (test,) = leak_readings(ONE, events)
    assert test.volumes == ((0.0, 0.0), (1800.0, 0.00005))


def test_another_label_is_another_test_and_corrections_count() -> None:
    events = and_then(usual(), draft(K.TEST_READING, 9000, {"pressure": "10100", "test": "2"}))
    first, second = leak_readings(ONE, events)
    assert second.label == "2"
    assert second.pressures == ((0.0, 10_100.0),)
    mended = and_then(events, correction(events[9], 9100, pressure="9500"))
    assert leak_readings(ONE, mended)[0].pressures[1] == (200.0, 9_500.0)
    assert first.pressures[1] == (200.0, 9_000.0)


def test_no_readings() -> None:
    assert leak_readings(ONE, chained([])) == ()
    assert leak_readings(ONE, usual(8)) == ()


def test_a_reading_of_a_logger_stands_where_it_was_taken() -> None:
    (mixed,) = usual(1)
    taken = replace(mixed, data=(("taken", "2025-05-12T08:30:00+00:00"),))
    assert taken_at(taken).isoformat() == "2025-05-12T08:30:00+00:00"
    for text in ("", "half past eight", "2025-05-12T08:30:00"):
        assert taken_at(replace(mixed, data=(("taken", text),))) == mixed.at
    assert taken_at(mixed) == mixed.at
