import os
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, nullcontext
from hashlib import sha256
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import teewright
from teewright.errors import FileFormatError, InputError, StoreError
from teewright.store.project import Project

NOBODY = 65534


@pytest.fixture
def path(tmp_path: Path) -> Path:
    target = tmp_path / "job.teewright"
    with Project.create(target) as project:
        project.add_document("survey", "a.txt", b"1")
    return target


@pytest.fixture
def folder_of_a_plain_user() -> Iterator[Path]:
    """A folder used without the rights of an administrator, whom no file mode stops."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        administrator = os.geteuid() == 0
        if administrator:
            os.chown(folder, NOBODY, NOBODY)
            os.seteuid(NOBODY)
        try:
            if not os.access(teewright.__file__, os.R_OK, effective_ids=True):
                pytest.skip("installed where a plain user may not read")
            yield folder
        finally:
            folder.chmod(0o700)
            if administrator:
                os.seteuid(0)


def test_a_missing_file_and_a_folder(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="is not there"):
        Project.open(tmp_path / "none")
    with pytest.raises(InputError, match="is a folder"):
        Project.open(tmp_path)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("data", [b"", b"hello", b"SQLite format 3\x00", bytes(5000)])
def test_what_is_no_project_file_is_refused_and_not_touched(tmp_path: Path, data: bytes) -> None:
    other = tmp_path / "other"
    other.write_bytes(data)
    with pytest.raises(FileFormatError, match="not a project file"):
        Project.open(other)
    assert other.read_bytes() == data
    assert list(tmp_path.iterdir()) == [other]


def test_another_database_is_refused(tmp_path: Path) -> None:
    other = tmp_path / "other.sqlite"
    with closing(sqlite3.connect(other)) as connection:
        connection.execute("CREATE TABLE project (id)")
        connection.commit()
    with pytest.raises(FileFormatError):
        Project.open(other)


@settings(max_examples=25, deadline=None)
@given(st.binary(max_size=300))
def test_random_bytes_are_refused(data: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        other = Path(folder) / "other"
        other.write_bytes(data)
        with pytest.raises(FileFormatError):
            Project.open(other)


def test_a_damaged_file_is_told(path: Path) -> None:
    data = bytearray(path.read_bytes())
    data[4096:] = b"\xff" * (len(data) - 4096)
    path.write_bytes(bytes(data))
    with pytest.raises(StoreError, match=r"job\.teewright"):
        Project.open(path)


def test_a_file_cut_short_is_told(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:5000])
    with pytest.raises(StoreError, match=r"job\.teewright"):
        Project.open(path)


def test_a_newer_schema_is_told_with_both_versions(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
        connection.commit()
    before = sha256(path.read_bytes()).hexdigest()
    with pytest.raises(StoreError, match=r"newer version \(schema 9999\)"):
        Project.open(path)
    assert sha256(path.read_bytes()).hexdigest() == before


def test_an_unknown_schema_is_told(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '0000x'")
        connection.commit()
    with pytest.raises(StoreError, match="schema of the project file is not known"):
        Project.open(path)


def test_a_file_in_use_is_told_and_can_be_used_afterwards(path: Path) -> None:
    def add(wait: float) -> int:
        with Project.open(path, wait=wait) as project:
            project.add_document("survey", "b.txt", b"2")
            return len(project.documents())

    other = sqlite3.connect(path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(StoreError, match="in use by another program"):
        add(wait=0.05)
    other.close()
    assert add(wait=1.0) == 2


def test_a_refused_write_leaves_the_project_usable(path: Path) -> None:
    with Project.open(path) as project:
        with pytest.raises(StoreError), project.transaction():
            project._connection.exec_driver_sql("INSERT INTO project VALUES (2, '', '', '')")
        project.add_document("survey", "b.txt", b"2")
        assert len(project.documents()) == 2


def limit_pages(project: Project, more: int) -> None:
    with project.reading() as connection:
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar_one()
        connection.exec_driver_sql(f"PRAGMA max_page_count = {pages + more}")


@pytest.mark.parametrize("nested", [False, True])
def test_a_full_disk_is_told_and_nothing_is_half_written(path: Path, *, nested: bool) -> None:
    def write_too_much(project: Project) -> None:
        with project.transaction():
            project.put_result("read", "f", "{}")
            with project.transaction() if nested else nullcontext():
                project.add_document("survey", "big", bytes(100_000))

    with Project.open(path) as project:
        limit_pages(project, more=2)
        with pytest.raises(StoreError, match="disk is full"):
            write_too_much(project)
        assert project.result("read") is None
        assert len(project.documents()) == 1
        project.put_result("read", "f", "{}")
        assert project.result("read") is not None


def test_a_read_only_file_and_folder_are_told(folder_of_a_plain_user: Path) -> None:
    target = folder_of_a_plain_user / "job"
    Project.create(target).close()
    target.chmod(0o400)
    with pytest.raises(StoreError, match="read-only"):
        Project.open(target)
    target.chmod(0o000)
    with pytest.raises(StoreError, match="cannot be read"):
        Project.open(target)
    target.chmod(0o600)
    folder_of_a_plain_user.chmod(0o500)
    with pytest.raises(StoreError, match="read-only folder"):
        Project.open(target)
    with pytest.raises(StoreError, match=r"cannot be made|cannot be opened|read-only"):
        Project.create(folder_of_a_plain_user / "another")


def test_create_does_not_overwrite(path: Path) -> None:
    before = path.read_bytes()
    with pytest.raises(InputError, match="is there already"):
        Project.create(path)
    assert path.read_bytes() == before
    with pytest.raises(InputError, match="folder that is not there"):
        Project.create(path / "below")


def test_what_a_crash_left_of_making_a_file_is_no_hindrance(tmp_path: Path) -> None:
    (tmp_path / ".job.part").write_bytes(b"half")
    Project.create(tmp_path / "job").close()
    assert [p.name for p in tmp_path.iterdir()] == ["job"]


def test_odd_names_are_just_names(tmp_path: Path) -> None:
    for name in ("a b?mode=ro", "100%.job", "file:x", "ü#1"):
        with Project.create(tmp_path / name) as project:
            project.put_result("read", "f", "{}")
    assert {p.name for p in tmp_path.iterdir()} == {"a b?mode=ro", "100%.job", "file:x", "ü#1"}
