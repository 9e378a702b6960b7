import sqlite3
from pathlib import Path

import pytest

from teewright.errors import StoreError
from teewright.store import doctor, engine
from teewright.store.engine import wal_is_safe
from teewright.store.project import Project


@pytest.mark.parametrize(
    ("version", "safe"),
    [
        ((3, 40, 1), False),
        ((3, 44, 5), False),
        ((3, 44, 6), True),
        ((3, 45, 0), False),
        ((3, 50, 6), False),
        ((3, 50, 7), True),
        ((3, 51, 2), False),
        ((3, 51, 3), True),
        ((3, 53, 0), True),
        ((4, 0, 0), True),
    ],
)
def test_versions_with_the_mended_log(version: tuple[int, int, int], safe: bool) -> None:
    assert wal_is_safe(version) is safe


def test_report_of_a_good_folder(tmp_path: Path) -> None:
    found = dict(doctor.report(tmp_path))
    assert found["SQLite"] == sqlite3.sqlite_version
    assert found["Write test"] == "passed"
    assert list(tmp_path.iterdir()) == []


def test_report_of_a_bad_folder(tmp_path: Path) -> None:
    assert dict(doctor.report(tmp_path / "none"))["Write test"].startswith("failed: ")


def test_the_log_is_explained_either_way(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    texts = []
    for safe in (True, False):
        monkeypatch.setattr(doctor, "wal_is_safe", lambda safe=safe: safe)
        texts.append(dict(doctor.report(tmp_path))["Write-ahead log"])
    assert texts[0] == "safe with several programs"
    assert "locked while it is open" in texts[1]


def test_with_the_fault_a_file_has_one_connection_only(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(engine, "wal_is_safe", lambda: False)
    with Project.create(tmp_path / "job") as project:
        with pytest.raises(StoreError, match="in use by another program"):
            Project.open(tmp_path / "job", wait=0.05)
        project.put_result("read", "f", "{}")
    Project.open(tmp_path / "job").close()


def test_without_the_fault_others_may_read(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(engine, "wal_is_safe", lambda: True)
    with Project.create(tmp_path / "job") as first, Project.open(tmp_path / "job") as second:
        first.put_result("read", "f", "{}")
        assert second.result("read") is not None


def test_an_old_sqlite_is_told(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(engine, "OLDEST", (99, 0, 0))
    with pytest.raises(StoreError, match="too old"):
        Project.create(tmp_path / "job")
    assert list(tmp_path.iterdir()) == []
