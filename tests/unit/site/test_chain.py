import hashlib
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from teewright.errors import InputError, TamperedError
from teewright.site.chain import GENESIS, Draft, draft_of, seal, verify
from teewright.site.values import EventKind
from unit.site.story import chained, draft, usual


def test_hash_is_that_of_the_written_form() -> None:
    event = seal(
        Draft(
            id="u-1",
            installation="A-B/01#1",
            kind=EventKind.AT_PRESSURE,
            at=datetime(2025, 5, 12, 7, 0, tzinfo=UTC),
            device="t",
            sequence=3,
            person="für",
            data=(("pressure", "75000"), ("gauge", "G 2")),
        ),
        recorded=datetime(2025, 5, 12, 7, 0, 1, tzinfo=UTC),
    )
    body = (
        "teewright event 1\n"
        '{"at":"2025-05-12T07:00:00.000000+00:00",'
        '"data":[["pressure","75000"],["gauge","G 2"]],"device":"t","id":"u-1",'
        '"installation":"A-B/01#1","kind":"at-pressure","person":"für",'
        f'"previous":"{"0" * 64}","recorded":"2025-05-12T07:00:01.000000+00:00","sequence":3}}'
    )
    assert event.hash == hashlib.sha256(body.encode()).hexdigest()


def test_whole_chain_verifies_and_its_head_is_known() -> None:
    events = usual()
    verify(events)
    verify(events, head=events[-1].hash)
    verify(())


@pytest.mark.parametrize(
    "change",
    [
        {"person": "someone else"},
        {"sequence": 99},
        {"device": "tablet-2"},
        {"kind": EventKind.NOTE},
        {"installation": "A-B/02#1"},
        {"data": (("pressure", "75001"),)},
        {"id": "another"},
    ],
    ids=str,
)
def test_a_changed_event_is_named(change: dict[str, object]) -> None:
    events = list(usual())
    events[4] = replace(events[4], **change)  # type: ignore[arg-type]  # fields of many types
    with pytest.raises(TamperedError, match=r"Event 5 of the log .* was changed"):
        verify(events)


def test_a_changed_time_is_found() -> None:
    events = list(usual())
    for field in ("at", "recorded"):
        changed = list(events)
        moved = getattr(changed[2], field) + timedelta(microseconds=1)
        changed[2] = replace(changed[2], **{field: moved})
        with pytest.raises(TamperedError, match="Event 3 "):
            verify(changed)


def test_removed_moved_added_and_cut_events_are_found() -> None:
    events = usual()
    with pytest.raises(TamperedError, match=r"Event 4 .* does not follow"):
        verify(events[:3] + events[4:])
    with pytest.raises(TamperedError, match=r"Event 3 .* does not follow"):
        verify((*events[:2], events[3], events[2], *events[4:]))
    with pytest.raises(TamperedError, match="id of an earlier event"):
        verify((*events, events[3]))
    with pytest.raises(TamperedError, match=r"Event 1 .* does not follow"):
        verify(events[1:])
    with pytest.raises(TamperedError, match="missing from its end"):
        verify(events[:-1], head=events[-1].hash)


def test_a_forged_event_with_its_own_hash_breaks_the_next_link() -> None:
    events = list(usual())
    forged = replace(draft_of(events[4]), person="someone else")
    events[4] = seal(forged, recorded=events[4].recorded, previous=events[3].hash)
    with pytest.raises(TamperedError, match=r"Event 6 .* does not follow"):
        verify(events)


def test_times_keep_instant_and_offset_from_any_zone() -> None:
    # 02:30 comes twice that night: the instant must not be lost with the zone's name
    second = datetime(2025, 10, 26, 2, 30, tzinfo=ZoneInfo("Europe/Vienna"), fold=1)
    event = seal(replace(draft(EventKind.NOTE), at=second), recorded=second, previous=GENESIS)
    assert event.at.isoformat() == "2025-10-26T02:30:00+01:00"
    assert event.at.timestamp() == second.timestamp()
    verify((event,))
    verify((replace(event, at=datetime.fromisoformat(event.at.isoformat())),))


def test_what_cannot_be_written_is_refused() -> None:
    note = draft(EventKind.NOTE)
    unzoned = note.at.replace(tzinfo=None)
    with pytest.raises(InputError, match=r"at = .* has no time zone"):
        seal(replace(note, at=unzoned), recorded=note.at)
    with pytest.raises(InputError, match=r"recorded = .* has no time zone"):
        seal(note, recorded=unzoned)
    with pytest.raises(InputError, match="not Unicode"):
        chained([replace(draft(EventKind.NOTE), person="\ud800")])
