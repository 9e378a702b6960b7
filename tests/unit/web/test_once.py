"""A write that is sent twice under the same key."""

import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient
from httpx2 import Response
from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Receive, Scope, Send

from teewright.errors import InputError, StoreError
from teewright.store.answers import Answer, answered, keep_answer
from teewright.store.project import Project
from teewright.web.desk import Desk
from teewright.web.guard import once
from teewright.web.guard.headers import Headed
from teewright.web.guard.once import KEY, Once
from teewright.web.guard.roles import Asker, Role
from teewright.web.settings import Settings


class Counted:
    """An application that counts what it did."""

    def __init__(self) -> None:
        self.done: list[dict[str, object]] = []
        self.fails = False
        self.goes_on = threading.Event()
        self.goes_on.set()
        self.entered = threading.Event()

    def write(self, body: dict[str, object]) -> dict[str, object]:
        self.entered.set()
        assert self.goes_on.wait(10.0)
        if self.fails:
            raise HTTPException(422, "It does not fit.")
        self.done.append(body)
        return {"number": len(self.done)}


@pytest.fixture
def counted() -> Counted:
    return Counted()


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with Desk(tmp_path / "job.tee") as made:
        yield made


@pytest.fixture
def client(desk: Desk, counted: Counted) -> TestClient:
    app = FastAPI()
    app.post("/api/v1/write")(counted.write)
    app.post("/api/v1/events")(counted.write)

    @app.post("/api/v1/document")
    def document(body: dict[str, str]) -> dict[str, int]:
        return documented(desk, body)

    app.add_middleware(Once, desk=desk)

    app.add_middleware(Named)
    app.add_middleware(Headed, settings=Settings(desk.path, hosts=("testserver",)))
    return TestClient(app)


def documented(desk: Desk, body: dict[str, str]) -> dict[str, int]:
    """Give a document to the project and tell how many there are."""

    def act(project: Project) -> None:
        project.add_document("survey", body["name"], body["name"].encode())
        if body["name"] == "bad":
            raise InputError("is not allowed", field="name", value="bad")

    desk.write(act)
    if body["name"] == "late":
        raise HTTPException(500, "It broke after the write.")
    return {"documents": len(desk.ask(lambda project: project.documents()))}


def give(client: TestClient, key: str, name: str) -> Response:
    return client.post("/api/v1/document", json={"name": name}, headers={KEY: key})


def names(desk: Desk) -> list[str]:
    return [document.name for document in desk.ask(lambda project: project.documents())]


class Named:
    """Says who asks, as the door does."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "http":
            name = dict(scope["headers"]).get(b"x-name", b"AB").decode()
            scope.setdefault("state", {})["person"] = Asker(name, Role.ENGINEER, signed_in=True)
        await self._app(scope, receive, send)


def send(client: TestClient, key: str, body: object, **headers: str) -> Response:
    return client.post("/api/v1/write", json=body, headers={KEY: key, **headers})


def test_the_same_again_is_done_once_and_answered_the_same(
    client: TestClient, counted: Counted
) -> None:
    first, again = send(client, "k1", {"a": 1}), send(client, "k1", {"a": 1})
    assert first.json() == again.json() == {"number": 1}
    assert "idempotency-replayed" not in first.headers
    assert again.headers["idempotency-replayed"] == "true"
    assert len(counted.done) == 1
    assert send(client, "k2", {"a": 1}).json() == {"number": 2}


def test_it_is_remembered_by_the_file(client: TestClient, desk: Desk, counted: Counted) -> None:
    send(client, "k1", {"a": 1})
    with Once(client.app, desk=desk)._alone("k1"):
        pass
    assert send(client, "k1", {"a": 1}).headers["idempotency-replayed"] == "true"
    assert len(counted.done) == 1


def test_the_key_belongs_to_one_request_of_one_person(client: TestClient, counted: Counted) -> None:
    send(client, "k1", {"a": 1})
    for answer in (send(client, "k1", {"a": 2}), send(client, "k1", {"a": 1}, **{"X-Name": "CD"})):
        assert answer.status_code == 422
        assert "another request" in answer.text
    assert len(counted.done) == 1


def test_what_failed_may_be_tried_again(client: TestClient, counted: Counted) -> None:
    counted.fails = True
    assert send(client, "k1", {"a": 1}).status_code == 422
    counted.fails = False
    assert send(client, "k1", {"a": 1}).json() == {"number": 1}


def test_the_same_key_at_the_same_time_is_told_to_wait(
    client: TestClient, counted: Counted
) -> None:
    counted.goes_on.clear()
    with ThreadPoolExecutor(1) as pool:
        first = pool.submit(send, client, "k1", {"a": 1})
        assert counted.entered.wait(10.0)
        second = send(client, "k1", {"a": 1})
        counted.goes_on.set()
        assert first.result().json() == {"number": 1}
    assert second.status_code == 409
    assert len(counted.done) == 1


def test_events_and_writes_without_a_key_pass(client: TestClient, counted: Counted) -> None:
    for _ in range(2):
        assert client.post("/api/v1/events", json={}, headers={KEY: "k1"}).status_code == 200
        assert client.post("/api/v1/write", json={}).status_code == 200
    assert len(counted.done) == 4


@pytest.mark.parametrize("key", ["", " ", "x" * 201])
def test_a_key_that_is_none_is_refused(client: TestClient, counted: Counted, key: str) -> None:
    assert send(client, key, {"a": 1}).status_code == 422
    assert counted.done == []


def test_a_key_goes_with_json_only(client: TestClient, counted: Counted) -> None:
    answer = client.post("/api/v1/write", files={"f": b"x"}, headers={KEY: "k1"})
    assert answer.status_code == 422
    assert "JSON" in answer.text
    assert counted.done == []


def test_a_write_whose_answer_is_lost_is_not_done_again(
    client: TestClient, desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As where power fails between the write and the keeping of its answer."""

    def no_power(*_: object) -> None:
        raise StoreError("no power")

    with monkeypatch.context() as patched:
        patched.setattr(once, "keep_answer", no_power)
        assert give(client, "k1", "a").json() == {"documents": 1}
    give(client, "k2", "b")
    desk.ask(lambda project: project.remove_document("survey", "a"))
    again = give(client, "k1", "a")
    assert again.status_code == 409
    assert "what was answered then is lost" in again.text
    assert names(desk) == ["b"]
    assert give(client, "k2", "b").headers["idempotency-replayed"] == "true"


def test_what_broke_after_its_write_is_not_done_again(client: TestClient, desk: Desk) -> None:
    assert give(client, "k1", "late").status_code == 500
    desk.ask(lambda project: project.remove_document("survey", "late"))
    assert give(client, "k1", "late").status_code == 409
    assert names(desk) == []


def test_a_write_that_was_refused_leaves_no_note(client: TestClient, desk: Desk) -> None:
    assert give(client, "k1", "bad").status_code == 422
    assert names(desk) == []
    assert give(client, "k1", "bad").status_code == 422  # tried again, not said to be done


def test_the_note_and_the_write_are_one_transaction(desk: Desk) -> None:
    def fails(project: Project) -> None:
        project.add_document("survey", "a", b"a")
        keep_answer(project, "k1", "hash", Answer(200, "{}"))
        raise InputError("is not allowed")

    with pytest.raises(InputError):
        desk.write(fails)
    assert desk.ask(lambda project: answered(project, "k1", "hash")) is None
    assert names(desk) == []
