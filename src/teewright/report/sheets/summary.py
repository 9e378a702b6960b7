"""The summary: what is sealed, what is not, when, and at what cost."""

from collections.abc import Sequence

from teewright.programme.values import Shift
from teewright.report import letters, words
from teewright.report.figures import entry, overview, tally
from teewright.report.index import OPEN, SEALED, Decision, JobIndex
from teewright.report.sheets.cautions import REVIEW, RIGHTS
from teewright.report.sheets.cover import drawn_runs
from teewright.report.sheets.sheet import Json, Sheet

_FEW_RUNS = 8
_FEW_RUNS_ALONE = 16
_ROWS = 6
_LINES = 12
_REASON = 48.0


def answer(index: JobIndex) -> str:
    """The heading: how many will be sealed, how many are open."""
    total = len(index.job.survey.connections)
    if not total:
        return "No connection was found"
    sealed, unsettled = len(index.decided(*SEALED)), len(index.decided(*OPEN))
    if not sealed:
        return f"None of {words.figures(total, 'connection')} can be sealed yet"
    head = f"{sealed} of {words.figures(total, 'connection')} will be sealed"
    if not unsettled:
        return head
    return f"{head}; {unsettled} {'is' if unsettled == 1 else 'are'} still open"


def _tally(index: JobIndex) -> str:
    titles = (
        (Decision.SEAL, "sealed", "as they are"),
        (Decision.READY, "made ready", "and then sealed"),
        (Decision.CLOSE, "closed off", "no collar"),
        (Decision.LOOK, "still open", "look again"),
        (Decision.REFUSED, "no collar fits", "decide"),
        (Decision.LEAVE, "left", "as they are"),
    )
    groups = []
    for decision, title, note in titles:
        count = len(index.decided(decision))
        groups.append(tally.Group(decision, count, f"{count} {title}", note))
    return tally.tally(groups)


def _entry_figure(index: JobIndex) -> str:
    flows = {c.id: index.entry(c.id) for c in index.job.survey.connections}
    known = {cid: q for cid, q in flows.items() if q is not None}
    done = set(index.decided(*SEALED, Decision.CLOSE))
    if not known:
        return ""
    before = entry.Amount(sum(known.values()), len(flows) - len(known))
    after = entry.Amount(
        sum(q for cid, q in known.items() if cid not in done),
        sum(1 for cid in flows if cid not in known and cid not in done),
    )
    return entry.bars(before, after)


def _found(index: JobIndex) -> str:
    survey = index.job.survey
    if not survey.runs:
        return "The survey holds no run."
    sightings = sum(len(c.sightings) for c in survey.connections)
    passes = len(survey.inspections) or len(
        {s.inspection for c in survey.connections for s in c.sightings}
    )
    text = (
        f"{words.capital(words.count(passes, 'inspection'))} with "
        f"{words.count(sightings, 'sighting')} of a connection, reconciled to "
        f"{words.count(len(survey.connections), 'connection')} in "
        f"{words.count(len(survey.runs), 'run')}."
    )
    lined = [r for r in survey.runs if index.lined(r)]
    if len(lined) < len(survey.runs):
        bare = len(survey.runs) - len(lined)
        verb = "is" if bare == 1 else "are"
        text += f" {words.capital(words.count(bare, 'run'))} {verb} not lined, as far as is stated."
    return text


def _sealed(index: JobIndex) -> str:
    sealed = index.decided(*SEALED)
    if not sealed:
        return "Nothing yet."
    patterns = {index.designs[cid].collar.pattern for cid in sealed}
    verb = "gets" if len(sealed) == 1 else "get"
    many = words.capital(words.count(len(sealed), "connection"))
    text = f"{many} {verb} a collar, in {words.count(len(patterns), 'pattern')}."
    ready = words.count(len(index.decided(Decision.READY)), "of them is", "of them are")
    if index.decided(Decision.READY):
        text += f" {words.capital(ready)} made ready first."
    closed = index.decided(Decision.CLOSE)
    if closed:
        text += f" {words.capital(words.count(len(closed), 'is', 'are'))} closed off."
    return text


def _not_sealed(index: JobIndex) -> tuple[list[Json], str]:
    """Connections without a collar, the open ones first, one row for each rule."""
    groups: dict[tuple[Decision, str], list[str]] = {}
    for decision in (Decision.REFUSED, Decision.LOOK, Decision.CLOSE, Decision.LEAVE):
        for cid in index.decided(decision):
            groups.setdefault((decision, index.rule(cid)), []).append(cid)
    rows: list[Json] = []
    lines = 0
    for (decision, _), ids in groups.items():
        text = _why(index, decision, ids, most=3 if len(groups) > 2 else 6)
        lines += len(text)
        if lines > _LINES:
            break
        place = words.breakable(ids[0]) if len(ids) == 1 else f"{len(ids)} connections"
        rows.append({"place": place, "reason": " ".join(text)})
    rest = len(groups) - len(rows)
    if rest <= 0:
        return rows, ""
    return rows, f"{words.capital(words.count(rest, 'more reason'))} in the list of connections."


def _why(index: JobIndex, decision: Decision, ids: Sequence[str], *, most: int) -> list[str]:
    """The reason of the first in a few lines; where the others' differ its rule comes first."""
    reason = index.reason(ids[0])
    if len({index.reason(cid) for cid in ids}) > 1:
        reason = f"{words.rule_words(index.rule(ids[0]))}. {reason}"
    said = words.capital(decision.value)
    wrapped = letters.wrap(f"{said}: {reason}" if reason else said, _REASON, 9.0)
    return wrapped if len(wrapped) <= most else [*wrapped[: most - 1], f"{wrapped[most - 1]} …"]


