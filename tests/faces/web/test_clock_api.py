import base64
import hashlib
import json
import re
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

import httpx
import pytest
from fastapi.testclient import TestClient

from faces.web.conftest import free_port
from teewright.site.chain import verify
from teewright.site.clock import state
from teewright.site.values import Event, Limits
from teewright.store.attachments import attachment
from teewright.store.project import Project
from teewright.web.app import make_app
from teewright.web.office import Office
from teewright.web.settings import Settings

ONE = "A-B/01#1"
PHOTO = b"\xff\xd8\xff a photo of sorts"
SHA = hashlib.sha256(PHOTO).hexdigest()
JSON = {"content-type": "application/json"}
LIMITS = Limits(latest_inflation=1140.0, release=4400.0, pressure_low=6e4, pressure_high=9e4)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "job.tee"


@pytest.fixture
def client(path: Path) -> Iterator[TestClient]:
    with TestClient(make_app(Settings(path)), base_url="http://localhost") as made:
        yield made


def event(kind: str = "mixed", name: str = "e-1", **more: Any) -> dict[str, Any]:
    return {
        "id": name,
        "installation": ONE,
        "kind": kind,
        "at": "2027-05-03T20:30:00.000+02:00",
        "device": "tablet-1",
        "sequence": 1,
        "person": "crew",
        "data": [],
        **more,
    }


def photo(**more: Any) -> dict[str, Any]:
    sent = {"sha256": SHA, "media_type": "image/jpeg", "data": base64.b64encode(PHOTO).decode()}
    return {**sent, **more}


def sent(client: TestClient, *events: dict[str, Any], project: str = "") -> list[dict[str, Any]]:
    # ASCII with escapes, so that half a surrogate pair gets as far as the server
    body = json.dumps({"project": project, "events": list(events)})
    answer = client.post("/api/v1/events", content=body, headers=JSON)
    assert answer.status_code == 200, answer.text
    answers: list[dict[str, Any]] = answer.json()["answers"]
    return answers


def log_of(client: TestClient) -> tuple[Event, ...]:
    office: Office = client.app.state.office  # type: ignore[attr-defined]  # typed as any app
    return office.desk.ask(lambda project: project.events())


def test_a_kept_event_has_its_place_and_time(client: TestClient) -> None:
    first, second = sent(client, event(), event("wet-out", "e-2", sequence=2))
    assert (first["kept"], first["ordinal"], second["ordinal"]) == (True, 1, 2)
    assert datetime.fromisoformat(first["recorded"]).tzinfo is not None
    logged = client.get("/api/v1/events").json()
    assert [e["id"] for e in logged["events"]] == ["e-1", "e-2"]
    assert (logged["last"], len(logged["head"])) == (2, 64)
    assert [e["ordinal"] for e in client.get("/api/v1/events?after=1").json()["events"]] == [2]


def test_the_same_again_is_the_same_answer_and_another_body_a_conflict(client: TestClient) -> None:
    (first,) = sent(client, event())
    (again,) = sent(client, event())
    assert again == first
    (other,) = sent(client, event(person="someone else"))
    assert (other["kept"], other["status"]) == (False, 409)
    assert "another event in the log" in other["said"]
    assert client.get("/api/v1/events").json()["last"] == 1


def test_an_event_out_of_order_is_kept_and_told_by_the_state(client: TestClient) -> None:
    answers = sent(client, event(), event("released", "e-2", sequence=2))
    assert [a["kept"] for a in answers] == [True, True]
    found = state(ONE, log_of(client), LIMITS)
    assert found.breaches[0] == "released was logged after mixed."


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"at": "2027-05-03T20:30:00"}, "no time zone"),
        ({"at": "soon"}, "not a time"),
        ({"at": "1066-10-14T09:00:00+00:00"}, "not a time of work"),
        ({"kind": "painted"}, "kind"),
        ({"sequence": 0}, "sequence"),
        ({"sequence": 2**60}, "sequence"),
        ({"person": " "}, "is empty"),
        ({"installation": "A-B/01"}, "installation"),
        ({"data": [["pressure", "much"]]}, "not a number"),
        ({"data": [["a", "1"], ["a", "2"]]}, "twice"),
        ({"data": [["a", "\ud800"]]}, "unicode string"),
        ({"id": "\ud800"}, "unicode string"),
        ({"kind": "reading"}, "has no value"),
        ({"strange": 1}, "strange"),
        ({"data": [["photo", SHA]]}, "not sent with the event"),
        ({"attachments": [photo()]}, "not named by its event"),
    ],
)
def test_what_cannot_be_read_is_refused_alone(
    client: TestClient, change: dict[str, Any], said: str
) -> None:
    bad, good = sent(client, event(**change), event("note", "e-9"))
    assert not bad["kept"]
    assert said in bad["said"]
    assert good["kept"]
    assert client.get("/api/v1/events").json()["last"] == 1


