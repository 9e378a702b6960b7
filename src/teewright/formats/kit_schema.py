"""Tables and keys of the kit file, with the unit in each name and the range of each value."""

from typing import Annotated

from pydantic import Field

from teewright.formats.kit_materials import (
    FabricTable,
    ResinTable,
)
from teewright.formats.kit_types import (
    BoreMm,
    LengthMm,
    Name,
    Price,
    Share,
    StepMin,
    Text,
    TimeOfDay,
)
from teewright.formats.toml_common import Table


class DeratingPoint(Table):
    """Share of its rating that a packer keeps at one temperature."""

    temperature_c: float = Field(ge=-30, le=200, description="Temperature of the packer's skin.")
    share: float = Field(gt=0, le=1, description="Share of rating_bar that it keeps.")


class PackerTable(Table):
    """An inflatable packer with a branch part: one `[[packers]]` for each kind."""

    name: Name = Field(description="Name, used by the crews and on the sheets.")
    main_min_mm: BoreMm = Field(description="Least inner diameter of main that it serves.")
    main_max_mm: BoreMm = Field(description="Largest inner diameter of main that it serves.")
    branch_min_mm: BoreMm = Field(description="Least inner diameter of branch that it serves.")
    branch_max_mm: BoreMm = Field(description="Largest inner diameter of branch that it serves.")
    angle_min_deg: float = Field(ge=30, le=90, description="Least branch angle that it serves.")
    angle_max_deg: float = Field(ge=30, le=90, description="Largest branch angle that it serves.")
    rating_bar: float = Field(gt=0, le=10, description="Largest working pressure.")
    bladder_bar: float = Field(
        ge=0, le=10, description="Pressure that its own bladder needs to unfold against the bore."
    )
    bypass_count: int = Field(ge=0, le=20, description="Number of bypass bores.")
    bypass_mm: float = Field(ge=0, le=1000, description="Inner diameter of each bypass bore.")
    length_mm: float = Field(gt=0, le=10000, description="Length over all.")
    sleeve_mm: float = Field(
        gt=0, le=5000, description="Length of collar that it carries along the main."
    )
    branch_reach_mm: float = Field(
        gt=0, le=5000,
        description="Length of collar that it carries up the branch, from the crown.",
    )  # fmt: skip
    mass_kg: float = Field(gt=0, le=1000, description="Mass, dry.")
    count: int = Field(ge=1, le=100, description="How many of it there are.")
    derating: list[DeratingPoint] = Field(
        default=[],
        description="Share of the rating against temperature, from the coldest to the hottest in "
        "use, at least two points; empty where the rating holds at all temperatures.",
    )


class CrewTable(Table):
    """A crew and its van: one `[[crews]]` for each."""

    name: Name = Field(description="Name, used on the shift sheets.")
    people: int = Field(ge=1, le=20, description="Number of people.")
    packers: Annotated[list[Name], Field(min_length=1)] = Field(
        description="Names of the packers on the van, one entry for each."
    )


class ShiftsTable(Table):
    """When and how long crews work, and how long each step takes."""

    start: TimeOfDay = Field(description="Start of a shift, local time.")
    length_h: float = Field(gt=0, le=16, description="Length of a shift.")
    set_up_min: StepMin = Field(description="At a manhole before the first packer may go in.")
    clear_min: StepMin = Field(description="At a manhole after the last packer is out.")
    move_min: StepMin = Field(description="From one manhole to another.")
    mix_min: StepMin = Field(description="Mixing a batch.")
    wet_out_min: StepMin = Field(description="Saturating a collar and dressing the packer.")
    lower_min: StepMin = Field(description="Lowering the packer.")
    travel_m_s: float = Field(gt=0, le=5, description="Speed of the packer along the main.")
    position_min: StepMin = Field(description="Positioning at the connection.")
    inflate_min: StepMin = Field(description="From the start of inflation to full pressure.")
    remove_min: StepMin = Field(description="Deflating and pulling out, besides travel.")
    test_min: StepMin = Field(description="Leak test and inspection.")
    spare_share: Share = Field(description="Share of the working time kept unused.")
    max_collars: int = Field(ge=1, le=100, description="Most collars for a crew in a shift.")


