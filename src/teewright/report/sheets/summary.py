"""The summary: what is sealed, what is not, when, and at what cost."""

import re
from collections.abc import Sequence

from teewright.price.values import QuoteLine
from teewright.programme.values import Shift
from teewright.report import letters, words
from teewright.report.figures import entry, marks, overview, tally
from teewright.report.index import OPEN, SEALED, Decision, JobIndex
from teewright.report.sheets import unsealed
from teewright.report.sheets.cautions import REVIEW, RIGHTS
from teewright.report.sheets.cover import drawn_runs
from teewright.report.sheets.sheet import Json, Sheet

_ROWS = 6
_COST = 8
_PAGE = 265.0
_LINE, _SMALL = 5.0, 4.4
_COLUMN, _REASON = 84.0, 50.0
_PITCHES = (5.5, 12.0)
_MAKE_READY = "Make ready"


def answer(index: JobIndex) -> str:
    """The heading: how many will be sealed, how many are open."""
    total = len(index.job.survey.connections)
    if not total:
        return "No connection was found"
    sealed, unsettled = index.decided(*SEALED), len(index.decided(*OPEN))
    if not sealed:
        return _none_sealed(index, total)
    head = f"{len(sealed)} of {words.figures(total, 'connection')} "
    if any(cid in index.visits for cid in sealed):
        doubtful = sum(1 for cid in sealed if index.needs_review(cid))
        head += "will be sealed" + (f", {doubtful} after review" if doubtful else "")
    else:
        head += "can be sealed, none is planned"
    if not unsettled:
        return head
    return f"{head}; {unsettled} {'is' if unsettled == 1 else 'are'} still open"


def _none_sealed(index: JobIndex, total: int) -> str:
    if index.decided(*OPEN):
        return f"None of {words.figures(total, 'connection')} can be sealed yet"
    if len(index.decided(Decision.LEAVE)) == total:
        many = words.figures(total, "connection is", "connections are")
        return f"{words.capital(many)} left as {'it is' if total == 1 else 'they are'}"
    return f"None of {words.figures(total, 'connection')} needs a collar"


