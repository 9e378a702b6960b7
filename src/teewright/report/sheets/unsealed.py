"""What is not sealed, and why: equal reasons together, with room to write the decision."""

from dataclasses import dataclass

from teewright.report import words
from teewright.report.figures import marks
from teewright.report.index import OPEN, Decision, JobIndex, short
from teewright.report.sheets.sheet import Json, Sheet

ORDER = (Decision.REFUSED, Decision.UNPLANNED, Decision.LOOK, Decision.CLOSE, Decision.LEAVE)
"""Decisions without a collar in a shift, the open ones first."""

_NEXT = {
    Decision.REFUSED: "Change what is named, or choose another way to seal it.",
    Decision.UNPLANNED: "Change what is named, then plan again.",
    Decision.LOOK: "Film it again, then assess again.",
    Decision.CLOSE: "Close it off; no collar.",
    Decision.LEAVE: "Nothing is done.",
}


@dataclass(frozen=True, slots=True)
class Group:
    """Connections that are not sealed for one reason.

    Attributes:
        decision: What happens to them.
        ids: In the order of the survey.
        reason: One or more plain sentences.
    """

    decision: Decision
    ids: tuple[str, ...]
    reason: str


def groups(index: JobIndex) -> list[Group]:
    """Connections without a collar in a shift, one group for each reason, the open ones first."""
    found: dict[tuple[Decision, str], list[str]] = {}
    for decision in ORDER:
        for connection_id in index.decided(decision):
            key = decision, index.common_reason(connection_id)
            found.setdefault(key, []).append(connection_id)
    return [Group(decision, tuple(ids), reason) for (decision, reason), ids in found.items()]


def by_run(index: JobIndex, ids: tuple[str, ...]) -> str:
    """Connections with their run named once: `T01-T02/03, 05; T02-T03/01`."""
    runs: dict[str, list[str]] = {}
    for connection_id in ids:
        runs.setdefault(index.connections[connection_id].run_id, []).append(connection_id)
    parts = []
    for members in runs.values():
        rest = [short(c) for c in members[1:]]
        parts.append(", ".join([words.unbroken(members[0]), *rest]))
    return "; ".join(parts)


def _answer(index: JobIndex, total: int) -> str:
    unsettled = len(index.decided(*OPEN))
    verb = "is" if total == 1 else "are"
    head = f"{words.figures(total, 'connection')} {verb} not sealed"
    if not unsettled:
        return f"{head}, none of them in doubt"
    return f"{head}; {unsettled} {'needs' if unsettled == 1 else 'need'} a decision"


def sheets(index: JobIndex) -> list[Sheet]:
    """Every reason in full, as one sheet of as many pages as it needs; none without one."""
    found = groups(index)
    if not found:
        return []
    rows: list[Json] = [
        {
            "mark": marks.mark(group.decision),
            "decision": words.capital(group.decision.value),
            "count": words.figures(len(group.ids), "connection"),
            "places": by_run(index, group.ids),
            "reason": words.breakable(group.reason),
            "next": _NEXT[group.decision],
            "open": group.decision in OPEN,
        }
        for group in found
    ]
    total = sum(len(group.ids) for group in found)
    subject = words.figures(total, "connection")
    title = "What is not sealed, and why"
    return [Sheet("unsealed", title, _answer(index, total), subject, "Not sealed", {"rows": rows})]
