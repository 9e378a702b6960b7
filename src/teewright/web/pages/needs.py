"""What needs sealing, and why? Every connection in one list, to be sorted, filtered and decided."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import JSONResponse, RedirectResponse, Response
from markupsafe import Markup
from pydantic import BaseModel

from teewright.assess.make_ready import MakeReady
from teewright.assess.values import Need, Verdict
from teewright.errors import InputError
from teewright.network.values import Connection
from teewright.web import correcting
from teewright.web.asked import TheOffice, WhatIsKnown, WhoAsks
from teewright.web.drawings import marks, shares
from teewright.web.drawings.shares import Part
from teewright.web.guard.signin import local_path
from teewright.web.office import Known
from teewright.web.pages.frames import frame_of
from teewright.web.pages.survey import by_hand, connection_address
from teewright.web.pages.survey_items import SEALED
from teewright.web.quantities import System, quantity
from teewright.web.render import environment, given_words, page, system_of
from teewright.web.survey_words import (
    KEYS,
    choices,
    clock_words,
    entering,
    entry_words,
    need_word,
    reason_words,
    seen_words,
    short,
)
from teewright.web.texts import text
from teewright.web.wording import in_units

router = APIRouter(prefix="/needs")
_CODED = {"dry": 0.0, "sweating": 1.0, "dripping": 2.0, "flowing": 3.0, "gushing": 4.0}
"""Order of the coded classes among those whose flow is not known."""


@dataclass(frozen=True, slots=True)
class Row:
    """One connection of the list, with what each column is sorted by.

    Attributes:
        id: Its id.
        address: On the page of its run.
        run: Its run.
        order: In the order of the survey, from 0.
        rank: 1 for the greatest entry.
        need: Letter of its need.
        word: Its need as it is said.
        by_hand: Whether that was decided by hand.
        reason: Why, one sentence.
        seen: Defects in a few words.
        chainage: As it is shown.
        clock: As it is shown.
        size: Of the branch, as it is shown.
        entry: As it is shown.
        sorts: (column, number) of what is sorted by number.
        collar: Address of its collar, or `""`.
    """

    id: str
    address: str
    run: str
    order: int
    rank: int
    need: str
    word: str
    by_hand: bool
    reason: str
    seen: str
    chainage: str
    clock: str
    size: str
    entry: str
    sorts: tuple[tuple[str, str], ...]
    collar: str


@router.get("")
def needs(request: Request, known: WhatIsKnown) -> Response:
    """What needs sealing, and why?"""
    system = system_of(request)
    found = rows(known, system, given_words(request))
    last = by_hand(known, 1)
    return page(
        request,
        "needs.html",
        {
            "rows": found,
            "counts": _counts(known),
            "choices": choices(),
            "symbols": [(KEYS[need], marks.symbol(need)) for need in Need],
            "works": [kind.value for kind in MakeReady],
            "bar": _bar(known),
            "entry": _entry_words(known, system),
            "last": last[0] if last else None,
            "undo_back": "/needs",
            "problem": known.problem,
        },
        frame=frame_of(known, "needs", answer(known)),
    )


class Decided(BaseModel):
    """The form of a decision."""

    connection: str
    need: str
    why: str = ""
    work: str = ""
    back: str = "/needs"


@router.post("/decide")
def decide(
    request: Request,
    known: WhatIsKnown,
    office: TheOffice,
    who: WhoAsks,
    form: Annotated[Decided, Form()],
) -> Response:
    """Decide what a connection needs; a script is given its new row alone."""
    if not form.why.strip():
        raise InputError(text("survey.hand.no_reason"), field="why", allowed="a few words")
    works = (form.work,) if form.work else ()
    asked = correcting.Decide(act="decide", connection=form.connection, need=form.need, works=works)
    correcting.correct(office, known, [asked], who=who.name, why=form.why)
    if request.headers.get("hx-request") != "true":
        return RedirectResponse(local_path(form.back, "/needs"), status_code=303)
    now = office.known()
    row = next(
        row
        for row in rows(now, system_of(request), given_words(request))
        if row.id == form.connection
    )
    told = {
        "row": environment().get_template("_need_row.html").render(row=row),
        "answer": answer(now),
        "counts": _counts(now),
        "undo": environment()
        .get_template("_undo.html")
        .render(last=by_hand(now, 1)[0], undo_back="/needs", csrf=request.state.csrf),
    }
    return JSONResponse(told)


def rows(known: Known, system: System, given: frozenset[str]) -> tuple[Row, ...]:
    """All connections in the order of the survey.

    Args:
        known: What is known of the job.
        system: Units of the reader.
        given: Words of the user that no change of units may touch.
    """
    if known.loaded is None or known.assessment is None:
        return ()
    decided = {connection_id for connection_id, _ in known.loaded.decisions}
    verdicts = {v.connection_id: v for v in known.assessment.verdicts}
    return tuple(
        _row(
            k,
            c,
            verdicts[c.id],
            system,
            in_units(reason_words(verdicts[c.id]), system, given),
            by_hand=c.id in decided,
        )
        for k, c in enumerate(known.loaded.survey.connections)
    )


def answer(known: Known) -> str:
    """How many need what, one sentence."""
    if known.assessment is None:
        return text("needs.answer_empty")
    verdicts = known.assessment.verdicts
    counts = Counter(v.need for v in verdicts)
    said = text(
        "needs.answer", n=counts[Need.SEAL], all=len(verdicts), ready=counts[Need.MAKE_READY]
    )
    flows = entering(verdicts)
    half = _half(flows)
    if half and len(flows) > 2:
        said += text("needs.half", n=half)
    return said


def _row(k: int, c: Connection, v: Verdict, system: System, reason: str, *, by_hand: bool) -> Row:
    coded = _CODED.get(v.entry.coded.value, -1.0)
    flow = v.entry.flow if v.entry.flow is not None else -1.0 + coded * 1e-3
    missing = 99.0
    return Row(
        id=c.id,
        address=connection_address(c.id),
        run=c.run_id,
        order=k,
        rank=v.rank,
        need=KEYS[v.need],
        word=need_word(v.need),
        by_hand=by_hand,
        reason=reason,
        seen=seen_words(c),
        chainage=quantity(c.chainage, "m", system, digits=2 if system is System.METRIC else 1),
        clock=clock_words(c.clock),
        size=quantity(c.diameter, "mm", system, digits=None if system is System.US else 0),
        entry=entry_words(v.entry, system),
        sorts=(
            ("order", str(k)),
            ("need", str(list(Need).index(v.need))),
            ("entry", repr(flow)),
            ("chainage", repr(c.chainage)),
            ("clock", repr(c.clock if c.clock is not None else missing)),
            ("size", repr(c.diameter if c.diameter is not None else missing)),
        ),
        collar=f"/collars/{c.id}" if v.need in SEALED else "",
    )


def _counts(known: Known) -> dict[str, int]:
    """How many have each need, by its letter."""
    verdicts = known.assessment.verdicts if known.assessment else ()
    counts = Counter(v.need for v in verdicts)
    return {KEYS[need]: counts[need] for need in Need}


def _half(flows: Sequence[tuple[str, float]]) -> int:
    """How many of the greatest bring half of what comes in; 0 where nothing does."""
    total, taken = sum(flow for _, flow in flows), 0.0
    for k, (_, flow) in enumerate(flows, 1):
        taken += flow
        if taken >= 0.5 * total > 0.0:
            return k
    return 0


def _bar(known: Known) -> Markup | None:
    flows = entering(known.assessment.verdicts) if known.assessment else ()
    total = sum(flow for _, flow in flows)
    if len(flows) < 2 or total <= 0.0:
        return None
    one_run = len({name.rpartition("/")[0] for name, _ in flows}) == 1
    parts = [
        Part(name, short(name) if one_run else name, flow / total, connection_address(name))
        for name, flow in flows
    ]
    return shares.bar(parts, text("needs.rest"))


def _entry_words(known: Known, system: System) -> str:
    """What comes in all in all, and at how many it is not known."""
    if known.assessment is None:
        return ""
    flows = entering(known.assessment.verdicts)
    unknown = sum(v.entry.flow is None for v in known.assessment.verdicts)
    if not flows:
        return ""
    total = quantity(sum(flow for _, flow in flows), "l/h", system, digits=1)
    said = text("needs.entering", total=total, n=len(flows))
    return said + (text("needs.entering_unknown", n=unknown) if unknown else "")
