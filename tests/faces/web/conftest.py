"""A server of this process, and a real browser before it."""

import shutil
import socket
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
import uvicorn
from fastapi import FastAPI
from playwright.sync_api import Browser, BrowserContext, Page, Request, expect, sync_playwright

from faces.web.logged import begun
from teewright import demo
from teewright.bench.inputs import Document, Inputs, Options
from teewright.bench.keeping import keep
from teewright.bench.workbench import Workbench
from teewright.store.project import Project
from teewright.web.app import make_app
from teewright.web.settings import Settings
from teewright.web.tasks import Task, Tasks, Told

CHROMIUM = ("/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome")
SHELL = "/usr/bin/chromium-headless-shell"
"""Chromium without the window round its page: a new page costs it a fifth."""
WAIT = 20_000
"""How long a page may take to show what it must, on a machine that does other work too [ms]."""
PLANNED_WITHIN = 240_000
"""The rest of a programme around what is fixed, on such a machine [ms]."""
FLAGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip


def chromium() -> str | None:
    """Path of a Chromium of this machine, or None."""
    return next((path for path in CHROMIUM if Path(path).exists()), None)


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextmanager
def served(settings: Settings, port: int | None = None) -> Iterator[str]:
    """The address of a server that runs in a thread of this process."""
    with serving(make_app(settings), port) as address:
        yield address


@contextmanager
def serving(app: FastAPI, port: int | None = None) -> Iterator[str]:
    """The address of an application that is served in a thread of this process."""
    at = free_port() if port is None else port
    config = uvicorn.Config(app, host="127.0.0.1", port=at, log_level="error")
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    deadline = time.monotonic() + 20.0
    while not server.started:
        assert thread.is_alive(), "the server did not start"
        assert time.monotonic() < deadline, "the server did not start in 20 s"
        time.sleep(0.01)
    try:
        yield f"http://localhost:{at}"
    finally:
        server.should_exit = True
        thread.join(20.0)


def make_demo_project(path: Path) -> None:
    files = tuple(Document(name, demo.file(name)) for name in demo.SURVEY_FILES)
    kit = Document("kit.toml", demo.file(demo.KIT_FILE))
    site = Document("site.toml", demo.file(demo.SITE_FILE))
    keep(path, Inputs(files, kit, site, Options()))
    with Project.open(path) as project:
        bench = Workbench(project, progress=lambda _: None, today=date(2027, 5, 3), quick=True)
        assert bench.designs.designs
        assert bench.programme.shifts


@pytest.fixture(scope="session")
def demo_project_once(
    made_once: Callable[[str, Callable[[Path], None]], Path],
    tmp_path_factory: pytest.TempPathFactory,
) -> Path:
    """The demo's job, read, designed and planned; made once, each process has a copy of its own."""
    made = made_once("demo.tee", make_demo_project)
    return Path(shutil.copy(made, tmp_path_factory.mktemp("web")))


@pytest.fixture
def demo_project(demo_project_once: Path, tmp_path: Path) -> Path:
    """A copy of the demo's project for one test."""
    return Path(shutil.copy(demo_project_once, tmp_path / "job.tee"))


@pytest.fixture
def demo_server(demo_project: Path) -> Iterator[str]:
    """Address of a server of the demo's project."""
    with served(Settings(demo_project, quick=True)) as address:
        yield address


