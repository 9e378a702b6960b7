"""The API keeps to its own description, whatever it is sent."""

import threading
from collections import Counter
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import hypothesis
import pytest
import schemathesis
from fastapi import FastAPI
from hypothesis import HealthCheck, Phase
from hypothesis import strategies as st
from hypothesis.errors import Unsatisfiable
from schemathesis.core.result import Ok
from schemathesis.schemas import APIOperation
from schemathesis.specs.openapi.checks import positive_data_acceptance

from faces.web.signing import PASSWORD, WEAK
from teewright.site.chain import Draft
from teewright.site.values import EventKind
from teewright.store.attachments import attach
from teewright.store.people import add_person
from teewright.store.project import Project
from teewright.web.app import make_app
from teewright.web.office import Office
from teewright.web.problems import MEDIA_TYPE
from teewright.web.settings import Settings

TRIES = 8
"""Requests of each kind to each route."""
LONG = {
    "POST /api/v1/tasks/design", "POST /api/v1/tasks/plan", "POST /api/v1/collars/make",
    "POST /api/v1/programme/replan", "POST /api/v1/pack", "POST /api/v1/collars/cutting",
}  # fmt: skip
"""They begin work of minutes: asked of the empty project, and here only what they refuse."""
SLOW = {"GET /api/v1/collars/cutting.zip": 2}
"""Answers of seconds: fewer tries."""
NOT_CHECKED: list[Any] = [positive_data_acceptance]
"""A schema cannot say which of its values make sense together: to refuse them is no breach."""
MODES = [schemathesis.GenerationMode.POSITIVE, schemathesis.GenerationMode.NEGATIVE]
"""Requests that fit the description, and such that do not."""
LATER = datetime(2027, 5, 4, 8, 0, tzinfo=UTC)
PHOTO = b"\xff\xd8\xff a photo of sorts"


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[FastAPI]:
    app = make_app(Settings(tmp_path / "new.tee", quick=True))
    yield app
    app.state.office.close()


@pytest.fixture
def demo(demo_project: Path) -> Iterator[FastAPI]:
    app = make_app(Settings(demo_project, quick=True))
    yield app
    app.state.office.close()


def operations(app: FastAPI) -> list[APIOperation[Any, Any, Any, Any]]:
    schema = schemathesis.openapi.from_asgi(
        "/api/v1/openapi.json", app, headers={"Host": "localhost"}
    )
    found = [result.ok() for result in schema.get_all_operations() if isinstance(result, Ok)]
    assert len(found) == len(list(schema.get_all_operations()))
    return found


def known(app: FastAPI) -> dict[str, Any]:
    """Values that are there, by the name of a parameter or of a field."""
    office: Office = app.state.office
    draft = Draft("e-1", "T01-T02/01#1", EventKind.NOTE, LATER, "t", 1, "crew")

    def act(project: Project) -> str:
        project.record(draft)
        return attach(project, PHOTO, media_type="image/jpeg")

    sha = office.desk.write(act)
    person = office.desk.write(lambda p: add_person(p, "AB", "crew", WEAK.hash(PASSWORD)))
    found = office.known()
    assert found.designs is not None
    design = found.designs.designs[0]
    return {
        "pattern": design.collar.pattern, "name": "runs.csv", "kind": "survey", "sha256": sha,
        "connection": design.connection_id, "subject": design.connection_id, "on": 0,
        "crew": found.job.programme.shifts[0].crew if found.job else "",
        "run": "T01-T02", "paper": "A4", "person_id": person.id, "after": 0, "project": "",
    }  # fmt: skip


def filled(part: Any, values: dict[str, Any]) -> Any:
    """A part of a request in which names that are known stand for something that is there."""
    if isinstance(part, dict):
        return {k: values.get(k, filled(v, values)) for k, v in part.items()}
    if isinstance(part, list):
        return [filled(one, values) for one in part]
    return part


def asked(
    operation: APIOperation[Any, Any, Any, Any],
    mode: schemathesis.GenerationMode,
    values: dict[str, Any],
) -> Counter[int]:
    """How often each status was answered; every answer is held against the description."""
    statuses: Counter[int] = Counter()

    @hypothesis.seed(20270503)
    @hypothesis.settings(
        max_examples=SLOW.get(operation.label, TRIES),
        deadline=None,
        database=None,
        derandomize=True,
        phases=[Phase.explicit, Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @hypothesis.given(operation.as_strategy(generation_mode=mode), st.booleans())
    def each(case: schemathesis.Case[Any], there: bool) -> None:
        if there and values and mode is MODES[0]:
            case.path_parameters = filled(dict(case.path_parameters), values)
            case.query = filled(dict(case.query), values)
            case.body = filled(case.body, values)
        answer = case.call(headers={"Host": "localhost"})
        statuses[int(answer.status_code)] += 1
        case.validate_response(answer, excluded_checks=NOT_CHECKED)
        if answer.status_code >= 400:
            assert answer.headers["content-type"] == [MEDIA_TYPE]
            told = answer.json()
            assert told["status"] == answer.status_code
            assert told["detail"].strip()
            assert "Traceback" not in told["detail"]

    try:
        each()
    except Unsatisfiable:  # a route without parameters cannot be asked wrongly
        assert mode is schemathesis.GenerationMode.NEGATIVE
    return statuses


@pytest.mark.parametrize("mode", MODES)
def test_a_new_project(empty: FastAPI, mode: schemathesis.GenerationMode) -> None:
    statuses = sum((asked(o, mode, {}) for o in operations(empty)), Counter[int]())
    assert {s for s in statuses if s >= 400} <= {400, 404, 409, 422}
    if mode is schemathesis.GenerationMode.POSITIVE:
        assert statuses[200] > 20
        assert statuses[409] > 20
    else:
        assert statuses[422] > 60


@pytest.mark.parametrize("mode", MODES)
def test_a_planned_job(demo: FastAPI, mode: schemathesis.GenerationMode) -> None:
    values = known(demo)
    statuses: Counter[int] = Counter()
    for operation in operations(demo):
        if operation.label not in LONG or mode is schemathesis.GenerationMode.NEGATIVE:
            statuses += asked(operation, mode, values)
    assert {s for s in statuses if s >= 400} <= {400, 404, 409, 422}
    if mode is schemathesis.GenerationMode.POSITIVE:
        assert statuses[200] > 60
    assert threading.active_count() < 60
