"""Tables and keys of fabrics and resins in a kit file."""

from typing import Annotated

from pydantic import Field

from teewright.formats.kit_types import (
    FileName,
    Name,
    Price,
    Text,
)
from teewright.formats.toml_common import Table


class ThicknessPoint(Table):
    """Thickness of the fabric under one pressure."""

    pressure_bar: float = Field(ge=0, le=10, description="Pressure on the fabric.")
    thickness_mm: float = Field(gt=0, le=30, description="Thickness under it.")


class FabricTable(Table):
    """A textile for collars: one `[[fabrics]]` for each."""

    name: Name = Field(description="Name, used in the rules and on the sheets.")
    thickness: Annotated[list[ThicknessPoint], Field(min_length=2)] = Field(
        description="Dry thickness against pressure, from 0 bar upwards."
    )
    void_fraction: float = Field(
        gt=0, lt=1, description="Share of the fabric's volume that resin fills."
    )
    stiffness_along_kn_m: float = Field(
        gt=0, le=1000, description="Force per width over strain, along the grain."
    )
    stiffness_across_kn_m: float = Field(
        gt=0, le=1000, description="Force per width over strain, across the grain."
    )
    largest_stretch_along: float = Field(
        gt=1, le=3, description="Largest formed length over cut length, along the grain."
    )
    largest_stretch_across: float = Field(
        gt=1, le=3, description="Largest formed length over cut length, across the grain."
    )
    seam_allowance_mm: float = Field(
        ge=0, le=50, description="Fabric beyond the seam line that the seam needs."
    )
    roll_width_mm: float = Field(gt=0, le=10000, description="Usable width of the roll.")
    price_per_m2: Price = Field(description="Price of the fabric.")
    poisson: float = Field(
        default=0.3, ge=0, le=3,
        description="Contraction across per stretch along the grain, pulled along it, in "
        "logarithmic strains; less than the root of stiffness along over across.",
    )  # fmt: skip
    stiffness_shear_kn_m: float = Field(
        default=0.0, ge=0, le=1000, description="Force per width over shear; 0 where not measured."
    )
    seam_stiffness_kn: float = Field(
        default=0.0, ge=0, le=1000,
        description="Force over strain of a sewn seam along it, beyond that of the fabric, in kN.",
    )  # fmt: skip
    seam_take_mm: float = Field(
        default=0.0, ge=0, le=20,
        description="Length across a sewn seam that its bulk takes up, both sides together.",
    )  # fmt: skip
    friction: float = Field(
        default=0.3, ge=0, le=2, description="Coulomb's coefficient, soaked fabric on pipe."
    )
    fibre_density_kg_m3: float = Field(
        default=0.0, ge=0, le=5000,
        description="Density of the fibres themselves, without voids; 0 where not known.",
    )  # fmt: skip
    void_pressure_bar: float | None = Field(
        default=None, ge=0, le=10,
        description="Pressure at which void_fraction was measured; left out, void_fraction is "
        "taken as that at the pressure of use.",
    )  # fmt: skip
    squeezed_mm: float | None = Field(
        default=None, gt=0, le=30,
        description="Thickness that the soaked fabric is pressed to, not stretched, between the "
        "first and the last of thickness; left out, no pressure is added for squeezing it.",
    )  # fmt: skip
    source: Text = Field(default="", description="Where the figures came from.")


class FabricsTable(Table):
    """A file of fabrics alone, to be pasted into a kit file."""

    fabrics: Annotated[list[FabricTable], Field(min_length=1)] = Field(description="Textiles.")


class TimePoint(Table):
    """A time at one temperature."""

    temperature_c: float = Field(ge=-10, le=120, description="Temperature of the resin.")
    minutes: float = Field(gt=0, le=10000, description="Time from the start of mixing.")


class ResinTable(Table):
    """A two-part resin: one `[[resins]]` for each."""

    name: Name = Field(description="Name, used in the rules and on the sheets.")
    density_a_kg_m3: float = Field(ge=500, le=3000, description="Density of part A.")
    density_b_kg_m3: float = Field(ge=500, le=3000, description="Density of part B.")
    density_kg_m3: float = Field(ge=500, le=3000, description="Density of the mix.")
    parts_b_per_100_a: float | None = Field(
        default=None, ge=1, le=1000,
        description="Mass of part B for 100 of part A; left out, from volumes_b_per_100_a.",
    )  # fmt: skip
    volumes_b_per_100_a: float | None = Field(
        default=None, ge=1, le=1000,
        description="Volume of part B for 100 of part A. Where both are told they must agree "
        "through the densities within 2 %.",
    )  # fmt: skip
    pack_mass_kg: float = Field(gt=0, le=1000, description="Mass of one pack, both parts.")
    working_time: Annotated[list[TimePoint], Field(min_length=2)] = Field(
        description="Times until the mix can no longer be worked, temperatures ascending."
    )
    release_time: Annotated[list[TimePoint], Field(min_length=2)] = Field(
        description="Times until the packer may let go, temperatures ascending."
    )
    modulus_gpa: float = Field(
        gt=0, le=100, description="Flexural modulus of the cured wall, short-term."
    )
    strength_mpa: float = Field(gt=0, le=1000, description="Flexural strength of the cured wall.")
    long_term: float = Field(
        gt=0, le=1, description="Share of the modulus left after the design life."
    )
    hazards: list[Name] = Field(
        default=[], description="Words for the cautions: isocyanates, styrene, amines, peroxides."
    )
    price_per_kg: Price = Field(description="Price of the resin.")
    heat_kj_kg: float = Field(
        default=0.0, ge=0, le=1000,
        description="Heat of reaction per mass of mix; 0 where not known, with no exotherm then.",
    )  # fmt: skip
    time_spread: float = Field(
        default=0.10, gt=0, le=0.5,
        description="Standard uncertainty of working and release times, a share of them; 0.10 is "
        "an engineer's choice.",
    )  # fmt: skip
    gel_conversion: float | None = Field(
        default=None, ge=0.05, le=0.95,
        description="Share of the reaction that is done when the working time ends; without it "
        "0.58, the gel point of a plain epoxy with a diamine, as the engineer's choice.",
    )  # fmt: skip
    firm_conversion: float | None = Field(
        default=None, ge=0.1, le=0.99,
        description="Share of the reaction from which the packer may let go; without it 0.90 as "
        "the engineer's choice.",
    )  # fmt: skip
    sheet_mass_kg: float | None = Field(
        default=None, ge=0.001, le=20,
        description="Mass in which the working times were measured, as the data sheet tells; "
        "without it 0.1, as is common.",
    )  # fmt: skip
    readings: FileName | None = Field(
        default=None,
        description="File of readings of the cure (CSV) beside the kit file, as `teewright resin "
        "--template` writes it; the law of cure is then fitted to them and not to the times above.",
    )
    source: Text = Field(default="", description="Where the figures came from.")
