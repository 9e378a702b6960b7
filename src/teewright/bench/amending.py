"""Corrections by hand, kept beside the files they correct; their versions are the history."""

from collections.abc import Sequence

from teewright.bench.inputs import Inputs
from teewright.errors import InputError
from teewright.formats import corrections_json
from teewright.network.corrections import Correction
from teewright.store.project import Project

MOST = 20_000
"""Most corrections of one project."""


def corrections_of(inputs: Inputs) -> tuple[Correction, ...]:
    """Corrections of a project, the oldest first."""
    given = inputs.corrections
    return corrections_json.read(given.data, file=given.name) if given else ()


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


def take_back(project: Project) -> Correction | None:
    """Take the last correction back, as a new version of all of them.

    Returns:
        What it was, or None where there is none.
    """
    with project.transaction():
        known = _known(project)
        if not known:
            return None
        _put(project, known[:-1])
    return known[-1]


def _known(project: Project) -> tuple[Correction, ...]:
    found = {d.name: d for d in project.documents("option")}.get(corrections_json.NAME)
    return corrections_json.read(found.data) if found else ()


def _put(project: Project, corrections: Sequence[Correction]) -> None:
    read_again = corrections_json.read(corrections_json.write(corrections))
    data = corrections_json.write(read_again)  # the bytes that any later writing gives too
    project.add_document("option", corrections_json.NAME, data)
