import hashlib
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from teewright.errors import InputError, TamperedError, UnknownNameError
from teewright.store.answers import Answer, answered, keep_answer
from teewright.store.attachments import attach, attachment
from teewright.store.project import Project

PHOTO = b"\xff\xd8 invented \xff\xd9"


def test_an_attachment_is_found_by_its_hash(tmp_path: Path) -> None:
    with Project.create(tmp_path / "job") as project:
        name = attach(project, PHOTO, media_type="image/jpeg")
        assert name == hashlib.sha256(PHOTO).hexdigest()
        assert attach(project, PHOTO, media_type="image/jpeg") == name
        kept = attachment(project, name)
        assert (kept.data, kept.media_type) == (PHOTO, "image/jpeg")
        with pytest.raises(UnknownNameError, match="is not kept"):
            attachment(project, "00" * 32)


def test_an_attachment_goes_with_its_transaction(tmp_path: Path) -> None:
    def fail(project: Project) -> None:
        with project.transaction():
            attach(project, PHOTO, media_type="image/jpeg")
            raise RuntimeError

    with Project.create(tmp_path / "job") as project:
        with pytest.raises(RuntimeError):
            fail(project)
        with pytest.raises(UnknownNameError):
            attachment(project, hashlib.sha256(PHOTO).hexdigest())


def test_an_attachment_is_never_changed_unseen(tmp_path: Path) -> None:
    path = tmp_path / "job"
    with Project.create(path) as project:
        name = attach(project, PHOTO, media_type="image/jpeg")
    with closing(sqlite3.connect(path)) as connection:
        for act in ("UPDATE attachment SET data = x'00'", "DELETE FROM attachment"):
            with pytest.raises(sqlite3.IntegrityError, match="kept as they are"):
                connection.execute(act)
        connection.execute("DROP TRIGGER attachment_no_update")
        connection.execute("UPDATE attachment SET data = x'00'")
        connection.commit()
    with Project.open(path) as project, pytest.raises(TamperedError, match="was changed"):
        attachment(project, name)


def test_an_answer_is_given_again_but_not_to_another_request(tmp_path: Path) -> None:
    with Project.create(tmp_path / "job") as project:
        assert answered(project, "k1", "one") is None
        keep_answer(project, "k1", "one", Answer(201, '{"a":1}'))
        assert answered(project, "k1", "one") == Answer(201, '{"a":1}')
        with pytest.raises(InputError, match="another request"):
            answered(project, "k1", "two")
