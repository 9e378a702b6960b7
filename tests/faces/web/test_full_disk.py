"""A disk that is full, a quota, a file that may not be written: told, and nothing half written."""

import base64
import hashlib
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx
import httpx2
import pytest
from fastapi.testclient import TestClient

from faces.web.conftest import free_port
from teewright import demo
from teewright.formats.log_json import read_log
from teewright.site.chain import verify
from teewright.store.attachments import attachment
from teewright.store.project import Project
from teewright.web.app import make_app
from teewright.web.office import Office
from teewright.web.problems import MEDIA_TYPE
from teewright.web.settings import Settings

EVENTS = "/api/v1/events"
LIMITED = """
import resource, sys
from teewright.main import main

most = int(sys.argv[1])
resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))
sys.argv = ["teewright", "serve", *sys.argv[2:]]
main()
"""
"""The server itself, under a limit on the size of files, as a quota is one."""
pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="has no such limits")


def entry(number: int, size: int = 0) -> dict[str, Any]:
    """An entry, with a photo of so many bytes."""
    one: dict[str, Any] = {
        "id": f"n-{number}", "installation": "A-B/01#1", "kind": "note", "sequence": number,
        "at": "2027-05-03T20:30:00.000+02:00", "device": "tablet-1", "person": "crew",
        "data": [["text", f"note {number}"]], "attachments": [],
    }  # fmt: skip
    if size:
        photo = number.to_bytes(4, "big") * (size // 4)
        sha = hashlib.sha256(photo).hexdigest()
        one["data"].append(["photo", sha])
        sent = {"sha256": sha, "media_type": "image/jpeg", "data": base64.b64encode(photo).decode()}
        one["attachments"].append(sent)
    return one


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "job.tee"


@pytest.fixture
def client(path: Path) -> Iterator[TestClient]:
    with TestClient(make_app(Settings(path, quick=True)), base_url="http://localhost") as made:
        yield made


def pragma(client: TestClient, text: str) -> Any:
    """Set something of the connection of the server."""
    office: Office = client.app.state.office  # type: ignore[attr-defined]  # typed as any app

    def act(project: Project) -> Any:
        with project.reading() as connection:
            found = connection.exec_driver_sql(f"PRAGMA {text}")
            return found.scalar() if found.returns_rows else None

    return office.desk.ask(act)


def is_refused(answer: httpx.Response | httpx2.Response, why: str) -> None:
    assert answer.status_code == 507, answer.text
    assert answer.headers["content-type"] == MEDIA_TYPE
    assert why in answer.json()["detail"]
    assert answer.json()["detail"].count(". ") == 0


def logged(client: TestClient) -> list[str]:
    found = read_log(client.get("/api/v1/log").content)
    assert found.whole
    return [event.id for event in found.events]


def test_a_full_disk_is_told_at_every_write_and_the_log_can_be_saved(client: TestClient) -> None:
    assert client.post(EVENTS, json={"events": [entry(1, 1000)]}).json()["answers"][0]["kept"]
    pages = pragma(client, "page_count")
    pragma(client, f"max_page_count = {pages + 2}")
    many = [entry(2), entry(3, 200_000), entry(4)]
    is_refused(client.post(EVENTS, json={"events": many}), "the disk is full")
    assert logged(client) == ["n-1"]
    runs = ("files", ("runs.csv", demo.file("runs.csv") + b"\n" * 100_000))
    rest = [("files", (name, demo.file(name))) for name in demo.SURVEY_FILES if name != "runs.csv"]
    kit = ("files", ("kit.toml", demo.file(demo.KIT_FILE)))
    is_refused(client.post("/api/v1/documents", files=[*rest, kit, runs]), "the disk is full")
    assert client.get("/api/v1/documents").json() == []
    for address in ("/", "/clock", "/survey", "/proof"):
        assert client.get(address, headers={"accept": "text/html"}).status_code == 200, address
    # once there is room again, what was refused is sent again and arrives
    pragma(client, f"max_page_count = {pages + 10_000}")
    told = client.post(EVENTS, json={"events": many}).json()["answers"]
    assert [answer["kept"] for answer in told] == [True] * 3
    assert logged(client) == ["n-1", "n-2", "n-3", "n-4"]


def test_a_file_that_became_read_only_is_told(client: TestClient) -> None:
    client.post(EVENTS, json={"events": [entry(1)]})
    pragma(client, "query_only = ON")
    is_refused(client.post(EVENTS, json={"events": [entry(2)]}), "read-only")
    assert logged(client) == ["n-1"]
    pragma(client, "query_only = OFF")
    assert client.post(EVENTS, json={"events": [entry(2)]}).json()["answers"][0]["kept"]


def test_an_answer_that_cannot_be_kept_is_given_all_the_same(client: TestClient) -> None:
    """The write was done: to say that it failed would have it done again."""
    office: Office = client.app.state.office  # type: ignore[attr-defined]  # typed as any app

    pragma(client, "query_only = ON")
    answer = client.post("/api/v1/tasks/design", headers={"Idempotency-Key": "k"})
    assert answer.status_code == 202
    assert answer.json()["name"] == "design"
    assert len(office.tasks.all()) == 1


def until_up(address: str, server: "subprocess.Popen[bytes]") -> None:
    limit = time.monotonic() + 60.0
    while True:
        assert time.monotonic() < limit, "the server did not start in 60 s"
        assert server.poll() is None, "the server ended by itself"
        try:
            httpx.get(address).raise_for_status()
        except httpx.TransportError:
            time.sleep(0.05)
        else:
            return


def test_a_server_at_its_quota_keeps_what_it_answered_and_nothing_else(path: Path) -> None:
    Project.create(path).close()
    port, most = free_port(), 600_000
    command = [sys.executable, "-c", LIMITED, str(most), str(path), "--port", str(port)]
    kept: list[dict[str, Any]] = []
    refused = 0
    with subprocess.Popen(command, stdout=subprocess.DEVNULL) as server:
        address = f"http://localhost:{port}"
        try:
            until_up(address + EVENTS, server)
            for number in range(1, 60):
                one = entry(number, 60_000)
                answer = httpx.post(address + EVENTS, json={"events": [one]}, timeout=30.0)
                if answer.status_code == 200:
                    assert answer.json()["answers"][0]["kept"]
                    kept.append(one)
                else:
                    refused += 1
                    is_refused(answer, "job.tee cannot")
            saved = httpx.get(f"{address}/api/v1/log").content
        finally:
            server.kill()
    assert len(kept) >= 3
    assert refused >= 3
    found = read_log(saved)
    assert found.whole
    assert [event.id for event in found.events] == [one["id"] for one in kept]
    assert path.stat().st_size <= most
    with Project.open(path) as project:  # with room again
        events = project.events()
        verify(events)
        assert events == found.events
        for one in kept:
            for sent in one["attachments"]:
                assert (
                    base64.b64encode(attachment(project, sent["sha256"]).data).decode()
                    == (sent["data"])
                )
