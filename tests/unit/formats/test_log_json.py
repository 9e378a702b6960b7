"""A saved log that is cut off anywhere tells its first entries and never a wrong one."""

import json
from dataclasses import replace
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from teewright.errors import FileFormatError
from teewright.formats.log_json import read_entries, read_log
from teewright.site.values import Event
from teewright.store.project import Project
from teewright.web.app import make_app
from teewright.web.packs import log_bytes
from teewright.web.settings import Settings
from unit.site.story import usual

REMARK = "Kante 3° schräg, „von Hand“ \U0001f6a7"


@pytest.fixture(scope="module")
def exported(tmp_path_factory: pytest.TempPathFactory) -> tuple[tuple[Event, ...], bytes]:
    """A log and its export by the server."""
    path = tmp_path_factory.mktemp("log") / "job.tee"
    Project.create(path).close()
    with TestClient(make_app(Settings(path)), base_url="http://localhost") as client:
        sent = [
            {"id": f"e-{n}", "installation": "A-B/01#1", "kind": kind, "person": "crew",
             "at": f"2027-05-03T2{n}:30:00.5+02:00", "device": "t", "sequence": n + 1,
             "data": [["text", REMARK], ["pressure", "74000"]]}
            for n, kind in enumerate(("mixed", "reading", "note"))
        ]  # fmt: skip
        told = client.post("/api/v1/events", json={"events": sent}).json()
        assert all(answer["kept"] for answer in told["answers"])
        data = client.get("/api/v1/log").content
    with Project.open(path) as project:
        return project.events(), data


def ends(data: bytes, count: int) -> list[int]:
    """Where each entry of an export is whole: its closing brace is there."""
    text, found = data.decode(), []
    at = text.index("[", text.index('"events"')) + 1
    for _ in range(count):
        at = text.index("{", at)
        at = json.JSONDecoder().raw_decode(text, at)[1]
        found.append(len(text[:at].encode()))
    return found


def test_the_export_of_the_server_cut_at_every_byte(
    exported: tuple[tuple[Event, ...], bytes],
) -> None:
    events, data = exported
    whole_at = ends(data, len(events))
    for cut in range(len(data)):
        found = read_log(data[:cut])
        assert found.events == events[: sum(end <= cut for end in whole_at)]
        assert not found.whole
        assert found.said.startswith("The file is cut off")
    found = read_log(data)
    assert (found.events, found.whole, found.said) == (events, True, "")


def test_the_log_of_the_pack_cut_at_every_byte() -> None:
    events = usual()
    data = log_bytes(events)
    whole_at = ends(data, len(events))
    for cut in range(len(data)):
        found = read_log(data[:cut])
        assert found.events == events[: sum(end <= cut for end in whole_at)]
        assert not found.whole
    assert read_log(data).events == events
    assert read_log(data).whole


def test_any_byte_that_is_another_is_noticed() -> None:
    events = usual(3)
    data = log_bytes(events)
    for at in range(len(data)):
        other = data[:at] + bytes([data[at] ^ 1]) + data[at + 1 :]
        try:
            found = read_log(other)
        except FileFormatError:
            continue
        assert found.events == events[: len(found.events)]
        assert not found.whole or found.events == events


def test_an_entry_that_was_changed_dropped_or_doubled_ends_it() -> None:
    events = usual(5)
    changed = (*events[:2], replace(events[2], person="other"), *events[3:])
    for wrong in (changed, (*events[:2], *events[3:]), (*events[:2], events[1], *events[2:])):
        found = read_log(log_bytes(wrong))
        assert found.events == events[:2]
        assert found.said == "Entry 3 is not what was stored: the 2 before it are whole."
    short = log_bytes(events).replace(events[-1].hash.encode(), b"0" * 64, 1)
    assert read_log(short).said.startswith("The end of the log is missing")


def test_the_file_of_a_tablet_cut_at_every_byte() -> None:
    entries = [
        {"id": f"e-{n}", "kind": "note", "data": [["text", REMARK]],
         "attachments": [{"sha256": "0" * 64, "media_type": "image/jpeg", "data": "/9j/" * 9}]}
        for n in range(3)
    ]  # fmt: skip
    told = json.dumps({"project": "abcd", "events": entries}, ensure_ascii=False)
    data = told.replace(": ", ":").replace(", ", ",").encode()
    whole_at = ends(data, len(entries))
    wanted = json.loads(data)["events"]
    for cut in range(len(data)):
        found = read_entries(data[:cut])
        assert list(found.events) == wanted[: sum(end <= cut for end in whole_at)]
        assert found.project in {"", "abcd"}
        assert found.project or not found.events
        assert not found.whole
    assert read_entries(data).whole


@pytest.mark.parametrize(
    "data",
    [
        b"[]",
        b"7",
        b"\xff",
        b"upstream,downstream\n",
        b"{}x",
        b"{ }",
        b"{7: 1}",
        b'{"a": 1}',
        b"PK\x03\x04",
    ],
)
def test_what_is_no_saved_log_is_refused(data: bytes) -> None:
    for read in (read_log, read_entries):
        with pytest.raises(FileFormatError):
            read(data, file="a.json")


@pytest.mark.parametrize(
    "data",
    [b'{"events": ' + b"[" * 100_000, b'{"events": [1, 2]}', b'{"events": [{"id": 1}]}',
     b'{"events": 7}', b'{"events": [null', b""],
)  # fmt: skip
def test_odd_files_hold_no_entry(data: bytes) -> None:
    assert read_log(data).events == ()
    assert not read_log(data).whole


def test_a_saved_log_may_be_anywhere(tmp_path: Path) -> None:
    (tmp_path / "log.json").write_bytes(b"\xef\xbb\xbf" + log_bytes(usual(2)) + b"\n")
    assert read_log((tmp_path / "log.json").read_bytes()).whole


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('{"project": "a", "count": 1, "events": [{"id": 1}]}', ""),
        ('{"events": [{"id": 1}, 7]}', "1 of the 2 entries cannot be read."),
        ('{"count": 3, "events": [{"id": 1}]}',
         "The file says that it holds 3 entries; 1 is there."),
        ('{"events": [{"id": 1}, {"i',
         ("The file is cut off in entry 2: the one before it is whole; "
          "how many are lost is not known.")),
        ('{"count": 2, "events": [{"id": 1}, {"i',
         ("The file is cut off in entry 2: the one before it is whole; "
          "of 2 that were saved 1 is lost.")),
    ],
)  # fmt: skip
def test_what_is_lost_of_a_tablets_file_is_said(text: str, said: str) -> None:
    found = read_entries(text.encode())
    assert (found.said, found.whole) == (said, not said)
