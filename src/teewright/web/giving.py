"""Files as a page or a program gives them: all of them are taken, or none."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from fastapi import UploadFile

from teewright.bench import giving
from teewright.bench.giving import Given
from teewright.bench.inputs import Document, Inputs
from teewright.errors import InputError, TeewrightError, UnknownNameError
from teewright.formats.kinds import Kind
from teewright.formats.kit_readings import files_beside
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
    read = [_read(upload, office.settings.largest_upload) for upload in named]
    faults = [one for one in read if isinstance(one, Fault)]
    found, faulty = _looked_at([one for one in read if isinstance(one, Document)], before, office)
    faults += faulty
    faults += _twice(found)
    if faults:
        return faults
    after = giving.with_files(before, found)
    unnamed = _unnamed(found, after)
    if unnamed:
        return unnamed
    try:
        giving.check(after)
    except TeewrightError as error:
        return [Fault("", str(error))]
    office.desk.write(lambda project: giving.put(project, found))
    return []


def remove(office: Office, before: Inputs, kind: Kind, name: str) -> None:
    """Take a file out; its bytes stay in the project as history.

    Raises:
        UnknownNameError: There is no such file.
        InputError: The rest does not go together without it.
    """
    after = {
        Kind.SURVEY: replace(before, surveys=tuple(d for d in before.surveys if d.name != name)),
        Kind.KIT: replace(before, kit=None, beside=()),
        Kind.SITE: replace(before, site=None),
        Kind.READINGS: before,
    }[kind]
    if kind is Kind.READINGS and name in {d.name for d in before.beside}:
        raise InputError(
            "is named by the kit", field="file", value=name,
            allowed="to take it out with the kit, or to give a kit that does not name it",
        )  # fmt: skip
    giving.check(after)
    office.desk.write(lambda project: giving.remove(project, kind, name))


def put_back(office: Office, before: Inputs, kind: Kind, name: str) -> None:
    """Undo the last change of a file.

    Raises:
        UnknownNameError: There is no such file.
        InputError: The whole does not go together with what was before.
    """
    old = office.desk.ask(lambda project: giving.before(project, kind, name))
    if not old and kind is Kind.READINGS and name in {d.name for d in before.beside}:
        raise InputError("was given once", field="file", value=name, allowed="another version")
    giving.check(giving.with_files(before, old))
    office.desk.write(lambda project: giving.put_back(project, kind, name))


def bytes_of(office: Office, kind: Kind, name: str) -> bytes:
    """The bytes of a file of the project.

    Raises:
        UnknownNameError: There is no such file.
    """
    at = giving.kept_as(kind, name)
    documents = office.desk.ask(lambda project: project.documents(at[0]))
    found = next((document.data for document in documents if document.name == at[1]), None)
    if found is None or (kind is Kind.KIT and giving.known_as(*at)[0] != kind.value):
        raise UnknownNameError(f"is no {kind} of the project", field="name", value=name)
    return found


def kind_named(word: str) -> Kind:
    """A kind of file by its word in an address.

    Raises:
        UnknownNameError: There is no such kind.
    """
    if word not in {kind.value for kind in Kind}:
        allowed = ", ".join(kind.value for kind in Kind)
        raise UnknownNameError("is no kind of file", field="kind", value=word, allowed=allowed)
    return Kind(word)


def _looked_at(
    documents: Sequence[Document], before: Inputs, office: Office
) -> tuple[list[Given], list[Fault]]:
    """Files without fault, and the faults of the others; a kit is read with its readings."""
    try:
        giving.check_size(before, documents)
    except InputError as error:
        return [], [Fault(error.file, str(error))]
    beside = {d.name: d.data for d in (*before.beside, *documents)}
    found: list[Given] = []
    faults: list[Fault] = []
    for document in documents:
        missing = [name for name in files_beside(document.data) if name not in beside]
        if document.name.lower().endswith(".toml") and missing:
            said = text("survey.give.no_readings", file=document.name, named=", ".join(missing))
            faults.append(Fault(document.name, said))
            continue
        one = giving.look_at(document, largest=office.settings.largest_upload, beside=beside)
        if one.faults:
            faults += [Fault(document.name, said) for said in one.faults]
        else:
            found.append(one)
    return found, faults


def _unnamed(found: Sequence[Given], after: Inputs) -> list[Fault]:
    """Readings that no resin of the kit names: whose they are is not known."""
    named = {d.name for d in after.beside}
    return [
        Fault(one.document.name, text("survey.give.not_named", file=one.document.name))
        for one in found
        if one.kind is Kind.READINGS and one.document.name not in named
    ]


def _read(upload: UploadFile, largest: int) -> Document | Fault:
    try:
        name = giving.plain_name(upload.filename or "")
    except TeewrightError as error:
        return Fault(upload.filename or "", str(error))
    if upload.size is not None and upload.size > largest:
        most = f"{largest / 2**20:.4g} MB"
        return Fault(name, text("survey.give.too_large", file=name, most=most))
    return Document(name, upload.file.read(largest + 1))


def _twice(found: Sequence[Given]) -> list[Fault]:
    """Two files of one name, two kits or two sites: which one is meant is not known."""
    faults, names, kinds = [], set(), set()
    for one in found:
        name = one.document.name
        if name in names:
            faults.append(Fault(name, text("survey.give.same_name", file=name)))
        elif one.kind in {Kind.KIT, Kind.SITE} and one.kind in kinds:
            faults.append(Fault(name, text("survey.give.same_kind", file=name, kind=one.kind)))
        names.add(name)
        kinds.add(one.kind)
    return faults
