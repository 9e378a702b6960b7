"""Whatever a page can do a program can do as well: each write of a page has its twin."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from faces.web.signing import BROWSER, routes, signed_in, token, with_people
from teewright import demo
from teewright.errors import InputError
from teewright.web.app import make_app
from teewright.web.assets import STATIC
from teewright.web.guard.roles import SAFE, rule_of
from teewright.web.office import Office
from teewright.web.problems import MEDIA_TYPE
from teewright.web.render import TEMPLATES
from teewright.web.settings import Settings
from teewright.web.tasks import Told

Route = tuple[str, str]
TWINS: dict[str, str] = {
    "/tasks/design": "POST /api/v1/tasks/design",
    "/tasks/plan": "POST /api/v1/tasks/plan",
    "/tasks/x/dismiss": "POST /api/v1/tasks/x/dismiss",
    "/tasks/x/cancel": "POST /api/v1/tasks/x/cancel",
    "/collars/-/make": "POST /api/v1/collars/make",
    "/collars/-/stop": "POST /api/v1/tasks/x/cancel",
    "/collars/-/cutting": "POST /api/v1/collars/cutting",
    "/programme/part": "POST /api/v1/programme/try",
    "/programme/keep": "PUT /api/v1/programme",
    "/programme/replan": "POST /api/v1/programme/replan",
    "/programme/undo": "POST /api/v1/programme/undo",
    "/programme/drop": "DELETE /api/v1/programme",
    "/proof/x/decision": "POST /api/v1/decisions",
    "/handover/pack": "POST /api/v1/pack",
    "/people/add": "POST /api/v1/people",
    "/people/role": "PUT /api/v1/people/x/role",
    "/people/password": "PUT /api/v1/people/x/password",
    "/people/remove": "DELETE /api/v1/people/x",
    "/me/password": "PUT /api/v1/me/password",
    "/sign-in": "POST /api/v1/session",
    "/sign-out": "DELETE /api/v1/session",
    "/survey/files": "POST /api/v1/documents",
    "/survey/files/remove": "DELETE /api/v1/documents/x/x",
    "/survey/files/undo": "POST /api/v1/documents/x/x/undo",
    "/survey/corrections": "POST /api/v1/corrections",
    "/survey/corrections/undo": "DELETE /api/v1/corrections/last",
    "/survey/runs/fields": "POST /api/v1/corrections/several",
    "/survey/runs/measures": "POST /api/v1/corrections/several",
    "/needs/decide": "POST /api/v1/corrections",
}
"""Writes of pages, all with POST, and what does the same for a program."""
ALONE = {"/choices": "sheet and units of one reader's browser; the API speaks SI"}
"""Writes of pages that change nothing of the job."""
OTHERS = {
    "POST /api/v1/events": "the clock's page sends what was logged",
    "POST /api/v1/events/file": "a file that a tablet saved is given as it is",
    "DELETE /api/v1/corrections/x": "the form that takes the last one back may name another",
    "POST /api/v1/collars/try": "the collar's page is asked for with what is tried in its address",
}
"""Writes of the API that are no form's own twin, and how a page does the same."""


@pytest.fixture
def app(tmp_path: Path) -> Iterator[FastAPI]:
    made = make_app(Settings(tmp_path / "job.tee", quick=True))
    yield made
    made.state.office.close()


@pytest.fixture
def client(app: FastAPI) -> TestClient:
    return TestClient(app, base_url="http://localhost")


def writes(app: FastAPI, *, api: bool) -> set[Route]:
    found = [route for route in routes(app) if route[0] not in SAFE]
    return {route for route in found if route[1].startswith("/api/") is api}


def test_every_write_of_a_page_has_its_twin(app: FastAPI) -> None:
    assert writes(app, api=False) == {("POST", path) for path in (*TWINS, *ALONE)}


def test_every_twin_is_there_and_every_write_of_the_api_is_known(app: FastAPI) -> None:
    known = {*TWINS.values(), *OTHERS}
    assert {" ".join(route) for route in writes(app, api=True)} == known
    described = app.openapi()["paths"]
    told = {
        f"{method.upper()} {re.sub('{[^}]*}', 'x', path)}"
        for path, methods in described.items()
        for method in methods
    }
    assert known <= told


def test_both_are_for_the_same_roles(app: FastAPI) -> None:
    for page, twin in TWINS.items():
        method, path = twin.split()
        one, other = rule_of("POST", page), rule_of(method, path)
        assert one is not None
        assert other is not None
        assert one.roles == other.roles, page


def acts(tag: str) -> list[str]:
    """Address to which a form or a button of it sends something that changes."""
    found = re.search(r'action="(/[^"]*)"', tag)
    posts = 'method="post"' in tag or "formaction" in tag
    return [re.sub(r"{{[^}]*}}", "x", found[1])] if found and posts else []


def test_every_form_leads_to_a_write_that_is_known() -> None:
    forms = {
        (path.name, act)
        for path in TEMPLATES.glob("*.html")
        for tag in re.findall(r"<(?:form|button)\b[^>]*>", path.read_text(encoding="utf-8"))
        for act in acts(tag)
    }
    assert len(forms) > 25
    assert {form for form in forms if form[1] not in {*TWINS, *ALONE}} == set()


