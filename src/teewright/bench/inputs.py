"""From the files of a user to the values of a job."""

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from types import MappingProxyType

from teewright import demo
from teewright.bench.shelf import Shelf
from teewright.errors import InputError
from teewright.findings import Finding, FindingKind
from teewright.formats import corrections_json
from teewright.formats.detect import read_survey_file
from teewright.formats.kit_readings import files_beside
from teewright.formats.kit_toml import read_kit
from teewright.formats.site_toml import read_site
from teewright.formats.text import lines_in
from teewright.job.correcting import Decision, correct
from teewright.job.declaring import declare_branches, declare_lining
from teewright.kit.values import Kit
from teewright.network.conditions import Site
from teewright.network.corrections import lengths_of
from teewright.network.limits import MOST_LINES, at_most
from teewright.network.names import Named, names_of
from teewright.network.reconcile import reconcile
from teewright.network.values import Survey
from teewright.units import MM

OPTIONS = "options.json"
"""Name of the document with the choices."""
LARGEST_FILE = 64 * 2**20
"""Largest file that is read [bytes]."""
BESIDE = "beside/"
"""Stands before the name of a file that the kit names, among the documents of the kit: a kit's
own name holds no folder."""


@dataclass(frozen=True, slots=True)
class Document:
    """A file as the user gave it.

    Attributes:
        name: Without its folder.
        data: Its bytes.
    """

    name: str
    data: bytes


@dataclass(frozen=True, slots=True)
class Options:
    """Choices made on the command line and kept with the project.

    Attributes:
        liner_mm: Thickness of the lining that the engineer declares for every run, or None.
        branch_mm: Diameter declared for every branch whose own is not known, or None.
    """

    liner_mm: float | None = None
    branch_mm: float | None = None

    def to_bytes(self) -> bytes:
        """For the project file."""
        return json.dumps(asdict(self)).encode()

    def changed(self, liner_mm: float | None, branch_mm: float | None) -> "Options":
        """What was declared now on top of what was declared before; 0 takes one back."""

        def kept(now: float | None, before: float | None) -> float | None:
            return before if now is None else (now or None)

        return Options(kept(liner_mm, self.liner_mm), kept(branch_mm, self.branch_mm))

    @classmethod
    def from_bytes(cls, data: bytes) -> "Options":
        """From the project file."""
        return cls(**json.loads(data))


@dataclass(frozen=True, slots=True)
class Inputs:
    """Everything that a job is made from.

    Attributes:
        surveys: Survey files.
        kit: Kit file, or None for the built-in starter kit.
        site: Site file, or None where nothing is declared.
        options: Choices.
        corrections: What was corrected by hand, or None where nothing is.
        beside: Files that the kit names, such as readings of a resin's cure.
    """

    surveys: tuple[Document, ...]
    kit: Document | None
    site: Document | None
    options: Options
    corrections: Document | None = None
    beside: tuple[Document, ...] = ()

    @property
    def fingerprint(self) -> str:
        """SHA-256 over all of it, hex."""
        digest = hashlib.sha256()
        parts = [*self.surveys, self.kit, self.site, Document("options", self.options.to_bytes())]
        parts += [self.corrections] if self.corrections else []
        parts += self.beside
        for document in parts:
            data = b"-" if document is None else document.data
            name = "" if document is None else document.name
            digest.update(f"{name}\0{len(data)}\0".encode())
            digest.update(data)
        return digest.hexdigest()


@dataclass(frozen=True, slots=True)
class Loaded:
    """Inputs, read.

    Attributes:
        survey: Reconciled and corrected, with its own findings.
        kit: Kit.
        site: Site, with the declared lining.
        findings: Of kit and site.
        decisions: (connection id, decision) of each need that was decided by hand.
        named: Names of connections, those given before among them.
    """

    survey: Survey
    kit: Kit
    site: Site
    findings: tuple[Finding, ...]
    decisions: tuple[tuple[str, Decision], ...] = ()
    named: tuple[Named, ...] = ()


def document(path: Path) -> Document:
    """A file from disk.

    Raises:
        InputError: It is not there, is a folder, cannot be read or is too large.
    """
    try:
        size = path.stat().st_size
        if size > LARGEST_FILE:
            raise InputError(
                f"has {size} bytes", file=path.name, allowed=f"at most {LARGEST_FILE} bytes"
            )
        return Document(path.name, path.read_bytes())
    except OSError as error:
        reason = error.strerror or type(error).__name__
        raise InputError(
            f"cannot be read ({reason.lower()})", file=str(path), allowed="a readable file"
        ) from error


