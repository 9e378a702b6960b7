"""The programme that is in force, and what becomes of it when it is edited by hand."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from pydantic import BaseModel, ConfigDict, Field
from starlette.exceptions import HTTPException

from teewright.bench import by_hand
from teewright.bench.by_hand import HandMade, hand_made
from teewright.errors import InputError, StaleError, UnknownNameError
from teewright.job.planning import Planning, begun
from teewright.programme.check import Breach
from teewright.programme.moving import Delay, Move, delays
from teewright.programme.values import Programme
from teewright.site.naming import installation_id, split_installation
from teewright.site.order import next_attempt
from teewright.site.values import Event
from teewright.store.project import Project
from teewright.web.office import Office
from teewright.web.tasks import Task, Told
from teewright.web.texts import text

MOST = 200
"""Most edits that are tried at once."""
TASK = "replan"
"""Name of the task that plans again."""


class Edit(BaseModel):
    """One thing done to the programme by hand: a visit moved, fixed or let go.

    Attributes:
        connection: Connection.
        crew: Crew that it is moved to; empty where it is not moved.
        day: Day of the shift that it is moved to.
        mix: Start of mixing, local time; null for after everything that the shift holds.
        fixed: Whether it is to stay where it is when the rest is planned again; null where that
            is not changed. What is moved is fixed.
    """

    model_config = ConfigDict(extra="forbid")
    connection: str = Field(max_length=200)
    crew: str = Field(default="", max_length=200)
    day: date | None = None
    mix: datetime | None = None
    fixed: bool | None = None


class Edits(BaseModel):
    """Edits on top of one version of the programme.

    Attributes:
        on: Version on which they are made; 0 for the computed programme.
        edits: In their order.
    """

    model_config = ConfigDict(extra="forbid")
    on: int = Field(ge=0)
    edits: list[Edit] = Field(default_factory=list, max_length=MOST)


@dataclass(frozen=True, slots=True)
class Standing:
    """The programme that is in force.

    Attributes:
        planning: What is to be planned.
        programme: The programme.
        fixed: Connections whose visits stay when the rest is planned again.
        begun: Connections at which work has begun or is done.
        version: Version of the programme by hand; 0 where there is none.
        by_hand: Whether it is the user's.
        dropped: Why a programme of the user is not in force; else empty.
        clock: (connection, installation at which its next event belongs) pairs.
    """

    planning: Planning
    programme: Programme
    fixed: frozenset[str]
    begun: frozenset[str]
    version: int
    by_hand: bool
    dropped: str
    clock: tuple[tuple[str, str], ...]

    @property
    def kept(self) -> frozenset[str]:
        """Connections whose visits stay."""
        return self.fixed | self.begun


@dataclass(frozen=True, slots=True)
class Tried:
    """A programme after some edits.

    Attributes:
        programme: It.
        fixed: Connections whose visits stay.
        breaches: Every rule that it breaks.
        delays: Visits that made way, against the programme in force.
        moved: Connections that were moved, the last one last.
    """

    programme: Programme
    fixed: frozenset[str]
    breaches: tuple[Breach, ...]
    delays: tuple[Delay, ...]
    moved: tuple[str, ...]


def standing(office: Office) -> Standing:
    """The programme that is in force.

    Raises:
        HTTPException: 409, nothing is planned yet.
    """
    known = office.known()
    if known.job is None:
        raise HTTPException(409, known.problem or text("programme.not_yet"))
    with office.at_bench() as bench:
        there = bench.by_hand
        hand = there.hand
        return Standing(
            planning=bench.planning,
            programme=known.job.programme,
            fixed=frozenset(hand.fixed) if hand else frozenset(),
            begun=begun(known.job.installations),
            version=there.version,
            by_hand=hand is not None,
            dropped=there.dropped,
            clock=_clock(known.job.programme, known.job.events),
        )


def tried(now: Standing, asked: Edits) -> Tried:
    """The programme after edits.

    Args:
        now: The programme in force.
        asked: What is wanted.

    Raises:
        StaleError: Another version is in force.
        UnknownNameError: There is no such connection or crew.
        InputError: A visit cannot be moved.
    """
    if asked.on != now.version:
        raise StaleError("programme", seen=asked.on, now=now.version)
    programme, fixed = now.programme, now.fixed
    moved: list[str] = []
    for edit in asked.edits:
        if edit.crew or edit.day is not None or edit.mix is not None:
            held = (fixed - {edit.connection}) | now.begun
            programme = now.planning.move(programme, _move(edit), held)
            fixed |= {edit.connection}
            moved = [*(key for key in moved if key != edit.connection), edit.connection]
        if edit.fixed is not None:
            _check_known(edit.connection, programme)
            fixed = fixed | {edit.connection} if edit.fixed else fixed - {edit.connection}
    late = tuple(d for d in delays(now.programme, programme) if d.connection_id not in moved)
    breaches = now.planning.breaches(programme)
    return Tried(programme, fixed, breaches, late, tuple(moved))


def keep(office: Office, asked: Edits, *, although: bool) -> None:
    """Keep the programme after edits.

    Args:
        office: The project.
        asked: What is wanted.
        although: Whether it is kept though it breaks rules.

    Raises:
        StaleError: Another version is in force.
        HTTPException: 422, it breaks rules and nobody said that it is to be kept all the same.
    """
    now = standing(office)
    new = tried(now, asked)
    if new.breaches and not although:
        said = text("programme.breaks", n=len(new.breaches))
        raise HTTPException(422, f"{said} {new.breaches[0].text}")
    hand = hand_made(new.programme, new.fixed, now.planning, now.version)
    _write(office, hand, on=now.version)


def undo(office: Office, on: int) -> None:
    """Go back to what was in force before the last decision."""
    office.desk.write(lambda project: by_hand.undo(project, on=on))
    office.look_again()


def drop(office: Office, on: int) -> None:
    """Go back to the computed programme."""
    office.desk.write(lambda project: by_hand.drop(project, on=on))
    office.look_again()


def replan(office: Office, asked: Edits, *, at: datetime) -> Task:
    """Begin to plan again, keeping what is fixed, moved or done.

    Args:
        office: The project.
        asked: Edits that come first; what they move or fix is kept.
        at: Local time: nothing that is not kept begins before.
    """
    now = standing(office)
    new = tried(now, asked)
    start = replace(now, programme=new.programme, fixed=new.fixed)

    def work(tell: Told) -> None:
        plan = start.planning
        found = plan.replan(start.programme, start.kept, now=at, progress=tell)
        tell(text("programme.keeping"))
        hand = hand_made(found, start.fixed, plan, start.version)
        _write(office, hand, on=start.version)

    return office.tasks.start(TASK, work)


def _write(office: Office, hand: HandMade, *, on: int) -> None:
    def act(project: Project) -> int:
        return by_hand.keep(project, hand, on=on)

    office.desk.write(act)
    office.look_again()


def _move(edit: Edit) -> Move:
    if not edit.crew or edit.day is None:
        field = "day" if edit.crew else "crew"
        raise InputError("is missing", field=field, allowed="a crew and a day for each move")
    if edit.mix is not None and edit.mix.tzinfo is not None:
        raise InputError(
            "carries a time zone",
            field="mix",
            value=edit.mix.isoformat(),
            allowed="local time of the site, without a zone",
        )
    return Move(edit.connection, edit.crew, edit.day, edit.mix)


def _check_known(connection: str, programme: Programme) -> None:
    if all(v.connection_id != connection for s in programme.shifts for v in s.visits):
        raise UnknownNameError("is not planned", field="connection", value=connection)


def _clock(programme: Programme, events: Sequence[Event]) -> tuple[tuple[str, str], ...]:
    seen = {split_installation(e.installation)[0] for e in events}
    planned = (v.connection_id for s in programme.shifts for v in s.visits)
    return tuple((c, next_attempt(c, events) if c in seen else installation_id(c)) for c in planned)
