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

    scope: Scope = {"type": "http", "headers": headers}
    # a loop of its own: the thread of the tests may have the browser's
    with ThreadPoolExecutor(1) as pool:
        pool.submit(asyncio.run, BodyLimit(app, largest=largest)(scope, receive, send)).result()
    return b"".join(got)


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
