"""Scripts, styles and fonts: compressed once, kept for good under an address of their content."""

import gzip
import os
from pathlib import Path

import pytest
from starlette.applications import Starlette
from starlette.routing import Mount
from starlette.testclient import TestClient

from teewright.web.assets import STATIC, Assets, assets

SCRIPT = "export const answer = 42;\n" * 40


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "inner").mkdir()
    (tmp_path / "inner" / "part.mjs").write_text(SCRIPT)
    (tmp_path / "small.css").write_text("a{color:red}" * 40)
    (tmp_path / "face.woff2").write_bytes(b"wOF2" * 400)
    (tmp_path / "secret.toml").write_text("key = 1")
    return tmp_path


@pytest.fixture
def made(folder: Path) -> Assets:
    return Assets(folder)


@pytest.fixture
def client(made: Assets) -> TestClient:
    app = Starlette(routes=[Mount("/static", made)])
    return TestClient(app, headers={"accept-encoding": "identity"})


def test_what_has_the_address_of_its_content_is_kept_for_good(
    client: TestClient, made: Assets
) -> None:
    answer = client.get(f"{made.address}/inner/part.mjs")
    assert answer.text == SCRIPT
    assert answer.headers["content-type"].startswith("text/javascript")
    assert "immutable" in answer.headers["cache-control"]
    assert answer.headers["cache-control"].startswith("public, max-age=31536000")


def test_a_bare_name_and_an_old_address_are_asked_for_again(client: TestClient) -> None:
    for path in ("/static/inner/part.mjs", "/static/~0123456789abcdef/inner/part.mjs"):
        answer = client.get(path)
        assert answer.text == SCRIPT
        assert answer.headers["cache-control"] == "no-cache"
        again = client.get(path, headers={"if-none-match": answer.headers["etag"]})
        assert again.status_code == 304
        assert again.content == b""
        assert again.headers["etag"] == answer.headers["etag"]


def test_the_address_changes_with_any_file(client: TestClient, made: Assets, folder: Path) -> None:
    before = made.address
    assert made.address == before
    old = client.get(f"{before}/inner/part.mjs")
    other = SCRIPT.replace("42", "43")
    (folder / "inner" / "part.mjs").write_text(other)
    os.utime(folder / "inner" / "part.mjs", ns=(1, 1))
    assert made.address != before
    fresh = client.get(f"{made.address}/inner/part.mjs")
    assert fresh.text == other
    assert fresh.headers["etag"] != old.headers["etag"]
    late = client.get(f"{before}/inner/part.mjs")  # a page that was open meanwhile
    assert late.text == other
    assert late.headers["cache-control"] == "no-cache"


def test_each_is_compressed_once_and_only_for_whom_understands_it(
    client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    packed: list[int] = []

    def counted(data: bytes, *args: object, **named: object) -> bytes:
        packed.append(len(data))
        return real(data, *args, **named)  # type: ignore[arg-type]

    real = gzip.compress
    monkeypatch.setattr(gzip, "compress", counted)
    understood = {"accept-encoding": "gzip"}
    answers = [client.get("/static/inner/part.mjs", headers=understood) for _ in range(3)]
    assert packed.count(len(SCRIPT)) == 1
    for answer in answers:
        assert answer.headers["content-encoding"] == "gzip"
        assert answer.headers["vary"] == "Accept-Encoding"
        assert int(answer.headers["content-length"]) < len(SCRIPT) / 4
        assert answer.text == SCRIPT
    plain = client.get("/static/inner/part.mjs")
    assert "content-encoding" not in plain.headers
    assert plain.headers["vary"] == "Accept-Encoding"
    assert plain.headers["etag"] != answers[0].headers["etag"]


def test_what_gains_nothing_is_sent_as_it_is(client: TestClient) -> None:
    for name, kind in (("small.css", "text/css"), ("face.woff2", "font/woff2")):
        answer = client.get(f"/static/{name}", headers={"accept-encoding": "gzip"})
        assert "content-encoding" not in answer.headers, name
        assert answer.headers["content-type"].startswith(kind)


def test_nothing_else_is_served_and_nothing_is_taken(client: TestClient) -> None:
    for path in ("/static/secret.toml", "/static/none.css", "/static/inner", "/static/", "/static"):
        assert client.get(path).status_code == 404, path
    assert client.post("/static/small.css").status_code == 405


def test_a_file_that_came_later_is_found(client: TestClient, folder: Path) -> None:
    assert client.get("/static/later.css").status_code == 404
    (folder / "later.css").write_text("b{}")
    assert client.get("/static/later.css").text == "b{}"


def test_every_file_of_the_pages_is_served() -> None:
    client = TestClient(Starlette(routes=[Mount("/static", assets())]))
    named = [path.relative_to(STATIC) for path in STATIC.rglob("*") if path.is_file()]
    assert len(named) > 50
    for name in named:
        assert client.get(f"/static/{name.as_posix()}").content == (STATIC / name).read_bytes()
