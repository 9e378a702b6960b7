"""Findings: what a reader or a rule repaired, guessed, dropped, doubted, assumed or refused.

Every step returns its values together with its findings, so that nothing is lost in silence.
"""

from dataclasses import dataclass
from enum import StrEnum


class FindingKind(StrEnum):
    """What was done about the thing that was found, the gravest last."""

    NOTE = "note"
    ASSUMED = "assumed"
    REPAIRED = "repaired"
    GUESSED = "guessed"
    DROPPED = "dropped"
    DOUBT = "doubt"
    REFUSED = "refused"


@dataclass(frozen=True, slots=True)
class Place:
    """Where something stands in what the user gave.

    Attributes:
        file: Name of the file, without its folder.
        line: Line from 1, or None where the file has no lines.
        field: Column, key or code as the file spells it.
    """

    file: str = ""
    line: int | None = None
    field: str = ""

    def __str__(self) -> str:
        """`file, line N, field F`, without the parts that are not known."""
        parts = [self.file] if self.file else []
        if self.line is not None:
            parts.append(f"line {self.line}")
        if self.field:
            parts.append(self.field)
        return ", ".join(parts)


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing found.

    Attributes:
        kind: What was done about it.
        rule: Name of the rule, lower case with hyphens; the guide lists them.
        text: One plain sentence: what was found and what was done.
        place: Where it stands.
        value: The value as it was given.
        subject: Id of the run or connection it belongs to, or `""`.
    """

    kind: FindingKind
    rule: str
    text: str
    place: Place = Place()
    value: str = ""
    subject: str = ""
