"""What goes over the line compressed, and that a page tells nothing by its size."""

import gzip
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from teewright.web.app import make_app
from teewright.web.settings import Settings

PAGE = {"Accept": "text/html", "Accept-Encoding": "gzip"}


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    app = make_app(Settings(tmp_path / "job.tee"))
    with TestClient(app, base_url="http://localhost") as made:
        yield made


@pytest.mark.parametrize("path", ["/", "/static/vendor/three.js", "/static/tokens.css"])
def test_pages_scripts_and_styles_are_compressed(client: TestClient, path: str) -> None:
    packed = client.get(path, headers=PAGE)
    plain = client.get(path, headers={**PAGE, "Accept-Encoding": "identity"})
    assert packed.headers["content-encoding"] == "gzip"
    assert "accept-encoding" in packed.headers["vary"].lower()
    assert "content-encoding" not in plain.headers
    assert len(packed.text) == len(plain.text)
    if path != "/":
        assert packed.content == plain.content
    assert packed.num_bytes_downloaded < 0.6 * len(plain.content)


@pytest.mark.parametrize("path", ["/static/fonts/atkinson-next.woff2", "/static/mark.svg"])
def test_what_gains_nothing_is_sent_as_it_is(client: TestClient, path: str) -> None:
    assert "content-encoding" not in client.get(path, headers=PAGE).headers


def test_the_same_page_never_carries_the_same_token(client: TestClient) -> None:
    client.get("/", headers=PAGE)
    pages = [client.get("/", headers=PAGE).text for _ in range(5)]
    tokens = {page.split('data-csrf="')[1].split('"')[0] for page in pages}
    assert len(tokens) == 5
    sizes = {len(gzip.compress(page.encode())) for page in pages}
    assert max(sizes) - min(sizes) < 100
