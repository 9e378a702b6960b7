"""What is drawn of a run: its openings, levels, defects, and the facts beside it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from teewright.assess.values import Need, Verdict
from teewright.bench.inputs import Loaded
from teewright.network.conditions import NodeLevels, RunConditions
from teewright.network.levels import node_levels, run_conditions
from teewright.network.notes import note_of
from teewright.network.values import Connection, Defect, Run
from teewright.network.view import clock_distance
from teewright.report.sheets.run import CODES
from teewright.units import FOOT
from teewright.web.quantities import System

APART = 0.2
"""A sighting this far from its connection is drawn by itself [m] ..."""
TURNED = 0.5
"""... or this far from its clock [h]."""


@dataclass(frozen=True, slots=True)
class Opening:
    """A connection as it is drawn.

    Attributes:
        id: Of the connection.
        label: Short name.
        chainage: From the upstream node [m].
        clock: In flow view [h], or None.
        diameter: Of the branch [m], or None.
        angle: Between the axes [rad], or None.
        need: What it needs.
        head: Water over it [m], or None.
        words: Lines under its window: need, entry, chainage.
        reason: Why, in few words.
        ghosts: (chainage [m], clock [h] or None) of sightings that stand elsewhere.
    """

    id: str
    label: str
    chainage: float
    clock: float | None
    diameter: float | None
    angle: float | None
    need: Need
    head: float | None
    words: tuple[str, ...]
    reason: str
    ghosts: tuple[tuple[float, float | None], ...]


@dataclass(frozen=True, slots=True)
class Spot:
    """A defect of the run.

    Attributes:
        chainage: [m].
        clock: [h], or None where it goes round or is not known.
        word: What it is.
    """

    chainage: float
    clock: float | None
    word: str


@dataclass(frozen=True, slots=True)
class RunView:
    """A run as a page draws it.

    Attributes:
        id: Of the run.
        upstream: Levels at the upstream node.
        downstream: Levels at the downstream node.
        length: To draw [m].
        measured: Whether the length is known.
        bore: Inner diameter of the lined main [m], or None.
        declared: What the site says of it.
        openings: In order of chainage.
        spots: Defects that belong to no connection.
        system: Units in which its lengths are written.
    """

    id: str
    upstream: NodeLevels
    downstream: NodeLevels
    length: float
    measured: bool
    bore: float | None
    declared: RunConditions
    openings: tuple[Opening, ...]
    spots: tuple[Spot, ...]
    system: System = System.METRIC

    @property
    def one(self) -> float:
        """One of the unit in which lengths are written [m]."""
        return FOOT if self.system is System.US else 1.0

    @property
    def unit(self) -> str:
        """That unit."""
        return "ft" if self.system is System.US else "m"

    @property
    def levels(self) -> tuple[float, float] | None:
        """Invert at both ends [m], or None where one is not known."""
        up, down = self.upstream.invert, self.downstream.invert
        return None if up is None or down is None else (up, down)

    @property
    def girth(self) -> float:
        """Round the main [m]; of a DN 300 where the diameter is not known."""
        return 3.141592653589793 * (self.bore or 0.3)


def view_of(
    loaded: Loaded,
    run: Run,
    verdicts: Mapping[str, Verdict],
    words: Mapping[str, Sequence[str]],
    system: System = System.METRIC,
) -> RunView:
    """A run as it is drawn.

    Args:
        loaded: Survey and site.
        run: Run.
        verdicts: Verdict on each connection.
        words: Lines under the window of each connection, and its reason last.
        system: Units in which lengths are written.
    """
    members = loaded.survey.of_run(run.id)
    declared = run_conditions(loaded.site, run)
    liner = declared.liner_thickness or 0.0
    far = [c.chainage for c in members] + [d.chainage for d in run.defects]
    length = run.length if run.length else (max(far, default=9.5) * 1.05 or 10.0)
    return RunView(
        id=run.id,
        upstream=node_levels(loaded.site, run.upstream),
        downstream=node_levels(loaded.site, run.downstream),
        length=length,
        measured=bool(run.length),
        bore=run.diameter - 2.0 * liner if run.diameter else None,
        declared=declared,
        openings=tuple(_opening(loaded, c, verdicts[c.id], words[c.id]) for c in members),
        spots=tuple(_spot(d) for d in run.defects),
        system=system,
    )


def _opening(loaded: Loaded, c: Connection, verdict: Verdict, words: Sequence[str]) -> Opening:
    note = note_of(loaded.survey, loaded.site, c)
    return Opening(
        id=c.id,
        label=c.id.rsplit("/", 1)[-1],
        chainage=c.chainage,
        clock=note.clock if note and note.clock is not None else c.clock,
        diameter=note.diameter if note and note.diameter is not None else c.diameter,
        angle=note.angle if note and note.angle is not None else c.angle,
        need=verdict.need,
        head=verdict.entry.head,
        words=tuple(words[:-1]),
        reason=words[-1],
        ghosts=_ghosts(c),
    )


def _ghosts(c: Connection) -> tuple[tuple[float, float | None], ...]:
    """Sightings that do not stand where the connection is drawn."""
    found = []
    for s in c.sightings:
        turned = (
            s.clock is not None
            and c.clock is not None
            and clock_distance(s.clock, c.clock) > TURNED
        )
        if turned or abs(s.chainage - c.chainage) > APART:
            found.append((s.chainage, s.clock))
    return tuple(dict.fromkeys(found))


def _spot(defect: Defect) -> Spot:
    return Spot(defect.chainage, defect.clock, CODES.get(defect.code, defect.code))
