"""`teewright people` and `teewright serve --field`, run as a user runs them."""

import re
import signal
import socket
import ssl
import stat
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import httpx
import pytest

from faces.web.signing import PASSWORD, with_people


def teewright(*words: object) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "teewright", *map(str, words)],
        capture_output=True,
        text=True,
        check=False,
        stdin=subprocess.DEVNULL,
        timeout=60,
    )


@pytest.fixture
def project(tmp_path: Path) -> Path:
    return with_people(tmp_path / "job.tee")


def two_ports() -> int:
    """The first of two ports in a row that are free."""
    while True:
        with socket.socket() as first, socket.socket() as second:
            first.bind(("127.0.0.1", 0))
            port = int(first.getsockname()[1])
            try:
                second.bind(("127.0.0.1", port + 1))
            except OSError:
                continue
            return port


@contextmanager
def in_the_field(project: Path, port: int, *addresses: str) -> Iterator[subprocess.Popen[str]]:
    """A server for tablets under these addresses, or that of this machine, once it answers."""
    named = [word for each in addresses or ("127.0.0.1",) for word in ("--address", each)]
    words = ("serve", project, "--field", "--port", port, *named)
    process = subprocess.Popen(
        [sys.executable, "-m", "teewright", *map(str, words)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        deadline = time.monotonic() + 30.0
        while True:
            assert process.poll() is None, process.communicate()
            assert time.monotonic() < deadline, "the server did not start in 30 s"
            try:
                httpx.get(f"http://127.0.0.1:{port + 1}/", timeout=2.0)
                break
            except httpx.TransportError:
                time.sleep(0.1)
        yield process
    finally:
        if process.poll() is None:
            process.kill()
        with process:  # closes what it printed to
            process.wait(10.0)


def test_a_tablet_trusts_signs_in_and_opens_a_page(project: Path, tmp_path: Path) -> None:
    port = two_ports()
    with in_the_field(project, port) as process:
        with pytest.raises(httpx.ConnectError, match="certificate verify failed"):
            httpx.get(f"https://127.0.0.1:{port}/sign-in")
        given = httpx.get(f"http://127.0.0.1:{port + 1}/field/ca.pem")
        kept = tmp_path / "ca.pem"
        kept.write_bytes(given.content)
        trusting = ssl.create_default_context(cafile=str(kept))
        with httpx.Client(verify=trusting, base_url=f"https://127.0.0.1:{port}") as tablet:
            form = tablet.get("/", headers={"Accept": "text/html"}, follow_redirects=True)
            assert form.url.path == "/sign-in"
            token = re.search(r'name="csrf" value="([0-9a-f]+)"', form.text)
            assert token is not None
            sent = {"csrf": token[1], "name": "crew", "password": PASSWORD, "back": "/proof"}
            assert tablet.post("/sign-in", data=sent).headers["location"] == "/proof"
            page = tablet.get("/proof")
            assert page.status_code == 200
            assert "crew, crew" in page.text
            assert tablet.get("/", headers={"Host": "evil.example"}).status_code == 421
        with httpx.Client(verify=trusting, base_url=f"https://127.0.0.1:{port}") as guessing:
            told = [
                guessing.post(
                    "/api/v1/session",
                    json={"name": f"name {number}", "password": "wrong"},
                    headers={"X-Forwarded-For": f"10.0.0.{number}"},
                ).status_code
                for number in range(6)
            ]
            assert told == [403, 403, 403, 403, 429, 429]  # an address cannot be pretended
        process.send_signal(signal.SIGTERM)
        out, err = process.communicate(timeout=20.0)
        assert process.returncode == 0
        assert err == ""
    assert f"http://127.0.0.1:{port + 1}/" in out
    assert f"https://127.0.0.1:{port}/" in out
    assert "without signal a reload shows nothing" in out
    authority = project.with_name("job.tee.authority.pem")
    assert stat.S_IMODE(authority.stat().st_mode) == 0o600
    assert b"PRIVATE KEY" in authority.read_bytes()
    assert b"PRIVATE KEY" not in given.content


def test_the_authority_is_the_same_at_the_next_start(project: Path) -> None:
    given = []
    for _ in range(2):
        port = two_ports()
        with in_the_field(project, port) as process:
            given.append(httpx.get(f"http://127.0.0.1:{port + 1}/field/ca.pem").content)
            process.send_signal(signal.SIGINT)
            process.wait(20.0)
            assert process.returncode == 0
    assert given[0] == given[1]


def test_without_people_it_refuses_with_one_sentence(tmp_path: Path) -> None:
    done = teewright("serve", tmp_path / "job.tee", "--field", "--address", "127.0.0.1")
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert "nobody may sign in to it" in done.stderr
    assert "teewright people job.tee add AB --role crew" in done.stderr
    assert not (tmp_path / "job.tee").exists()


def test_an_address_of_the_world_is_refused(project: Path) -> None:
    done = teewright("serve", project, "--field", "--address", "8.8.8.8")
    assert done.returncode == 2
    assert "is no private address and no local name" in done.stderr


def test_a_port_that_is_taken_is_refused_with_one_sentence(project: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        done = teewright("serve", project, "--port", taken.getsockname()[1])
    assert done.returncode == 2
    assert "is in use by another program" in done.stderr


def test_people_are_added_listed_given_a_password_and_removed(tmp_path: Path) -> None:
    project = with_people(tmp_path / "job.tee", roles=("engineer",))
    secret = tmp_path / "password"
    secret.write_text("wet gloves and rain\nsecond line\n")
    add = ("people", project, "add", "AB", "--role", "inspector", "--password-file", secret)
    done = teewright(*add)
    assert (done.returncode, done.stdout) == (0, "AB\tinspector\nengineer\tengineer\n")
    again = teewright(*add)
    assert again.returncode == 2
    assert "is taken" in again.stderr
    changed = teewright("people", project, "password", "AB", "--password-file", secret)
    assert changed.returncode == 0
    assert teewright("people", project, "remove", "AB").stdout == "engineer\tengineer\n"
    assert teewright("people", project).stdout == "engineer\tengineer\n"
    assert b"gloves" not in project.read_bytes()


def test_a_role_is_changed_but_not_that_of_the_last_engineer(project: Path) -> None:
    done = teewright("people", project, "role", "crew", "inspector")
    assert (done.returncode, done.stderr) == (0, "")
    assert "crew\tinspector\n" in done.stdout
    last = teewright("people", project, "role", "engineer", "client")
    assert last.returncode == 2
    assert "is the last engineer" in last.stderr
    assert last.stderr.count("\n") == 1
    assert teewright("people", project, "role", "crew", "engineer").returncode == 0
    assert teewright("people", project, "role", "engineer", "client").returncode == 0
    assert "engineer\tclient\n" in teewright("people", project).stdout


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("add",), "no name is given"),
        (("role",), "no name is given"),
        (("role", "crew"), "no role is given"),
        (("role", "ZZ", "client"), "is not known"),
        (("remove", "crew", "client"), "does not go with remove"),
        (("add", "AB", "engineer"), "does not go with add"),
        (("add", "AB"), "this is no terminal"),
        (("add", "AB", "--password-file", "nowhere"), "cannot be read"),
        (("add", "AB", "--password-file", __file__), "10 to 200 characters"),
        (("remove", "ZZ"), "is not known"),
        (("password", "ZZ", "--password-file", "nowhere"), "cannot be read"),
    ],
)
def test_what_is_wrong_is_one_sentence(
    project: Path, words: tuple[str, ...], said: str, tmp_path: Path
) -> None:
    short = tmp_path / "short"
    short.write_text("short\n")
    given = [str(short) if word == __file__ else word for word in words]
    done = teewright("people", project, *given)
    assert done.returncode == 2
    assert said in done.stderr
    assert done.stderr.count("\n") == 1
