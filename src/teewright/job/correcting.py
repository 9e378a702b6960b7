"""Step: what an engineer corrects by hand, applied to what the survey says."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from teewright.assess.make_ready import MakeReady
from teewright.assess.values import Need
from teewright.errors import InputError
from teewright.findings import Finding, FindingKind, Place
from teewright.network.amending import Amending
from teewright.network.conditions import ConnectionNote, Site
from teewright.network.corrections import (
    Correction,
    Decide,
    Field,
    Join,
    Mark,
    SetField,
    SetRun,
    Split,
    check_field,
    check_run_field,
)
from teewright.network.lengths import measured_length, stated_length
from teewright.network.levels import run_conditions
from teewright.network.names import Named
from teewright.network.notes import connection_of
from teewright.network.values import Connection, Run, Survey
from teewright.units import clock_text

RULE = "corrected-by-hand"
"""Rule of the finding about each correction."""
LOST = "correction-lost"
"""Rule of the finding about one that has nothing to correct any more."""


@dataclass(frozen=True, slots=True)
class Decision:
    """What one connection needs, decided by hand.

    Attributes:
        need: What is to be done.
        works: Kinds of work that make it ready; empty for those that the rules ask for.
        who: Name or role of the person.
        at: When, ISO 8601.
        why: In plain words, or `""`.
    """

    need: Need
    works: tuple[MakeReady, ...]
    who: str
    at: str
    why: str


@dataclass(frozen=True, slots=True)
class Corrected:
    """Survey and site after all corrections.

    Attributes:
        survey: With a finding for each correction.
        site: With its notes and lining as corrected.
        decisions: (connection id, decision) of each need that was decided by hand.
    """

    survey: Survey
    site: Site
    decisions: tuple[tuple[str, Decision], ...] = ()


def correct(
    survey: Survey, site: Site, corrections: Sequence[Correction], named: Sequence[Named] = ()
) -> Corrected:
    """Apply corrections one after the other.

    What the survey says stays in the sightings. A correction whose sighting is not there any
    more is left out, with a finding.

    Args:
        survey: Reconciled.
        site: What is declared of the place.
        corrections: The oldest first.
        named: Names that connections had before.

    Raises:
        InputError: A correction sets what may not be set.
    """
    if not corrections:
        return Corrected(survey, site)
    meant = [connection_of(survey, note) for note in site.connections]
    correcting = _Correcting(survey, site, named)
    told = tuple(correcting.finding(one) for one in corrections)
    now = [correcting.amending.now(found.id) if found else None for found in meant]
    notes = tuple(
        note if found is None or after is None else _moved(note, found, after)
        for note, found, after in zip(site.connections, meant, now, strict=True)
    )
    return Corrected(
        correcting.amending.survey(told),
        replace(correcting.site, connections=notes),
        tuple(correcting.decisions.items()),
    )


class _Correcting:
    """Survey, site and decisions while the corrections are applied."""

    def __init__(self, survey: Survey, site: Site, named: Sequence[Named]) -> None:
        self.amending, self.site = Amending(survey, named), site
        self.inspections = {one.key: one for one in survey.inspections}
        self.decisions: dict[str, Decision] = {}

    def finding(self, one: Correction) -> Finding:
        """Apply one, and tell it."""
        match one.what:
            case SetRun() as act:
                said = self._set_run(act)
            case SetField() as act:
                said = self._set(act)
            case Join() as act:
                said = self._join(act)
            case Split() as act:
                said = self._split(act)
            case Decide() as act:
                said = self._decide(act, one)
        if said is None:
            return _lost(one)
        subject, text, place = said
        return Finding(
            FindingKind.REPAIRED,
            RULE,
            f"corrected by hand: {text} ({', '.join(_signature(one))})",
            place,
            text,
            subject,
        )

    def _set(self, act: SetField) -> tuple[str, str, Place] | None:
        check_field(act.field, act.value)
        found = self.amending.find(act.connection)
        if found is None:
            return None
        connection, sighting = found
        before = getattr(connection, "is_open" if act.field is Field.STATE else act.field.value)
        self.amending.set(connection, act.field, act.value)
        text = f"{act.field.value} {said(act.field, act.value)}"
        return connection.id, f"{text} instead of {said(act.field, before)}", sighting.place

    def _set_run(self, act: SetRun) -> tuple[str, str, Place] | None:
        check_run_field(act)
        run = self.amending.run(act.run)
        if run is None:
            return None
        self.amending.set_run(run, act)
        if act.field == "length":
            return run.id, self._length(run, act.value), Place()
        if act.field == "diameter":
            return run.id, f"diameter of the run {said(Field.DIAMETER, act.value)}", Place()
        declared = run_conditions(self.site, run)
        others = tuple(r for r in self.site.runs if r is not declared)
        runs = (*others, replace(declared, lined=bool(act.value)))
        self.site = replace(self.site, runs=runs)
        return run.id, f"the run is {'' if act.value else 'not '}lined", Place()

    def _length(self, run: Run, value: float) -> str:
        """Which length counts now, and what the passes say; the survey was laid by it already."""
        passes = (self.inspections[key] for key in run.inspections if key in self.inspections)
        told = {stated_length(one) or measured_length(one) for one in passes} - {None, value}
        instead = " and ".join(f"{length:.2f} m" for length in sorted(filter(None, told)))
        text = f"length of the run {value:.2f} m"
        return f"{text} instead of {instead}" if instead else text

    def _join(self, act: Join) -> tuple[str, str, Place] | None:
        kept, other = self.amending.find(act.connection), self.amending.find(act.other)
        if kept is None or other is None or kept[0].run_id != other[0].run_id:
            return None
        if kept[0].id != other[0].id:
            self.amending.join(kept[0], other[0])
            moved = self.decisions.pop(other[0].id, None)
            if moved is not None:
                self.decisions.setdefault(kept[0].id, moved)
        text = f"{other[0].id}, seen at {other[1].chainage:.2f} m, is this connection"
        return kept[0].id, text, other[1].place

    def _split(self, act: Split) -> tuple[str, str, Place] | None:
        found = self.amending.find(act.sighting)
        if found is None or len(found[0].sightings) < 2:
            return None
        new = self.amending.split(*found)
        return new.id, f"a connection of its own, not {found[0].id}", found[1].place

    def _decide(self, act: Decide, one: Correction) -> tuple[str, str, Place] | None:
        need, works = decided(act)
        found = self.amending.find(act.connection)
        if found is None:
            return None
        connection, sighting = found
        self.decisions[connection.id] = Decision(need, works, one.who, one.at, one.why)
        return connection.id, f"decided: {need.value}", sighting.place


def decided(act: Decide) -> tuple[Need, tuple[MakeReady, ...]]:
    """Need and kinds of work of a decision.

    Raises:
        InputError: One of them is not known.
    """
    needs, kinds = [need.value for need in Need], [kind.value for kind in MakeReady]
    if act.need not in needs:
        raise InputError("is not known", field="need", value=act.need, allowed=", ".join(needs))
    for work in act.works:
        if work not in kinds:
            raise InputError("is not known", field="work", value=work, allowed=", ".join(kinds))
    return Need(act.need), tuple(MakeReady(work) for work in act.works)


def said(field: Field, value: object) -> str:
    """A value of a field in the trade's units."""
    if value is None:
        return "not known"
    if isinstance(value, bool):
        return "open" if value else "closed"
    if not isinstance(value, int | float):
        return str(value)
    return {
        Field.CHAINAGE: f"{value:.2f} m",
        Field.CLOCK: clock_text(value),
        Field.DIAMETER: f"{1e3 * value:.0f} mm",
        Field.ANGLE: f"{math.degrees(value):.0f}°",
    }[field]


