"""Tables and keys of the site file, with the unit in each name and the range of each value."""

from datetime import date, datetime
from typing import Annotated

from pydantic import BeforeValidator, Field

from teewright.formats.toml_common import Table

Node = Annotated[
    str,
    Field(
        min_length=1,
        max_length=60,
        pattern=r"^[^\x00-\x1f\x7f]+$",
        json_schema_extra={"words": "text on one line, 1 to 60 characters"},
    ),
]
Text = Annotated[str, Field(max_length=400)]
TimeOfDay = Annotated[str, Field(pattern=r"^([01]\d|2[0-3]):[0-5]\d$", examples=["21:00"])]
Level = Annotated[float, Field(ge=-500, le=9000)]
Clock = Annotated[float, Field(gt=0, le=12)]
BoreMm = Annotated[float, Field(ge=50, le=2000)]
LinerMm = Annotated[float, Field(gt=0, le=60)]
Percent = Annotated[float, Field(ge=0, le=25)]
AngleDeg = Annotated[float, Field(ge=30, le=90)]
FilletMm = Annotated[float, Field(ge=0, le=50)]
GapMm = Annotated[float, Field(gt=0, le=20)]
FlowLs = Annotated[float, Field(ge=0, le=5000)]
WallMm = Annotated[float, Field(ge=1, le=500)]
StrengthMpa = Annotated[float, Field(ge=0.1, le=1000)]
TemperatureC = Annotated[float, Field(ge=-30, le=60)]


def _as_date(value: object) -> object:
    """A date written as text counts as one; anything else is left to the validator."""
    if isinstance(value, str):
        try:
            return date.fromisoformat(value)
        except ValueError:
            return value
    return value


def _as_local_time(value: object) -> object:
    """A time of the place, written as text or as TOML has it, never with a time zone."""
    if isinstance(value, str):
        try:
            return datetime.strptime(value, "%Y-%m-%d %H:%M")  # noqa: DTZ007 -- local by design
        except ValueError:
            value = None
    if not isinstance(value, datetime) or value.tzinfo is not None:
        raise ValueError("is not a local time")
    return value


LocalTime = Annotated[
    datetime,
    BeforeValidator(_as_local_time),
    Field(json_schema_extra={"words": "local time as 2027-05-03 21:00"}),
]


class AirPoint(Table):
    """Temperature of the air at one time of the day."""

    time: TimeOfDay = Field(description="Local time; one at or before the last is a day later.")
    temperature_c: TemperatureC = Field(description="Temperature of the air.")


class WeatherTable(Table):
    """Temperatures of the days of work."""

    air_c: TemperatureC = Field(description="Of the resin when mixed, taken as the air's.")
    pipe_c: TemperatureC = Field(description="Of the main's wall while the collar cures.")
    source: Text = Field(default="", description="Where they came from.")
    ground_c: TemperatureC | None = Field(
        default=None,
        description="Of ground and groundwater round the pipe; left out, that of the pipe.",
    )
    pack_c: TemperatureC | None = Field(
        default=None, description="Of the packs when mixed; left out, that of the air."
    )
    air_path: list[AirPoint] = Field(
        default=[],
        description="Air over the hours of work, at least two times within a day; empty where it "
        "keeps air_c.",
    )


class NodeTable(Table):
    """Levels at a node, above one datum: one `[[nodes]]` for each."""

    node: Node = Field(description="Node as the survey names it.")
    ground_m: Level | None = Field(default=None, description="Ground level.")
    invert_m: Level | None = Field(default=None, description="Invert of the outgoing pipe.")
    groundwater_m: Level | None = Field(default=None, description="Highest groundwater level.")
    groundwater_source: Text = Field(default="", description="Where that level came from.")


class Window(Table):
    """A span of the day; an end at or before the start is on the next day."""

    start: TimeOfDay = Field(description="Start, local time.")
    end: TimeOfDay = Field(description="End, local time.")


class RunTable(Table):
    """What is declared of one run: one `[[runs]]` for each."""

    upstream: Node = Field(description="Upstream node.")
    downstream: Node = Field(description="Downstream node.")
    lined: bool | None = Field(
        default=None, description="Whether it is lined; left out, the survey decides."
    )
    liner_thickness_mm: LinerMm | None = Field(
        default=None, description="Thickness of the liner; where given, the run counts as lined."
    )
    host_cracked: bool | None = Field(
        default=None, description="Whether the host pipe is cracked; left out, not known."
    )
    ovality_percent: Percent | None = Field(
        default=None, description="Ovality of the host, (mean − least diameter) / mean."
    )
    mean_flow_l_s: FlowLs | None = Field(
        default=None, description="Mean dry-weather flow through the run."
    )
    street: Text = Field(default="", description="Street, for the sheets.")
    access: list[Window] = Field(
        default=[], description="When the street may be occupied; empty for any time."
    )
    host_thickness_mm: WallMm | None = Field(
        default=None, description="Wall of the host pipe that is still there."
    )
    host_strength_mpa: StrengthMpa | None = Field(
        default=None,
        description="Tension round the ring that the host is allowed where it is sound, safety "
        "taken off; left out, a sound host does not limit the pressure.",
    )
    host_material: Text = Field(default="", description="Material of the host, in words.")


