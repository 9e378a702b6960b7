"""Readings of tests on a textile, and what was fitted to them."""

from dataclasses import dataclass
from enum import StrEnum

from teewright.findings import Finding


class Direction(StrEnum):
    """How a strip was cut: its length along the grain, across it, or at 45 degrees to it."""

    ALONG = "along"
    ACROSS = "across"
    BIAS = "bias"

    @property
    def words(self) -> str:
        """As it is said of a strip: `along the grain`."""
        return "at 45 degrees" if self is Direction.BIAS else f"{self.value} the grain"


@dataclass(frozen=True, slots=True)
class StripReading:
    """One reading of a strip tensile test.

    Attributes:
        specimen: Name of the strip, unique in its direction.
        direction: How it was cut.
        width: Of the strip, not stretched [m].
        gauge: Length between the marks or clamps, not stretched [m].
        force: [N].
        extension: Of the gauge length [m].
        stretched_width: Width in the middle while stretched [m], or None where not measured.
    """

    specimen: str
    direction: Direction
    width: float
    gauge: float
    force: float
    extension: float
    stretched_width: float | None = None


@dataclass(frozen=True, slots=True)
class ThicknessReading:
    """Thickness of one specimen under one pressure.

    Attributes:
        pressure: [Pa].
        thickness: [m].
        specimen: Name, or `""`.
    """

    pressure: float
    thickness: float
    specimen: str = ""


@dataclass(frozen=True, slots=True)
class SpecimenFit:
    """One strip.

    Attributes:
        name: Of the strip.
        readings: Up to its peak force.
        used: Of them, with extension and in the range of the fit.
        stiffness: Slope of its own readings in the range [N/m]; nan where there are none.
        peak: Largest force per width as cut [N/m].
        last: Stretch at the last reading before the peak force, or at the end where the force
            never fell [-].
        broke: Whether the force fell after its peak.
    """

    name: str
    readings: int
    used: int
    stiffness: float
    peak: float
    last: float
    broke: bool


@dataclass(frozen=True, slots=True)
class DirectionFit:
    """All strips of one direction.

    Attributes:
        direction: How they were cut.
        specimens: Each strip.
        used: Readings with extension in the range of the fit.
        stiffness: Secant stiffness over the range: slope of tension against logarithmic strain
            through the origin [N/m].
        rms: Standard deviation of the residuals [N/m].
        largest: Largest residual [N/m].
        top: Tension of the fitted line at the largest strain used [N/m].
        low_stiffness: The same slope for the lower half of the range [N/m]; nan where it holds
            no reading.
        high_stiffness: Slope between the readings of the upper half [N/m]; nan likewise.
        offset: Tension at no strain of a line that is free of the origin [N/m].
        least, most: Least and largest logarithmic strain used [-].
    """

    direction: Direction
    specimens: tuple[SpecimenFit, ...]
    used: int
    stiffness: float
    rms: float
    largest: float
    top: float
    low_stiffness: float
    high_stiffness: float
    offset: float
    least: float
    most: float

    @property
    def spread(self) -> float:
        """Stiffest less softest strip, over the stiffness of all [-]."""
        slopes = [s.stiffness for s in self.specimens if s.used]
        return (max(slopes) - min(slopes)) / self.stiffness


@dataclass(frozen=True, slots=True)
class FabricFit:
    """The law fitted to strips.

    Attributes:
        directions: Each direction that was tested, along, across, bias.
        range: Least and largest logarithmic strain asked of the fit [-].
        stiffness_along: [N/m].
        stiffness_across: [N/m].
        poisson: Contraction across per stretch along the grain, pulled along it [-].
        poisson_readings: Readings that gave it; 0 where it is assumed.
        poisson_rms: Standard deviation of the strains across about it [-]; nan where assumed.
        shear: [N/m].
        shear_measured: Whether a bias strip gave it.
        stretch_along: Largest safe stretch along the grain [-].
        stretch_across: Largest safe stretch across the grain [-].
        share: Share of the logarithmic strain before the peak that counts as safe [-].
        findings: What was assumed, dropped or doubted.
    """

    directions: tuple[DirectionFit, ...]
    range: tuple[float, float]
    stiffness_along: float
    stiffness_across: float
    poisson: float
    poisson_readings: int
    poisson_rms: float
    shear: float
    shear_measured: bool
    stretch_along: float
    stretch_across: float
    share: float
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class ThicknessFit:
    """Thickness against pressure.

    Attributes:
        points: (pressure [Pa], thickness [m]) pairs, from 0, thickness never growing.
        readings: How many were given.
        rms: Root mean square of the residuals about the points [m].
        largest: Largest residual [m].
        findings: What was assumed, repaired or doubted.
    """

    points: tuple[tuple[float, float], ...]
    readings: int
    rms: float
    largest: float
    findings: tuple[Finding, ...]
