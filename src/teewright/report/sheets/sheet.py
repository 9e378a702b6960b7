"""A sheet as data: what a template sets, already in words and figures."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

Json = None | bool | int | float | str | Sequence["Json"] | Mapping[str, "Json"]
"""What may stand in the data of a sheet."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet, or several pages of one kind.

    Attributes:
        kind: Name of its template.
        title: Kind of sheet in words, over the heading.
        answer: The heading, which is the answer.
        subject: Object, for the title block.
        group: Name under which the contents list it.
        body: Data of the template.
    """

    kind: str
    title: str
    answer: str
    subject: str
    group: str
    body: Mapping[str, Json] = field(default_factory=dict)

    def data(self, number: int) -> dict[str, Json]:
        """The sheet as JSON, with its number in the pack."""
        return {
            "kind": self.kind,
            "id": f"sheet-{number}",
            "title": self.title,
            "answer": self.answer,
            "subject": self.subject,
            **self.body,
        }
