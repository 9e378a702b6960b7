"""What a check of the wall is asked, and what it answers."""

from dataclasses import dataclass

from teewright.trace import TraceRow
from teewright.wall.wheels import Wheels

REVIEW = "for review by a qualified engineer under the local code"
"""Said with every structural result."""
LEAST = 0.003
"""Least wall of a lining [m]; ISO 11296-4, value from memory."""


@dataclass(frozen=True, slots=True)
class CuredWall:
    """Properties of the cured, saturated fabric.

    Attributes:
        modulus: Short-term flexural modulus [Pa].
        strength: Short-term flexural strength [Pa].
        long_term: Share of both left after the design life [-].
        poisson: Poisson's ratio [-].
        strength_share: Share of the strength left, where it has one of its own [-], or None.
    """

    modulus: float
    strength: float
    long_term: float
    poisson: float
    strength_share: float | None = None

    @property
    def late_modulus(self) -> float:
        """Flexural modulus after the design life [Pa]."""
        return self.modulus * self.long_term

    @property
    def late_strength(self) -> float:
        """Flexural strength after the design life [Pa]."""
        share = self.long_term if self.strength_share is None else self.strength_share
        return self.strength * share


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """What the code or the client asks for.

    Attributes:
        safety_factor: N [-].
        enhancement: K of F1216 X1.1 [-].
        least: Least wall, whatever the loads [m].
    """

    safety_factor: float
    enhancement: float
    least: float = LEAST


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """What lies on a host that has given up.

    Attributes:
        cover: Ground over the crown [m].
        soil_weight: Unit weight of the ground as it lies, saturated below the water [N/m3].
        soil_modulus: E'_s of the ground beside the pipe [Pa].
        traffic: Pressure of traffic at the crown [Pa].
        cover_formula: How the cover was found, in plain signs; `""` where it is given.
        wheels: What `traffic` was found from, or None where it is given.
    """

    cover: float
    soil_weight: float
    soil_modulus: float
    traffic: float = 0.0
    cover_formula: str = ""
    wheels: Wheels | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A tube of the collar: what lies in the main, or in the branch.

    Attributes:
        name: `main` or `branch`.
        diameter: Mean inner diameter of the pipe in which it lies [m].
        provided: Installed thickness [m].
        head: Groundwater over the invert of that pipe; 0 or less is none [m].
        ovality: Of that pipe, (D_mean - D_min)/D_mean [-].
        missing: Diameter of a round piece of wall missing behind the collar [m]; None or 0 where
            none is.
        ground: What lies on the pipe where it counts as fully deteriorated; None where it is
            partially deteriorated, that is, still carries soil and traffic itself.
        head_formula: How the head was found, in plain signs; `""` where it is given.
    """

    name: str
    diameter: float
    provided: float
    head: float
    ovality: float
    missing: float | None = None
    ground: Ground | None = None
    head_formula: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """The cut opening, round which the collar turns from the main into the branch.

    Attributes:
        branch_diameter: Diameter of the cut across the branch [m].
        angle: Between the axes of main and branch [rad].
        broken: Wall broken away beyond the cut, all round [m].
        provided: Thickness of the collar at its thinnest place by the opening [m].
        head: Groundwater over the lowest point of the opening; 0 or less is none [m].
        inside: Greatest head of sewage inside over the ground's water at that point, when the
            sewer backs up or is tested; it pushes the collar out through the opening [m].
    """

    branch_diameter: float
    angle: float
    broken: float
    provided: float
    head: float
    inside: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class CollarCase:
    """A whole collar with all that its wall is checked against.

    Attributes:
        main: The part in the main.
        branch: The part in the branch.
        opening: The cut opening.
        wall: Properties of the cured wall.
        rules: Factors and the least wall.
    """

    main: Part
    branch: Part
    opening: Opening
    wall: CuredWall
    rules: Rules


@dataclass(frozen=True, slots=True)
class Case:
    """One way in which the wall could fail, or one formula held beside.

    Attributes:
        name: Plain name.
        symbol: Symbol of the thickness.
        needed: Thickness that it asks for [m].
        stands: Load at which the installed wall just meets it, safety factor included [Pa];
            infinite where no load reaches it, None where it does not depend on the load.
        formula: In plain signs.
        source: Standard and clause, or author.
    """

    name: str
    symbol: str
    needed: float
    stands: float | None
    formula: str
    source: str


@dataclass(frozen=True, slots=True)
class PartCheck:
    """Whether one part of the collar stands.

    Attributes:
        name: Of the part.
        provided: Installed thickness [m].
        required: Thickness that the governing case needs [m].
        utilisation: required / provided, > 1 is not enough [-].
        governing: Name of the governing case.
        cases: What must be met.
        beside: Rival formulas, for comparison; they do not govern.
        notes: What the engineer must weigh, one sentence each.
        trace: Numbers in checking order.
    """

    name: str
    provided: float
    required: float
    utilisation: float
    governing: str
    cases: tuple[Case, ...]
    beside: tuple[Case, ...]
    notes: tuple[str, ...]
    trace: tuple[TraceRow, ...]


@dataclass(frozen=True, slots=True)
class CollarWall:
    """Whether the whole collar stands, for review by a qualified engineer under the local code.

    Attributes:
        parts: Main and branch, in this order.
        beside: A flat plate over the opening: a bound for a branch that is closed off, which
            does not govern an open one.
        utilisation: Greatest of the parts, > 1 is not enough [-].
        governing_part: Part with the greatest utilisation.
        governing: Its governing case.
        notes: Of all parts, each with its part's name, and the call for review.
        shared: Numbers that all parts share.
        trace: These, then those of the parts and of the opening, in checking order.
    """

    parts: tuple[PartCheck, ...]
    beside: PartCheck
    utilisation: float
    governing_part: str
    governing: str
    notes: tuple[str, ...]
    shared: tuple[TraceRow, ...]
    trace: tuple[TraceRow, ...]

    @property
    def worst(self) -> PartCheck:
        """The part that governs."""
        return next(part for part in self.parts if part.name == self.governing_part)