def test_a_photo_is_kept_with_its_event_and_only_with_it(client: TestClient) -> None:
    named = [["photo", SHA]]
    for wrong in (photo(data="&"), photo(media_type="text/html"), photo(data="QUJD")):
        (answer,) = sent(client, event("note", data=named, attachments=[wrong]))
        assert not answer["kept"]
    assert client.get(f"/api/v1/attachments/{SHA}").status_code == 404
    (answer,) = sent(client, event("note", data=named, attachments=[photo()]))
    assert answer["kept"]
    got = client.get(f"/api/v1/attachments/{SHA}")
    assert (got.content, got.headers["content-type"]) == (PHOTO, "image/jpeg")
    (again,) = sent(client, event("note", data=named))  # the answer was lost: sent without it
    assert again == answer


def test_a_photo_of_a_refused_event_is_not_kept(client: TestClient) -> None:
    sent(client, event("note"))
    (answer,) = sent(client, event("note", data=[["photo", SHA]], attachments=[photo()]))
    assert answer["status"] == 409
    assert client.get(f"/api/v1/attachments/{SHA}").status_code == 404


def test_entries_of_another_job_are_refused_whole(client: TestClient) -> None:
    answer = client.post("/api/v1/events", json={"project": "0" * 16, "events": [event()]})
    assert answer.status_code == 409
    assert answer.json()["detail"].startswith("These entries belong to another job")
    assert client.get("/api/v1/events").json()["last"] == 0
    own = client.get("/api/v1/clock").json()["project"]
    assert sent(client, event(), project=own)[0]["kept"]


def test_an_empty_project_has_no_collars(client: TestClient) -> None:
    found = client.get("/api/v1/clock").json()
    assert (found["collars"], found["shifts"]) == ([], [])


def test_answered_events_and_photos_survive_a_killed_server(path: Path) -> None:
    command = [sys.executable, "-m", "teewright", "serve", str(path), "--port"]
    port = free_port()
    server = subprocess.Popen([*command, str(port)], stdout=subprocess.DEVNULL)
    address = f"http://localhost:{port}/api/v1/events"
    kept = 0
    try:
        wait_for(address)
        for number in range(1, 41):
            named = {"data": [["photo", SHA]], "attachments": [photo()]} if number == 7 else {}
            one = event("note", f"n-{number}", sequence=number, **named)
            kept += httpx.post(address, json={"events": [one]}).json()["answers"][0]["kept"]
    finally:
        server.kill()
        server.wait()
    assert kept == 40
    with Project.open(path) as project:
        events = project.events()
        assert attachment(project, SHA).data == PHOTO
    verify(events)
    assert [e.id for e in events] == [f"n-{number}" for number in range(1, 41)]


def wait_for(address: str) -> None:
    deadline = time.monotonic() + 30.0
    while True:
        try:
            httpx.get(address).raise_for_status()
        except httpx.TransportError:
            assert time.monotonic() < deadline, "the server did not start in 30 s"
            time.sleep(0.05)
        else:
            return


def test_the_snapshot_says_all_that_a_tablet_needs(demo_project: Path) -> None:
    with TestClient(make_app(Settings(demo_project, quick=True)), base_url="http://localhost") as c:
        found = c.get("/api/v1/clock").json()
    assert len(found["collars"]) == 25
    planned = [c for c in found["collars"] if c["planned"]]
    assert {c["connection"] for c in planned} == {
        name for shift in found["shifts"] for name in shift["connections"]
    }
    for collar in found["collars"]:
        assert 0 < collar["distance"] < 60
        assert collar["limits"]["latest_inflation"] < collar["limits"]["release"]
        assert collar["limits"]["pressure_low"] <= collar["pressure_set"]
        assert set(collar["governs"].values()) <= {"sheet", "computed"}
        assert collar["batch"]["packs"] >= 1
        assert all(len(pair) == 2 for pair in collar["cautions"])
    first = next(c for c in planned if c["connection"] == "T02-T03/07")
    assert (first["manhole"], first["against_flow"]) == ("T03", True)


def test_everything_that_a_tablet_keeps_is_there(client: TestClient) -> None:
    worker = client.get("/clock/sw.js")
    assert worker.headers["service-worker-allowed"] == "/clock"
    kept = json.loads(worker.text.split("const KEPT = ")[1].split(";\n")[0])
    assert {path: client.get(path).status_code for path in kept} == dict.fromkeys(kept, 200)
    page = client.get("/clock").text
    asked = set(re.findall(r'(?:src|href)="(/static/[^"]+)"', page))
    assert asked <= set(kept)
    for path in kept:
        if path.endswith(".mjs"):
            folder = path.rpartition("/")[0]
            names = re.findall(r'from "\./([^"]+)"', client.get(path).text)
            assert {f"{folder}/{name}" for name in names} <= set(kept)
    assert client.get("/clock/manifest.webmanifest").json()["scope"] == "/clock"


def test_an_installation_that_nobody_knows_is_not_found(client: TestClient) -> None:
    for name in ("A-B/01%231", "nothing", "%23", "A%2F..%2F..%2Fetc%231"):
        assert client.get(f"/clock/{name}").status_code == 404
    sent(client, event())
    assert client.get("/clock/A-B/01%231").status_code == 200
