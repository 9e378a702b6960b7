"""Tables and keys of the site file, with the unit in each name and the range of each value."""

from datetime import date
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from teewright.formats.site_branch import BranchPipeTable, FillingTable
from teewright.formats.site_entry import EntryTable
from teewright.formats.site_tide import DampingTable
from teewright.formats.site_types import (
    AngleDeg,
    AreaM2,
    BesideM,
    BoreMm,
    Clock,
    FilletMm,
    FlowLs,
    GapMm,
    Level,
    LinerMm,
    LocalTime,
    Manning,
    Node,
    Percent,
    SoilMpa,
    StrengthMpa,
    TemperatureC,
    Text,
    TimeOfDay,
    TrafficKpa,
    WallMm,
    WheelKn,
    as_date,
)
from teewright.formats.toml_common import Table


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
        description="Air over the hours of work, at least two times within a day; deadlines then "
        "hold for its warmest and its coldest in the hours of the shifts. Empty where it keeps "
        "air_c.",
    )


class NodeTable(Table):
    """Levels at a node, above one datum: one `[[nodes]]` for each."""

    node: Node = Field(description="Node as the survey names it.")
    ground_m: Level | None = Field(default=None, description="Ground level.")
    invert_m: Level | None = Field(default=None, description="Invert of the outgoing pipe.")
    groundwater_m: Level | None = Field(default=None, description="Highest groundwater level.")
    groundwater_source: Text = Field(default="", description="Where that level came from.")
    area_m2: AreaM2 | None = Field(
        default=None, description="Plan area of the manhole or chamber, above its benching."
    )
    bank_distance_m: float | None = Field(
        default=None, ge=0, le=1e5,
        description="From the bank of the open water of water_levels; counts with [damping].",
    )  # fmt: skip


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
    manning_n: Manning | None = Field(
        default=None, description="Manning's n of the main, in s/m^(1/3)."
    )
    over_pumping_l_s: FlowLs = Field(
        default=0.0,
        description="Flow that pumps carry round the packer while the run is blocked: what is "
        "set up and watched, not what may be called for.",
    )
    deteriorated: Literal["partly", "fully"] | None = Field(
        default=None,
        description="What the host still does: partly where it carries soil and traffic, fully "
        "where the collar must carry them; left out, taken as partly.",
    )
    soil_modulus_mpa: SoilMpa | None = Field(
        default=None, description="Modulus of soil reaction beside a fully deteriorated host."
    )
    traffic_kpa: TrafficKpa | None = Field(
        default=None,
        description="Pressure of traffic at the crown of a fully deteriorated host, 0 for none.",
    )
    wheel_load_kn: WheelKn | None = Field(
        default=None,
        description="Load of a wheel on the road over it, standing still, in place of "
        "traffic_kpa; the ground over the crown spreads it.",
    )
    wheels_beside_m: Annotated[list[BesideM], Field(max_length=8)] = Field(
        default=[],
        description="Distances of other wheels, as heavy, from the one over the crown.",
    )


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
    backwater_level_m: Level | None = Field(
        default=None,
        description="Level that water in the main must not reach here: invert of the lateral, or "
        "the lowest floor or gully that drains to it; left out, the crown of the main.",
    )
    backwater_source: Text = Field(
        default="", description="What lies at that level, or where it came from."
    )
    branch_invert_m: Level | None = Field(
        default=None,
        description="Invert of the branch where it joins; left out, that of the main.",
    )
    branch_ovality_percent: Percent | None = Field(
        default=None, description="Ovality of the branch, (mean − least diameter) / mean."
    )
    branch_pipe: BranchPipeTable | None = Field(
        default=None, description="What its pipe stands; left out, it sets no limit."
    )
    fillings: list[FillingTable] = Field(
        default=[], description="Voids beside the collar that its resin is to fill."
    )


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
    area_m2: AreaM2 = Field(
        default=0.8,
        description="Plan area of a manhole; that of DN 1000, rounded up, an engineer's choice.",
    )
    manning_n: Manning = Field(
        default=0.013,
        description="Manning's n of a main, in s/m^(1/3); value from memory, usual textbooks.",
    )
    branch_ovality_percent: Percent = Field(default=0.0, description="Ovality of a branch.")


class SiteTable(Table):
    """The whole site file; every key may be left out."""

    title: Text = Field(default="Untitled job", description="Name of the job.")
    place: Text = Field(default="", description="Town or district.")
    client: Text = Field(default="", description="Role or name of the client.")
    invented: bool = Field(
        default=False, description="Whether the scenario is invented; every sheet then says so."
    )
    first_day: Annotated[date, BeforeValidator(as_date)] | None = Field(
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
    damping: DampingTable | None = Field(
        default=None,
        description="How the ground damps their swing; left out, the groundwater follows it "
        "undamped, which is the most that it can.",
    )
    entry: EntryTable | None = Field(
        default=None, description="Flow of a coded class of entry; left out, none is counted."
    )
    weather: WeatherTable | None = Field(default=None, description="Temperatures.")
    nodes: list[NodeTable] = Field(default=[], description="Levels.")
    runs: list[RunTable] = Field(default=[], description="Declared conditions.")
    connections: list[NoteTable] = Field(default=[], description="Notes.")
    defaults: DefaultsTable = Field(default=DefaultsTable(), description="Values used in need.")
