"""`teewright serve` of what cannot be opened: one sentence, and nobody was let wait for a page."""

import socket
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, closing, contextmanager, nullcontext
from pathlib import Path

import pytest

from faces.web.conftest import free_port
from faces.web.signing import with_people

SERVE = (sys.executable, "-m", "teewright", "serve")


def newer(path: Path) -> None:
    with closing(sqlite3.connect(path)) as file:
        file.execute("UPDATE alembic_version SET version_num = '9999'")
        file.commit()


def damaged(path: Path) -> None:
    data = path.read_bytes()
    path.write_bytes(data[:4096] + b"\xff" * (len(data) - 4096))


def other(path: Path) -> None:
    path.write_text("no project\n", encoding="utf-8")


def as_it_is(_: Path) -> None:
    pass


@contextmanager
def held(path: Path) -> Iterator[None]:
    """Another program has the file for itself."""
    with closing(sqlite3.connect(path)) as file:
        file.execute("BEGIN EXCLUSIVE")
        yield


def served_until_it_ends(*words: object, port: int) -> tuple[int, str, str, set[str]]:
    """Code, output and errors of a server, and what became of those who asked in the meantime."""
    command = [*SERVE, *map(str, words), "--port", str(port)]
    met: set[str] = set()
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as process:
        while process.poll() is None:
            try:
                socket.create_connection(("127.0.0.1", port), timeout=0.1).close()
                met.add("let wait")
            except ConnectionRefusedError:
                met.add("refused")
            except TimeoutError:
                met.add("let wait")
                time.sleep(0.02)
        out, err = process.communicate(timeout=60.0)
    return process.returncode, out, err, met


@pytest.mark.parametrize(
    ("spoil", "hold", "said"),
    [
        (newer, nullcontext, "was last used by a newer version (schema 9999)"),
        (damaged, nullcontext, "job.tee is damaged"),
        (other, nullcontext, "is not a project file"),
        (as_it_is, held, "job.tee is in use by another program"),
    ],
)
def test_it_ends_with_one_sentence_and_nobody_was_let_wait(
    tmp_path: Path,
    spoil: Callable[[Path], None],
    hold: Callable[[Path], AbstractContextManager[None]],
    said: str,
) -> None:
    path = with_people(tmp_path / "job.tee", roles=("engineer",))
    spoil(path)
    before = path.read_bytes()
    with hold(path):
        code, out, err, met = served_until_it_ends(path, port=free_port())
    assert (code, out) == (2, "")
    assert said in err
    assert err.count("\n") == 1
    assert met == {"refused"}
    assert path.read_bytes() == before


def test_where_the_port_is_taken_no_project_is_made(tmp_path: Path) -> None:
    path = tmp_path / "new.tee"
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = str(taken.getsockname()[1])
        done = subprocess.run(
            [*SERVE, str(path), "--port", port],
            capture_output=True, text=True, check=False, timeout=60,
        )  # fmt: skip
    assert (done.returncode, done.stderr.count("\n")) == (2, 1)
    assert "is in use by another program" in done.stderr
    assert list(tmp_path.iterdir()) == []
