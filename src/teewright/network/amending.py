"""A survey while it is corrected by hand: fields set, connections joined and split."""

from collections.abc import Sequence
from dataclasses import replace

from teewright.findings import Finding
from teewright.network.connections import disagreements, of_sightings
from teewright.network.corrections import OPEN, Field, Mark, SetRun, mark_of
from teewright.network.names import Named, apart, is_meant, is_near, name_of
from teewright.network.values import Connection, ConnectionKind, Run, Sighting, Survey

_ROUNDING = 1e-6


class Amending:
    """The connections of a survey with what was corrected so far.

    Args:
        survey: Reconciled.
        named: Names that connections had before.
    """

    def __init__(self, survey: Survey, named: Sequence[Named] = ()) -> None:
        self._survey, self._named = survey, named
        self._runs = {run.id: run for run in survey.runs}
        self._connections = {c.id: c for c in survey.connections}
        self._owners: dict[tuple[str, int | None], set[str]] = {}
        for c in survey.connections:
            for s in c.sightings:
                self._owners.setdefault((s.place.file, s.place.line), set()).add(c.id)
        self._joined: dict[str, str] = {}
        self._touched: set[str] = set()

    def find(self, mark: Mark) -> tuple[Connection, Sighting] | None:
        """The sighting that a mark means, and its connection now; None where it is gone."""
        at = mark.file, mark.line
        for connection_id in sorted(self._owners.get(at, ())):
            connection = self._connections.get(connection_id)
            for sighting in connection.sightings if connection else ():
                assert connection is not None
                if is_meant(mark_of(sighting, connection.run_id), mark):
                    return connection, sighting
        return self._nearest(mark)

    def now(self, connection_id: str) -> Connection | None:
        """What a connection of the survey became; None where there is none of that id."""
        while connection_id in self._joined:
            connection_id = self._joined[connection_id]
        return self._connections.get(connection_id)

    def run(self, run_id: str) -> Run | None:
        """A run as it is now, or None."""
        return self._runs.get(run_id)

    def set(self, connection: Connection, field: Field, value: float | str) -> None:
        """Set a field."""
        given: dict[Field, object] = {
            Field.KIND: ConnectionKind(str(value)) if field is Field.KIND else None,
            Field.STATE: value == OPEN,
        }
        name = "is_open" if field is Field.STATE else field.value
        settled = tuple(sorted({*connection.settled, field.value}))
        changed: dict[str, object] = {name: given.get(field, value), "settled": settled}
        self._put(replace(connection, **changed))  # type: ignore[arg-type]

    def set_run(self, run: Run, act: SetRun) -> None:
        """Set a field of a run."""
        changed: dict[str, object] = {act.field: act.value}
        self._runs[run.id] = replace(run, **changed)  # type: ignore[arg-type]

    def join(self, kept: Connection, other: Connection) -> None:
        """Make one of two; what was set by hand of the one that stays stays set."""
        sightings = tuple(
            sorted((*kept.sightings, *other.sightings), key=lambda s: s.date, reverse=True)
        )
        angle = other.angle if kept.angle is None else kept.angle
        self._connections.pop(other.id)
        self._joined[other.id] = kept.id
        self._put(self._renewed(kept, sightings, kept.chainage, angle))

    def split(self, connection: Connection, sighting: Sighting) -> Connection:
        """Make a connection of its own of one sighting.

        Returns:
            The new one.
        """
        rest = tuple(s for s in connection.sightings if s is not sighting)
        gave_place = abs(sighting.chainage - connection.chainage) <= _ROUNDING
        chainage = rest[0].chainage if gave_place else connection.chainage
        self._put(self._renewed(connection, rest, chainage, connection.angle))
        new = of_sightings(
            (sighting,),
            connection_id=self._id_of(sighting, connection.run_id),
            run_id=connection.run_id,
            chainage=sighting.chainage,
            angle=connection.angle,
        )
        self._put(new)
        return new

    def survey(self, told: tuple[Finding, ...]) -> Survey:
        """The survey as it is now.

        Args:
            told: A finding for each correction; they come last.
        """
        order = {run.id: k for k, run in enumerate(self._survey.runs)}
        connections = sorted(
            self._connections.values(),
            key=lambda c: (order[c.run_id], c.chainage, c.clock or 0.0),
        )
        touched = [c for c in connections if c.id in self._touched]
        fresh = (f for c in touched for f in disagreements(c) if not _settled(f, c))
        kept = (f for f in map(self._renamed, self._survey.findings) if not self._answered(f))
        return replace(
            self._survey,
            runs=tuple(self._runs.values()),
            connections=tuple(connections),
            findings=(*kept, *fresh, *told),
        )

    def _put(self, connection: Connection) -> None:
        self._connections[connection.id] = connection
        self._touched.add(connection.id)
        for s in connection.sightings:
            self._owners.setdefault((s.place.file, s.place.line), set()).add(connection.id)

    def _nearest(self, mark: Mark) -> tuple[Connection, Sighting] | None:
        near = [
            (connection, sighting)
            for connection in self._connections.values()
            if connection.run_id == mark.run
            for sighting in connection.sightings
            if is_near(mark_of(sighting, connection.run_id), mark)
        ]

        def far(pair: tuple[Connection, Sighting]) -> tuple[bool, float]:
            return pair[1].place.file != mark.file, apart(mark_of(pair[1], mark.run), mark)

        return min(near, key=far) if near else None

    def _renewed(
        self,
        old: Connection,
        sightings: tuple[Sighting, ...],
        chainage: float,
        angle: float | None,
    ) -> Connection:
        """A connection of other sightings, with what was set by hand."""
        new = of_sightings(
            sightings, connection_id=old.id, run_id=old.run_id, chainage=chainage, angle=angle
        )
        names = ["is_open" if name == Field.STATE else name for name in old.settled]
        kept: dict[str, object] = {name: getattr(old, name) for name in names}
        return replace(new, settled=old.settled, **kept)  # type: ignore[arg-type]

    def _id_of(self, sighting: Sighting, run_id: str) -> str:
        """The id that it had, else one that no connection of the run has or had."""
        had = [*self._connections, *self._joined]
        known = name_of(sighting, run_id, self._named)
        if known and known not in had:
            return known
        had += [one.id for one in self._named]
        numbers = [int(name.rsplit("/", 1)[1]) for name in had if name.rsplit("/", 1)[0] == run_id]
        return f"{run_id}/{max(numbers, default=0) + 1:02d}"

    def _renamed(self, finding: Finding) -> Finding:
        """A finding about a connection that was joined is about the one that took it in."""
        now = self.now(finding.subject) if finding.subject in self._joined else None
        return finding if now is None else replace(finding, subject=now.id)

    def _answered(self, finding: Finding) -> bool:
        """Whether a finding is answered by a correction, or told anew."""
        connection = self._connections.get(finding.subject)
        if connection is None or connection.id not in self._touched:
            return False
        if finding.rule.endswith("-differs"):
            return True
        if finding.rule == "outside-run":
            return Field.CHAINAGE in connection.settled
        if finding.rule == "perhaps-one":
            return any(f" {gone}," in finding.text for gone in (*self._joined, connection.id))
        seen = (f"the pass {s.inspection} went by" for s in connection.sightings)
        return finding.rule == "not-seen-by-all" and finding.text.startswith(tuple(seen))


def _settled(finding: Finding, connection: Connection) -> bool:
    return finding.rule.removesuffix("-differs") in connection.settled
