"""Answers that were given to writes, so that the same write sent twice is done once."""

from dataclasses import dataclass

from sqlalchemy import insert, select

from teewright.errors import InputError
from teewright.store.project import Project
from teewright.store.schema import ANSWER


@dataclass(frozen=True, slots=True)
class Answer:
    """What was answered to a write.

    Attributes:
        status: HTTP status.
        body: JSON text.
    """

    status: int
    body: str


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


def keep_answer(project: Project, key: str, request: str, answer: Answer) -> None:
    """Keep the answer to a write; within the transaction of the write itself."""
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
