"""Speed and weight of the pages: `python benchmarks/web.py [--project FILE] [--json]`.

The server runs in a process of its own. `--project` is the demo, designed and planned; without it
that is made first, without placement tolerances. Needs the test extra; what is measured in a
browser is left out where there is no Chromium.
"""

import argparse
import json
import os
import shutil
import socket
import subprocess
import sys
import tempfile
import threading
import time
import uuid
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from statistics import median
from typing import Any

import httpx
from playwright.sync_api import Browser, Page, sync_playwright
from projects import COLLAR, many, planned, with_body

TOWN = 2000
"""Runs of the largest project."""
CHROMIUM = ("/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome")
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"]
PAGES = (
    "/", "/survey", "/needs", "/collars", "/day", "/programme", "/clock", "/proof", "/handover",
    "/price", "/survey/runs/T02-T03", "/collars/T02-T03/03", "/day/T02-T03/03",
)  # fmt: skip
PAGE = f"/collars/{COLLAR}"
BODY = 20_000
"""Triangles of the larger body."""
TURNS, SETTLED = 5, 4.0
THREE = "vendor/three.js"
CLIENTS, SECONDS = 8, 5.0
Row = tuple[str, str]


@contextmanager
def serving(path: Path) -> Iterator[tuple[str, float]]:
    """Address of a server in a process of its own, and the seconds until it answered."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = int(probe.getsockname()[1])
    words = [sys.executable, "-m", "teewright", "serve", str(path), "--quick", "--port", str(port)]
    begun = time.perf_counter()
    process = subprocess.Popen(words, stdout=subprocess.DEVNULL)
    address = f"http://localhost:{port}"
    try:
        while True:
            try:
                httpx.get(f"{address}/static/mark.svg", timeout=60)
                break
            except httpx.TransportError:
                assert process.poll() is None, "the server did not start"
                time.sleep(0.02)
        yield address, time.perf_counter() - begun
    finally:
        process.terminate()
        process.wait(20)


def took(work: Callable[[], Any]) -> float:
    """Seconds of one call."""
    begun = time.perf_counter()
    work()
    return time.perf_counter() - begun


def of_server(address: str, paths: tuple[str, ...], repeats: int = 9) -> dict[str, list[float]]:
    """Seconds of each page: the first time, then the others."""
    html = {"accept": "text/html"}
    with httpx.Client(base_url=address, headers=html, timeout=60) as client:

        def get(path: str) -> None:
            assert client.get(path).status_code == 200, path

        return {path: [took(lambda p=path: get(p)) for _ in range(repeats)] for path in paths}


def many_rows(folder: Path, browser: Browser | None) -> Iterator[Row]:
    """The project of 2,000 connections, and a town of ten times as many, whose lists are sheets."""
    town = folder / "town.tee"
    many(town, TOWN)
    with serving(town) as (address, _):
        yield from _pages("20,000 connections", address, ("/survey", "/needs"))
        if browser is not None:
            found = anew(browser, lambda page: _usable(page, address))
            yield (
                "20,000 connections, a sheet of `/needs`: shown and sorted by then",
                _spread(found),
            )
    path = folder / "many.tee"
    many(path)
    with serving(path) as (address, seconds):
        yield "server answers after start", f"{seconds:.1f} s"
        yield from _pages("2,000 connections", address, ("/", "/survey", "/needs"))
        if browser is not None:
            found = anew(browser, lambda page: _usable(page, address))
            yield "2,000 rows of `/needs`: shown and sorted by then", _spread(found)


def _pages(what: str, address: str, paths: tuple[str, ...]) -> Iterator[Row]:
    for page, (first, *rest) in of_server(address, paths).items():
        yield (
            f"{what}, `{page}`: first, then median of {len(rest)}",
            f"{1e3 * first:.0f}, {1e3 * median(rest):.0f} ms",
        )


def _spread(found: list[float]) -> str:
    return f"{median(found):.2f} s, at worst {max(found):.2f} s"


def anew(browser: Browser, measured: Callable[[Page], float]) -> list[float]:
    """What is measured on a page, several times [s].

    The window is open and at rest before, as that of a reader is; nothing is in its cache.
    """
    context = browser.new_context(viewport={"width": 1440, "height": 900})
    page = context.new_page()
    client = context.new_cdp_session(page)
    time.sleep(SETTLED)
    found = []
    for _ in range(TURNS):
        page.goto("about:blank")
        client.send("Network.clearBrowserCache")
        time.sleep(0.5)
        found.append(measured(page))
    context.close()
    return found


def _usable(page: Page, address: str) -> float:
    """From asking for the list of needs until a sort has been shown [s]."""
    begun = time.perf_counter()
    page.goto(f"{address}/needs", wait_until="commit")
    page.locator("html[data-ready]").wait_for(state="attached")
    page.locator("[data-sort=chainage]").click()
    page.locator("th[aria-sort] [data-sort=chainage]").wait_for()
    page.evaluate("new Promise(done => requestAnimationFrame(() => setTimeout(done)))")
    return time.perf_counter() - begun


def _turned(page: Page, address: str) -> float:
    """From asking for the page of a collar until its body has been turned [s]."""
    begun = time.perf_counter()
    page.goto(address + PAGE, wait_until="commit")
    page.locator("[data-state=body]").wait_for()
    page.locator("[data-turn]").first.click()
    page.evaluate("new Promise(done => requestAnimationFrame(() => setTimeout(done)))")
    return time.perf_counter() - begun


def _bodies(path: Path, browser: Browser) -> Iterator[Row]:
    """The page of one collar with the body as it is made, and with a finer one."""
    for least in (0, BODY):
        with_finer = path.with_name(f"body-{least}.tee")
        triangles = with_body(path, with_finer, least)
        with serving(with_finer) as (address, _):
            of_server(address, (PAGE,), 2)
            found = anew(browser, lambda page, at=address: _turned(page, at))
        yield f"collar of {triangles:,} triangles: turned by then", _spread(found)


def _first_collar(path: Path) -> Iterator[Row]:
    """The first page of a collar that a server is asked for."""
    for seconds, when in ((0.0, "at once"), (SETTLED + 2.0, "some seconds later")):
        with serving(path) as (address, _):
            time.sleep(seconds)
            (first,) = of_server(address, (PAGE,), 1)[PAGE]
        yield f"the first collar that a server is asked for, {when}", f"{1e3 * first:.0f} ms"


def _weight(page: Page, address: str) -> float:
    """Bytes of a page that go over the line at the first visit, the 3D apart."""
    client = page.context.new_cdp_session(page)
    names: dict[str, str] = {}
    sizes: dict[str, float] = {}
    client.send("Network.enable")
    client.on(
        "Network.requestWillBeSent", lambda e: names.update({e["requestId"]: e["request"]["url"]})
    )
    client.on(
        "Network.loadingFinished", lambda e: sizes.update({e["requestId"]: e["encodedDataLength"]})
    )
    page.goto(address)
    page.wait_for_load_state("networkidle")
    solid = {k for k, url in names.items() if url.split("?")[0].endswith((THREE, "/map"))}
    return sum(size for key, size in sizes.items() if key not in solid)


def demo_rows(path: Path, browser: Browser | None) -> Iterator[Row]:
    """The demo, designed and planned."""
    with serving(path) as (address, _):
        seconds = of_server(address, PAGES)
        slow = max(seconds, key=lambda page: median(seconds[page][1:]))
        yield "demo, the slowest page", f"`{slow}`, {1e3 * median(seconds[slow][1:]):.0f} ms"
        if browser is None:
            return
        weights = {}
        for page in PAGES:
            context = browser.new_context()
            weights[page] = _weight(context.new_page(), address + page)
            context.close()
        heavy = max(weights, key=lambda page: weights[page])
        yield "demo, the heaviest page, 3D apart", f"`{heavy}`, {weights[heavy] / 1e3:.0f} kB"
        yield "demo, the first page", f"{weights['/'] / 1e3:.0f} kB"
    yield from _bodies(path, browser)


def sent(address: str, clients: int, batch: int) -> tuple[int, float, list[float]]:
    """Events accepted by the log from clients at once, the seconds, and those of each request."""
    counts, waits = [0] * clients, [[] for _ in range(clients)]  # type: list[int], list[list[float]]
    end = time.perf_counter() + SECONDS

    def work(number: int) -> None:
        device, sequence = uuid.uuid4().hex, 0
        with httpx.Client(base_url=address, timeout=30) as client:
            while time.perf_counter() < end:
                events = [_event(device, sequence + k + 1, number) for k in range(batch)]
                begun = time.perf_counter()
                answer = client.post("/api/v1/events", json={"events": events})
                waits[number].append(time.perf_counter() - begun)
                kept = [one["kept"] for one in answer.json()["answers"]]
                assert all(kept), answer.text
                sequence += batch
                counts[number] += batch

    threads = [threading.Thread(target=work, args=(k,)) for k in range(clients)]
    begun = time.perf_counter()
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return sum(counts), time.perf_counter() - begun, [w for each in waits for w in each]


def _event(device: str, sequence: int, number: int) -> dict[str, Any]:
    return {
        "id": str(uuid.uuid4()),
        "installation": f"B{number}#1",
        "kind": "reading",
        "at": datetime.now(UTC).isoformat(),
        "device": device,
        "sequence": sequence,
        "person": "AB",
        "data": [["pressure", "100000"]],
    }


def event_rows(path: Path) -> Iterator[Row]:
    """The log of the clock over HTTP; what is answered as kept is on the disk."""
    for clients, batch in ((1, 1), (CLIENTS, 1), (1, 20), (CLIENTS, 20)):
        with serving(Path(shutil.copy(path, path.with_name(f"log-{clients}-{batch}.tee")))) as (
            address,
            _,
        ):
            count, seconds, waits = sent(address, clients, batch)
        waits.sort()
        what = f"events, {clients} at once, {batch} a request: a second; request, median and 95 %"
        middle, slow = 1e3 * median(waits), 1e3 * waits[int(0.95 * len(waits))]
        yield what, f"{count / seconds:.0f}; {middle:.0f}, {slow:.0f} ms"


def rows(folder: Path, made: Path, browser: Browser | None, only: str) -> Iterator[Row]:
    """All that is measured, or a part of it."""
    yield _load("before")
    if only in {"", "many"}:
        yield "import of the application", f"{_import():.1f} s"
        yield from many_rows(folder, browser)
    if only in {"", "demo"}:
        yield from _first_collar(made)
        yield from demo_rows(made, browser)
    if only in {"", "events"}:
        yield from event_rows(made)
    yield _load("after")


def _load(when: str) -> Row:
    """How busy the machine is with all that runs on it."""
    minute, _, _ = os.getloadavg()
    return f"load of the last minute {when}, on {os.cpu_count()} cores", f"{minute:.1f}"


def _import() -> float:
    words = [sys.executable, "-c", "import teewright.web.app"]
    return min(took(lambda: subprocess.run(words, check=True)) for _ in range(3))


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--project", type=Path)
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--only", default="", help="`many`, `demo` or `events`")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as made, sync_playwright() as playwright:
        folder = Path(made)
        path = folder / "demo.tee"
        if asked.project:
            shutil.copy(asked.project, path)
        else:
            planned(path)
        at = next((p for p in CHROMIUM if Path(p).exists()), None)
        browser = playwright.chromium.launch(executable_path=at, args=FLAGS) if at else None
        found = []
        for row in rows(folder, path, browser, asked.only):
            found.append(row)
            if not asked.json:
                print(f"| {row[0]} | {row[1]} |", flush=True)
        if asked.json:
            print(json.dumps(dict(found)))


if __name__ == "__main__":
    main()
