"""The programme as the user moved it: kept with the project, its versions are the history.

It is used as long as it was made for what is to be set now; else the computed one is, and a
finding says why.
"""

import hashlib
from dataclasses import dataclass
from typing import TYPE_CHECKING

from teewright.bench.shelf import Shelf
from teewright.errors import InputError, StaleError
from teewright.formats.json_values import dump, load
from teewright.programme.values import Programme
from teewright.store.documents import Document
from teewright.store.project import Project

if TYPE_CHECKING:  # it takes a while to import, and not every command plans
    from teewright.job.planning import Planning

NAME = "programme.json"
"""Name of the document, of kind `option`."""
KIND = "option"


@dataclass(frozen=True, slots=True)
class HandMade:
    """A programme that the user decided on.

    Attributes:
        programme: It.
        fixed: Connections whose visits are to stay, in order.
        made_for: (connection, digest of what was to be set there) of each.
        conditions: Digest of crews, rules of the shifts and days of work.
        parent: Version from which it was made; 0 where that was the computed programme.
    """

    programme: Programme
    fixed: tuple[str, ...]
    made_for: tuple[tuple[str, str], ...]
    conditions: str
    parent: int


@dataclass(frozen=True, slots=True)
class Present:
    """What is in force.

    Attributes:
        hand: The programme of the user; None where the computed one is in force.
        version: Of the document; 0 where there is none.
        dropped: Why a programme of the user is not in force, one sentence; else empty.
    """

    hand: HandMade | None
    version: int
    dropped: str


def hand_made(
    programme: Programme, fixed: frozenset[str], plan: "Planning", parent: int
) -> HandMade:
    """A programme with what it was made for.

    Args:
        programme: It.
        fixed: Connections whose visits are to stay.
        plan: What is to be planned.
        parent: Version from which it was made.
    """
    return HandMade(programme, tuple(sorted(fixed)), _made_for(plan), _conditions(plan), parent)


def present(project: Shelf, plan: "Planning") -> Present:
    """What is in force for what is to be planned."""
    document = _document(project)
    if document is None:
        return Present(None, 0, "")
    try:
        hand = load(document.data.decode(), HandMade, file=NAME)
    except (InputError, UnicodeDecodeError):
        told = "It was kept by another version of this tool, which knew other values of a shift."
        return Present(None, document.version, told)
    why = _misfit(hand, plan)
    return Present(None if why else hand, document.version, why)


def keep(project: Project, hand: HandMade, *, on: int) -> int:
    """Keep a programme.

    Args:
        project: Open project file.
        hand: The programme.
        on: Version that the user saw.

    Returns:
        Its version.

    Raises:
        StaleError: Somebody else changed the programme meanwhile.
    """
    with project.transaction():
        check_version(project, on)
        return project.add_document(KIND, NAME, dump(hand).encode()).version


def undo(project: Project, *, on: int) -> int:
    """Go back to what was in force before the last decision.

    Args:
        project: Open project file.
        on: Version that the user saw.

    Returns:
        The version now in force, 0 for the computed programme.

    Raises:
        InputError: There is nothing to undo.
        StaleError: Somebody else changed the programme meanwhile.
    """
    with project.transaction():
        check_version(project, on)
        document = _document(project)
        if document is None:
            raise InputError("has nothing to undo", field="programme", allowed="a change by hand")
        parent = load(document.data.decode(), HandMade, file=NAME).parent
        before = project.document_version(KIND, NAME, parent) if parent else None
        if before is None:
            project.remove_document(KIND, NAME)
            return 0
        return project.add_document(KIND, NAME, before.data).version


def drop(project: Project, *, on: int) -> None:
    """Go back to the computed programme; what the user decided stays as history.

    Raises:
        StaleError: Somebody else changed the programme meanwhile.
    """
    with project.transaction():
        check_version(project, on)
        if on:
            project.remove_document(KIND, NAME)


def check_version(project: Shelf, on: int) -> None:
    """Refuse to build on a version that is not in force.

    Raises:
        StaleError: Another version is.
    """
    document = _document(project)
    now = document.version if document else 0
    if now != on:
        raise StaleError("programme", seen=on, now=now)


def _document(project: Shelf) -> Document | None:
    return next((d for d in project.documents(KIND) if d.name == NAME), None)


def _digest(value: object) -> str:
    return hashlib.sha256(dump(value).encode()).hexdigest()[:16]


def _made_for(plan: "Planning") -> tuple[tuple[str, str], ...]:
    return tuple((i.connection_id, _digest(i)) for i in plan.installations)


def _conditions(plan: "Planning") -> str:
    return _digest((plan.crews, plan.rules, plan.days, plan.first_day))


def _misfit(hand: HandMade, plan: "Planning") -> str:
    """Why it was made for something else, or an empty text."""
    was, now = dict(hand.made_for), dict(_made_for(plan))
    gone, new = [k for k in was if k not in now], [k for k in now if k not in was]
    changed = [k for k in now if k in was and was[k] != now[k]]
    if gone:
        return f"{_few(gone)} no longer to be set."
    if new:
        return f"{_few(new)} to be set now, and not planned in it."
    if changed:
        told = "with other times, packers, windows or another manhole than it was made for."
        return f"{_few(changed)} now set {told}"
    if hand.conditions != _conditions(plan):
        return "Crews, rules of the shifts or days of work have changed since."
    return ""


def _few(names: list[str]) -> str:
    if len(names) == 1:
        return f"{names[0]} is"
    return f"{names[0]} and {len(names) - 1} more are"
