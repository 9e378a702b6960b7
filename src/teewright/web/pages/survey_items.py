"""The list beside the strip of a run: what is known of each connection, and what can be done."""

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from teewright.assess.values import Need, Verdict
from teewright.findings import Finding
from teewright.network.corrections import Field
from teewright.network.values import Connection, Sighting
from teewright.web import survey_fields
from teewright.web.drawings import marks
from teewright.web.office import Known
from teewright.web.pages.survey import Told, file_address, told
from teewright.web.quantities import System, quantity
from teewright.web.survey_fields import Entry
from teewright.web.survey_words import (
    clock_words,
    entry_words,
    need_word,
    reason_words,
    short,
)
from teewright.web.texts import text

SEALED = frozenset({Need.SEAL, Need.MAKE_READY})
"""Needs that end with a collar."""
Refused = tuple[str, tuple[Entry, ...], str]
"""Connection, its form with the faults, and the reason that was given."""


@dataclass(frozen=True, slots=True)
class Way:
    """One act that a finding offers.

    Attributes:
        word: On its button.
        values: Fields of its form.
    """

    word: str
    values: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Doubt:
    """A finding of a connection with the acts that answer it.

    Attributes:
        told: The finding.
        ways: The acts.
    """

    told: Told
    ways: tuple[Way, ...]


@dataclass(frozen=True, slots=True)
class Look:
    """One sighting as the page tells it.

    Attributes:
        words: Date, direction, place, clock, size.
        line: `file, line N`.
        address: Of that line.
        remark: Free text of the survey.
    """

    words: str
    line: str
    address: str
    remark: str


@dataclass(frozen=True, slots=True)
class Item:
    """One connection of the list.

    Attributes:
        id: Its id.
        label: Short name.
        mark: Of its need.
        need: Its word in the code.
        word: Its need as it is said.
        reason: Why, one sentence.
        more: Further reasons.
        entry: Groundwater that comes in.
        numbers: (name, value) of what is known of it.
        looks: Its sightings, the latest first.
        doubts: Findings that ask for a look.
        others: (id, words) of the connections of the run that it may be one with.
        form: The form with its fields.
        collar: Address of its collar, or `""`.
        settled: Names of the fields that were set by hand.
    """

    id: str
    label: str
    mark: Markup
    need: str
    word: str
    reason: str
    more: tuple[str, ...]
    entry: str
    numbers: tuple[tuple[str, str], ...]
    looks: tuple[Look, ...]
    doubts: tuple[Doubt, ...]
    others: tuple[tuple[str, str], ...]
    form: tuple[Entry, ...]
    collar: str
    settled: tuple[str, ...]


def item_of(
    known: Known,
    c: Connection,
    verdict: Verdict,
    asking: Sequence[Finding],
    system: System,
    refused: Refused | None,
) -> Item:
    """One connection of the list.

    Args:
        known: What is known of the job, its survey read.
        c: The connection.
        verdict: What it needs.
        asking: Findings that ask for a look.
        system: Units of the reader.
        refused: A form that is shown again with its faults, or None.
    """
    assert known.loaded is not None
    own = [f for f in asking if f.subject == c.id]
    run_of_it = known.loaded.survey.of_run(c.run_id)
    others = sorted(
        (o for o in run_of_it if o.id != c.id), key=lambda o: abs(o.chainage - c.chainage)
    )
    form = survey_fields.entries(c, system)
    if refused is not None and refused[0] == c.id:
        form = refused[1]
    return Item(
        id=c.id,
        label=short(c.id),
        mark=marks.mark(verdict.need),
        need=verdict.need.value,
        word=need_word(verdict.need),
        reason=reason_words(verdict),
        more=tuple(reason.text for reason in verdict.reasons[1:]),
        entry=entry_words(verdict.entry, system),
        numbers=_numbers(c, verdict, system),
        looks=tuple(_look(s, system) for s in c.sightings),
        doubts=tuple(Doubt(told([f], known)[0], ways(f, c, run_of_it, system)) for f in own),
        others=tuple((o.id, _other(o, system)) for o in others),
        form=form,
        collar=f"/collars/{c.id}" if verdict.need in SEALED else "",
        settled=tuple(text(f"survey.field.{name}") for name in c.settled),
    )


def _numbers(c: Connection, verdict: Verdict, system: System) -> tuple[tuple[str, str], ...]:
    head = verdict.entry.head
    angle = quantity(c.angle, "deg", system, digits=0)
    return (
        (text("survey.field.chainage"), quantity(c.chainage, "m", system, digits=2)),
        (text("survey.field.clock"), clock_words(c.clock)),
        (text("survey.field.diameter"), _size(c.diameter, system)),
        *(((text("survey.field.angle"), angle),) if c.angle is not None else ()),
        (text("survey.field.head"), quantity(head, "m", system)),
    )


def _size(diameter: float | None, system: System) -> str:
    return quantity(diameter, "mm", system, digits=None if system is System.US else 0)


def _look(s: Sighting, system: System) -> Look:
    state = {True: "open", False: "closed", None: "unknown"}[s.is_open]
    parts = [
        s.date or text("survey.no_date"),
        text(f"survey.direction.{s.direction.name.lower()}"),
        quantity(s.chainage, "m", system, digits=2),
        text("survey.at_clock", clock=clock_words(s.clock)),
        _size(s.diameter, system),
        text(f"survey.state.{state}"),
    ]
    return Look(", ".join(parts), str(s.place), file_address(s.place.file, s.place.line), s.remark)


def _other(c: Connection, system: System) -> str:
    place = quantity(c.chainage, "m", system, digits=2)
    return text("survey.hand.other", name=short(c.id), place=place, clock=clock_words(c.clock))


def ways(
    finding: Finding, c: Connection, members: Sequence[Connection], system: System
) -> tuple[Way, ...]:
    """Acts that answer a finding about a connection.

    Args:
        finding: About it.
        c: The connection.
        members: Connections of its run.
        system: Units of the reader.
    """
    if finding.rule == "perhaps-one":
        other = next((o for o in members if f" {o.id}," in finding.text), None)
        if other is None:
            return ()
        values = (("act", "join"), ("connection", other.id), ("other", c.id))
        return (Way(text("survey.hand.join_with", name=short(other.id)), values),)
    field = finding.rule.removesuffix("-differs")
    if field == finding.rule or field not in {f.value for f in Field}:
        return ()
    name = Field(field)
    return tuple(
        Way(words, (("act", "set"), ("connection", c.id), ("field", field), ("value", value)))
        for value, words in _values(name, c.sightings, system)
    )


def _values(
    field: Field, sightings: Sequence[Sighting], system: System
) -> tuple[tuple[str, str], ...]:
    """(value, as it is said) of what the sightings say of a field, each once."""
    found: dict[str, str] = {}
    for s in sightings:
        if field is Field.STATE and s.is_open is not None:
            word = "open" if s.is_open else "closed"
            found[word] = text(f"survey.state.{word}")
        elif field is Field.KIND:
            found[s.kind.value] = survey_fields.said_word(field, s.kind.value)
        elif field is Field.CLOCK and s.clock is not None:
            found[repr(s.clock)] = text("survey.at_clock", clock=clock_words(s.clock))
        elif field is Field.DIAMETER and s.diameter is not None:
            found[repr(s.diameter)] = _size(s.diameter, system)
        elif field is Field.CHAINAGE:
            found[repr(s.chainage)] = quantity(s.chainage, "m", system, digits=2)
    return tuple(found.items())
