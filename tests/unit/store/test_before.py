"""What counted before: a version back, or what was taken out."""

from pathlib import Path

from teewright.store.project import Project


def test_before_is_the_version_before_or_what_was_taken_out(tmp_path: Path) -> None:
    with Project.create(tmp_path / "a.tee") as project:
        assert project.document_before("survey", "a.txt") is None
        project.add_document("survey", "a.txt", b"one")
        assert project.document_before("survey", "a.txt") is None
        project.add_document("survey", "a.txt", b"two")
        before = project.document_before("survey", "a.txt")
        assert before is not None
        assert (before.version, before.data) == (1, b"one")
        assert project.removed_documents() == ()
        project.remove_document("survey", "a.txt")
        before = project.document_before("survey", "a.txt")
        assert before is not None
        assert (before.version, before.data) == (2, b"two")
        assert project.removed_documents() == (("survey", "a.txt"),)
        project.add_document("survey", "a.txt", before.data)
        assert project.removed_documents() == ()
        assert [d.version for d in project.documents("survey")] == [3]
