"""Answers that were given to writes, so that the same write sent twice is done once."""

from dataclasses import dataclass

from sqlalchemy import insert, select, update

from teewright.errors import InputError
from teewright.store.project import Project
from teewright.store.schema import ANSWER


@dataclass(frozen=True, slots=True)
class Answer:
    """What was answered to a write.

    Attributes:
        status: HTTP status; 0 where the write was done and its answer was never kept.
        body: JSON text.
    """

    status: int
    body: str

    @property
    def is_lost(self) -> bool:
        """Whether the write was done, but nobody knows any more what was answered."""
        return self.status == 0


def answered(project: Project, key: str, request: str) -> Answer | None:
    """The answer that was given to a write before, or None.

    Args:
        project: Open project.
        key: Key that the sender gave the write.
        request: Hash of what is asked: who, method, path and body.

    Raises:
        InputError: The key was used for another write.
    """
    with project.reading() as connection:
        row = connection.execute(select(ANSWER).where(ANSWER.c.key == key)).one_or_none()
    if row is None:
        return None
    if row.request != request:
        raise InputError(
            "was used for another request",
            field="Idempotency-Key",
            value=key,
            allowed="a new key, or the same request again without a change",
        )
    return Answer(row.status, row.body)


def mark_done(project: Project, key: str, request: str) -> None:
    """Note that a write was done, within its own transaction; its answer is not known yet.

    Args:
        project: Open project, in the transaction of the write.
        key: Key that the sender gave the write.
        request: Hash of what is asked.
    """
    if answered(project, key, request) is None:
        _put(project, key, request, Answer(0, ""))


def keep_answer(project: Project, key: str, request: str, answer: Answer) -> None:
    """Keep the answer to a write."""
    with project.writing() as connection:
        given = update(ANSWER).where(ANSWER.c.key == key, ANSWER.c.request == request)
        values = {"status": answer.status, "body": answer.body}
        if connection.execute(given.values(**values)).rowcount:
            return
    _put(project, key, request, answer)


def _put(project: Project, key: str, request: str, answer: Answer) -> None:
    with project.writing() as connection:
        connection.execute(
            insert(ANSWER).values(
                key=key,
                request=request,
                status=answer.status,
                body=answer.body,
                made=project.now(),
            )
        )
