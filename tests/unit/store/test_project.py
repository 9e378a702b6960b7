from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path

import pytest

import teewright
from teewright.errors import InputError, TamperedError, UnknownNameError
from teewright.store.project import Project


class Ticking:
    """A clock that gains a second each time it is read."""

    def __init__(self) -> None:
        self.now = datetime(2025, 5, 12, 7, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        self.now += timedelta(seconds=1)
        return self.now


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "job.teewright"


@pytest.fixture
def project(path: Path) -> Iterator[Project]:
    with Project.create(path, title="Lower Mill Lane", clock=Ticking()) as made:
        yield made


def digest(path: Path) -> str:
    return sha256(path.read_bytes()).hexdigest()


def test_a_new_project_knows_its_title_time_and_version(project: Project) -> None:
    about = project.about()
    assert about.title == "Lower Mill Lane"
    assert about.created == datetime(2025, 5, 12, 7, 0, 1, tzinfo=UTC)
    assert about.tool_version == teewright.__version__
    assert project.documents() == ()
    assert project.events() == ()
    assert project.result("read") is None


def test_originals_come_back_byte_for_byte(project: Project, path: Path) -> None:
    data = bytes(range(256)) * 3
    project.add_document("survey", "a.txt", data)
    project.close()
    with Project.open(path) as again:
        (document,) = again.documents()
    assert document.data == data
    assert document.sha256 == sha256(data).hexdigest()


def test_a_new_version_counts_and_the_same_bytes_are_none(project: Project) -> None:
    project.add_document("survey", "a.txt", b"1")
    project.add_document("survey", "b.txt", b"2")
    assert project.add_document("survey", "a.txt", b"3").version == 2
    assert project.add_document("survey", "a.txt", b"3").version == 2
    found = project.documents("survey")
    assert [(d.name, d.version, d.data) for d in found] == [("a.txt", 2, b"3"), ("b.txt", 1, b"2")]


def test_kinds_are_apart(project: Project) -> None:
    project.add_document("kit", "one", b"k")
    project.add_document("site", "one", b"s")
    assert [d.data for d in project.documents("kit")] == [b"k"]
    assert [d.kind for d in project.documents()] == ["kit", "site"]


def test_a_removed_document_is_gone_until_it_is_added_again(project: Project) -> None:
    project.add_document("survey", "a.txt", b"1")
    project.remove_document("survey", "a.txt")
    assert project.documents() == ()
    with pytest.raises(UnknownNameError, match=r"a\.txt"):
        project.remove_document("survey", "a.txt")
    assert project.add_document("survey", "a.txt", b"1").version == 2
    assert [d.version for d in project.documents()] == [2]


def test_documents_are_checked(project: Project) -> None:
    with pytest.raises(InputError, match="no kind of document"):
        project.add_document("photo", "a", b"")
    with pytest.raises(InputError, match="name"):
        project.add_document("survey", "", b"")
    with pytest.raises(UnknownNameError):
        project.remove_document("survey", "nothing")


def test_a_changed_document_is_found(project: Project) -> None:
    project.add_document("survey", "a.txt", b"1")
    with project.writing() as connection:
        connection.exec_driver_sql("UPDATE document SET data = x'00'")
    with pytest.raises(TamperedError, match=r"a\.txt was changed"):
        project.documents()


def test_the_last_result_of_a_step_counts(project: Project) -> None:
    project.put_result("read", "f1", '{"a": 1}')
    project.put_result("read", "f2", '{"a": "ü"}')
    project.put_result("assess", "g", "[]")
    found = project.result("read")
    assert found is not None
    assert (found.fingerprint, found.json) == ("f2", '{"a": "ü"}')
    assert found.made == datetime(2025, 5, 12, 7, 0, 3, tzinfo=UTC)


def test_a_transaction_is_stored_whole(project: Project, path: Path) -> None:
    with project.transaction():
        project.add_document("survey", "a.txt", b"1")
        project.put_result("read", "f", "{}")
    project.close()
    with Project.open(path) as again:
        assert len(again.documents()) == 1
        assert again.result("read") is not None


def test_a_failed_transaction_leaves_the_file_as_it_was(path: Path) -> None:
    def read_badly(project: Project) -> None:
        with project.transaction():
            project.add_document("survey", "a.txt", b"2")
            # more than the page cache holds, so that pages are spilled before the end
            project.add_document("survey", "b.txt", bytes(3_000_000))
            project.put_result("read", "f", "{}")
            raise InputError("cannot be read", file="c.txt")

    with Project.create(path) as project:
        project.add_document("survey", "a.txt", b"1")
    before = digest(path)
    with Project.open(path) as project:
        with pytest.raises(InputError, match="cannot be read"):
            read_badly(project)
        assert [d.data for d in project.documents()] == [b"1"]
    assert digest(path) == before
    assert list(path.parent.iterdir()) == [path]


def test_reading_leaves_the_file_as_it_was(path: Path) -> None:
    with Project.create(path) as project:
        project.add_document("survey", "a.txt", b"1")
    before = digest(path)
    with Project.open(path) as project:
        project.documents()
        project.events()
        project.result("read")
        project.log_state()
    assert digest(path) == before
    assert list(path.parent.iterdir()) == [path]


def test_an_inner_failure_does_no_harm_to_the_outer_transaction(project: Project) -> None:
    def fail_within() -> None:
        with project.transaction():
            project.add_document("survey", "b.txt", b"2")
            raise InputError("is bad")

    with project.transaction():
        project.add_document("survey", "a.txt", b"1")
        with pytest.raises(InputError):
            fail_within()
        project.add_document("survey", "c.txt", b"3")
    assert [d.name for d in project.documents()] == ["a.txt", "c.txt"]


def test_an_outer_failure_takes_the_inner_transaction_with_it(project: Project) -> None:
    def fail_without() -> None:
        with project.transaction():
            with project.transaction():
                project.add_document("survey", "a.txt", b"1")
            raise InputError("is bad")

    with pytest.raises(InputError):
        fail_without()
    assert project.documents() == ()


def test_a_transaction_sees_what_it_has_written(project: Project) -> None:
    with project.transaction():
        project.add_document("survey", "a.txt", b"1")
        assert len(project.documents()) == 1
