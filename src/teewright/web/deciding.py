"""Decisions on what a test or a hold left open, from a page or a program, into the log."""

import uuid
from datetime import datetime

from teewright.errors import InputError, UnknownNameError
from teewright.report.index import JobIndex
from teewright.site.chain import Draft
from teewright.site.decisions import DECISION
from teewright.site.values import Event, EventKind
from teewright.store.project import Project
from teewright.web.office import Known, Office

DEVICE = "page of the proof"
"""Name under which decisions are logged."""
LONGEST = 1000
"""Characters of a decision."""


def decide(office: Office, known: Known, connection: str, words: str, *, who: str) -> Event:
    """Write a decision into the log.

    Args:
        office: Of the project.
        known: What is known now.
        connection: Of what; it was begun.
        words: What is decided.
        who: Name of the person.

    Raises:
        UnknownNameError: It is no connection, or nothing was done there yet.
        InputError: There are no words, or too many.
    """
    installation = installation_of(known, connection)
    plain = " ".join(words.split())
    if not 0 < len(plain) <= LONGEST:
        said = f"{len(plain)} characters"
        raise InputError(
            "cannot be kept", field="decision", value=said, allowed=f"1 to {LONGEST} characters"
        )

    def write(project: Project) -> Event:
        own = sum(event.device == DEVICE for event in project.events())
        moment = datetime.now().astimezone()
        return project.record(
            Draft(
                str(uuid.uuid4()), installation, EventKind.NOTE, moment, DEVICE, own + 1,
                who, ((DECISION, plain),),
            )
        )  # fmt: skip

    return office.desk.write(write)


def index_of(known: Known) -> JobIndex:
    """The planned job.

    Raises:
        UnknownNameError: It is not planned yet.
    """
    if known.job is None:
        raise UnknownNameError("is not planned yet", field="job", allowed="design and plan first")
    return JobIndex(known.job)


def installation_of(known: Known, connection: str) -> str:
    """The installation at a connection that was begun.

    Raises:
        UnknownNameError: It is no connection, or nothing was done there yet.
    """
    record = index_of(known).records.get(connection)
    if record is None or not record.installation:
        problem = "is no connection" if record is None else "was not begun yet"
        raise UnknownNameError(problem, field="connection", value=connection)
    return record.installation
