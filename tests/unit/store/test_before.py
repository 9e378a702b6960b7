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


def test_the_state_of_the_documents_changes_with_each_change_and_only_then(tmp_path: Path) -> None:
    with Project.create(tmp_path / "a.tee") as project:
        seen = [project.documents_state()]

        def look() -> None:
            seen.append(project.documents_state())

        project.add_document("survey", "a.txt", b"one")
        look()
        project.add_document("survey", "b.txt", b"one")
        look()
        project.remove_document("survey", "a.txt")
        look()
        project.remove_document("survey", "b.txt")
        look()
        project.add_document("survey", "a.txt", b"one")
        look()
        assert len(set(seen)) == len(seen)
        project.add_document("survey", "a.txt", b"one")
        project.put_result("designs", "of these", "{}")
        assert project.documents_state() == seen[-1]
