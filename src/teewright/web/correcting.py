"""Corrections as a page or a program asks for them: by connection id, into acts that last."""

from collections.abc import Sequence
from datetime import datetime
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from teewright.bench import amending
from teewright.errors import InputError, UnknownNameError
from teewright.job.correcting import decided
from teewright.network import corrections as acts
from teewright.network.corrections import Correction, Mark, mark_of
from teewright.network.values import Connection, Run, Survey
from teewright.web.office import Known, Office

LONGEST_REASON = 400
"""Longest reason [characters]."""
_EXACT = ConfigDict(extra="forbid", allow_inf_nan=False)


class SetField(BaseModel):
    """Set a field of a connection.

    It is `chainage` [m], `clock` [h], `diameter` [m], `angle` [rad], `kind` or `state` (`open`,
    `closed`).
    """

    model_config = _EXACT
    act: Literal["set"]
    connection: str
    field: acts.Field
    value: float | str


class SetRun(BaseModel):
    """Set `diameter` [m] of the host, `length` [m] from node to node, or whether it is `lined`.

    What was seen against the flow is placed anew by the length, and the connections of the run
    are numbered anew; so it is refused once one of them has been begun.
    """

    model_config = _EXACT
    act: Literal["set run"]
    run: str
    field: Literal["diameter", "length", "lined"]
    value: bool | float


class Join(BaseModel):
    """Two connections of one run are one; the first stays."""

    model_config = _EXACT
    act: Literal["join"]
    connection: str
    other: str


class Split(BaseModel):
    """One sighting, counted from 0, is of another connection."""

    model_config = _EXACT
    act: Literal["split"]
    connection: str
    sighting: int = Field(ge=0)


class Decide(BaseModel):
    """What a connection needs; `works` make it ready, those that the rules ask for if empty."""

    model_config = _EXACT
    act: Literal["decide"]
    connection: str
    need: str
    works: tuple[str, ...] = ()


Asked = Annotated[SetField | SetRun | Join | Split | Decide, Field(discriminator="act")]


def connection_of(survey: Survey, connection_id: str) -> Connection:
    """A connection by its id.

    Raises:
        UnknownNameError: There is none.
    """
    found = next((c for c in survey.connections if c.id == connection_id), None)
    if found is None:
        raise UnknownNameError("is not in the survey", field="connection", value=connection_id)
    return found


def run_of(survey: Survey, run_id: str) -> Run:
    """A run by its id.

    Raises:
        UnknownNameError: There is none.
    """
    found = next((r for r in survey.runs if r.id == run_id), None)
    if found is None:
        raise UnknownNameError("is not in the survey", field="run", value=run_id)
    return found


def act_of(survey: Survey, asked: Asked) -> acts.Act:
    """What is asked for, with the sightings by which it is found again.

    Args:
        survey: As it is now.
        asked: With the ids of now.

    Raises:
        UnknownNameError: A connection, run or sighting is not there.
        InputError: It sets what may not be set, or cannot be done.
    """
    match asked:
        case SetField():
            acts.check_field(asked.field, asked.value)
            return acts.SetField(_mark(survey, asked.connection), asked.field, asked.value)
        case SetRun():
            act = acts.SetRun(run_of(survey, asked.run).id, asked.field, asked.value)
            acts.check_run_field(act)
            return act
        case Join():
            return _join(survey, asked)
        case Split():
            return _split(survey, asked)
        case Decide():
            decision = acts.Decide(_mark(survey, asked.connection), asked.need, asked.works)
            decided(decision)
            return decision


def correct(
    office: Office, known: Known, asked: Sequence[Asked], *, who: str, why: str
) -> tuple[Correction, ...]:
    """Keep corrections, all or none.

    Args:
        office: Of the project.
        known: What is known now.
        asked: What is to be corrected.
        who: Name or role of the person.
        why: In plain words.

    Raises:
        UnknownNameError: There is no survey yet, or not what is to be corrected.
        InputError: It cannot be done.
    """
    if known.loaded is None:
        raise UnknownNameError("is not there yet", field="survey", allowed="give the survey first")
    if len(why) > LONGEST_REASON:
        allowed = f"at most {LONGEST_REASON} characters"
        raise InputError(
            "is too long", field="why", value=f"{len(why)} characters", allowed=allowed
        )
    now = datetime.now().astimezone().isoformat(timespec="seconds")
    survey = known.loaded.survey
    _check_once(asked)
    made = tuple(Correction(act_of(survey, one), who, now, why.strip()) for one in asked)
    _check_begun(office, made)
    office.desk.write(lambda project: amending.add(project, made))
    return made


def take_back(office: Office, key: str | None = None) -> Correction | None:
    """Take a correction back; None where there is none.

    Args:
        office: Of the project.
        key: Of the correction; None for the last one.

    Raises:
        UnknownNameError: No correction has that key.
        InputError: It moves connections that have been begun.
    """
    known = office.desk.ask(amending.kept)
    taken = [one for one in known if amending.key_of(one) == key] if key else known[-1:]
    _check_begun(office, taken)
    return office.desk.write(lambda project: amending.take_back(project, key))


def _check_once(asked: Sequence[Asked]) -> None:
    """Refuse two corrections of the same: it could not be told which is meant.

    Raises:
        InputError: Something is corrected twice.
    """
    seen: set[str] = set()
    for one in asked:
        subject = one.model_dump_json(exclude={"value", "need", "works"})
        if subject in seen:
            of_it = one.model_dump(exclude={"act", "value", "need", "works"}).values()
            raise InputError(
                "is corrected twice at once",
                field=one.act,
                value=", ".join(map(str, of_it)),
                allowed="each field once",
            )
        seen.add(subject)


def _check_begun(office: Office, corrections: Sequence[Correction]) -> None:
    """Whether a length may be changed: the log names connections by numbers that follow from it.

    Raises:
        InputError: A connection of the run has been begun.
    """
    runs = acts.lengths_of(corrections)
    if not runs:
        return
    events = office.desk.ask(lambda project: project.events(checked=False))
    for run in runs:
        begun = next((e.installation for e in events if e.installation.startswith(f"{run}/")), None)
        if begun is not None:
            raise InputError(
                f"cannot be changed any more, for {begun} has been begun",
                field="length",
                value=run,
                allowed="the length of a run of which nothing is logged yet",
            )


def _mark(survey: Survey, connection_id: str) -> Mark:
    connection = connection_of(survey, connection_id)
    return mark_of(connection.sightings[0], connection.run_id)


def _join(survey: Survey, asked: Join) -> acts.Join:
    kept, other = (connection_of(survey, name) for name in (asked.connection, asked.other))
    if kept.id == other.id or kept.run_id != other.run_id:
        raise InputError(
            "cannot be joined",
            field="connection",
            value=f"{kept.id} and {other.id}",
            allowed="two connections of one run",
        )
    return acts.Join(_mark(survey, kept.id), _mark(survey, other.id))


def _split(survey: Survey, asked: Split) -> acts.Split:
    connection = connection_of(survey, asked.connection)
    if len(connection.sightings) < 2:
        raise InputError(
            "was seen once and cannot be split",
            field="connection",
            value=connection.id,
            allowed="one that was seen twice or more",
        )
    if asked.sighting >= len(connection.sightings):
        raise UnknownNameError(
            "is not there",
            field="sighting",
            value=asked.sighting,
            allowed=f"0 to {len(connection.sightings) - 1}",
        )
    return acts.Split(mark_of(connection.sightings[asked.sighting], connection.run_id))