def _signature(one: Correction) -> tuple[str, ...]:
    return tuple(part for part in (one.who, one.at[:10], one.why) if part)


def _lost(one: Correction) -> Finding:
    act = one.what
    at = act.run if isinstance(act, SetRun) else _place_words(_mark(act))
    text = f"the correction of {at} finds nothing to correct any more and is not used"
    signed = f"{text} ({', '.join(_signature(one))})"
    return Finding(FindingKind.DOUBT, LOST, signed, value=text)


def _mark(act: SetField | Join | Split | Decide) -> Mark:
    return act.sighting if isinstance(act, Split) else act.connection


def _place_words(mark: Mark) -> str:
    place = Place(mark.file, mark.line)
    return f"the connection at {mark.chainage:.2f} m of {mark.run} ({place})"


def _moved(note: ConnectionNote, before: Connection, after: Connection) -> ConnectionNote:
    """A note of the site file, moved along with its connection; what is set by hand counts."""
    moved = before.id != after.id or Field.CHAINAGE in after.settled
    return replace(
        note,
        chainage=after.chainage if moved else note.chainage,
        clock=after.clock if Field.CLOCK in after.settled else note.clock,
        diameter=after.diameter if Field.DIAMETER in after.settled else note.diameter,
        angle=after.angle if Field.ANGLE in after.settled else note.angle,
    )
