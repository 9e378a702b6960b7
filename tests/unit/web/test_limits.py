import asyncio
from concurrent.futures import ThreadPoolExecutor

import pytest
from starlette.exceptions import HTTPException
from starlette.types import Message, Receive, Scope, Send

from teewright.web.guard import limits
from teewright.web.guard.limits import FORGOTTEN, FREE, LONGEST_WAIT, BodyLimit, Waits


class Clock:
    def __init__(self) -> None:
        self.now = 1000.0

    def __call__(self) -> float:
        return self.now


def test_the_first_tries_are_free_then_the_wait_doubles_up_to_its_end() -> None:
    clock = Clock()
    waits = Waits(clock)
    seen = []
    for _ in range(14):
        assert waits.left("AB") == 0.0
        waits.tried("AB")
        seen.append(waits.left("AB"))
        clock.now += seen[-1]
    assert seen[:FREE] == [0.0] * FREE
    assert seen[FREE : FREE + 4] == [2.0, 4.0, 8.0, 16.0]
    assert seen[-1] == LONGEST_WAIT
    assert seen == sorted(seen)


def test_another_name_does_not_wait() -> None:
    waits = Waits(Clock())
    for _ in range(9):
        waits.tried("AB")
    assert waits.left("AB") > 0.0
    assert waits.left("CD") == 0.0


def test_it_is_forgotten_after_a_while_or_when_asked() -> None:
    clock = Clock()
    waits = Waits(clock)
    for _ in range(9):
        waits.tried("AB")
        waits.tried("CD")
    clock.now += FORGOTTEN + 1.0
    assert waits.left("AB") == 0.0
    waits.tried("AB")
    assert waits.left("AB") == 0.0
    for _ in range(9):
        waits.tried("AB")
    waits.forget("AB")
    assert waits.left("AB") == 0.0


def test_one_right_try_takes_one_back_and_not_all() -> None:
    waits = Waits(Clock())
    for _ in range(FREE + 2):
        waits.tried("address")
    before = waits.left("address")
    waits.undo("address")
    assert 0.0 < waits.left("address") < before


def test_not_more_than_so_many_are_remembered(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(limits, "REMEMBERED", 5)
    waits = Waits(Clock())
    for number in range(40):
        for _ in range(FREE + 1):
            waits.tried(f"name {number}")
    assert sum(waits.left(f"name {number}") > 0.0 for number in range(40)) == 5
    assert waits.left("name 39") > 0.0


def taken(parts: list[bytes], headers: list[tuple[bytes, bytes]], largest: int) -> bytes:
    """What an application behind the limit gets of a body."""
    got: list[bytes] = []

    async def app(_scope: Scope, receive: Receive, _send: Send) -> None:
        more = True
        while more:
            message = await receive()
            got.append(message["body"])
            more = message["more_body"]

    async def receive() -> Message:
        body = parts.pop(0)
        return {"type": "http.request", "body": body, "more_body": bool(parts)}

    async def send(_: Message) -> None:
        raise AssertionError

    scope: Scope = {"type": "http", "method": "POST", "path": "/needs", "headers": headers}
    # a loop of its own: the thread of the tests may have the browser's
    with ThreadPoolExecutor(1) as pool:
        pool.submit(asyncio.run, BodyLimit(app, largest=largest)(scope, receive, send)).result()
    return b"".join(got)


@pytest.mark.parametrize("first", [[], [b"ab"]])
def test_a_body_whose_rest_never_comes_is_not_waited_for(first: list[bytes]) -> None:
    async def app(_scope: Scope, receive: Receive, _send: Send) -> None:
        while (await receive())["more_body"]:
            pass

    async def receive() -> Message:
        if not first:
            await asyncio.Event().wait()
        return {"type": "http.request", "body": first.pop(), "more_body": True}

    async def send(_: Message) -> None:
        raise AssertionError

    limit = BodyLimit(app, largest=10, silence=0.01)
    scope = {"type": "http", "method": "POST", "path": "/needs", "headers": []}
    with ThreadPoolExecutor(1) as pool, pytest.raises(HTTPException) as refused:
        pool.submit(asyncio.run, limit(scope, receive, send)).result()
    assert refused.value.status_code == 408


def test_who_waits_for_more_after_a_whole_body_is_left_waiting() -> None:
    parts: list[Message] = [{"type": "http.request", "body": b"ab", "more_body": False}]

    async def app(_scope: Scope, receive: Receive, _send: Send) -> None:
        assert (await receive())["body"] == b"ab"
        assert (await receive())["type"] == "http.disconnect"

    async def receive() -> Message:
        if not parts:
            await asyncio.sleep(0.1)  # ten times as long as a silence
            return {"type": "http.disconnect"}
        return parts.pop()

    async def send(_: Message) -> None:
        raise AssertionError

    limit = BodyLimit(app, largest=10, silence=0.01)
    scope = {"type": "http", "method": "POST", "path": "/needs", "headers": []}
    with ThreadPoolExecutor(1) as pool:
        pool.submit(asyncio.run, limit(scope, receive, send)).result()


def test_a_body_up_to_the_limit_passes_whole() -> None:
    assert taken([b"ab", b"cd"], [], 4) == b"abcd"
    assert taken([b"abcd"], [(b"content-length", b"4")], 4) == b"abcd"


@pytest.mark.parametrize(
    ("parts", "headers"),
    [
        ([b"ab", b"cd", b"e"], []),
        ([b"abcde"], [(b"content-length", b"5")]),
        ([b"abcde"], [(b"content-length", b"1")]),
        ([b"a"], [(b"content-length", b"-1")]),
        ([b"a"], [(b"content-length", b"1e9")]),
    ],
)
def test_a_larger_one_is_refused_whatever_it_says_of_itself(
    parts: list[bytes], headers: list[tuple[bytes, bytes]]
) -> None:
    with pytest.raises(HTTPException) as refused:
        taken(parts, headers, 4)
    assert refused.value.status_code == 413