class RainTable(Table):
    """A shower for which a blocked main is looked at, a scenario."""

    start: TimeOfDay = Field(description="Start, local time.")
    peak_l_s: FlowLs = Field(
        description="Inflow to a run, taken as even while the shower lasts: the safe side."
    )
    duration_h: float = Field(gt=0, le=24, description="How long it lasts.")


class LevelTable(Table):
    """A reading of a tide or river that the groundwater follows."""

    time: LocalTime = Field(description="Local time of the reading.")
    level_m: Level = Field(description="Level above the datum of the project.")


class NoteTable(Table):
    """What is known of one connection besides the survey: one `[[connections]]` for each."""

    run: Node = Field(description="Run as `upstream-downstream`.")
    chainage_m: float = Field(
        ge=0, le=5000,
        description="From the upstream node; the nearest connection within 0.5 m is meant.",
    )  # fmt: skip
    clock: Clock | None = Field(default=None, description="Clock position in flow view.")
    diameter_mm: BoreMm | None = Field(default=None, description="Inner diameter of the branch.")
    angle_deg: AngleDeg | None = Field(default=None, description="Angle between the axes.")
    fillet_mm: FilletMm | None = Field(default=None, description="Radius of the edge of the cut.")
    gap_mm: GapMm | None = Field(
        default=None, description="Width of the annular gap at the cut edge, as measured."
    )
    disused: bool = Field(default=False, description="Whether nothing drains through it.")
    must_leave: Text = Field(default="", description="Reason why it is not to be touched.")
    note: Text = Field(default="", description="Anything else.")


class DefaultsTable(Table):
    """Values used where nothing is known; each use is a finding."""

    head_m: float = Field(default=3.0, ge=0, le=100, description="Groundwater above the invert.")
    cover_m: float = Field(default=2.5, ge=0, le=100, description="Ground above the crown.")
    angle_junction_deg: AngleDeg = Field(
        default=45.0, description="Branch angle of a preformed junction."
    )
    angle_other_deg: AngleDeg = Field(
        default=90.0, description="Branch angle of every other connection."
    )
    branch_diameter_mm: BoreMm = Field(default=150.0, description="Inner diameter of a branch.")
    main_diameter_mm: BoreMm = Field(default=300.0, description="Inner diameter of a main.")
    fillet_mm: FilletMm = Field(default=5.0, description="Radius of the edge of the cut.")
    gap_mm: GapMm = Field(default=0.1, description="Width of the annular gap.")
    gap_path_mm: float = Field(
        default=50.0, gt=0, le=1000, description="Length of the leakage path through the gap."
    )
    liner_thickness_mm: LinerMm = Field(default=6.0, description="Thickness of the liner.")
    ovality_percent: Percent = Field(default=2.0, description="Ovality of the host.")
    mean_flow_l_s: FlowLs = Field(default=0.5, description="Mean dry-weather flow of a run.")
    air_c: TemperatureC = Field(default=15.0, description="Temperature of the air.")
    pipe_c: TemperatureC = Field(default=10.0, description="Temperature of the main's wall.")


class SiteTable(Table):
    """The whole site file; every key may be left out."""

    title: Text = Field(default="Untitled job", description="Name of the job.")
    place: Text = Field(default="", description="Town or district.")
    client: Text = Field(default="", description="Role or name of the client.")
    invented: bool = Field(
        default=False, description="Whether the scenario is invented; every sheet then says so."
    )
    first_day: Annotated[date, BeforeValidator(_as_date)] | None = Field(
        default=None, ge=date(1990, 1, 1), le=date(2199, 12, 31), description="First day of work."
    )
    days: Annotated[
        list[Annotated[int, Field(ge=1, le=7)]], Field(min_length=1, max_length=7)
    ] = Field(
        default=[1, 2, 3, 4, 5],
        description="Days on which shifts may start, 1 Monday to 7 Sunday.",
    )  # fmt: skip
    ready_days: int = Field(
        default=1, ge=0, le=365,
        description="Days from the first day until the make-ready work is done.",
    )  # fmt: skip
    flow_pattern: Annotated[
        list[Annotated[float, Field(ge=0, le=20)]], Field(min_length=24, max_length=24)
    ] | None = Field(
        default=None, description="Hourly factors of the mean flow, from midnight to 23 h."
    )  # fmt: skip
    infiltration_l_s: FlowLs = Field(
        default=0.0, description="Constant flow through a run, beyond its mean flow."
    )
    rain: RainTable | None = Field(default=None, description="Shower; left out, dry weather.")
    water_levels: list[LevelTable] = Field(
        default=[],
        description="Levels of a tide or river that the groundwater follows, times ascending, at "
        "least two; empty where the groundwater does not move.",
    )
    water_levels_source: Text = Field(default="", description="Where these levels came from.")
    weather: WeatherTable | None = Field(default=None, description="Temperatures.")
    nodes: list[NodeTable] = Field(default=[], description="Levels.")
    runs: list[RunTable] = Field(default=[], description="Declared conditions.")
    connections: list[NoteTable] = Field(default=[], description="Notes.")
    defaults: DefaultsTable = Field(default=DefaultsTable(), description="Values used in need.")
