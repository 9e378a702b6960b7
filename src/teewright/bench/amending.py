"""Corrections by hand, kept beside the files they correct; their versions are the history."""

import hashlib
from collections.abc import Sequence

from teewright.bench.inputs import Inputs
from teewright.errors import InputError, UnknownNameError
from teewright.formats import corrections_json
from teewright.network.corrections import Correction
from teewright.store.project import Project

MOST = 20_000
"""Most corrections of one project."""


def corrections_of(inputs: Inputs) -> tuple[Correction, ...]:
    """Corrections of a project, the oldest first."""
    given = inputs.corrections
    return corrections_json.read(given.data, file=given.name) if given else ()


def kept(project: Project) -> tuple[Correction, ...]:
    """Corrections as the project holds them now, the oldest first."""
    return _known(project)


def add(project: Project, new: Sequence[Correction]) -> int:
    """Keep further corrections.

    Args:
        project: Open project file.
        new: In the order in which they are applied.

    Returns:
        How many there are now.

    Raises:
        InputError: There are too many.
    """
    with project.transaction():
        known = _known(project)
        if len(known) + len(new) > MOST:
            raise InputError(
                "are too many",
                field="corrections",
                value=len(known) + len(new),
                allowed=f"at most {MOST}",
            )
        _put(project, (*known, *new))
    return len(known) + len(new)


def key_of(correction: Correction) -> str:
    """By what a correction is named: SHA-256 of what is kept of it, hex."""
    return hashlib.sha256(corrections_json.write((correction,))).hexdigest()


def take_back(project: Project, key: str | None = None) -> Correction | None:
    """Take a correction back, as a new version of all of them; the later ones stay.

    Args:
        project: Open project file.
        key: Of the correction; None for the last one.

    Returns:
        What it was, or None where there is none.

    Raises:
        UnknownNameError: No correction has that key (any more).
    """
    with project.transaction():
        known = _known(project)
        if key is None and not known:
            return None
        places = [k for k, one in enumerate(known) if key is None or key_of(one) == key]
        if not places:
            raise UnknownNameError(
                "is not among the corrections any more",
                field="correction",
                value=key,
                allowed="one of those that the survey lists",
            )
        at = places[-1]
        _put(project, (*known[:at], *known[at + 1 :]))
    return known[at]


def _known(project: Project) -> tuple[Correction, ...]:
    found = {d.name: d for d in project.documents("option")}.get(corrections_json.NAME)
    return corrections_json.read(found.data) if found else ()


def _put(project: Project, corrections: Sequence[Correction]) -> None:
    read_again = corrections_json.read(corrections_json.write(corrections))
    data = corrections_json.write(read_again)  # the bytes that any later writing gives too
    project.add_document("option", corrections_json.NAME, data)
