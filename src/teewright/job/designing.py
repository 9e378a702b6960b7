"""Step: everything that is made and set for each connection that is to be sealed."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from statistics import median_low

from teewright.assess.values import Assessment, Need
from teewright.collar.fit import refusals
from teewright.collar.panels import design_collar
from teewright.collar.patterns import name_patterns
from teewright.collar.values import Collar
from teewright.errors import CannotBeMadeError, GeometryError, InputError, RangeError
from teewright.findings import Finding, FindingKind
from teewright.job.beginning import Begun, begin
from teewright.job.cautions import cautions
from teewright.job.neighbours import neighbour_findings
from teewright.job.notices import flow_findings, host_findings, left_out
from teewright.job.resolve import assumed_findings, resolve, rows
from teewright.job.settings import Settings, settings
from teewright.job.values import Design, Designs, Refusal
from teewright.kit.values import Kit
from teewright.network.conditions import Site
from teewright.network.values import Survey
from teewright.units import MM

Progress = Callable[[str, int, int], None]
SEALED = (Need.SEAL, Need.MAKE_READY)


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
    branches = {c.id: c.diameter for c in survey.connections if c.diameter is not None}
    branches |= {name: inputs.branch_diameter.value for name, inputs in resolved.items()}
    return Designs(
        designs=made,
        refusals=tuple(Refusal(c.id, refused[c.id]) for c in wanted if c.id in refused),
        findings=(
            *assumed_findings(resolved.items()),
            *host_findings(resolved.items()),
            *flow_findings(site),
            *(_refused(name, reasons) for name, reasons in refused.items()),
            *(f for d in designs.values() for f in _thin(d)),
            *neighbour_findings(survey, kit, made, branches),
            *(left_out() if made else ()),
        ),
    )


def without_gaps(designs: Sequence[Design]) -> tuple[Design, ...]:
    """The designs with their patterns numbered from 1: a refused pattern leaves no gap."""
    used = sorted({d.collar.pattern for d in designs}, key=lambda name: int(name[1:]))
    names = {old: f"P{number}" for number, old in enumerate(used, start=1)}
    return tuple(
        replace(d, collar=replace(d.collar, pattern=names[d.collar.pattern])) for d in designs
    )


class Patterns:
    """The collar of each pattern, drawn once.

    Connections of equal shape share a pattern. It is drawn for the median thickness of the
    fabric at their set pressures, which differ by tenths of a millimetre; what this and the
    rounding cost is said in `teewright.collar.patterns`.
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
    found: Settings = settings(
        begun.inputs,
        collar,
        packer,
        kit,
        site,
        thickness=begun.thickness,
        soaked=begun.soaked,
    )
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
            f"the wall of {design.wall.provided / MM:.2f} mm is less than the "
            f"{design.wall.required / MM:.2f} mm that {design.wall.governing} needs: thicker or "
            "stiffer fabric and resin, or less stretch, would help",
            value=f"{design.wall.provided / MM:.2f} mm",
            subject=design.connection_id,
        )
