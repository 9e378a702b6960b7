"""Files given to a project one after the other, each read before anything changes."""

import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from teewright.bench import inputs
from teewright.bench.inputs import BESIDE, LARGEST_FILE, Document, Inputs, load
from teewright.errors import InputError, TeewrightError, UnknownNameError
from teewright.formats.kinds import Kind, kind_of, read
from teewright.formats.kit_readings import files_beside
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
        faults: Why it is not taken, one sentence each; empty where nothing is wrong with it.
    """

    document: Document
    kind: Kind | None
    format: str
    faults: tuple[str, ...] = ()

    @property
    def fault(self) -> str:
        """Why it is not taken, one sentence; `""` where nothing is wrong with it."""
        return self.faults[0] if self.faults else ""


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


def look_at(
    document: Document,
    *,
    largest: int = LARGEST_FILE,
    beside: Mapping[str, bytes] | None = None,
) -> Given:
    """Find out what a file is and whether it can be read.

    Args:
        document: The file.
        largest: Largest that is read [bytes].
        beside: Bytes of the files that a kit may name.
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
        return Given(document, kind, read(document.data, kind, file=document.name, beside=beside))
    except TeewrightError as error:
        others = error.others if isinstance(error, InputError) else ()
        return Given(document, kind, "", (str(error), *map(str, others)))


def with_files(before: Inputs, given: Sequence[Given]) -> Inputs:
    """Inputs as they will be with some files more.

    A survey file of a name that is there already takes the place of that one; kit and site take
    the place of those before. Of the readings those stay that the kit names.

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
        elif one.kind is Kind.READINGS:
            others = tuple(d for d in after.beside if d.name != document.name)
            after = replace(after, beside=(*others, document))
        else:
            names = [d.name for d in after.surveys]
            surveys = [document if d.name == document.name else d for d in after.surveys]
            surveys += [] if document.name in names else [document]
            after = replace(after, surveys=tuple(surveys))
    named = files_beside(after.kit.data) if after.kit else ()
    return replace(after, beside=tuple(d for d in after.beside if d.name in named))


def check_size(before: Inputs, given: Sequence[Document]) -> None:
    """Count lines before a file is read, what the project holds already among them.

    Args:
        before: Inputs as they are.
        given: Files, whatever they are.

    Raises:
        InputError: They are more than a survey may have.
    """
    names = {document.name for document in given}
    stay = [document for document in before.surveys if document.name not in names]
    inputs.check_size((*stay, *given))


def check(after: Inputs) -> None:
    """Read the inputs as a whole.

    Raises:
        InputError: They do not go together, or a file is wrong.
    """
    if after.surveys:
        load(after)


def kept_as(kind: Kind, name: str) -> tuple[str, str]:
    """(kind, name) under which a project keeps a file: readings stand beside the kit."""
    return (Kind.KIT.value, f"{BESIDE}{name}") if kind is Kind.READINGS else (kind.value, name)


def known_as(kind: str, name: str) -> tuple[str, str]:
    """The other way round: (kind, name) of what a project keeps, as the user knows it."""
    if kind == Kind.KIT and name.startswith(BESIDE):
        return Kind.READINGS.value, name.removeprefix(BESIDE)
    return kind, name


def put(project: Project, given: Sequence[Given]) -> None:
    """Keep files in the project, all or none; what they replace stays as history."""
    with project.transaction():
        for one in given:
            kind = one.kind or Kind.SURVEY
            if kind in {Kind.KIT, Kind.SITE}:
                _remove_others(project, kind, one.document.name)
            project.add_document(*kept_as(kind, one.document.name), one.document.data)
        _remove_unnamed(project)


def _remove_others(project: Project, kind: Kind, name: str) -> None:
    for old in project.documents(kind.value):
        if old.name != name and not old.name.startswith(BESIDE):
            project.remove_document(kind.value, old.name)


def _remove_unnamed(project: Project) -> None:
    """Take out readings that no kit names any more."""
    kits = project.documents(Kind.KIT.value)
    named = {
        f"{BESIDE}{name}"
        for kit in kits
        if not kit.name.startswith(BESIDE)
        for name in files_beside(kit.data)
    }
    for old in kits:
        if old.name.startswith(BESIDE) and old.name not in named:
            project.remove_document(Kind.KIT.value, old.name)


def remove(project: Project, kind: Kind, name: str) -> None:
    """Take a file out; its bytes stay as history, and with a kit go the readings it names.

    Raises:
        UnknownNameError: There is no such file.
    """
    with project.transaction():
        project.remove_document(*kept_as(kind, name))
        _remove_unnamed(project)


def before(project: Project, kind: Kind, name: str) -> tuple[Given, ...]:
    """What counted before the last change of a file; none where it was given once.

    With a kit come the readings that it names and that are not there any more.
    """
    old = project.document_before(*kept_as(kind, name))
    if old is None:
        return ()
    found = [Given(Document(name, old.data), kind, "")]
    if kind is Kind.KIT:
        there = {d.name for d in project.documents(kind.value)}
        for reading in files_beside(old.data):
            at = kept_as(Kind.READINGS, reading)
            gone = None if at[1] in there else project.document_before(*at)
            if gone is not None:
                found.append(Given(Document(reading, gone.data), Kind.READINGS, ""))
    return tuple(found)


def put_back(project: Project, kind: Kind, name: str) -> None:
    """Put what counted before the last change of a file in its place, as a new version.

    A file that was given once is taken out.

    Raises:
        UnknownNameError: There is no such file.
    """
    with project.transaction():
        old = before(project, kind, name)
        if old:
            put(project, old)
            return
        _, kept = kept_as(kind, name)
        if kept not in {d.name for d in project.documents(kept_as(kind, name)[0])}:
            raise UnknownNameError(
                f"is no {kind} of the project", field="name", value=name, allowed="one that was"
            )
        remove(project, kind, name)
