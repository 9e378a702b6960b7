"""Project files of old releases still open, with everything that was in them."""

import hashlib
import shutil
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from teewright.site.clock import state
from teewright.site.corrections import effective
from teewright.site.values import EventKind
from teewright.store.attachments import attachment
from teewright.store.migrate import schema_revision
from teewright.store.people import listed, people
from teewright.store.project import Project
from teewright.store.schema import REVISION
from unit.site.story import LIMITS

FILES = Path(__file__).parents[2] / "files" / "projects"
ONE = "N1-N2/01#1"


@pytest.fixture(params=sorted(FILES.glob("*.teewright")), ids=lambda path: path.stem)
def saved(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    return Path(shutil.copy(request.param, tmp_path))


def test_there_is_a_file_of_each_schema() -> None:
    revisions = {path.stem.removeprefix("schema-") for path in FILES.glob("*.teewright")}
    assert REVISION in revisions


def test_what_was_in_it_is_still_there(saved: Path) -> None:
    with Project.open(saved) as project:
        about = project.about()
        assert (about.title, about.tool_version) == ("Lower Mill Lane, invented", "0.1.0")
        assert about.created == datetime(2025, 5, 12, 7, 0, tzinfo=UTC)
        documents = [(d.kind, d.name, d.version, d.data) for d in project.documents()]
        assert documents == [
            ("survey", "north.txt", 2, b"#A1=ISO-8859-1\r\nstra\xdfe\r\n"),
            ("kit", "kit.toml", 1, "title = 'Öl'\n".encode()),
            ("option", "lined", 1, b"N1-N2"),
        ]
        result = project.result("read")
        assert result is not None
        assert (result.fingerprint, result.json) == ("0123abcd", '{"runs": ["N1-N2"]}')


def test_its_log_verifies_and_says_the_same(saved: Path) -> None:
    with Project.open(saved) as project:
        events = project.events()
        assert project.log_state().count == len(events) == 7
        head = project.log_state().head
    assert head == "9ec5ca5dc9aecd2907a60f7df467c1e05d72e6a2b48a4a6605351df76e2ebc9c"
    pressed = effective(events)[-2]
    assert (pressed.kind, dict(pressed.data)) == (EventKind.AT_PRESSURE, {"pressure": "75000"})
    shown = state(ONE, events, LIMITS)
    assert shown.breaches == ()
    assert shown.inflate_by == datetime(2025, 5, 12, 8, 30, tzinfo=UTC)
    assert shown.inflate_by.utcoffset() == timedelta(hours=2)


def test_it_is_brought_up_to_date(saved: Path) -> None:
    with Project.open(saved) as project, project.reading() as connection:
        assert schema_revision(connection) == REVISION
    with Project.open(saved) as project:
        project.put_result("assess", "f", "{}")


def test_people_and_attachments_of_the_second_schema(tmp_path: Path) -> None:
    with Project.open(Path(shutil.copy(FILES / "schema-0002.teewright", tmp_path))) as project:
        assert [(p.name, p.role) for p in people(project)] == [("AB", "crew")]
        assert [p.signed_in for p in listed(project)] == [None]
        kept = attachment(project, hashlib.sha256(b"a photo, invented").hexdigest())
    assert (kept.data, kept.media_type) == (b"a photo, invented", "image/jpeg")


def test_the_last_sign_in_of_the_third_schema(tmp_path: Path) -> None:
    with Project.open(Path(shutil.copy(FILES / "schema-0003.teewright", tmp_path))) as project:
        found = [(p.name, p.signed_in) for p in listed(project)]
    assert found == [("AB", datetime(2025, 5, 13, 6, 30, tzinfo=UTC))]
