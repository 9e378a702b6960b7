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

from teewright.web.desk import Desk
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
    app.add_middleware(Once, desk=desk)

    app.add_middleware(Named)
    app.add_middleware(Headed, settings=Settings(desk.path, hosts=("testserver",)))
    return TestClient(app)


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