def _shift_rows(shifts: tuple[Shift, ...]) -> tuple[list[Json], str]:
    rows: list[Json] = [
        {
            "work": f"Shift {s.number}, {s.crew}: {words.count(len(s.visits), 'collar')}",
            "when": f"{words.day(s.day)} {words.at(s.start)}–{words.at(s.end)}",
        }
        for s in shifts[:_ROWS]
    ]
    rest = len(shifts) - _ROWS
    if rest <= 0:
        return rows, ""
    last = words.full_day(shifts[-1].day)
    return rows, f"{words.capital(words.count(rest, 'more shift'))}, the last on {last}."


def _resin(index: JobIndex) -> str:
    designs = index.job.designs.designs
    if not designs:
        return "None."
    packs, mass = sum(d.resin.packs for d in designs), sum(d.resin.mass for d in designs)
    size = index.job.kit.resin.pack_mass
    return f"{words.figures(packs, 'pack')} of {size:.1f} kg; {mass:.1f} kg taken up."


def _cost(index: JobIndex) -> list[Json]:
    quote = index.job.quote
    most = 9
    lines = quote.lines if len(quote.lines) <= most else quote.lines[: most - 1]
    rows: list[Json] = [
        {
            "item": words.breakable(line.item),
            "number": f"{line.quantity:g}"
            if line.unit in {"each", "shift", "pack"}
            else f"{line.quantity:.1f}",
            "sum": words.money(line.sum),
        }
        for line in lines
    ]
    if len(lines) < len(quote.lines):
        rest = quote.lines[len(lines) :]
        rows.append(
            {
                "item": words.capital(words.count(len(rest), "more line")),
                "number": "",
                "sum": words.money(sum(r.sum for r in rest)),
            }
        )
    if quote.overhead:
        rows.append({"item": "Overhead", "number": "", "sum": words.money(quote.overhead)})
    return rows


def _open_points(index: JobIndex) -> list[Json]:
    out: list[Json] = []
    unsettled = index.decided(*OPEN)
    if unsettled:
        verb = "is" if len(unsettled) == 1 else "are"
        out.append(
            {
                "cause": words.capital(words.count(len(unsettled), "connection")),
                "act": f"{verb} not settled; price and date of them are not fixed.",
            }
        )
    unplanned = index.job.programme.unplanned
    if unplanned:
        reasons = "; ".join(dict.fromkeys(words.breakable(u.text) for u in unplanned[:2]))
        verb = "fits" if len(unplanned) == 1 else "fit"
        out.append(
            {
                "cause": words.capital(words.count(len(unplanned), "collar")),
                "act": f"{verb} no shift. {reasons}",
            }
        )
    thin = [d.connection_id for d in index.job.designs.designs if d.wall.utilisation > 1.0]
    if thin:
        out.append({"cause": f"Wall too thin at {len(thin)}:", "act": words.listed(thin, 3) + "."})
    unset = [d.connection_id for d in index.job.designs.designs if d.pressure.set is None]
    if unset:
        out.append(
            {"cause": f"No pressure serves at {len(unset)}:", "act": words.listed(unset, 3) + "."}
        )
    doubts = sum(1 for f in index.job.findings if f.kind.value in {"doubt", "refused"})
    if doubts:
        out.append(
            {
                "cause": words.capital(words.count(doubts, "doubt")),
                "act": "among the findings: see the sheet of that name.",
            }
        )
    return out


def _body(index: JobIndex) -> dict[str, Json]:
    not_sealed, more = _not_sealed(index)
    shifts, later = _shift_rows(index.job.programme.shifts)
    quote = index.job.quote
    return {
        "tally": _tally(index) if index.job.survey.connections else "",
        "entry": _entry_figure(index),
        "found": _found(index),
        "sealed": _sealed(index),
        "not_sealed": not_sealed,
        "not_sealed_more": more,
        "shifts": shifts,
        "shifts_more": later,
        "resin": _resin(index),
        "currency": quote.currency,
        "cost": _cost(index),
        "total": words.money(quote.total),
        "if_open": words.money(quote.if_open_sealed) if quote.if_open_sealed > quote.total else "",
        "open": _open_points(index),
        "review": REVIEW,
        "rights": RIGHTS,
    }


def sheets(index: JobIndex) -> list[Sheet]:
    """The summary; many runs are drawn on sheets of their own."""
    drawn = drawn_runs(index)
    subject = words.capital(words.count(len(drawn), "run"))
    few = len(drawn) <= (_FEW_RUNS if index.designs else _FEW_RUNS_ALONE)
    pitch = min(12.0, max(5.5, (42.0 if index.designs else 90.0) / max(len(drawn), 1)))
    figure = overview.runs(drawn, pitch=pitch) if drawn and few else ""
    first = Sheet(
        "summary",
        "Summary for the client",
        answer(index),
        subject,
        "Summary",
        {**_body(index), "runs": figure},
    )
    if few:
        return [first]
    pages = [drawn[k : k + 28] for k in range(0, len(drawn), 28)]
    more = [
        Sheet(
            "overview",
            "Summary: all runs",
            f"Where the {len(index.job.survey.connections)} connections are",
            subject,
            "Summary",
            {"runs": overview.runs(page, pitch=8.0)},
        )
        for page in pages
    ]
    return [first, *more]
