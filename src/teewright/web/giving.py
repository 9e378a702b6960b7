"""Files as a page or a program gives them: all of them are taken, or none."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from fastapi import UploadFile

from teewright.bench import giving
from teewright.bench.giving import Given
from teewright.bench.inputs import Document, Inputs
from teewright.errors import TeewrightError, UnknownNameError
from teewright.formats.kinds import Kind
from teewright.web.office import Office
from teewright.web.texts import text

MOST_FILES = 200
"""Most files given at once."""


@dataclass(frozen=True, slots=True)
class Fault:
    """Why nothing was taken.

    Attributes:
        file: Name of the file; `""` where they do not go together.
        said: One sentence.
    """

    file: str
    said: str


def take(office: Office, before: Inputs, uploads: Sequence[UploadFile]) -> list[Fault]:
    """Read files and keep them.

    Args:
        office: Of the project.
        before: Inputs as they are.
        uploads: The files.

    Returns:
        What is wrong with them; then nothing is kept. Empty where all is well.
    """
    named = [upload for upload in uploads if upload.filename]
    if not named:
        return [Fault("", text("survey.give.none"))]
    if len(named) > MOST_FILES:
        return [Fault("", text("survey.give.too_many", most=MOST_FILES))]
    found: list[Given] = []
    faults: list[Fault] = []
    for upload in named:
        one = _read(upload, office.settings.largest_upload)
        if isinstance(one, Fault):
            faults.append(one)
        elif one.fault:
            faults.append(Fault(one.document.name, one.fault))
        else:
            found.append(one)
    faults += _twice(found)
    if faults:
        return faults
    try:
        giving.check(giving.with_files(before, found))
    except TeewrightError as error:
        return [Fault("", str(error))]
    office.desk.ask(lambda project: giving.put(project, found))
    return []


def remove(office: Office, before: Inputs, kind: Kind, name: str) -> None:
    """Take a file out; its bytes stay in the project as history.

    Raises:
        UnknownNameError: There is no such file.
        InputError: The rest does not go together without it.
    """
    after = {
        Kind.SURVEY: replace(before, surveys=tuple(d for d in before.surveys if d.name != name)),
        Kind.KIT: replace(before, kit=None),
        Kind.SITE: replace(before, site=None),
    }[kind]
    giving.check(after)
    office.desk.ask(lambda project: project.remove_document(kind.value, name))


def put_back(office: Office, before: Inputs, kind: Kind, name: str) -> None:
    """Undo the last change of a file.

    Raises:
        UnknownNameError: There is no such file.
        InputError: The whole does not go together with what was before.
    """
    old = office.desk.ask(lambda project: project.document_before(kind.value, name))
    if old is not None:
        document = Document(name, old.data)
        giving.check(giving.with_files(before, [Given(document, kind, "")]))
    office.desk.ask(lambda project: giving.put_back(project, kind.value, name))


def kind_named(word: str) -> Kind:
    """A kind of file by its word in an address.

    Raises:
        UnknownNameError: There is no such kind.
    """
    if word not in {kind.value for kind in Kind}:
        allowed = ", ".join(kind.value for kind in Kind)
        raise UnknownNameError("is no kind of file", field="kind", value=word, allowed=allowed)
    return Kind(word)


def _read(upload: UploadFile, largest: int) -> Given | Fault:
    try:
        name = giving.plain_name(upload.filename or "")
    except TeewrightError as error:
        return Fault(upload.filename or "", str(error))
    if upload.size is not None and upload.size > largest:
        most = f"{largest / 2**20:.4g} MB"
        return Fault(name, text("survey.give.too_large", file=name, most=most))
    return giving.look_at(Document(name, upload.file.read(largest + 1)), largest=largest)


def _twice(found: Sequence[Given]) -> list[Fault]:
    """Two files of one name, two kits or two sites: which one is meant is not known."""
    faults, names, kinds = [], set(), set()
    for one in found:
        name = one.document.name
        if name in names:
            faults.append(Fault(name, text("survey.give.same_name", file=name)))
        elif one.kind is not Kind.SURVEY and one.kind in kinds:
            faults.append(Fault(name, text("survey.give.same_kind", file=name, kind=one.kind)))
        names.add(name)
        kinds.add(one.kind)
    return faults
