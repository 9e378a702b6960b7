"""Any small change of a valid survey, kit or site file is read or refused; it never harms."""

import hashlib
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from teewright import demo
from teewright.cli.main import main

KINDS = {"survey": demo.SURVEY_FILES[0], "kit": demo.KIT_FILE, "site": demo.SITE_FILE}
PIECES = st.sampled_from(
    [b"", b"\0", b"\xff", b"\"", b";", b",", b"\n", b"-", b"1e400", b"nan", b"[", b"=", b"00"]
)  # fmt: skip


def run(words: list[str]) -> int:
    before = sys.argv
    sys.argv = ["teewright", *words]
    try:
        main()
    except SystemExit as stop:
        return stop.code if isinstance(stop.code, int) else 1
    finally:
        sys.argv = before
    return 0


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's files and a project made from them."""
    made = tmp_path_factory.mktemp("mutated")
    for name in KINDS.values():
        (made / name).write_bytes(demo.file(name))
    assert run(words(made, made / "town.tee", {})) == 0
    return made


def words(folder: Path, project: Path, changed: dict[str, Path]) -> list[str]:
    path = {kind: str(changed.get(kind, folder / name)) for kind, name in KINDS.items()}
    return [
        "read", path["survey"], "--project", str(project), "--kit", path["kit"],
        "--site", path["site"], "--json",
    ]  # fmt: skip


@settings(
    max_examples=120, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    kind=st.sampled_from(sorted(KINDS)),
    at=st.floats(0.0, 1.0),
    cut=st.integers(0, 30),
    piece=PIECES,
)
def test_a_changed_file_is_read_or_refused(
    folder: Path,
    capsys: pytest.CaptureFixture[str],
    kind: str,
    at: float,
    cut: int,
    piece: bytes,
) -> None:
    project = folder / "town.tee"
    project_bytes = hashlib.sha256(project.read_bytes()).hexdigest()
    data = demo.file(KINDS[kind])
    place = int(at * len(data))
    changed = folder / f"changed-{kind}"
    changed.write_bytes(data[:place] + piece + data[place + cut :])
    other = folder / "other.tee"
    other.unlink(missing_ok=True)

    code = run(words(folder, other, {kind: changed}))
    told = capsys.readouterr().err

    assert code in {0, 2}
    if code == 2:
        assert told.startswith("teewright: ")
        assert changed.name in told
        assert not other.exists()
        assert run(words(folder, project, {kind: changed})) == 2
        capsys.readouterr()
        assert hashlib.sha256(project.read_bytes()).hexdigest() == project_bytes
