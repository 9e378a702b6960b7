"""The list of connections: what each one needs and why, the greatest entry first."""

from collections import Counter
from collections.abc import Mapping, Sequence

from teewright.assess.values import EntryClass
from teewright.report import letters, words
from teewright.report.figures import marks
from teewright.report.index import Decision, JobIndex
from teewright.report.sheets.sheet import Json, Sheet
from teewright.units import clock_text

_NOTED = 4
_LONG = 60
_NAMES = (18.0, 34.0)
_SEEN = {EntryClass.SWEATING, EntryClass.DRIPPING, EntryClass.FLOWING, EntryClass.GUSHING}


def _row(index: JobIndex, connection_id: str, notes: Mapping[str, int]) -> dict[str, Json]:
    connection = index.connections[connection_id]
    verdict = index.verdicts.get(connection_id)
    flow = index.entry(connection_id)
    decision = index.decision(connection_id)
    return {
        "rank": str(verdict.rank) if verdict else "–",
        "name": words.breakable(connection_id, 16),
        "chainage": f"{connection.chainage:.2f}",
        "clock": clock_text(connection.clock),
        "dn": words.millimetres(connection.diameter),
        "entry": words.fixed(flow * 3.6e6, 1) if flow is not None else "–",
        "coded": verdict.entry.coded.value if verdict else "–",
        "decision": decision.value,
        "reason": _reason(index, connection_id, notes),
    }


def _reason(index: JobIndex, connection_id: str, notes: Mapping[str, int]) -> str:
    """What is to be done first, and the reason or the number of the note that gives it."""
    verdict = index.verdicts.get(connection_id)
    work = ", ".join(verdict.make_ready) if verdict else ""
    reason = index.common_reason(connection_id)
    rule = words.capital(words.rule_words(index.rule(connection_id)))
    text = f"{rule or 'Reason'}: note {notes[reason]}" if reason in notes else reason
    return words.breakable(f"{words.capital(work)}. {text}" if work else text)


def _notes(index: JobIndex, ids: Sequence[str]) -> dict[str, int]:
    """Long reasons that many connections share, each with its number."""
    counts = Counter(index.common_reason(cid) for cid in ids)
    shared = [text for text, n in counts.items() if n >= _NOTED and len(text) > _LONG]
    return {text: k for k, text in enumerate(shared, 1)}


def _leaks(index: JobIndex, connection_id: str) -> bool:
    verdict = index.verdicts.get(connection_id)
    if verdict is None:
        return False
    return bool(verdict.entry.flow) or verdict.entry.coded in _SEEN


def _answer(index: JobIndex) -> str:
    ids = [c.id for c in index.job.survey.connections]
    leaking = sum(1 for cid in ids if _leaks(index, cid))
    flows = [index.entry(cid) for cid in ids]
    known = [q for q in flows if q is not None]
    verb = "leaks" if leaking == 1 else "leak"
    head = f"{leaking} of {words.figures(len(ids), 'connection')} {verb} as far as is known"
    if not any(known):
        many = words.figures(len(ids), "connection")
        return head if leaking else f"None of {many} leaks as far as is known"
    litres = sum(known) * 3.6e6
    if len(known) == len(flows):
        return (
            f"{leaking} of {words.figures(len(ids), 'connection')} {verb}, {litres:.1f} l/h in all"
        )
    return f"{leaking} of {words.figures(len(ids), 'connection')} {verb}, {litres:.1f} l/h or more"


def sheets(index: JobIndex) -> list[Sheet]:
    """The list, ranked; none without connections."""
    connections = index.job.survey.connections
    if not connections:
        return []

    def rank(connection_id: str) -> int:
        verdict = index.verdicts.get(connection_id)
        return verdict.rank if verdict else len(connections) + 1

    ranked = sorted((c.id for c in connections), key=rank)
    notes = _notes(index, ranked)
    rows: list[Json] = [_row(index, cid, notes) for cid in ranked]
    least, most = _NAMES
    widest = max(letters.width(cid, 8.5, 600) for cid in ranked) + 2.2
    used = {index.decision(cid) for cid in ranked}
    body: dict[str, Json] = {
        "rows": rows,
        "name_width": min(max(widest, least), most),
        "notes": [words.breakable(text) for text in notes],
        "marks": {d.value: marks.mark(d) for d in Decision if d in used},
    }
    subject = words.figures(len(connections), "connection")
    title = "Connections, the greatest entry of groundwater first"
    return [Sheet("connections", title, _answer(index), subject, "Connections", body)]
