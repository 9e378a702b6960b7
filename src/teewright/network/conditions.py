"""What is known of the place besides the survey: levels, water, flow, temperature, decisions.

Everything may be missing; `job` then fills in the defaults of `Defaults` and says so in a
finding.
"""

from dataclasses import dataclass, field
from datetime import datetime
from typing import NamedTuple

from teewright.network.branch_pipe import BranchPipe, DeclaredFilling
from teewright.network.indexed import Indexed

FULLY = "fully"
"""State of a host that has given up: the collar carries soil and traffic."""


@dataclass(frozen=True, slots=True)
class NodeLevels:
    """Levels at a node, above the datum of the project.

    Attributes:
        node: Node id.
        ground: Ground level [m], or None.
        invert: Invert level of the outgoing pipe [m], or None.
        groundwater: Highest groundwater level [m], or None.
        groundwater_source: Where that level came from.
        area: Plan area of the manhole or chamber [m2], or None.
        bank_distance: From the bank of the open water that the groundwater follows [m], or None.
    """

    node: str
    ground: float | None = None
    invert: float | None = None
    groundwater: float | None = None
    groundwater_source: str = ""
    area: float | None = None
    bank_distance: float | None = None


@dataclass(frozen=True, slots=True)
class RunConditions:
    """What is declared of one run.

    Attributes:
        upstream: Upstream node.
        downstream: Downstream node.
        lined: Whether it is lined, or None to leave it to the survey.
        liner_thickness: [m], or None.
        host_cracked: Whether the host pipe is cracked, or None where not known.
        ovality: Ovality of the host (Dmean - Dmin)/Dmean [-], or None.
        mean_flow: Mean dry-weather flow through the run [m3/s], or None.
        street: Name of the street, for the sheets.
        access: Windows in which the street may be occupied, (start, end) seconds after
            local midnight each; end may pass 24 h; empty for any time.
        host_thickness: Wall of the host pipe that is still there [m], or None where not known.
        host_strength: Tension round the ring that a sound host is allowed [Pa], or None where
            not known.
        host_material: Material of the host, in words.
        manning: Manning's n [s/m^(1/3)], or None where not known.
        over_pumping: Flow that pumps carry round the packer while the run is blocked [m3/s].
        deteriorated: `partly` where the host still carries soil and traffic, `fully` where it has
            given up, `""` where nobody has told.
        soil_modulus: Modulus of soil reaction beside the pipe [Pa], or None where not told.
        traffic: Pressure of traffic at the crown of the main [Pa], or None where not told.
        wheel_load: Of each wheel on the road over the main [N], or None; in place of `traffic`.
        wheels_beside: Distances of other wheels from the one over the crown [m].
    """

    upstream: str
    downstream: str
    lined: bool | None = None
    liner_thickness: float | None = None
    host_cracked: bool | None = None
    ovality: float | None = None
    mean_flow: float | None = None
    street: str = ""
    access: tuple[tuple[float, float], ...] = ()
    host_thickness: float | None = None
    host_strength: float | None = None
    host_material: str = ""
    manning: float | None = None
    over_pumping: float = 0.0
    deteriorated: str = ""
    soil_modulus: float | None = None
    traffic: float | None = None
    wheel_load: float | None = None
    wheels_beside: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class ConnectionNote:
    """What the engineer knows of one connection that the survey does not say.

    Attributes:
        run: `upstream-downstream`.
        chainage: From the upstream node [m]; the nearest connection within 0.5 m is meant.
        clock: In flow view [h], or None to match on the chainage alone.
        diameter: Of the branch [m], or None.
        angle: Between the axes [rad], or None.
        fillet: Radius of the edge of the cut [m], or None.
        gap: Width of the annular gap at the cut edge [m], or None.
        disused: Whether nothing drains through it any more.
        must_leave: Whether it is not to be touched, with the reason, or `""`.
        note: Free text.
        backwater: Level that water in the main must not reach here [m above datum], or None.
        backwater_source: What lies at that level, or where it came from.
        branch_invert: Invert of the branch where it joins [m above datum], or None.
        branch_ovality: Of the branch, (D_mean - D_min)/D_mean [-], or None.
        branch_pipe: What the pipe of the branch stands, or None where nothing is told.
        fillings: Voids beside the collar that its resin is to fill.
    """

    run: str
    chainage: float
    clock: float | None = None
    diameter: float | None = None
    angle: float | None = None
    fillet: float | None = None
    gap: float | None = None
    disused: bool = False
    must_leave: str = ""
    note: str = ""
    backwater: float | None = None
    backwater_source: str = ""
    branch_invert: float | None = None
    branch_ovality: float | None = None
    branch_pipe: BranchPipe | None = None
    fillings: tuple[DeclaredFilling, ...] = ()


@dataclass(frozen=True, slots=True)
class Weather:
    """Temperatures of the days of work.

    Attributes:
        air: Of the resin when mixed, taken as the air's [K].
        pipe: Of the main's wall while the collar cures [K].
        source: Where they came from.
        ground: Of ground and groundwater round the pipe [K], or None where it is the pipe's.
        pack: Of the packs when mixed [K], or None where it is the air's.
        air_path: (time after local midnight [s], temperature of the air [K]) pairs over one
            stretch of work, times ascending, past 24 h after midnight; empty where the air
            keeps the one temperature.
    """

    air: float
    pipe: float
    source: str = ""
    ground: float | None = None
    pack: float | None = None
    air_path: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class WaterLevel:
    """One reading of a tide or river that the groundwater follows.

    Attributes:
        time: Local wall-clock time.
        level: Above the datum of the project [m].
    """

    time: datetime
    level: float


