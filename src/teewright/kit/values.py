"""What the contractor owns and buys: frozen values, SI units.

The file that holds them is read and validated in `teewright.formats.kit_toml`.
"""

from dataclasses import dataclass

from teewright.kit.cure import CureSeries


@dataclass(frozen=True, slots=True)
class Fabric:
    """A textile for collars.

    Attributes:
        name: Name in the kit.
        thickness: (pressure [Pa], thickness [m]) pairs, pressure ascending from 0.
        void_fraction: Share of the volume that resin fills, at `void_pressure` [-].
        stiffness_along: Membrane stiffness along the grain [N/m].
        stiffness_across: Membrane stiffness across the grain [N/m].
        stretch_along: Largest stretch ratio along the grain, > 1 [-].
        stretch_across: Largest stretch ratio across the grain, > 1 [-].
        seam_allowance: Fabric beyond the seam line that the seam needs [m].
        roll_width: Usable width of the roll [m].
        price: Per m2, in the currency of the rates.
        source: Where the figures came from.
        poisson: Contraction across per stretch along the grain, pulled along it, in logarithmic
            strains [-].
        stiffness_shear: Membrane stiffness in shear [N/m]; 0 where not measured, see
            `teewright.fabric.law`.
        seam_stiffness: Axial stiffness of a sewn seam beyond that of the fabric [N].
        seam_take: Length that the bulk of a sewn seam takes up across it, both sides [m].
        friction: Coulomb's coefficient of the soaked fabric on pipe or liner [-].
        fibre_density: Of the fibres themselves, without voids [kg/m3]; 0 where not known.
        void_pressure: Pressure on the fabric at which `void_fraction` was measured [Pa], or
            None where it is that at the pressure of use.
        squeezed: Thickness that the soaked fabric is to be pressed to, not stretched [m], or
            None where none is wanted.
    """

    name: str
    thickness: tuple[tuple[float, float], ...]
    void_fraction: float
    stiffness_along: float
    stiffness_across: float
    stretch_along: float
    stretch_across: float
    seam_allowance: float
    roll_width: float
    price: float
    source: str
    poisson: float = 0.3
    stiffness_shear: float = 0.0
    seam_stiffness: float = 0.0
    seam_take: float = 0.0
    friction: float = 0.3
    fibre_density: float = 0.0
    void_pressure: float | None = None
    squeezed: float | None = None


@dataclass(frozen=True, slots=True)
class Resin:
    """A two-part resin.

    Attributes:
        name: Name in the kit.
        density_a: Of part A [kg/m3].
        density_b: Of part B [kg/m3].
        density: Of the mix [kg/m3].
        ratio_mass: Mass of part B per mass of part A [-].
        pack_mass: Mass of one pack, both parts [kg].
        working_time: (temperature [K], time from mixing [s]) pairs, temperature ascending.
        release_time: (temperature [K], time from mixing until it may be released [s]) pairs.
        modulus: Flexural modulus of the cured, saturated fabric, short-term [Pa].
        strength: Flexural strength of the cured, saturated fabric [Pa].
        long_term: Share of the modulus left after the design life [-].
        hazards: Words for the cautions, e.g. `isocyanates`, `styrene`, `amines`.
        price: Per kg.
        source: Where the figures came from.
        heat: Of reaction, per mass of mix [J/kg]; 0 where not known, and then no exotherm is
            worked out.
        time_spread: Standard uncertainty of working and release times, a share of them [-].
        gel: Conversion at the end of the working time [-], or None where not known.
        firm: Conversion from which the packer may let go [-], or None where not known.
        sheet_mass: Mass in which the data sheet's working times were measured [kg], or None
            where not known.
        readings: Of its cure, one series for each sample; empty where there are none.
        readings_source: File of the readings.
        ratio_volume: Part B per part A by volume as the data sheet has it [-], or None.
        by_volume: Whether `ratio_mass` was worked out from it, no ratio by mass being told.
    """

    name: str
    density_a: float
    density_b: float
    density: float
    ratio_mass: float
    pack_mass: float
    working_time: tuple[tuple[float, float], ...]
    release_time: tuple[tuple[float, float], ...]
    modulus: float
    strength: float
    long_term: float
    hazards: tuple[str, ...]
    price: float
    source: str
    heat: float = 0.0
    time_spread: float = 0.10
    gel: float | None = None
    firm: float | None = None
    sheet_mass: float | None = None
    readings: tuple[CureSeries, ...] = ()
    readings_source: str = ""
    ratio_volume: float | None = None
    by_volume: bool = False


