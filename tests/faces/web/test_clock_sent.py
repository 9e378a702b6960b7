"""Who was signed in, and files of entries: what the server keeps beside what a device says."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from faces.web.signing import guarded, signed_in
from teewright.bench.taking import from_file
from teewright.formats.json_values import plain
from teewright.site.chain import verify
from teewright.site.values import Event
from teewright.store.project import Project
from teewright.web.app import make_app
from teewright.web.office import Office
from teewright.web.settings import Settings


def entry(number: int = 1, **more: Any) -> dict[str, Any]:
    return {
        "id": f"e-{number}",
        "installation": "A-B/01#1",
        "kind": "note",
        "at": "2027-05-03T20:30:00.000+02:00",
        "device": "tablet-1",
        "sequence": number,
        "person": "fitter",
        "data": [["text", "edge is wet"]],
        **more,
    }


def log_of(app: FastAPI) -> tuple[Event, ...]:
    office: Office = app.state.office
    return office.desk.ask(lambda project: project.events())


@pytest.fixture
def app(tmp_path: Path) -> Iterator[FastAPI]:
    made = guarded(tmp_path / "job.tee")
    with TestClient(made):
        yield made


@pytest.fixture
def open_app(tmp_path: Path) -> Iterator[FastAPI]:
    made = make_app(Settings(tmp_path / "open.tee"))
    with TestClient(made, base_url="http://localhost"):
        yield made


def sent(client: TestClient, header: dict[str, str], *events: dict[str, Any]) -> list[Any]:
    answer = client.post("/api/v1/events", json={"events": list(events)}, headers=header)
    assert answer.status_code == 200, answer.text
    answers: list[Any] = answer.json()["answers"]
    return answers


def test_who_was_signed_in_stands_beside_who_the_device_names(app: FastAPI) -> None:
    client, header = signed_in(app, "crew")
    (kept,) = sent(client, header, entry())
    assert kept["kept"]
    (event,) = log_of(app)
    assert event.person == "fitter"
    assert event.data == (("text", "edge is wet"), ("signed_in", "crew"))
    verify((event,))


def test_what_a_device_says_of_it_is_not_believed(app: FastAPI) -> None:
    client, header = signed_in(app, "crew")
    sent(client, header, entry(data=[["signed_in", "engineer"], ["text", "x"]]))
    assert log_of(app)[0].data == (("text", "x"), ("signed_in", "crew"))


def test_the_same_entry_sent_by_another_is_the_same_and_stays_the_firsts(app: FastAPI) -> None:
    crew, header = signed_in(app, "crew")
    first = sent(crew, header, entry())
    engineer, other = signed_in(app, "engineer")
    assert sent(engineer, other, entry()) == first
    assert [dict(event.data)["signed_in"] for event in log_of(app)] == ["crew"]
    (changed,) = sent(engineer, other, entry(person="someone else"))
    assert changed["status"] == 409


def test_where_nobody_signs_in_nothing_is_added(open_app: FastAPI) -> None:
    client = TestClient(open_app, base_url="http://localhost")
    sent(client, {}, entry(data=[["signed_in", "engineer"], ["text", "x"]]))
    assert log_of(open_app)[0].data == (("text", "x"),)


def test_an_entry_that_was_kept_before_anyone_signed_in_is_the_same_again(tmp_path: Path) -> None:
    path = tmp_path / "job.tee"
    with TestClient(make_app(Settings(path)), base_url="http://localhost") as client:
        first = sent(client, {}, entry())
    with TestClient(made := guarded(path)):
        crew, header = signed_in(made, "crew")
        assert sent(crew, header, entry()) == first


def saved(count: int, project: str = "") -> bytes:
    told = {"project": project, "count": count, "events": [entry(n) for n in range(1, count + 1)]}
    return json.dumps(told).encode()


def given(client: TestClient, data: bytes, header: dict[str, str] | None = None) -> Any:
    return client.post(
        "/api/v1/events/file", files={"file": ("entries.json", data)}, headers=header or {}
    )


def test_a_file_that_was_cut_off_gives_what_is_whole_and_says_what_is_lost(
    open_app: FastAPI,
) -> None:
    client = TestClient(open_app, base_url="http://localhost")
    whole = saved(5)
    cut = whole[: whole.index(b'"e-4"') + 20]
    found = given(client, cut).json()
    assert [answer["kept"] for answer in found["answers"]] == [True] * 3
    assert not found["whole"]
    assert found["said"] == (
        "The file is cut off in entry 4: the 3 before it are whole; "
        "of 5 that were saved 2 are lost."
    )
    again = given(client, whole).json()
    assert (again["whole"], again["said"], len(again["answers"])) == (True, "", 5)
    assert [event.id for event in log_of(open_app)] == [f"e-{n}" for n in range(1, 6)]


def test_an_entry_of_a_file_that_cannot_be_read_holds_back_no_other(open_app: FastAPI) -> None:
    client = TestClient(open_app, base_url="http://localhost")
    told = {"project": "", "events": [entry(1), entry(2, kind="painted"), entry(3)]}
    found = given(client, json.dumps(told).encode()).json()
    assert [answer["kept"] for answer in found["answers"]] == [True, False, True]


def test_a_long_file_is_taken_whole(open_app: FastAPI) -> None:
    client = TestClient(open_app, base_url="http://localhost")
    assert len(given(client, saved(730)).json()["answers"]) == 730
    assert len(log_of(open_app)) == 730


@pytest.mark.parametrize("data", [b"[]", b"time;pressure\n", b"\xff\xd8"])
def test_what_is_no_file_of_entries_is_refused_in_a_sentence(
    open_app: FastAPI, data: bytes
) -> None:
    answer = given(TestClient(open_app, base_url="http://localhost"), data)
    assert answer.status_code == 422
    assert "is no saved log" in answer.json()["detail"]


def test_a_file_of_another_job_is_refused_whole(open_app: FastAPI) -> None:
    client = TestClient(open_app, base_url="http://localhost")
    assert given(client, saved(2, "0" * 16)).status_code == 409
    assert log_of(open_app) == ()


def test_the_log_of_a_server_can_be_given_back_cut_off_as_well(
    open_app: FastAPI, tmp_path: Path
) -> None:
    client = TestClient(open_app, base_url="http://localhost")
    given(client, saved(3))
    logged = client.get("/api/v1/events").content
    cut = logged[: logged.index(b'"e-3"') + 8]
    assert [e["id"] for e in from_file(cut).events] == ["e-1", "e-2"]
    with TestClient(make_app(Settings(tmp_path / "new.tee")), base_url="http://localhost") as new:
        found = given(new, cut).json()
        assert [answer["kept"] for answer in found["answers"]] == [True, True]
        assert found["said"] == "The file is cut off in entry 3: the 2 before it are whole."
        again = new.get("/api/v1/events").json()["events"]
    first = [plain(event) for event in log_of(open_app)[:2]]
    for there, here in zip(again, first, strict=True):
        assert {k: there[k] for k in ("id", "at", "data")} == {
            k: here[k] for k in ("id", "at", "data")
        }


def test_a_client_may_not_give_a_file(app: FastAPI) -> None:
    client, header = signed_in(app, "client")
    assert given(client, saved(1), header).status_code == 403
    crew, token = signed_in(app, "crew")
    assert given(crew, saved(1), token).json()["answers"][0]["kept"]
    assert dict(log_of(app)[0].data)["signed_in"] == "crew"


def test_a_stored_entry_that_was_tampered_with_holds_back_no_other(tmp_path: Path) -> None:
    path = tmp_path / "job.tee"
    with TestClient(make_app(Settings(path)), base_url="http://localhost") as client:
        sent(client, {}, entry(1))
    with Project.open(path) as project, project.writing() as connection:
        triggers = connection.exec_driver_sql(
            "SELECT name FROM sqlite_master WHERE type = 'trigger'"
        ).scalars()
        for name in list(triggers):
            connection.exec_driver_sql(f'DROP TRIGGER "{name}"')
        connection.exec_driver_sql("UPDATE event SET data = 'broken'")
    with TestClient(make_app(Settings(path)), base_url="http://localhost") as client:
        bad, good = sent(client, {}, entry(1), entry(2))
    assert not bad["kept"]
    assert "cannot be read" in bad["said"]
    assert good["kept"]


def test_the_proof_tells_other_limits_and_repeated_steps(demo_project: Path) -> None:
    one = {"installation": "T02-T03/03#1", "data": []}
    told = [["latest_inflation", "600"], ["release", "3600"], ["pressure_low", "60000"]]
    with TestClient(
        make_app(Settings(demo_project, quick=True)), base_url="http://localhost"
    ) as client:
        sent(
            client, {},
            entry(1, **one | {"kind": "mixed", "data": told}),
            entry(2, **one, kind="wet-out", at="2027-05-03T20:33:00+02:00"),
            entry(3, **one, kind="wet-out", at="2027-05-03T20:34:00+02:00", device="tablet-2"),
            entry(4, **one, kind="at-pressure", at="2027-05-03T20:45:00+02:00"),
        )  # fmt: skip
        page = client.get("/proof/T02-T03/03").text
        (record,) = [
            r for r in client.get("/api/v1/records").json() if r["connection_id"] == "T02-T03/03"
        ]
    # 15 min is late for the 10 min that were told, and would be in time for the present design
    assert any("5 min after the latest" in said for said in record["departures"])
    remarks = record["remarks"]
    assert remarks[0].startswith("Mixed for full pressure within 10 min; the present design says")
    assert remarks[1].startswith("Mixed for release after 60 min; the present design says")
    assert remarks[-1] == "wet-out was logged again at 20:34:00 by tablet-2."
    for said in remarks:
        assert said in page
