"""People of a project and clients that sign in, for tests."""

import re
from collections.abc import Callable
from pathlib import Path

import fastapi.routing
from argon2 import PasswordHasher
from fastapi import FastAPI
from fastapi.testclient import TestClient
from httpx2 import Response

from teewright.store.people import add_person
from teewright.store.project import Project
from teewright.store.schema import ROLES
from teewright.web.app import make_app
from teewright.web.guard.limits import Waits
from teewright.web.guard.signin import SignIn
from teewright.web.settings import Settings

PASSWORD = "correct horse battery staple"
BROWSER = {"User-Agent": "Mozilla/5.0 (X11; Linux x86_64)", "Accept": "text/html"}
WEAK = PasswordHasher(time_cost=1, memory_cost=64, parallelism=1)
"""Quick, for tests alone; the pages make such a hash anew."""


def with_people(path: Path, *, roles: tuple[str, ...] = ROLES) -> Path:
    """A project with one person of each role, named after it."""
    opened = Project.open(path) if path.exists() else Project.create(path)
    with opened as project:
        for role in roles:
            add_person(project, role, role, WEAK.hash(PASSWORD))
    return path


def still() -> float:
    """A time that stands: or a wait would be over before a busy machine asks again."""
    return 0.0


def guarded(
    path: Path, *, largest_upload: int = 2**20, clock: Callable[[], float] = still
) -> FastAPI:
    """A server where people must sign in, and for whose waits the time is that of a test."""
    with_people(path)
    made = make_app(Settings(path, quick=True, sign_in=True, largest_upload=largest_upload))
    made.state.sign_in = SignIn(made.state.office.desk, made.state.sessions, Waits(clock))
    return made


def browsing(app: FastAPI) -> TestClient:
    """A client that looks like a browser."""
    return TestClient(app, base_url="http://localhost", headers=BROWSER, follow_redirects=False)


def token(client: TestClient, path: str = "/sign-in") -> str:
    """The token that a page of the server carries."""
    found = re.search(r'name="csrf" value="([0-9a-f]{128})"', client.get(path).text)
    assert found is not None
    return found[1]


def sign_in(client: TestClient, name: str, password: str = PASSWORD) -> Response:
    """Fill in the form of a client that is not signed in."""
    form = {"csrf": token(client), "name": name, "password": password, "back": "/proof"}
    return client.post("/sign-in", data=form)


def signed_in(app: FastAPI, name: str) -> tuple[TestClient, dict[str, str]]:
    """A client that has signed in, and the header that goes with what it sends."""
    client = browsing(app)
    assert sign_in(client, name).status_code == 303
    told = client.get("/api/v1/me").json()
    assert told["name"] == name
    return client, {"X-CSRF-Token": told["csrf"]}


def routes(app: FastAPI) -> list[tuple[str, str]]:
    """(method, path) of every route of a server, parameters filled in."""
    contexts = getattr(fastapi.routing, "iter_route_contexts", list)(app.routes)
    found = []
    for context in contexts:
        path = re.sub(r"{[^}]*}", "x", str(getattr(context, "path", None) or "/static"))
        found += [(method, path) for method in sorted(getattr(context, "methods", None) or ["GET"])]
    return found
