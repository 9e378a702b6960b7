"""Files given to a project one after the other, each read before anything changes."""

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, replace

from teewright.bench.inputs import LARGEST_FILE, Document, Inputs, load
from teewright.errors import InputError, TeewrightError, UnknownNameError
from teewright.formats.kinds import Kind, kind_of, read
from teewright.store.project import Project

LONGEST_NAME = 120
"""Longest name of a file that is kept whole."""


@dataclass(frozen=True, slots=True)
class Given:
    """One file as it was found.

    Attributes:
        document: Its name and bytes.
        kind: What it is to the job, or None where that is not known.
        format: Name of its format, or `""`.
        fault: Why it is not taken, one sentence; `""` where nothing is wrong with it.
    """

    document: Document
    kind: Kind | None
    format: str
    fault: str = ""


def plain_name(name: str) -> str:
    """The name of a file without folders and without signs that are not seen.

    Args:
        name: As a program told it, a path of any system or anything else.

    Raises:
        InputError: Nothing is left of it.
    """
    last = name.replace("\\", "/").rsplit("/", 1)[-1]
    seen = "".join(c for c in last if unicodedata.category(c)[0] != "C").strip()
    if not seen.strip(". "):
        raise InputError("is no name of a file", field="name", value=name, allowed="e.g. night.txt")
    if len(seen) <= LONGEST_NAME:
        return seen
    stem, dot, ending = seen.rpartition(".")
    return seen[:LONGEST_NAME] if not dot or len(ending) > 8 else (
        stem[: LONGEST_NAME - len(ending) - 1] + dot + ending
    )  # fmt: skip


def look_at(document: Document, *, largest: int = LARGEST_FILE) -> Given:
    """Find out what a file is and whether it can be read.

    Args:
        document: The file.
        largest: Largest that is read [bytes].
    """
    kind: Kind | None = None
    try:
        if len(document.data) > largest:
            raise InputError(
                f"has {len(document.data)} bytes",
                file=document.name,
                allowed=f"at most {largest} bytes",
            )
        kind = kind_of(document.data, file=document.name)
        return Given(document, kind, read(document.data, kind, file=document.name))
    except TeewrightError as error:
        return Given(document, kind, "", str(error))


def with_files(before: Inputs, given: Sequence[Given]) -> Inputs:
    """Inputs as they will be with some files more.

    A survey file of a name that is there already takes the place of that one; kit and site take
    the place of those before.

    Args:
        before: As they are.
        given: Files without fault.
    """
    after = before
    for one in given:
        document = one.document
        if one.kind is Kind.KIT:
            after = replace(after, kit=document)
        elif one.kind is Kind.SITE:
            after = replace(after, site=document)
        else:
            names = [d.name for d in after.surveys]
            surveys = [document if d.name == document.name else d for d in after.surveys]
            surveys += [] if document.name in names else [document]
            after = replace(after, surveys=tuple(surveys))
    return after


def check(after: Inputs) -> None:
    """Read the inputs as a whole.

    Raises:
        InputError: They do not go together, or a file is wrong.
    """
    if after.surveys:
        load(after)


def put(project: Project, given: Sequence[Given]) -> None:
    """Keep files in the project, all or none; what they replace stays as history."""
    with project.transaction():
        for one in given:
            kind = str(one.kind)
            if one.kind is not Kind.SURVEY:
                for old in project.documents(kind):
                    if old.name != one.document.name:
                        project.remove_document(kind, old.name)
            project.add_document(kind, one.document.name, one.document.data)


def put_back(project: Project, kind: str, name: str) -> None:
    """Put what counted before the last change of a file in its place, as a new version.

    A file that was given once is taken out.

    Raises:
        UnknownNameError: There is no such file.
    """
    with project.transaction():
        now = {d.name for d in project.documents(kind)}
        before = project.document_before(kind, name)
        if before is None and name not in now:
            raise UnknownNameError(
                f"is no {kind} of the project", field="name", value=name, allowed="one that was"
            )
        if before is None:
            project.remove_document(kind, name)
            return
        if kind != Kind.SURVEY:
            for other in now - {name}:
                project.remove_document(kind, other)
        project.add_document(kind, name, before.data)
