"""Hostile files, through the API and through the form: refused with a sentence.

`benchmarks/hostile.py` tells how soon.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from teewright.web.app import make_app
from teewright.web.settings import Settings

HEAD = "upstream,downstream,chainage_m,clock,dn_mm,kind,open,defects,date,remark\n"
ROW = "A,B,1.0,3,150,junction,open,,2026-01-01,"
MILLION = 10**6
REFUSED: dict[str, bytes] = {
    "wide.csv": b",".join([b"c"] * MILLION) + b"\n",
    "wide row.csv": (HEAD.strip() + ",x" * MILLION + "\n" + ROW + ",1" * MILLION + "\n").encode(),
    "unlike.csv": ",".join(f"c{n}" for n in range(MILLION // 8)).encode() + b"\n",
    "long cell.csv": (HEAD + ROW + "r" * 10 * MILLION + "\n").encode(),
    "open quote.csv": (HEAD + ROW + '"' + "r\n" * MILLION).encode(),
    "nul.csv": (HEAD + ROW + "a\0b\n").encode(),
    "beyond.csv": (HEAD + ROW.replace("1.0", "1e999") + "\n").encode(),
    "digits.csv": (HEAD + ROW.replace("1.0", "9" * 100_000) + "\n").encode(),
    "wide.txt": b"#A1=Latin-1\n#B01=" + b"x;" * MILLION + b"\n",
    "outside.xml": b'<?xml version="1.0"?><!DOCTYPE a [<!ENTITY x SYSTEM "file:///etc/passwd">]>'
    b"<a>&x;</a>",
    "deep.xml": b"<a>" * MILLION,
    "deep.json": b"[" * MILLION,
    "digits.toml": b"x = " + b"9" * MILLION,
    "dots.toml": b"a" + b".a" * 400_000 + b" = 1\n",
    "quoted dots.toml": b'"a"' + b'."a"' * 200_000 + b" = 1\n",
}


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    with TestClient(make_app(Settings(tmp_path / "job.tee")), base_url="http://localhost") as made:
        yield made


@pytest.mark.parametrize("name", REFUSED)
def test_it_is_refused_by_api_and_form(client: TestClient, name: str) -> None:
    sent = [("files", (name, REFUSED[name]))]
    answer = client.post("/api/v1/documents", files=sent)
    assert answer.status_code == 422
    said = answer.json()["detail"]
    assert said.startswith(f"{name}")
    assert len(said) < 600
    assert "root:" not in said
    page = client.post("/survey/files", files=sent, headers={"accept": "text/html"})
    assert page.status_code == 422
    assert name in page.text
    assert len(page.text) < 50_000
    assert client.get("/api/v1/documents").json() == []


def test_bytes_that_are_no_utf_8_are_read_as_the_text_they_can_be(client: TestClient) -> None:
    data = (HEAD + ROW).encode() + b"\xff\xfe\x80 remark\n"
    assert client.post("/survey/files", files=[("files", ("a.csv", data))]).status_code == 200
    survey = client.get("/api/v1/survey").json()
    assert survey["connections"][0]["sightings"][0]["remark"].endswith(" remark")
    assert any(finding["place"]["file"] == "a.csv" for finding in survey["findings"])


def test_a_script_given_by_the_form_stays_text_on_every_page(client: TestClient) -> None:
    script = "<script>alert(1)</script><img src=x onerror=alert(1)>"
    data = (HEAD + ROW + script + "\n").encode()
    name = "<b>a.csv"
    assert client.post("/survey/files", files=[("files", (name, data))]).status_code == 200
    for path in ("/", "/survey", "/needs", "/survey/runs/A-B", f"/survey/files/{name}"):
        html = client.get(path, headers={"accept": "text/html"}).text
        assert "<script>alert" not in html, path
        assert "<img src=x" not in html, path
        assert "<b>a.csv" not in html, path