def kit_documents(path: Path) -> tuple[Document, tuple[Document, ...]]:
    """A kit file from disk, and the files beside it that it names.

    Raises:
        InputError: One of them is not there, cannot be read or is too large.
    """
    kit = document(path)
    return kit, tuple(document(path.parent / name) for name in files_beside(kit.data))


def stored(project: Shelf) -> Inputs:
    """Inputs as a project holds them."""

    def latest(kind: str) -> Document | None:
        found = project.documents(kind)
        return Document(found[-1].name, found[-1].data) if found else None

    options = {d.name: Document(d.name, d.data) for d in project.documents("option")}
    option, corrections = options.get(OPTIONS), options.get(corrections_json.NAME)
    if corrections is not None and corrections.data == corrections_json.write(()):
        corrections = None
    kits = [Document(d.name, d.data) for d in project.documents("kit")]
    own = [d for d in kits if not d.name.startswith(BESIDE)]
    beside = [replace(d, name=d.name.removeprefix(BESIDE)) for d in kits if d not in own]
    return Inputs(
        surveys=tuple(Document(d.name, d.data) for d in project.documents("survey")),
        kit=own[-1] if own else None,
        site=latest("site"),
        options=Options.from_bytes(option.data) if option else Options(),
        corrections=corrections,
        beside=tuple(beside),
    )


def check_size(documents: Sequence[Document]) -> None:
    """Count the lines of survey files, before any of them is read.

    Raises:
        InputError: Together they have more than a survey may have; the largest is named.
    """
    counts = {d.name: lines_in(d.data) for d in documents}
    together = sum(counts.values())
    if together > MOST_LINES:
        raise InputError(
            f"the survey files have {together} lines together, and this one the most, "
            f"{max(counts.values())}",
            file=max(counts, key=lambda name: counts[name]),
            allowed=at_most(MOST_LINES),
        )


def read_surveys(
    documents: tuple[Document, ...],
    lengths: Mapping[str, float] = MappingProxyType({}),
    named: Sequence[Named] = (),
) -> Survey:
    """Survey files reconciled into one survey.

    Args:
        documents: The files.
        lengths: Length of a run that was set by hand, by its id [m].
        named: Names that connections had before.

    Raises:
        InputError: A file is not a survey, or they are larger than a survey may be.
    """
    check_size(documents)
    contents = [read_survey_file(d.data, file=d.name) for d in documents]
    return reconcile(
        tuple(i for c in contents for i in c.inspections),
        runs=tuple(r for c in contents for r in c.runs),
        sightings=tuple(s for c in contents for s in c.sightings),
        findings=tuple(f for c in contents for f in c.findings),
        lengths=lengths,
        named=named,
    )


def load(inputs: Inputs, named: Sequence[Named] = ()) -> Loaded:
    """Read everything.

    Args:
        inputs: The documents.
        named: Names that connections had before; they keep them.

    Raises:
        InputError: A file is wrong; the sentence names file, field and value.
    """
    given = inputs.corrections
    corrections = corrections_json.read(given.data, file=given.name) if given else ()
    survey = read_surveys(inputs.surveys, lengths_of(corrections), named)
    kit_document = inputs.kit or Document("built-in starter kit", demo.file(demo.KIT_FILE))
    beside = {d.name: d.data for d in inputs.beside}
    kit, kit_findings = read_kit(kit_document.data, file=kit_document.name, beside=beside)
    site, site_findings = _site(inputs.site)
    if inputs.kit is None:
        kit_findings = (*kit_findings, _starter_kit())
    corrected = correct(survey, site, corrections, named)
    names = names_of(named, survey, corrected.survey)
    survey, site = corrected.survey, corrected.site
    if inputs.options.liner_mm is not None:
        site = declare_lining(survey, site, inputs.options.liner_mm * MM)
    if inputs.options.branch_mm is not None:
        site = declare_branches(survey, site, inputs.options.branch_mm * MM)
    findings = (*kit_findings, *site_findings)
    return Loaded(survey, kit, site, findings, corrected.decisions, names)


def _site(given: Document | None) -> tuple[Site, tuple[Finding, ...]]:
    return (Site(), ()) if given is None else read_site(given.data, file=given.name)


def _starter_kit() -> Finding:
    return Finding(
        FindingKind.ASSUMED,
        "starter-kit",
        "no kit was given: the built-in starter kit with invented figures is used; write your "
        "own with `teewright kit --out kit.toml`",
    )