def _tally(index: JobIndex) -> str:
    titles = (
        (Decision.SEAL, "sealed", "as they are"),
        (Decision.READY, "made ready", "and then sealed"),
        (Decision.CLOSE, "closed off", "no collar"),
        (Decision.LOOK, "still open", "look again"),
        (Decision.REFUSED, "no collar", "none fits: decide"),
        (Decision.UNPLANNED, "no shift", "none fits: decide"),
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
    parts = [_collars(index, sealed) if sealed else "Nothing yet."]
    ready = len(index.decided(Decision.READY))
    if ready:
        many = words.count(ready, "of them is", "of them are")
        parts.append(f"{words.capital(many)} made ready first.")
    waiting = len(index.decided(Decision.UNPLANNED))
    if waiting:
        many = words.count(waiting, "collar is designed but fits", "collars are designed but fit")
        parts.append(f"{words.capital(many)} no shift.")
    closed = len(index.decided(Decision.CLOSE))
    if closed:
        many = words.count(closed, "connection is", "connections are")
        parts.append(f"{words.capital(many)} closed off.")
    return " ".join(parts)


def _collars(index: JobIndex, sealed: Sequence[str]) -> str:
    patterns = {index.designs[cid].collar.pattern for cid in sealed}
    many = words.count(len(sealed), "connection gets", "connections get")
    return f"{words.capital(many)} a collar, in {words.count(len(patterns), 'pattern')}."


def _not_sealed(index: JobIndex, lines: int) -> tuple[list[Json], str]:
    """One row for each reason, the open ones first, cut to the lines that there are."""
    found = unsealed.groups(index)
    wrapped = [letters.wrap(_why(group), _REASON, 9.0) for group in found]
    most = next((m for m in range(12, 1, -1) if sum(min(len(w), m) for w in wrapped) <= lines), 2)
    rows: list[Json] = []
    for group, said in zip(found, wrapped, strict=True):
        lines -= min(len(said), most)
        if lines < 0:
            break
        kept = said if len(said) <= most else [*said[: most - 1], f"{said[most - 1]} …"]
        many = words.figures(len(group.ids), "connection")
        place = words.breakable(group.ids[0]) if len(group.ids) == 1 else many
        rows.append(
            {
                "mark": marks.mark(group.decision),
                "decision": group.decision.value,
                "place": place,
                "reason": words.breakable(" ".join(kept)),
            }
        )
    rest = len(found) - len(rows)
    if rest:
        return rows, f"{words.capital(words.count(rest, 'more reason'))}."
    cut = any(len(said) > most for said in wrapped)
    return rows, "Some are shortened." if cut else ""


def _why(group: unsealed.Group) -> str:
    said = words.capital(group.decision.value)
    return f"{said}: {group.reason}" if group.reason else said


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
    """The lines of the price in the order of the work, the small ones put together."""
    lines = _together(index.job.quote.lines)
    shown = lines
    if len(lines) > _COST:
        largest = sorted(lines, key=lambda line: line.sum, reverse=True)[: _COST - 1]
        shown = [line for line in lines if line in largest]
    rows: list[Json] = [
        {"item": words.breakable(q.item), "number": _number(q), "sum": words.money(q.sum)}
        for q in shown
    ]
    rest = [line for line in lines if line not in shown]
    if rest:
        item = words.capital(words.count(len(rest), "smaller line"))
        rows.append({"item": item, "number": "", "sum": words.money(sum(q.sum for q in rest))})
    if index.job.quote.overhead:
        total = words.money(index.job.quote.overhead)
        rows.append({"item": "Overhead", "number": "", "sum": total})
    return rows


def _together(lines: Sequence[QuoteLine]) -> list[QuoteLine]:
    """The lines with every kind of make-ready work as one."""
    ready = [line for line in lines if line.item.startswith(_MAKE_READY)]
    if len(ready) < 2:
        return list(lines)
    item = f"{_MAKE_READY}, {words.count(len(ready), 'kind')}"
    many, total = sum(q.quantity for q in ready), sum(q.sum for q in ready)
    one = QuoteLine(item, many, "each", 0.0, total, "")
    first = lines.index(ready[0])
    return [*lines[:first], one, *(q for q in lines[first:] if q not in ready)]


def _number(line: QuoteLine) -> str:
    whole = line.unit in {"each", "shift", "pack"}
    return f"{line.quantity:g}" if whole else f"{line.quantity:.1f} {line.unit.replace('2', '²')}"


def _open_points(index: JobIndex) -> list[Json]:
    out: list[tuple[str, str]] = []
    counts = {d: len(index.decided(d)) for d in OPEN}
    unsettled = sum(counts.values())
    if unsettled:
        verb = "is" if unsettled == 1 else "are"
        parts = words.listed([f"{n} {d.value}" for d, n in counts.items() if n])
        many = words.count(unsettled, "connection")
        out.append((words.capital(many), f"{verb} not settled ({parts}): no date is fixed."))
    designs = index.job.designs.designs
    thin = [d.connection_id for d in designs if d.wall_too_thin]
    if thin:
        out.append((f"Wall too thin at {len(thin)}:", words.listed(thin, 3) + "."))
    unset = [d.connection_id for d in designs if d.pressure.set is None]
    if unset:
        out.append((f"No pressure serves at {len(unset)}:", words.listed(unset, 3) + "."))
    doubts = sum(1 for f in index.job.findings if f.kind.value in {"doubt", "refused"})
    if doubts:
        many = words.capital(words.count(doubts, "finding"))
        out.append((many, f"{'needs' if doubts == 1 else 'need'} a decision: see the findings."))
    return [{"cause": cause, "act": words.breakable(act)} for cause, act in out]


def _text_height(text: str, room: float, size: float, line: float) -> float:
    return line * len(letters.wrap(text, room, size))


def _foot(open_points: Sequence[Json]) -> float:
    """Height of the box at the foot of the page [mm]."""
    said = _text_height(f"{REVIEW} {RIGHTS}", 150.0, 9.0, _SMALL)
    return 6.0 + said + _SMALL * len(open_points)


def _left(found: str, sealed: str) -> float:
    """Height of the left column over its rows of reasons [mm]."""
    texts = (_text_height(text, _COLUMN, 10.0, _LINE) for text in (found, sealed))
    return 5.0 * _LINE + 7.0 + sum(texts)


def _right(shifts: int, cost: int) -> float:
    """Height of the right column [mm]."""
    return 6.0 * _LINE + 6.0 + _SMALL * (shifts + cost + 4)


def _height(svg: str) -> float:
    """Height of a figure with the gap under it [mm]."""
    found = re.search(r'height="([\d.]+)mm"', svg)
    return float(found[1]) + 3.0 if found else 0.0


def _body(index: JobIndex) -> dict[str, Json]:
    shifts, later = _shift_rows(index.job.programme.shifts)
    cost, points = _cost(index), _open_points(index)
    found, sealed = _found(index), _sealed(index)
    figures = {
        "tally": _tally(index) if index.job.survey.connections else "",
        "entry": _entry_figure(index),
    }
    free = _PAGE - 20.0 - _foot(points) - sum(map(_height, figures.values()))
    columns = max(_right(len(shifts), len(cost)), _left(found, sealed) + 5.0 * _SMALL)
    runs = _runs(index, free - columns)
    lines = int((free - _height(runs) - _left(found, sealed)) / _SMALL)
    not_sealed, more = _not_sealed(index, lines)
    quote = index.job.quote
    return {
        **figures,
        "runs": runs,
        "found": found,
        "sealed": sealed,
        "not_sealed": not_sealed,
        "more": more,
        "shifts": shifts,
        "shifts_more": later,
        "resin": _resin(index),
        "currency": quote.currency,
        "cost": cost,
        "total": words.money(quote.total),
        "if_open": words.money(quote.if_open_sealed) if quote.if_open_sealed > quote.total else "",
        "open": points,
        "review": REVIEW,
        "rights": RIGHTS,
    }


def _runs(index: JobIndex, room: float) -> str:
    """All runs where they find room, else nothing; they then have sheets of their own."""
    drawn = drawn_runs(index)
    least, most = _PITCHES
    if not drawn or 10.0 + least * len(drawn) > room:
        return ""
    return overview.runs(
        drawn, pitch=min(most, (max(room - 40.0, min(room, 62.0)) - 10.0) / len(drawn))
    )


def sheets(index: JobIndex) -> list[Sheet]:
    """The summary; many runs are drawn on sheets of their own."""
    drawn, body = drawn_runs(index), _body(index)
    subject = words.capital(words.count(len(drawn), "run"))
    first = Sheet("summary", "Summary for the client", answer(index), subject, "Summary", body)
    if body["runs"] or not drawn:
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