@pytest.fixture(scope="session")
def begun_project_once(demo_project_once: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's project with the log of some installations; made once."""
    made = Path(shutil.copy(demo_project_once, tmp_path_factory.mktemp("begun") / "job.tee"))
    later = datetime(2027, 5, 5, 9, 0, tzinfo=UTC)
    with Project.open(made, clock=lambda: later) as project:
        bench = Workbench(project, progress=lambda _: None, today=date(2027, 5, 3), quick=True)
        begun(project, bench.designs.designs)
    return made


@pytest.fixture
def begun_project(begun_project_once: Path, tmp_path: Path) -> Path:
    """A copy of a job that is under way for one test."""
    return Path(shutil.copy(begun_project_once, tmp_path / "job.tee"))


@pytest.fixture(scope="session")
def read_server(
    begun_project_once: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[str]:
    """Address of a server of a job that is under way, for tests that only read: made once."""
    made = shutil.copy(begun_project_once, tmp_path_factory.mktemp("read") / "job.tee")
    with served(Settings(Path(made), quick=True)) as address:
        yield address


@pytest.fixture
def begun_server(begun_project: Path) -> Iterator[str]:
    """Address of a server of a job that is under way."""
    with served(Settings(begun_project, quick=True)) as address:
        yield address


@pytest.fixture
def empty_server(tmp_path: Path) -> Iterator[str]:
    """Address of a server of a project with nothing in it."""
    with served(Settings(tmp_path / "new.tee", quick=True)) as address:
        yield address


@pytest.fixture
def held_up(monkeypatch: pytest.MonkeyPatch) -> Iterator[threading.Event]:
    """Long work of the servers of this process goes on only while this is set, as it is at first.

    What a test says of work that is going on would else hang on how long the work takes.
    """
    go = threading.Event()
    go.set()
    start = Tasks.start

    def later(tasks: Tasks, name: str, work: Callable[[Told], object]) -> Task:
        def at_last(tell: Told) -> object:
            assert go.wait(60.0), "the test has not let it go on"
            return work(tell)

        return start(tasks, name, at_last)

    monkeypatch.setattr(Tasks, "start", later)
    yield go
    go.set()


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """A headless Chromium; tests that need it are skipped where there is none."""
    path = chromium()
    if path is None:
        pytest.skip("no Chromium on this machine: the pages are not tried in a browser")
    expect.set_options(timeout=WAIT)
    light = SHELL if Path(SHELL).exists() else path
    with sync_playwright() as playwright:
        made = playwright.chromium.launch(executable_path=light, args=FLAGS)
        yield made
        made.close()


@contextmanager
def whole(browser: Browser) -> Iterator[Browser]:
    """Chromium with all that belongs to it, as a reader has it."""
    made = browser.browser_type.launch(executable_path=chromium(), args=FLAGS)
    yield made
    made.close()


@dataclass
class Watched:
    """What went wrong on a page without anyone asking: errors told, hosts asked."""

    errors: list[str] = field(default_factory=list)
    strange: list[str] = field(default_factory=list)

    def watch(self, page: Page, address: str) -> None:
        page.on("console", lambda m: self.errors.append(m.text) if m.type == "error" else None)
        page.on("pageerror", lambda error: self.errors.append(str(error)))
        page.on("request", lambda request: self._asked(request, address))

    def _asked(self, request: Request, address: str) -> None:
        if not request.url.startswith((address, "blob:", "data:")):
            self.strange.append(request.url)


OpenPage = Callable[..., Page]


@pytest.fixture
def open_page(browser: Browser) -> Iterator[OpenPage]:
    """Opens pages; at the end none may have told an error or asked another host.

    `open_page(address, path="/", width=1440, height=900, context=None, errors=())`: `errors` are
    parts of messages that the test provokes on purpose. A context that is given is closed at the
    end as well: a page left open goes on asking and drawing beside all later tests.
    """
    contexts: list[BrowserContext] = []
    watched: list[tuple[Watched, tuple[str, ...]]] = []

    def opened(
        address: str,
        path: str = "/",
        *,
        width: int = 1440,
        height: int = 900,
        context: BrowserContext | None = None,
        errors: tuple[str, ...] = (),
    ) -> Page:
        if context is None:
            context = browser.new_context(viewport={"width": width, "height": height})
        contexts.append(context)
        page = context.new_page()
        watch = Watched()
        watch.watch(page, address)
        watched.append((watch, errors))
        page.goto(address + path)
        return page

    yield opened
    for context in contexts:
        context.close()
    for watch, expected in watched:
        told = [e for e in watch.errors if not any(part in e for part in expected)]
        assert told == []
        assert watch.strange == []