def test_every_address_of_a_script_is_one_of_the_server(app: FastAPI) -> None:
    shapes = [re.compile(re.escape(path).replace("x", "[^ ]+") + "$") for _, path in routes(app)]
    scripts = {
        (path.name, found)
        for path in [*STATIC.glob("*.mjs"), *(STATIC / "clock").glob("*js")]
        for found in re.findall(r'["`](/(?:api|[a-z]+)/[a-z0-9/-]+)["`?]', path.read_text("utf-8"))
        if not found.startswith("/static/")
    }
    assert "/api/v1/programme/try" in {found for _, found in scripts}
    assert {s for s in scripts if not any(shape.match(s[1]) for shape in shapes)} == set()


def test_every_write_of_the_api_is_under_its_version(app: FastAPI) -> None:
    assert all(path.startswith("/api/v1/") for _, path in writes(app, api=True))


def test_why_a_task_failed_is_dismissed_by_a_program_too(app: FastAPI, client: TestClient) -> None:
    office: Office = app.state.office

    def fail(_: Told) -> None:
        raise InputError("is not there", field="collar", value="A")

    task = office.tasks.start("design", fail)
    while office.tasks.running("design"):
        pass
    page = TestClient(app, base_url="http://localhost", headers=BROWSER)
    assert "is not there" in page.get("/").text
    assert client.post(f"/api/v1/tasks/{task.id}/dismiss").json()["id"] == task.id
    assert "is not there" not in page.get("/").text
    assert client.post("/api/v1/tasks/x/dismiss").status_code == 404


def test_a_file_is_read_back_as_it_was_given(client: TestClient) -> None:
    names = {name: demo.file(name) for name in demo.SURVEY_FILES}
    names |= {"kit.toml": demo.file(demo.KIT_FILE), "site.toml": demo.file(demo.SITE_FILE)}
    sent = [("files", (name, data)) for name, data in names.items()]
    held = client.post("/api/v1/documents", files=sent).json()
    for one in held:
        answer = client.get(f"/api/v1/documents/{one['kind']}/{one['name']}")
        assert answer.content == names[one["name"]]
        assert answer.headers["content-disposition"].startswith("attachment")
        assert answer.headers["content-type"] == "application/octet-stream"
    for path in ("survey/none.txt", "none/kit.toml", "kit/readings", "survey/..%2fjob.tee"):
        answer = client.get(f"/api/v1/documents/{path}")
        assert (answer.status_code, answer.headers["content-type"]) == (404, MEDIA_TYPE)


def sent(client: TestClient, csrf: dict[str, str], id_: str, kind: str, data: object) -> int:
    """Status of one event, as it is answered for itself."""
    event = {
        "id": id_, "installation": "T01-T02/02#1", "kind": kind, "device": "d", "sequence": 1,
        "at": "2027-05-05T09:00:00+02:00", "person": "x", "data": data,
    }  # fmt: skip
    answer = client.post("/api/v1/events", json={"events": [event]}, headers=csrf)
    return int(answer.json()["answers"][0]["status"])


@pytest.mark.parametrize("role", ["crew", "inspector"])
def test_who_may_not_decide_does_not_by_an_event_either(begun_project: Path, role: str) -> None:
    app = make_app(Settings(with_people(begun_project), quick=True, sign_in=True))
    engineer, engineers = signed_in(app, "engineer")
    new = {"connection": "T01-T02/02", "decision": "It stays."}
    made = engineer.post("/api/v1/decisions", json=new, headers=engineers).json()["id"]
    other, csrf = signed_in(app, role)
    assert sent(other, csrf, "n-1", "note", [["text", "wet"]]) == 200
    assert sent(other, csrf, "n-2", "note", [["decision", "All is well."]]) == 403
    for number, data in enumerate(([["void", "yes"]], [["decision", "It goes."]])):
        assert sent(other, csrf, f"c-{number}", "corrected", [["event", made], *data]) == 403
    change = [["event", "n-1"], ["decision", "All is well."]]
    assert sent(other, csrf, "c-3", "corrected", change) == 403
    assert sent(engineer, engineers, "c-4", "corrected", [["event", made], ["void", "yes"]]) == 200
    app.state.office.close()


def test_a_decision_of_a_program_is_shown_on_the_page(begun_project: Path) -> None:
    app = make_app(Settings(begun_project, quick=True))
    with TestClient(app, base_url="http://localhost") as client:
        new = {"connection": "T01-T02/02", "decision": "It stays,  and is looked at again."}
        event = client.post("/api/v1/decisions", json=new).json()
        assert (event["kind"], event["person"]) == ("note", "engineer")
        shown = client.get("/proof/T01-T02/02", headers=BROWSER)
        assert "It stays, and is looked at again." in shown.text
        for body, status in (
            ({**new, "decision": " "}, 422),
            ({**new, "decision": "x" * 1001}, 422),
            ({**new, "connection": "T02-T03/07"}, 404),
            ({**new, "connection": "none"}, 404),
        ):
            refused = client.post("/api/v1/decisions", json=body)
            assert (refused.status_code, refused.headers["content-type"]) == (status, MEDIA_TYPE)
        assert client.get("/api/v1/log").json()["verified"]
        page = TestClient(app, base_url="http://localhost", headers=BROWSER)
        sent = {"csrf": token(page, "/proof/T01-T02/02"), "decision": " "}
        assert page.post("/proof/T01-T02/02/decision", data=sent).status_code == 422
