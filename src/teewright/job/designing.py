"""Step: everything that is made and set for each connection that is to be sealed."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from statistics import median_low

from teewright.assess.values import Assessment, Need
from teewright.collar.fit import fitting_packers, refusals
from teewright.collar.panels import design_collar
from teewright.collar.patterns import name_patterns, rounded
from teewright.collar.values import Collar
from teewright.errors import GeometryError, InputError, RangeError
from teewright.findings import Finding, FindingKind
from teewright.job.cautions import cautions
from teewright.job.resolve import Inputs, assumed_findings, resolve, rows
from teewright.job.settings import Settings, settings
from teewright.job.values import Design, Designs, Refusal
from teewright.junction.saddle import check_junction
from teewright.junction.values import Junction
from teewright.kit.values import Kit, Packer
from teewright.network.conditions import Site
from teewright.network.values import Survey
from teewright.pressure.host import Ground
from teewright.pressure.values import PressureWindow
from teewright.pressure.window import inflation_window
from teewright.resin.uptake import thickness_at
from teewright.units import BAR, MM

Progress = Callable[[str, int, int], None]
SEALED = (Need.SEAL, Need.MAKE_READY)


@dataclass(frozen=True, slots=True)
class Begun:
    """A connection for which a packer and a pressure were found.

    Attributes:
        connection_id: Connection.
        inputs: Inputs.
        junction: Shape to the millimetre and the degree.
        packers: Fitting packers, the one used first.
        window: Inflation window of the first.
        pressure: Set [Pa].
        thickness: Of the fabric at that pressure [m].
    """

    connection_id: str
    inputs: Inputs
    junction: Junction
    packers: tuple[Packer, ...]
    window: PressureWindow
    pressure: float
    thickness: float


class CannotBeMadeError(GeometryError):
    """No collar can be made here; the arguments are the reasons, one sentence each."""

    def __init__(self, reasons: Iterable[str]) -> None:
        self.reasons = tuple(reasons)
        super().__init__("; ".join(self.reasons))


def design_job(
    survey: Survey,
    site: Site,
    kit: Kit,
    assessment: Assessment,
    *,
    progress: Progress | None = None,
) -> Designs:
    """Designs of all connections that are to be sealed, now or once made ready.

    Args:
        survey: Reconciled survey.
        site: What is declared of the place.
        kit: What the contractor has.
        assessment: Needs.
        progress: Told (connection id, number, of how many).
    """
    wanted = [c for c in survey.connections if assessment.of(c.id).need in SEALED]
    resolved = {c.id: resolve(survey, site, c) for c in wanted}
    begun: dict[str, Begun] = {}
    refused: dict[str, tuple[str, ...]] = {}
    for name, inputs in resolved.items():
        try:
            begun[name] = begin(name, inputs, kit)
        except (GeometryError, RangeError, InputError) as error:
            refused[name] = getattr(error, "reasons", (f"{error}.",))
    collars = Patterns(begun, kit)
    designs: dict[str, Design] = {}
    for number, (name, start) in enumerate(begun.items(), start=1):
        if progress is not None:
            progress(name, number, len(begun))
        try:
            designs[name] = finish(start, collars, kit, site)
        except (GeometryError, RangeError, InputError) as error:
            refused[name] = getattr(error, "reasons", (f"{error}.",))
    made = without_gaps([designs[c.id] for c in wanted if c.id in designs])
    return Designs(
        designs=made,
        refusals=tuple(Refusal(c.id, refused[c.id]) for c in wanted if c.id in refused),
        findings=(
            *assumed_findings(resolved.items()),
            *(_refused(name, reasons) for name, reasons in refused.items()),
            *(f for d in designs.values() for f in _thin(d)),
        ),
    )


def without_gaps(designs: Sequence[Design]) -> tuple[Design, ...]:
    """The designs with their patterns numbered from 1: a refused pattern leaves no gap."""
    used = sorted({d.collar.pattern for d in designs}, key=lambda name: int(name[1:]))
    names = {old: f"P{number}" for number, old in enumerate(used, start=1)}
    return tuple(
        replace(d, collar=replace(d.collar, pattern=names[d.collar.pattern])) for d in designs
    )


def begin(connection_id: str, inputs: Inputs, kit: Kit) -> Begun:
    """Shape, packer and pressure of one connection.

    Raises:
        CannotBeMadeError: No packer fits, or no pressure both forms and breaks nothing.
        GeometryError: The junction cannot exist.
        RangeError: The set pressure is outside the fabric's measured thickness.
    """
    exact = Junction(
        main_diameter=inputs.lined_diameter,
        branch_diameter=inputs.branch_diameter.value,
        angle=inputs.angle.value,
        fillet=inputs.fillet.value,
    )
    check_junction(exact)
    junction = rounded(exact)
    fitting = fitting_packers(junction, kit.packers)
    if not fitting:
        raise CannotBeMadeError(refusals(junction, kit.packers, kit.fabric))
    windows = [(packer, _window(inputs, packer, kit)) for packer in fitting]
    open_ = [(packer, window) for packer, window in windows if window.set is not None]
    if not open_:
        raise CannotBeMadeError([_shut(*windows[0])])
    packer, window = open_[0]
    pressure = window.set
    assert pressure is not None
    others = tuple(p for p in fitting if p is not packer and _as_good(p, packer))
    thickness = thickness_at(kit.fabric, pressure)
    return Begun(connection_id, inputs, junction, (packer, *others), window, pressure, thickness)


def _window(inputs: Inputs, packer: Packer, kit: Kit) -> PressureWindow:
    rules = kit.rules
    ground = Ground(
        head=inputs.head.value - inputs.host_diameter.value,
        cover=inputs.cover.value,
        host_cracked=inputs.cracked,
        soil_weight=rules.soil_weight,
        soil_weight_saturated=rules.soil_weight_saturated,
    )
    return inflation_window(
        main_diameter=inputs.lined_diameter,
        branch_diameter=inputs.branch_diameter.value,
        fabric=kit.fabric,
        stretch=rules.stretch,
        packer=packer,
        ground=ground,
        liner_pressure=rules.liner_pressure,
        margin=rules.pressure_margin,
    )


def _shut(packer: Packer, window: PressureWindow) -> str:
    return (
        f"No pressure forms the collar and breaks nothing: packer {packer.name} needs "
        f"{window.low / BAR:.2f} bar (most of it {window.low_governs}), but "
        f"{window.high_governs} allows {window.high / BAR:.2f} bar; lower groundwater, a softer "
        "fabric or a proof that the host is sound would help."
    )


def _as_good(other: Packer, packer: Packer) -> bool:
    """Whether another packer can stand in: it carries as much, bears as much, passes as much."""
    bores = other.bypass_count * other.bypass_diameter**2
    return (
        other.sleeve_length >= packer.sleeve_length
        and other.branch_reach >= packer.branch_reach
        and other.rating >= packer.rating
        and bores >= packer.bypass_count * packer.bypass_diameter**2
    )


class Patterns:
    """The collar of each pattern, drawn once.

    Connections of equal shape share a pattern. It is drawn for the median thickness of the
    fabric at their set pressures: between two connections that differs by tenths of a
    millimetre, which the stretch takes up.
    """

    def __init__(self, begun: dict[str, Begun], kit: Kit) -> None:
        self._kit = kit
        self._names = name_patterns({name: b.junction for name, b in begun.items()})
        self._thickness: dict[str, list[float]] = {}
        for name, b in begun.items():
            self._thickness.setdefault(self._names[name], []).append(b.thickness)
        self._made: dict[str, Collar] = {}

    def collar(self, begun: Begun) -> Collar:
        """The collar of a connection.

        Raises:
            CannotBeMadeError: Fabric or packer cannot do it.
            GeometryError: The panels cannot be drawn.
        """
        pattern = self._names[begun.connection_id]
        if pattern not in self._made:
            self._made[pattern] = self._draw(pattern, begun)
        collar = self._made[pattern]
        reasons = refusals(begun.junction, begun.packers[:1], self._kit.fabric, collar)
        if reasons:
            raise CannotBeMadeError(reasons)
        return collar

    def _draw(self, pattern: str, begun: Begun) -> Collar:
        rules = self._kit.rules
        return design_collar(
            begun.junction,
            self._kit.fabric,
            thickness=median_low(self._thickness[pattern]),
            stretch=rules.stretch,
            sleeve_length=begun.packers[0].sleeve_length,
            branch_length=rules.branch_length,
            lap=rules.lap,
            pattern=pattern,
        )


def finish(begun: Begun, patterns: Patterns, kit: Kit, site: Site) -> Design:
    """Everything else of one connection.

    Raises:
        CannotBeMadeError: Fabric or packer cannot do it.
        RangeError: A formula does not hold here, e.g. a temperature outside the data sheet.
    """
    collar = patterns.collar(begun)
    packer = begun.packers[0]
    found: Settings = settings(begun.inputs, collar, packer, kit, site, thickness=begun.thickness)
    hold = found.cure.release_time
    return Design(
        connection_id=begun.connection_id,
        collar=collar,
        packers=tuple(p.name for p in begun.packers),
        resin=found.resin,
        cure=found.cure,
        pressure=begun.window,
        wall=found.wall,
        bypass=found.bypass,
        head=begun.inputs.head_over_crown,
        cautions=cautions(kit.resin, packer, begun.window, hold),
        review=found.review,
        trace=rows(begun.inputs),
    )


def _refused(connection_id: str, reasons: tuple[str, ...]) -> Finding:
    return Finding(FindingKind.REFUSED, "no-collar", " ".join(reasons), subject=connection_id)


def _thin(design: Design) -> Iterable[Finding]:
    if design.wall.utilisation > 1.0:
        yield Finding(
            FindingKind.DOUBT,
            "wall-too-thin",
            f"the wall of {design.wall.provided / MM:.1f} mm is less than the "
            f"{design.wall.required / MM:.1f} mm that {design.wall.governing} needs",
            value=f"{design.wall.provided / MM:.1f} mm",
            subject=design.connection_id,
        )
