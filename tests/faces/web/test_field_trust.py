"""What a real browser makes of the certificates of the field: it trusts them once it is told to,
and then keeps the clock for when there is no signal.
"""

import http.server
import os
import shutil
import signal
import ssl
import subprocess
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Error, Page, expect

from faces.web.conftest import FLAGS, chromium
from faces.web.signing import with_people
from faces.web.test_field_mode import in_the_field, two_ports
from faces.web.test_signin_page import sign_in
from teewright.web.field.authority import Authority, authority, authority_path
from teewright.web.texts import text

CERTUTIL = shutil.which("certutil")
VAN, WORLD = "van.local", "www.example.org"
RULES = f"--host-resolver-rules=MAP {VAN} 127.0.0.1, MAP {WORLD} 127.0.0.1"
ADDRESSES = (VAN, "127.0.0.1")
"""A name of the van's network, and an address as its own kind of name in a certificate."""

pytestmark = pytest.mark.skipif(
    CERTUTIL is None,
    reason="no certutil (libnss3-tools) on this machine: trust is not tried in a browser",
)


@pytest.fixture
def project(tmp_path: Path) -> Path:
    return with_people(tmp_path / "job.tee")


@pytest.fixture
def known(project: Path) -> Authority:
    return authority(authority_path(project))


def home(folder: Path, trusted: Authority | None) -> Path:
    """A home whose browser trusts an authority as its owner's settings would make it."""
    store = folder / ".pki" / "nssdb"
    store.mkdir(parents=True)
    database = ["-d", f"sql:{store}"]
    subprocess.run([str(CERTUTIL), "-N", "--empty-password", *database], check=True)
    if trusted is not None:
        given = folder / "ca.pem"
        given.write_bytes(trusted.certificate)
        words = ["-A", "-n", "van", "-t", "C,,", "-i", str(given)]
        subprocess.run([str(CERTUTIL), *words, *database], check=True)
    return folder


@contextmanager
def tablet(browser: Browser, folder: Path, trusted: Authority | None) -> Iterator[Page]:
    """A page of a browser of its own, which checks certificates as ever."""
    env: dict[str, str | float | bool] = {**os.environ, "HOME": str(home(folder, trusted))}
    env.pop("XDG_DATA_HOME", None)
    made = browser.browser_type.launch(executable_path=chromium(), args=[*FLAGS, RULES], env=env)
    try:
        yield made.new_context(ignore_https_errors=False).new_page()
    finally:
        made.close()


@pytest.mark.parametrize("address", ADDRESSES)
def test_a_tablet_that_trusts_keeps_the_clock(
    project: Path, known: Authority, browser: Browser, tmp_path: Path, address: str
) -> None:
    port = two_ports()
    with (
        tablet(browser, tmp_path / "home", known) as page,
        in_the_field(project, port, *ADDRESSES) as process,
    ):
        page.goto(f"https://{address}:{port}/clock")
        assert page.evaluate("isSecureContext")
        sign_in(page, "crew")
        expect(page).to_have_url(f"https://{address}:{port}/clock")
        page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        page.reload()
        assert page.evaluate("Boolean(navigator.serviceWorker.controller)")
        answer = page.locator("h1:visible").inner_text()
        assert answer.strip()
        process.send_signal(signal.SIGKILL)
        process.wait(10.0)
        for _ in range(2):
            page.reload()
            expect(page.locator("h1:visible")).to_have_text(answer)
        page.goto(f"https://{address}:{port}/clock/anything")
        expect(page.locator("h1:visible")).to_be_visible()
        with pytest.raises(Error, match="ERR_CONNECTION_REFUSED"):
            page.goto(f"https://{address}:{port}/proof")


@pytest.mark.parametrize("address", ADDRESSES)
def test_a_tablet_that_does_not_trust_is_refused(
    project: Path, browser: Browser, tmp_path: Path, address: str
) -> None:
    port = two_ports()
    with (
        tablet(browser, tmp_path / "home", None) as page,
        in_the_field(project, port, *ADDRESSES),
    ):
        with pytest.raises(Error, match="ERR_CERT_AUTHORITY_INVALID"):
            page.goto(f"https://{address}:{port}/clock")
        told = page.context.new_page()  # the other still shows why it was refused
        told.goto(f"http://{address}:{port + 1}/")
        expect(told.locator("h1")).to_have_text(text("field.answer"))


def test_the_authority_of_another_job_is_not_trusted(
    project: Path, browser: Browser, tmp_path: Path
) -> None:
    other = authority(tmp_path / "other.authority.pem")
    port = two_ports()
    with (
        tablet(browser, tmp_path / "home", other) as page,
        in_the_field(project, port, *ADDRESSES),
        pytest.raises(Error, match="ERR_CERT_AUTHORITY_INVALID"),
    ):
        page.goto(f"https://{VAN}:{port}/clock")


class Answering(http.server.BaseHTTPRequestHandler):
    """Says that it was reached."""

    def do_GET(self) -> None:
        self.send_response(200)
        self.end_headers()
        self.wfile.write(b"reached")

    def log_message(self, *_: object) -> None:
        """Nothing is told."""


@contextmanager
def posing(context: ssl.SSLContext) -> Iterator[int]:
    """Port of a server that shows a certificate."""
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Answering)
    server.socket = context.wrap_socket(server.socket, server_side=True)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield server.server_port
    finally:
        server.shutdown()
        server.server_close()


def test_who_gets_hold_of_the_key_cannot_pose_as_a_server_of_the_world(
    known: Authority, browser: Browser, tmp_path: Path
) -> None:
    context = known.context([WORLD, VAN], datetime.now(UTC))
    only_van = known.context([VAN], datetime.now(UTC))
    with tablet(browser, tmp_path / "home", known) as page, posing(context) as port:
        for name in (WORLD, VAN):
            with pytest.raises(Error, match="ERR_CERT_"):
                page.context.new_page().goto(f"https://{name}:{port}/")
        with posing(only_van) as good:
            page.goto(f"https://{VAN}:{good}/")
            expect(page.locator("body")).to_have_text("reached")
