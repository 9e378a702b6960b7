"""Files given over the API: told apart, all or none, and hostile ones do no harm."""

import hashlib
import io
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from teewright import demo
from teewright.web.app import make_app
from teewright.web.settings import Settings

HEAD = "upstream,downstream,chainage_m,clock,dn_mm,kind,open,defects,date,remark\n"
ENTITIES = (
    b'<?xml version="1.0"?><!DOCTYPE a [<!ENTITY a "aaaaaaaaaa">'
    + b"".join(b'<!ENTITY a%d "%s">' % (k, b"&a;" * 10) for k in range(9))
    + b"]><survey>&a8;</survey>"
)


def bomb() -> bytes:
    """A small archive that unpacks to 200 MB."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/workbook.xml", b"0" * 200_000_000)
    return made.getvalue()


@pytest.fixture
def project(tmp_path: Path) -> Path:
    return tmp_path / "job.tee"


@pytest.fixture
def client(project: Path) -> Iterator[TestClient]:
    app = make_app(Settings(project, quick=True, largest_upload=2 * 2**20))
    with TestClient(app, base_url="http://localhost") as made:
        yield made


Files = dict[str, bytes]
DEMO: Files = {
    **{name: demo.file(name) for name in demo.SURVEY_FILES},
    "kit.toml": demo.file(demo.KIT_FILE),
    "site.toml": demo.file(demo.SITE_FILE),
}


def give(client: TestClient, files: Files) -> tuple[int, object]:
    answer = client.post(
        "/api/v1/documents", files=[("files", (name, data)) for name, data in files.items()]
    )
    return answer.status_code, answer.json()


def names(client: TestClient) -> list[str]:
    return [f"{d['kind']}/{d['name']}" for d in client.get("/api/v1/documents").json()]


def test_all_files_of_a_job_are_told_apart(client: TestClient) -> None:
    status, _ = give(client, DEMO)
    assert status == 201
    surveys = [f"survey/{name}" for name in demo.SURVEY_FILES]
    assert names(client) == [*surveys, "kit/kit.toml", "site/site.toml"]
    assert len(client.get("/api/v1/survey").json()["connections"]) == 35


def test_one_bad_file_among_good_ones_and_none_is_taken(client: TestClient) -> None:
    bad = demo.file("runs.csv").replace(b"47.20", b"long")
    status, told = give(client, {**DEMO, "bad.csv": bad})
    assert status == 422
    assert isinstance(told, dict)
    assert told["faults"] == [{"file": "bad.csv", "said": told["detail"]}]
    assert "bad.csv, line 2" in told["detail"]
    assert names(client) == []


def test_every_bad_file_is_told(client: TestClient) -> None:
    status, told = give(client, {"a.csv": b"what,is,this\n", "b.pdf": b"%PDF-1.7", "c": b""})
    assert status == 422
    assert isinstance(told, dict)
    assert [fault["file"] for fault in told["faults"]] == ["a.csv", "b.pdf", "c"]


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("bomb.xml", ENTITIES),
        ("bomb.xlsx", bomb()),
        ("nul.csv", b"\0" * 1000),
        ("deep.toml", b"a = " + b"[" * 5000),
        ("random.bin", bytes(range(256)) * 50),
    ],
)
def test_a_hostile_file_is_refused_with_a_sentence(
    client: TestClient, name: str, data: bytes
) -> None:
    status, told = give(client, {name: data})
    assert status == 422
    assert isinstance(told, dict)
    assert told["faults"][0]["file"] == name
    assert 10 < len(told["detail"]) < 600
    assert "Traceback" not in told["detail"]
    assert names(client) == []


def test_a_file_over_the_limit_is_refused(client: TestClient) -> None:
    large = HEAD + "A,B,1.0,3,150,junction,open,,2026-01-01,x\n" * 60_000
    assert len(large) > 2 * 2**20
    status, told = give(client, {"large.csv": large.encode()})
    assert status in {413, 422}
    assert isinstance(told, dict)
    assert "large" in told["detail"]
    assert names(client) == []


@pytest.mark.parametrize(
    ("sent", "kept"),
    [("../../../etc/cron.d/x.csv", "x.csv"), ("C:\\a\\b.csv", "b.csv"), ("a\u202eb.csv", "ab.csv")],
)
def test_a_path_as_name_is_cut_down_to_its_last_part(
    client: TestClient, tmp_path: Path, sent: str, kept: str
) -> None:
    before = sorted(tmp_path.iterdir())
    status, _ = give(client, {sent: DEMO["connections.csv"]})
    assert status == 201
    assert names(client) == [f"survey/{kept}"]
    assert [p for p in sorted(tmp_path.iterdir()) if p not in before] == []


def test_formula_cells_and_scripts_stay_what_they_are(client: TestClient) -> None:
    remarks = ['=HYPERLINK("http://x")', "+1+1", "@SUM(A1)", "<script>alert(1)</script>"]
    quoted = [remark.replace('"', '""') for remark in remarks]
    lines = [
        f'A,B,{10 * k + 5}.0,3,150,junction,open,,2026-01-01,"{remark}"'
        for k, remark in enumerate(quoted)
    ]
    status, _ = give(client, {"a.csv": (HEAD + "\n".join(lines) + "\n").encode()})
    assert status == 201
    found = client.get("/api/v1/survey").json()["connections"]
    assert [c["sightings"][0]["remark"] for c in found] == remarks
    for path in ("/survey", "/needs", "/survey/runs/A-B", "/survey/files/a.csv"):
        html = client.get(path, headers={"accept": "text/html"}).text
        assert "<script>alert" not in html


def test_two_of_one_name_or_two_kits_at_once_are_refused(client: TestClient) -> None:
    kit = DEMO["kit.toml"]
    answer = client.post(
        "/api/v1/documents", files=[("files", ("a/r.csv", b"x")), ("files", ("k.toml", kit)),
                                    ("files", ("l.toml", kit))],
    )  # fmt: skip
    assert answer.status_code == 422
    assert any(fault["file"] == "l.toml" for fault in answer.json()["faults"])
    twice = [("files", ("a/r.csv", DEMO["runs.csv"])), ("files", ("b/r.csv", DEMO["runs.csv"]))]
    answer = client.post("/api/v1/documents", files=twice)
    assert answer.status_code == 422
    assert "r.csv" in answer.json()["detail"]


def test_out_and_back(client: TestClient) -> None:
    give(client, DEMO)
    assert client.delete("/api/v1/documents/survey/runs.csv").status_code == 200
    assert "survey/runs.csv" not in names(client)
    assert client.delete("/api/v1/documents/survey/runs.csv").status_code == 404
    assert client.post("/api/v1/documents/survey/runs.csv/undo").status_code == 200
    assert "survey/runs.csv" in names(client)
    assert client.post("/api/v1/documents/survey/none.csv/undo").status_code == 404
    assert client.post("/api/v1/documents/option/options.json/undo").status_code == 404
    assert client.delete("/api/v1/documents/option/options.json").status_code == 404
    held = {d["name"]: d for d in client.get("/api/v1/documents").json()}
    assert held["runs.csv"]["sha256"] == hashlib.sha256(DEMO["runs.csv"]).hexdigest()
    assert held["runs.csv"]["version"] == 2


def test_corrections_come_go_and_answer(client: TestClient) -> None:
    give(client, DEMO)
    asked = {"act": "decide", "connection": "T01-T02/01", "need": "leave"}
    answer = client.post("/api/v1/corrections", json={"what": asked, "why": "asked for"})
    assert answer.status_code == 201
    assert answer.json()["what"]["connection"]["run"] == "T01-T02"
    verdict = client.get("/api/v1/needs").json()["verdicts"][0]
    assert (verdict["need"], verdict["reasons"][0]["rule"]) == ("leave", "decided-by-hand")
    assert len(client.get("/api/v1/corrections").json()) == 1
    assert client.delete("/api/v1/corrections/last").json()["why"] == "asked for"
    assert client.delete("/api/v1/corrections/last").json() is None
    assert client.get("/api/v1/needs").json()["verdicts"][0]["need"] == "seal"


@pytest.mark.parametrize(
    ("what", "status"),
    [
        ({"act": "decide", "connection": "T01-T02/99", "need": "leave"}, 404),
        ({"act": "decide", "connection": "T01-T02/01", "need": "burn"}, 422),
        ({"act": "set", "connection": "T01-T02/01", "field": "clock", "value": 13}, 422),
        ({"act": "set", "connection": "T01-T02/01", "field": "id", "value": 1}, 422),
        ({"act": "split", "connection": "T01-T02/01", "sighting": 0}, 422),
        ({"act": "split", "connection": "T02-T03/03", "sighting": 9}, 404),
        ({"act": "join", "connection": "T01-T02/01", "other": "T02-T03/01"}, 422),
        ({"act": "join", "connection": "T01-T02/01", "other": "T01-T02/01"}, 422),
        ({"act": "set run", "run": "X-Y", "field": "lined", "value": True}, 404),
        ({"act": "forget"}, 422),
    ],
)
def test_corrections_that_cannot_be_are_refused_and_nothing_is_kept(
    client: TestClient, what: dict[str, object], status: int
) -> None:
    give(client, DEMO)
    answer = client.post("/api/v1/corrections", json={"what": what})
    assert answer.status_code == status
    assert answer.headers["content-type"] == "application/problem+json"
    assert client.get("/api/v1/corrections").json() == []


@pytest.mark.parametrize(
    "path", ["/survey/runs/none", "/survey/files/none.txt", "/survey/files/..%2Fjob.tee"]
)
def test_what_is_not_there_is_said_to_be_so(client: TestClient, path: str) -> None:
    for given in ({}, DEMO):
        if given:
            give(client, given)
        assert client.get(path, headers={"accept": "text/html"}).status_code == 404