class RatesTable(Table):
    """Prices of work, in one currency."""

    currency: str = Field(pattern=r"^[A-Z]{3}$", examples=["EUR"], description="Three letters.")
    collar: Price = Field(description="Making one collar, without fabric.")
    shift: Price = Field(description="One shift of a crew, people and van.")
    test: Price = Field(description="Leak test and record of one connection.")
    close_off: Price = Field(description="Closing one connection off.")
    look_again: Price = Field(description="Filming one connection again.")
    make_ready: dict[str, Price] = Field(
        description="Each kind of make-ready work and its price; all kinds must be there."
    )
    overhead: Annotated[float, Field(ge=0, le=5)] = Field(
        description="Share added to the sum of the lines."
    )
    water_per_m3: Price = Field(
        default=0.0,
        description="Cost of pumping and treating groundwater that comes in; 0 where not known.",
    )
    discount: float = Field(
        default=0.03, ge=0, le=0.5,
        description="Rate of discount a year, without inflation; 0.03 is an engineer's choice.",
    )  # fmt: skip
    life_years: float = Field(
        default=50.0, ge=1, le=200,
        description="Life of a seal, over which its savings count; 50 is usual for the design.",
    )  # fmt: skip
    entry_left: float = Field(
        default=0.0, ge=0, le=1,
        description="Share of the groundwater entry that is left once sealed; 0 is an assumption.",
    )  # fmt: skip


class RulesTable(Table):
    """Choices of the engineer that hold for the whole job."""

    fabric: Name = Field(description="Name of the fabric to use.")
    resin: Name = Field(description="Name of the resin to use.")
    stretch: float = Field(
        ge=1, le=2, description="Stretch of the formed collar over the cut one, both directions."
    )
    branch_length_mm: float = Field(
        gt=0, le=5000, description="Collar up the branch beyond the crown, at the least."
    )
    safety_factor: float = Field(ge=1, le=10, description="Factor of safety on groundwater.")
    enhancement: float = Field(
        ge=1, le=10, description="Enhancement factor K of the wall check (ASTM F1216 X1.1)."
    )
    poisson: float = Field(ge=0, lt=0.5, description="Poisson's ratio of the cured wall.")
    liner_bar: float = Field(
        gt=0, le=20, description="Pressure that the lined main stands from inside."
    )
    margin_bar: float = Field(
        ge=0, le=5, description="Added at the lower end of the inflation window."
    )
    lap_mm: float = Field(ge=0, le=500, description="Overlap of the closing seam of a panel.")
    loss: Share = Field(description="Share of the resin lost in mixer and handling.")
    soil_kn_m3: float = Field(ge=8, le=30, description="Unit weight of the soil above groundwater.")
    soil_saturated_kn_m3: float = Field(
        gt=9.81, le=30, description="Unit weight of the soil below groundwater."
    )
    tight_length_main_mm: LengthMm = Field(
        default=0.0, description="Sound bond wanted along the flange; 0 where none is set."
    )
    tight_length_branch_mm: LengthMm = Field(
        default=0.0, description="Sound bond wanted along the branch; 0 where none is set."
    )
    tight_evidence: Text = Field(
        default="", description="What these two lengths rest on: a trial, a rule, an approval."
    )
    release_chance: float = Field(
        default=0.95, ge=0.5, lt=1,
        description="Chance wanted that the wall is hard when the packer lets go; 0.95 is an "
        "engineer's choice.",
    )  # fmt: skip
    freeboard_mm: float = Field(
        default=100.0, ge=0, le=2000,
        description="Water behind the packer stays this far below each place that it must not "
        "reach, at the least; 100 is an engineer's choice.",
    )  # fmt: skip
    liner_temperature_c: float | None = Field(
        default=None, ge=20, le=200,
        description="Hottest that the liner stands for the minutes of a cure, as its maker tells; "
        "without it the heat at the liner is told and not judged.",
    )  # fmt: skip
    friction_bar: float = Field(
        default=0.0, ge=0, le=5,
        description="Allowance for friction on the wall while the fabric forms; counted where no "
        "forming run is to be had, which counts friction itself.",
    )  # fmt: skip


class KitTable(Table):
    """The whole kit file."""

    title: Annotated[str, Field(min_length=1, max_length=120)] = Field(
        description="Name of the kit."
    )
    invented: bool = Field(
        default=False, description="Whether its figures are invented; every sheet then says so."
    )
    fabrics: Annotated[list[FabricTable], Field(min_length=1)] = Field(description="Textiles.")
    resins: Annotated[list[ResinTable], Field(min_length=1)] = Field(description="Resins.")
    packers: Annotated[list[PackerTable], Field(min_length=1)] = Field(description="Packers.")
    crews: Annotated[list[CrewTable], Field(min_length=1)] = Field(description="Crews.")
    shifts: ShiftsTable = Field(description="Times of work.")
    rates: RatesTable = Field(description="Prices.")
    rules: RulesTable = Field(description="Choices for the design.")
