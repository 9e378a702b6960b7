"""The page of an error says what it means for what was asked, and no more."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from teewright.web.app import make_app
from teewright.web.settings import Settings
from teewright.web.texts import text

BACK = text("common.problem.back")


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    app = make_app(Settings(tmp_path / "job.tee"))
    with TestClient(app, base_url="http://localhost", headers={"accept": "text/html"}) as client:
        yield client


def test_who_only_looked_has_nothing_to_mend(client: TestClient) -> None:
    answer = client.get("/no/such/page")
    assert answer.status_code == 404
    assert text("common.problem.title") in answer.text
    assert BACK not in answer.text


def test_what_was_refused_changed_nothing(client: TestClient) -> None:
    token = re.search(r'data-csrf="([^"]+)"', client.get("/survey").text)
    assert token is not None
    answer = client.post("/collars/-/cutting", data={"csrf": token[1]})
    assert answer.status_code == 409
    assert BACK in answer.text


def test_the_guard_says_so_in_its_own_words_once(client: TestClient) -> None:
    answer = client.post("/collars/-/cutting", headers={"origin": "http://evil.example"})
    assert answer.status_code == 403
    assert answer.text.casefold().count("nothing was changed") == 1


def test_its_own_mark_is_there(client: TestClient) -> None:
    page = client.get("/no/such/page").text
    mark = page.partition('rel="icon" href="')[2].partition('"')[0]
    assert client.get(mark).headers["content-type"].startswith("image/svg+xml")
