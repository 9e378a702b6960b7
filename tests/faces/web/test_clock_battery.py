"""A tablet whose battery goes flat: the browser is killed, not closed."""

import os
import shutil
import signal
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.request import urlopen

import pytest
from playwright.sync_api import Browser, Page, expect

from faces.web.conftest import FLAGS, chromium, free_port
from faces.web.night import ONE, address_of, server_log


@contextmanager
def mortal(browser: Browser, folder: Path) -> Iterator[tuple[Page, subprocess.Popen[bytes]]]:
    """A browser of its own, with its store in a folder, that can be killed."""
    port = free_port()
    command = [
        str(chromium()), *FLAGS, "--headless=new", f"--remote-debugging-port={port}",
        f"--user-data-dir={folder}", "--no-default-browser-check", "about:blank",
    ]  # fmt: skip
    process = subprocess.Popen(
        command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True
    )
    try:
        _answering(port)
        found = browser.browser_type.connect_over_cdp(f"http://127.0.0.1:{port}")
        yield found.contexts[0].new_page(), process
    finally:
        kill(process)


def kill(process: subprocess.Popen[bytes]) -> None:
    """End a browser at once with all that belongs to it, as a flat battery does."""
    if process.poll() is None:
        os.killpg(process.pid, signal.SIGKILL)
        process.wait()


def _answering(port: int) -> None:
    deadline = time.monotonic() + 30.0
    while True:
        try:
            with urlopen(f"http://127.0.0.1:{port}/json/version"):
                return
        except OSError:
            assert time.monotonic() < deadline, "the browser did not start in 30 s"
            time.sleep(0.1)


def press(page: Page, label: str) -> None:
    act = page.locator(".acts .act").first
    expect(act).to_have_text(label)
    expect(act).to_have_attribute("aria-disabled", "false")
    act.click()
    expect(act).not_to_have_text(label)


@pytest.fixture
def folder(tmp_path: Path) -> Iterator[Path]:
    made = tmp_path / "tablet"
    yield made
    shutil.rmtree(made, ignore_errors=True)


def test_a_killed_browser_has_lost_nothing(
    demo_server: str, folder: Path, browser: Browser
) -> None:
    with mortal(browser, folder) as (page, process):
        page.goto(demo_server + address_of(ONE))
        page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        page.wait_for_function("navigator.serviceWorker.controller !== null")
        page.context.set_offline(True)
        page.get_by_label("Batch number").fill("B-17")
        for label in ("Mixed", "Wet-out done", "Packer lowered"):
            press(page, label)
        left = page.locator(".times .now .v").inner_text()
        kill(process)  # the next moment after an entry was shown as stored
    with mortal(browser, folder) as (page, process):
        page.context.set_offline(True)
        page.goto(demo_server + address_of(ONE))
        expect(page.locator(".next h1")).to_contain_text("Set the packer at")
        expect(page.locator("#unsent")).to_have_text("3 entries not sent")
        minutes, seconds = page.locator(".times .now .v").inner_text().split(":")
        before = [int(part) for part in left.split(":")]
        passed = 60 * before[0] + before[1] - 60 * int(minutes) - int(seconds)
        assert 0 <= passed < 60
        page.context.set_offline(False)
        expect(page.locator("#unsent")).to_have_text("All entries sent", timeout=40_000)
        log = server_log(page, demo_server)
    assert [event["kind"] for event in log] == ["mixed", "wet-out", "lowered"]
    assert [event["sequence"] for event in log] == [1, 2, 3]
    assert dict(log[0]["data"])["batch"] == "B-17"