@dataclass(frozen=True, slots=True)
class Damping:
    """How the ground damps the swing of the open water inland.

    Attributes:
        period: Of the swing [s].
        diffusivity: Transmissivity over storage coefficient of the ground [m2/s].
        source: Where these came from.
    """

    period: float
    diffusivity: float
    source: str = ""


@dataclass(frozen=True, slots=True)
class Shower:
    """Rain for which a blocked main is looked at, a scenario: its inflow to one run.

    Attributes:
        start: After local midnight [s].
        peak: Inflow while it lasts, taken as even: the safe side [m3/s].
        duration: How long it lasts [s].
    """

    start: float
    peak: float
    duration: float


@dataclass(frozen=True, slots=True)
class Defaults:
    """Values used where nothing is known; each use is a finding.

    Attributes:
        head: Groundwater above the invert [m].
        cover: Ground above the crown [m].
        angle_junction: Branch angle of a preformed junction [rad].
        angle_other: Branch angle of every other connection [rad].
        branch_diameter: Inner diameter of a branch [m].
        main_diameter: Inner diameter of a main [m].
        fillet: Radius of the edge of the cut [m].
        gap: Width of the annular gap [m].
        gap_path: Length of the leakage path through the gap [m].
        liner_thickness: [m].
        ovality: [-].
        mean_flow: Mean dry-weather flow through a run [m3/s].
        air: Temperature of the air [K].
        pipe: Temperature of the main's wall [K].
        area: Plan area of a manhole [m2]; of DN 1000, rounded up, an engineer's choice.
        manning: Manning's n of a main [s/m^(1/3)]; value from memory, usual textbooks.
        branch_ovality: Ovality of a branch [-].
    """

    head: float = 3.0
    cover: float = 2.5
    angle_junction: float = 0.7853981633974483
    angle_other: float = 1.5707963267948966
    branch_diameter: float = 0.15
    main_diameter: float = 0.3
    fillet: float = 0.005
    gap: float = 0.0001
    gap_path: float = 0.05
    liner_thickness: float = 0.006
    ovality: float = 0.02
    mean_flow: float = 0.0005
    air: float = 288.15
    pipe: float = 283.15
    area: float = 0.8
    manning: float = 0.013
    branch_ovality: float = 0.0


class _Found(NamedTuple):
    """What of a site goes by which node or run."""

    nodes: dict[str, NodeLevels]
    runs: dict[frozenset[str], RunConditions]
    notes: dict[str, tuple[ConnectionNote, ...]]


@dataclass(frozen=True, slots=True)
class Site(Indexed[_Found]):
    """All that is declared of the place.

    Attributes:
        title: Name of the job.
        place: Town or district.
        client: Role or name of the client.
        invented: Whether the scenario is invented, which every sheet then says.
        nodes: Levels.
        runs: Declared conditions.
        connections: Notes on single connections.
        weather: Temperatures, or None.
        flow_pattern: 24 hourly factors of the mean flow from midnight, or empty.
        first_day: First day of work, `YYYY-MM-DD`, or `""`.
        days: Days of the week on which shifts may start, 1 Monday to 7 Sunday.
        ready_days: Days from the first day until the make-ready work is done.
        defaults: Values used where nothing is known.
        infiltration: Constant flow through a run, beyond its mean flow [m3/s].
        rain: Shower to look at, or None.
        water_levels: Of a tide or river that the groundwater follows, times ascending; empty
            where the groundwater does not move.
        water_levels_source: Where these levels came from.
        entry_flows: (coded class of groundwater entry, flow of a connection [m3/s]) pairs, as the
            engineer takes them; empty where none are told.
        entry_source: Where these flows came from.
        damping: How the ground damps the swing of the open water, or None for not at all.
    """

    title: str = "Untitled job"
    place: str = ""
    client: str = ""
    invented: bool = False
    nodes: tuple[NodeLevels, ...] = ()
    runs: tuple[RunConditions, ...] = ()
    connections: tuple[ConnectionNote, ...] = ()
    weather: Weather | None = None
    flow_pattern: tuple[float, ...] = ()
    first_day: str = ""
    days: tuple[int, ...] = (1, 2, 3, 4, 5)
    ready_days: int = 1
    defaults: Defaults = field(default_factory=Defaults)
    infiltration: float = 0.0
    rain: Shower | None = None
    water_levels: tuple[WaterLevel, ...] = ()
    water_levels_source: str = ""
    entry_flows: tuple[tuple[str, float], ...] = ()
    entry_source: str = ""
    damping: Damping | None = None

    def node(self, name: str) -> NodeLevels | None:
        """Levels of a node, the last ones where there are several, or None."""
        return self._indexed().nodes.get(name)

    def run_between(self, one: str, other: str) -> RunConditions | None:
        """Conditions between two nodes in either order, the first ones declared, or None."""
        return self._indexed().runs.get(frozenset((one, other)))

    def notes_on(self, run_id: str) -> tuple[ConnectionNote, ...]:
        """Notes on connections of a run, in their order."""
        return self._indexed().notes.get(run_id, ())

    def _made_index(self) -> _Found:
        runs: dict[frozenset[str], RunConditions] = {}
        for declared in self.runs:
            runs.setdefault(frozenset((declared.upstream, declared.downstream)), declared)
        notes: dict[str, list[ConnectionNote]] = {}
        for note in self.connections:
            notes.setdefault(note.run, []).append(note)
        return _Found(
            {levels.node: levels for levels in self.nodes},
            runs,
            {run_id: tuple(found) for run_id, found in notes.items()},
        )
