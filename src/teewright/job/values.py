"""What the steps of a job hand on: complete, frozen, ready to be stored or printed."""

from dataclasses import dataclass
from datetime import datetime

from teewright.assess.values import Assessment
from teewright.collar.families import Family
from teewright.collar.values import Collar, CollarMap
from teewright.findings import Finding
from teewright.heat.values import DayWindow, Forecast
from teewright.hydraulics.values import BypassCheck, FlowForecast
from teewright.junction.values import Junction
from teewright.kit.values import Kit
from teewright.network.conditions import Site
from teewright.network.values import Survey
from teewright.pressure.values import PressureWindow
from teewright.price.saved import Savings
from teewright.price.values import Quote
from teewright.programme.values import Programme
from teewright.proof.values import HandoverRecord
from teewright.resin.amount_values import ResinAmount
from teewright.resin.values import CureTimes
from teewright.site.values import Event, InstallationState
from teewright.trace import TraceRow
from teewright.wall.answers import TightCheck, Tornado
from teewright.wall.values import CollarWall, PartCheck


@dataclass(frozen=True, slots=True)
class Design:
    """Everything that is made and set for one connection.

    Attributes:
        connection_id: Connection.
        junction: Its own shape, to the millimetre and the degree.
        collar: The collar, which may be made for a neighbouring shape.
        packers: Names of the packers that fit.
        resin: What is mixed, piece by piece.
        cure: Times.
        pressure: Inflation window.
        walls: Wall check of main and branch.
        bypass: Flow past the packer.
        head: Groundwater above the crown of the main at the connection [m].
        cautions: (cause, one short act) pairs for the sheet.
        review: What a qualified engineer must look at, one plain sentence each.
        trace: Inputs and geometry, in checking order; each result has its own rows.
        forecast: Cure on the day beside the data sheet, None where its heat is not known.
        flow: Level behind the packer over the hold, None where levels are not known.
        tornado: What moves the utilisation of the wall, None where it was not asked.
        tight: Lengths of seal against those wanted, None where none is wanted.
    """

    connection_id: str
    junction: Junction
    collar: Collar
    packers: tuple[str, ...]
    resin: ResinAmount
    cure: CureTimes
    pressure: PressureWindow
    walls: CollarWall
    bypass: BypassCheck
    head: float
    cautions: tuple[tuple[str, str], ...]
    review: tuple[str, ...]
    trace: tuple[TraceRow, ...]
    forecast: Forecast | None = None
    flow: FlowForecast | None = None
    tornado: Tornado | None = None
    tight: TightCheck | None = None

    @property
    def wall(self) -> PartCheck:
        """The wall in the main."""
        return self.walls.parts[0]

    @property
    def governing_wall(self) -> PartCheck:
        """The part of the wall that is used most."""
        return self.walls.worst

    @property
    def wall_governs(self) -> str:
        """The governing case, with its part of the collar."""
        return f"{self.walls.governing_part}: {self.walls.governing}"

    @property
    def wall_trace(self) -> tuple[TraceRow, ...]:
        """Numbers of the wall in the main, with the properties that the branch shares."""
        return (*self.walls.shared, *self.wall.trace)

    @property
    def wall_too_thin(self) -> bool:
        """Whether the wall is less than what presses on it asks for."""
        return self.governing_wall.utilisation > 1.0


@dataclass(frozen=True, slots=True)
class Refusal:
    """A connection for which no collar can be made.

    Attributes:
        connection_id: Connection.
        reasons: One plain sentence each, with the numbers and what would help.
    """

    connection_id: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Designs:
    """Designs of a job.

    Attributes:
        designs: In the order of the survey's connections.
        refusals: In the same order.
        findings: Assumptions made.
        maps: (pattern, picture of its formed collar) of each pattern in use.
        families: Number of patterns against the margin that they leave.
        day: Deadlines at other temperatures, of the collar that is hard last.
    """

    designs: tuple[Design, ...]
    refusals: tuple[Refusal, ...]
    findings: tuple[Finding, ...]
    maps: tuple[tuple[str, CollarMap], ...] = ()
    families: tuple[Family, ...] = ()
    day: DayWindow | None = None

    def of(self, connection_id: str) -> Design | None:
        """The design for a connection, or None."""
        return {d.connection_id: d for d in self.designs}.get(connection_id)


@dataclass(frozen=True, slots=True)
class PlannedHold:
    """Level behind the packer of one planned installation, from its inflation to its release.

    Attributes:
        connection_id: Connection.
        start: Inflation starts, as planned; local wall-clock time.
        duration: Until the planned release [s].
        times: After the start [s].
        levels: At the packer [m above datum].
        invert: Of the main at the packer [m above datum].
        greatest: Greatest level at the packer [m above datum].
        greatest_at: When, after the start [s].
        place: Watched place that the water comes nearest to.
        freeboard: Least distance of the water below it; negative where it is drowned [m].
        kept: Least distance that it must stay below each place [m].
        reached: First time after the start at which the water stands at a place if the hold does
            not end, or None where it does not within `looked` [s].
        reached_place: That place, or `""`.
        looked: For how long the hold was followed beyond its planned end, from the start [s].
        pumped: Carried round the packer by pumps [m3/s].
        places: (name, level not to be reached [m above datum]) of the watched places.
    """

    connection_id: str
    start: datetime
    duration: float
    times: tuple[float, ...]
    levels: tuple[float, ...]
    invert: float
    greatest: float
    greatest_at: float
    place: str
    freeboard: float
    kept: float
    reached: float | None
    reached_place: str
    looked: float
    pumped: float
    places: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class PlannedCure:
    """What becomes of one batch as planned, in the air of its own hours. Times from mixing.

    Attributes:
        connection_id: Connection.
        mix: Mixing starts, as planned; local wall-clock time.
        air: When mixed and at the earliest release [K].
        inflation: At pressure, as planned [s].
        latest: Latest inflation by computation, spare taken off [s].
        release: When the wall is hard with the chance wanted [s]; infinite where it never is.
        wanted: Chance wanted at the release [-].
        chance: Of a wall that is hard at the earliest release as planned [-].
        peak: Hottest temperature of the resin [K].
    """

    connection_id: str
    mix: datetime
    air: tuple[float, float]
    inflation: float
    latest: float
    release: float
    wanted: float
    chance: float
    peak: float


@dataclass(frozen=True, slots=True)
class Job:
    """All that is known of a job: what the pack prints.

    Attributes:
        survey: Reconciled survey.
        site: What is declared of the place.
        kit: What the contractor has.
        assessment: Needs.
        designs: Collars and their numbers.
        programme: Shifts.
        quote: Price.
        events: The log.
        installations: State of each installation.
        records: Hand-over state of each connection.
        findings: All findings, in the order of the steps.
        fingerprint: First 8 hex digits of the SHA-256 over the inputs.
        savings: What the seals save, None where the price of water is not told.
        holds: Level behind the packer of each planned installation of which levels are known, in
            the order of the programme.
        cures: What becomes of the batch of each planned installation, in the same order, where
            the law of the resin is known.
    """

    survey: Survey
    site: Site
    kit: Kit
    assessment: Assessment
    designs: Designs
    programme: Programme
    quote: Quote
    events: tuple[Event, ...]
    installations: tuple[InstallationState, ...]
    records: tuple[HandoverRecord, ...]
    findings: tuple[Finding, ...]
    fingerprint: str
    savings: Savings | None = None
    holds: tuple[PlannedHold, ...] = ()
    cures: tuple[PlannedCure, ...] = ()
