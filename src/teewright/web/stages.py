"""How far each question of a job is answered, and which one comes next."""

from dataclasses import dataclass
from enum import StrEnum

from teewright.assess.values import Need
from teewright.job.values import Job
from teewright.proof.values import HandoverState
from teewright.report.words import money, span
from teewright.web.day_view import troubles
from teewright.web.office import Known
from teewright.web.render import ROOMS
from teewright.web.survey_words import findings_of, open_ones
from teewright.web.texts import text

FOLLOWS = {
    "survey": (),
    "needs": ("survey",),
    "collars": ("needs",),
    "day": ("collars",),
    "programme": ("collars", "day"),
    "clock": ("programme",),
    "proof": ("clock",),
    "handover": ("proof", "needs"),
    "price": ("programme",),
}
"""Questions that must be answered before each."""
SET = frozenset({HandoverState.TIGHT, HandoverState.NOT_TIGHT, HandoverState.UNTESTED})
"""States of a connection whose collar is set."""


class Answered(StrEnum):
    """How far a question is answered."""

    WHOLE = "whole"
    PART = "part"
    OPEN = "open"
    WAITS = "waits"


@dataclass(frozen=True, slots=True)
class Count:
    """What is known of a question.

    Attributes:
        said: In words.
        done: How many of them are answered.
        all: Of how many.
    """

    said: str
    done: int
    all: int


@dataclass(frozen=True, slots=True)
class Stage:
    """One question.

    Attributes:
        room: Which.
        said: What is known of it, or what it waits for.
        answered: How far.
        share: Of it that is answered [-].
        next: Whether the next act belongs to it.
        counted: Whether the share is worth a bar: whether there is more than one to count.
    """

    room: str
    said: str
    answered: Answered
    share: float
    next: bool
    counted: bool = False

    @property
    def state(self) -> str:
        """How far it is answered, in a word."""
        word = text(f"job.answered.{self.answered}")
        return text("job.answered.next", state=word) if self.next else word


def stages(known: Known) -> tuple[Stage, ...]:
    """Every question in the order of the job."""
    counts = {**_read(known), **_designed(known), **(_planned(known.job) if known.job else {})}
    following = _following(known, counts)
    return tuple(_stage(known, room, counts, following=following == room) for room in ROOMS)


def _following(known: Known, counts: dict[str, Count]) -> str:
    if known.loaded is None:
        return "survey"
    if known.job is None:
        return "collars" if known.designs is None else "programme"
    left = (room for room in ("clock", "proof") if counts[room].done < counts[room].all)
    return next(left, "handover")


def _stage(known: Known, room: str, counts: dict[str, Count], *, following: bool) -> Stage:
    if room not in counts:
        waits = next((before for before in FOLLOWS[room] if before not in counts), "")
        name = text(f"common.rooms.{waits}").lower() if waits else ""
        said = text("job.waits", what=name) if waits else text(f"job.open.{_open(known, room)}")
        state = Answered.WAITS if waits else Answered.OPEN
        return Stage(room, said, state, 0.0, following)
    count = counts[room]
    share = count.done / count.all if count.all else 0.0
    state = Answered.WHOLE if share == 1.0 else Answered.PART if share else Answered.OPEN
    return Stage(room, count.said, state, share, following, counted=count.all > 1)


def _open(known: Known, room: str) -> str:
    """Why a question is open, a key of the texts."""
    if room == "collars" and known.changed:
        return "changed"
    return "no_collars" if room == "collars" and known.designs is not None else room


def _read(known: Known) -> dict[str, Count]:
    if known.loaded is None or known.assessment is None:
        return {}
    survey, verdicts = known.loaded.survey, known.assessment.verdicts
    asked = {finding.subject for finding in open_ones(findings_of(known))}
    sure = sum(c.id not in asked for c in survey.connections)
    wanted = [verdict.need for verdict in verdicts]
    seal, ready, again = (
        wanted.count(need) for need in (Need.SEAL, Need.MAKE_READY, Need.LOOK_AGAIN)
    )
    connections, runs = len(survey.connections), len(survey.runs)
    look = connections - sure
    said = text(
        "job.state.survey" if look else "job.state.survey_clean",
        n=look,
        connections=text("survey.connections", n=connections),
        runs=text("survey.runs", n=runs),
    )
    return {
        "survey": Count(said, sure, connections),
        "needs": Count(
            _needed(seal + ready, ready, again),
            len(wanted) - again,
            len(wanted),
        ),
    }


def _needed(seal: int, ready: int, again: int) -> str:
    """How many are to be sealed, how many of them made ready first, how many looked at again."""
    return "".join(
        (
            text("job.state.needs", n=seal) if seal else text("job.state.needs_none"),
            text("job.state.ready", n=ready) if ready else "",
            text("job.state.again", n=again) if again else "",
        )
    )


def _designed(known: Known) -> dict[str, Count]:
    if known.designs is None or not known.designs.designs:
        return {}
    made = known.designs.designs
    patterns = len({design.collar.pattern for design in made})
    by = min(design.cure.latest_inflation for design in made)
    release = max(design.cure.release_time for design in made)
    refused = len(known.designs.refusals)
    collars = text(
        "job.state.collars_refused" if refused else "job.state.collars",
        n=refused,
        collars=text("job.collars", n=len(made)),
        patterns=text("job.state.patterns", n=patterns),
    )
    day = text("job.state.day", by=span(by, up=False), release=span(release, up=True))
    return {
        "collars": Count(collars, len(made), len(made) + refused),
        "day": Count(day, sum(not troubles(design) for design in made), len(made)),
    }


def _planned(job: Job) -> dict[str, Count]:
    states, quote, programme = job.installations, job.quote, job.programme
    planned = sum(len(shift.visits) for shift in programme.shifts)
    tests = [record.test for record in job.records if record.test is not None]
    tight = sum(bool(test.passed) for test in tests)
    sealed = [r for r in job.records if r.state is not HandoverState.NOT_SEALED]
    ready = sum(record.state is HandoverState.TIGHT for record in sealed)
    left = len(programme.unplanned)
    counting = {record.installation for record in job.records if record.installation}
    finished = sum(state.finished for state in states if state.installation in counting)
    total = f"{money(quote.total)} {quote.currency}"
    return {
        "programme": Count(
            text(
                "job.state.programme_left" if left else "job.state.programme",
                n=left,
                shifts=text("job.shifts", n=len(programme.shifts)),
            ),
            planned,
            planned + left,
        ),
        "clock": Count(
            text("job.state.clock", begun=len(counting), finished=finished)
            if counting
            else text("job.open.clock"),
            sum(record.state in SET for record in sealed),
            planned,
        ),
        "proof": Count(
            text("job.state.proof", tight=tight, tested=len(tests))
            if tests
            else text("job.open.proof"),
            tight,
            planned,
        ),
        "handover": Count(
            text("job.state.handover", ready=ready, all=len(sealed)), ready, len(sealed)
        ),
        "price": Count(text("job.state.price", total=total), 1, 1),
    }
