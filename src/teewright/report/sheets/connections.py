"""The list of connections: what each one needs and why, the greatest entry first."""

from teewright.assess.values import EntryClass
from teewright.report import words
from teewright.report.figures import marks
from teewright.report.index import Decision, JobIndex
from teewright.report.sheets.sheet import Json, Sheet
from teewright.units import clock_text

_SEEN = {EntryClass.SWEATING, EntryClass.DRIPPING, EntryClass.FLOWING, EntryClass.GUSHING}


def _row(index: JobIndex, connection_id: str) -> dict[str, Json]:
    connection = index.connections[connection_id]
    verdict = index.verdicts.get(connection_id)
    flow = index.entry(connection_id)
    work = ", ".join(verdict.make_ready) if verdict else ""
    reason = words.breakable(index.reason(connection_id))
    decision = index.decision(connection_id)
    return {
        "rank": str(verdict.rank) if verdict else "–",
        "name": words.breakable(connection_id),
        "chainage": f"{connection.chainage:.2f}",
        "clock": clock_text(connection.clock),
        "dn": words.millimetres(connection.diameter),
        "entry": words.fixed(flow * 3.6e6, 1) if flow is not None else "–",
        "coded": verdict.entry.coded.value if verdict else "–",
        "seen": str(len(connection.sightings)),
        "decision": decision.value,
        "reason": f"{words.capital(words.breakable(work))}. {reason}" if work else reason,
    }


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
        return head
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
    rows: list[Json] = [_row(index, cid) for cid in ranked]
    used = {index.decision(cid) for cid in ranked}
    body: dict[str, Json] = {
        "rows": rows,
        "marks": {d.value: marks.mark(d) for d in Decision if d in used},
    }
    subject = words.figures(len(connections), "connection")
    title = "Connections, the greatest entry of groundwater first"
    return [Sheet("connections", title, _answer(index), subject, "Connections", body)]
