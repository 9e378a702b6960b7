"""A kit that names readings of a cure, given over HTTP with and without them."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from teewright import demo
from teewright.web.app import make_app
from teewright.web.settings import Settings

KIT = demo.file(demo.KIT_FILE).replace(
    b'name = "Quick 20"', b'name = "Quick 20"\nreadings = "quick.csv"'
)
READINGS = b"temperature_c;time_min;conversion\n" + b"".join(
    f"{t};{pace * minutes:g};{share}\n".encode()
    for t, pace in ((10, 2.0), (20, 1.0), (30, 0.5))
    for minutes, share in ((5, 0.02), (20, 0.2), (40, 0.55), (60, 0.8), (90, 0.93), (150, 0.98))
)
AT = "/api/v1/documents"


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    app = make_app(Settings(tmp_path / "new.tee", quick=True))
    with TestClient(app, base_url="http://localhost") as made:
        yield made


def given(client: TestClient, **files: bytes) -> tuple[int, str]:
    """(status, what is said) of files given, `_` in their names for the dot."""
    answer = client.post(
        AT, files=[("files", (name.replace("_", "."), data)) for name, data in files.items()]
    )
    return answer.status_code, answer.text


def held(client: TestClient) -> list[tuple[str, str, int]]:
    return [(d["kind"], d["name"], d["version"]) for d in client.get(AT).json()]


def test_kit_and_readings_are_given_together_in_any_order(client: TestClient) -> None:
    assert given(client, quick_csv=READINGS, kit_toml=KIT)[0] == 201
    assert sorted(held(client)) == [("kit", "kit.toml", 1), ("readings", "quick.csv", 1)]
    page = client.get("/survey").text
    assert "readings of the cure" in page
    assert client.get("/survey/files/quick.csv").status_code == 200


def test_one_without_the_other_is_refused_in_one_sentence(client: TestClient) -> None:
    status, said = given(client, kit_toml=KIT)
    assert (status, "give quick.csv together with it" in said) == (422, True)
    status, said = given(client, quick_csv=READINGS)
    assert (status, "no resin of the kit names it" in said) == (422, True)
    assert held(client) == []


def test_readings_alone_later_take_the_place_of_those_before(client: TestClient) -> None:
    assert given(client, kit_toml=KIT, quick_csv=READINGS)[0] == 201
    status, said = given(client, quick_csv=READINGS + b"30;90;0.99\n")
    assert status == 201, said
    assert ("readings", "quick.csv", 2) in held(client)
    assert client.post(f"{AT}/readings/quick.csv/undo").status_code == 200
    refused = client.delete(f"{AT}/readings/quick.csv")
    assert (refused.status_code, "named by the kit" in refused.text) == (422, True)
    assert client.delete(f"{AT}/kit/kit.toml").status_code == 200
    assert held(client) == []