@dataclass(frozen=True, slots=True)
class Packer:
    """An inflatable packer with a branch part.

    Attributes:
        name: Name in the kit.
        main_min, main_max: Inner diameters of main that it serves [m].
        branch_min, branch_max: Inner diameters of branch that it serves [m].
        angle_min, angle_max: Branch angles that it serves [rad].
        rating: Largest working pressure [Pa].
        bladder_pressure: Pressure that its own bladder needs to unfold against the bore [Pa].
        bypass_count: Number of bypass bores.
        bypass_diameter: Inner diameter of each bore [m].
        length: Over all [m].
        sleeve_length: Length of collar that it carries along the main [m].
        branch_reach: Length of collar that it carries up the branch, from the crown [m].
        mass: [kg].
        count: How many of it there are.
        derating: (temperature of its skin [K], share of the rating that it keeps [-]) pairs,
            temperature ascending, share never rising; empty where the rating holds at all.
    """

    name: str
    main_min: float
    main_max: float
    branch_min: float
    branch_max: float
    angle_min: float
    angle_max: float
    rating: float
    bladder_pressure: float
    bypass_count: int
    bypass_diameter: float
    length: float
    sleeve_length: float
    branch_reach: float
    mass: float
    count: int
    derating: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Crew:
    """A crew and the packers on its van.

    Attributes:
        name: Name in the kit.
        people: Number of people.
        packers: Names of packers, one entry for each packer on the van.
    """

    name: str
    people: int
    packers: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ShiftRules:
    """When and how long crews work.

    Attributes:
        start: Start of a shift, seconds after local midnight.
        length: [s].
        set_up: Time at a manhole before the first packer may go in [s].
        clear: Time at a manhole after the last packer is out [s].
        move: Time from one manhole to another [s].
        mix: Mixing a batch [s].
        wet_out: Saturating a collar and dressing the packer [s].
        lower: Lowering the packer [s].
        travel_speed: Of the packer along the main [m/s].
        position: Positioning at the connection [s].
        inflate: From the start of inflation to full pressure [s].
        remove: Deflating and pulling the packer out, besides travel [s].
        test: Leak test and inspection [s].
        spare_share: Share of the working time kept unused [-].
        max_collars: Most collars for one crew in one shift.
    """

    start: float
    length: float
    set_up: float
    clear: float
    move: float
    mix: float
    wet_out: float
    lower: float
    travel_speed: float
    position: float
    inflate: float
    remove: float
    test: float
    spare_share: float
    max_collars: int


@dataclass(frozen=True, slots=True)
class Rates:
    """Prices of work.

    Attributes:
        currency: Three letters.
        collar: Making one collar, without fabric.
        shift: One shift of a crew, people and van.
        test: Leak test and record of one connection.
        close_off: Closing one connection off.
        look_again: Filming one connection again.
        make_ready: (kind of make-ready work, price each) pairs.
        overhead: Share added to the sum of the lines [-].
        water: Cost of pumping and treating groundwater, per m3; 0 where not known.
        discount: Rate of discount a year, without inflation [-].
        life: Of a seal, over which its savings count [a].
        entry_left: Share of the groundwater entry that is left once sealed [-].
    """

    currency: str
    collar: float
    shift: float
    test: float
    close_off: float
    look_again: float
    make_ready: tuple[tuple[str, float], ...]
    overhead: float
    water: float = 0.0
    discount: float = 0.03
    life: float = 50.0
    entry_left: float = 0.0


@dataclass(frozen=True, slots=True)
class DesignRules:
    """Choices of the engineer that hold for the whole job.

    Attributes:
        fabric: Name of the fabric to use.
        resin: Name of the resin to use.
        stretch: Stretch of the formed collar over the cut one, both directions [-].
        branch_length: Collar up the branch beyond the crown, at the least [m].
        safety_factor: On groundwater [-].
        enhancement: Enhancement factor K of ASTM F1216 X1.1 [-].
        poisson: Poisson's ratio of the cured wall [-].
        liner_pressure: Pressure that the lined main stands from inside [Pa].
        pressure_margin: Added at the lower end of the inflation window [Pa].
        lap: Overlap of the closing seam of a panel [m].
        loss: Share of the resin lost in mixer and handling [-].
        soil_weight: Unit weight of soil above groundwater [N/m3].
        soil_weight_saturated: Unit weight of soil below groundwater [N/m3].
        tight_length_main: Sound bond wanted along the flange [m]; 0 for none set.
        tight_length_branch: Sound bond wanted along the branch [m]; 0 for none set.
        tight_evidence: What these two rest on, in words.
        release_chance: Chance wanted that the wall is hard when the packer lets go [-].
        freeboard: Least distance of the water behind the packer below each place that it must
            not reach [m].
        liner_temperature: Hottest that the liner stands [K], or None where not told.
        friction: Allowance for friction on the wall while the fabric forms [Pa]; used with the
            membrane formula alone, since a forming run counts friction itself.
    """

    fabric: str
    resin: str
    stretch: float
    branch_length: float
    safety_factor: float
    enhancement: float
    poisson: float
    liner_pressure: float
    pressure_margin: float
    lap: float
    loss: float
    soil_weight: float
    soil_weight_saturated: float
    tight_length_main: float = 0.0
    tight_length_branch: float = 0.0
    tight_evidence: str = ""
    release_chance: float = 0.95
    freeboard: float = 0.1
    liner_temperature: float | None = None
    friction: float = 0.0


@dataclass(frozen=True, slots=True)
class Kit:
    """Everything the contractor owns, buys and has decided.

    Attributes:
        title: Name of the kit.
        invented: Whether its figures are invented, which every sheet then says.
        fabrics: By name unique.
        resins: By name unique.
        packers: By name unique.
        crews: By name unique.
        shifts: Rules of the shifts.
        rates: Prices.
        rules: Choices for the design.
    """

    title: str
    invented: bool
    fabrics: tuple[Fabric, ...]
    resins: tuple[Resin, ...]
    packers: tuple[Packer, ...]
    crews: tuple[Crew, ...]
    shifts: ShiftRules
    rates: Rates
    rules: DesignRules

    @property
    def fabric(self) -> Fabric:
        """The fabric that the rules name."""
        return {f.name: f for f in self.fabrics}[self.rules.fabric]

    @property
    def resin(self) -> Resin:
        """The resin that the rules name."""
        return {r.name: r for r in self.resins}[self.rules.resin]
