"""Step: everything that is made and set for each connection that is to be sealed."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from teewright.assess.values import Assessment, Need
from teewright.collar.fit import refusals
from teewright.collar.made import Made
from teewright.collar.order import Effort
from teewright.errors import CannotBeMadeError
from teewright.findings import Finding, FindingKind
from teewright.heat.values import DayWindow
from teewright.hydraulics.values import blocked_hours
from teewright.job.beginning import Begun, begin
from teewright.job.blocking import Blocked, flow_forecast
from teewright.job.cautions import cautions
from teewright.job.collars import (
    REFUSALS,
    Maker,
    Told,
    make_patterns,
    one_by_one,
    reasons_of,
)
from teewright.job.cure_findings import (
    cure_findings,
    governing_findings,
    liner_findings,
    not_computed,
    packer_findings,
)
from teewright.job.curing import day_window, in_place
from teewright.job.day_air import short_path
from teewright.job.flow_findings import blocked_findings, level_findings, over_pumping
from teewright.job.neighbours import neighbour_findings
from teewright.job.notices import flow_findings, host_findings, left_out
from teewright.job.resolve import Inputs, assumed_findings, resolve, rows
from teewright.job.settings import Settings, settings
from teewright.job.settling import settle
from teewright.job.values import Design, Designs, Refusal
from teewright.job.wall_case import taken
from teewright.kit.values import Kit
from teewright.network.backwater import check_backwater
from teewright.network.branches import unused_inverts
from teewright.network.conditions import Site
from teewright.network.values import Survey
from teewright.units import MM

SEALED = (Need.SEAL, Need.MAKE_READY)


def design_job(
    survey: Survey,
    site: Site,
    kit: Kit,
    assessment: Assessment,
    *,
    make: Maker | None = None,
    progress: Told | None = None,
) -> Designs:
    """Designs of all connections that are to be sealed, now or once made ready.

    Args:
        survey: Reconciled survey.
        site: What is declared of the place.
        kit: What the contractor has.
        assessment: Needs.
        make: Makes the collars; None for one by one and without a placement tolerance.
        progress: Told in plain words what is being done.
    """
    check_backwater(survey, site)
    say = progress if progress is not None else _silent
    wanted = [c for c in survey.connections if assessment.of(c.id).need in SEALED]
    resolved = {c.id: resolve(survey, site, c) for c in wanted}
    begun: dict[str, Begun] = {}
    refused: dict[str, tuple[str, ...]] = {}
    for name, inputs in resolved.items():
        try:
            begun[name] = begin(name, inputs, kit)
        except REFUSALS as error:
            refused[name] = reasons_of(error)
    made = make_patterns(begun, kit, make if make is not None else one_by_one(Effort()), say)
    designs: dict[str, Design] = {}
    blocked: dict[str, Blocked] = {}
    for name, start in begun.items():
        say(f"settings of {name}")
        try:
            done = finish(start, made.made_for(name), kit, site)
        except REFUSALS as error:
            refused[name] = reasons_of(error)
            continue
        blocked[name] = _blocked(survey, site, kit, start, done)
        designs[name] = _with_flow(done, blocked[name])
    kept = without_gaps([designs[c.id] for c in wanted if c.id in designs])
    branches = {c.id: c.diameter for c in survey.connections if c.diameter is not None}
    branches |= {name: inputs.branch_diameter.value for name, inputs in resolved.items()}
    return Designs(
        designs=kept,
        refusals=tuple(Refusal(c.id, refused[c.id]) for c in wanted if c.id in refused),
        findings=(
            *assumed_findings(resolved.items()),
            *host_findings(resolved.items()),
            *unused_inverts(survey, site, {n: i.host_diameter.value for n, i in resolved.items()}),
            *flow_findings(site),
            *(_refused(name, reasons) for name, reasons in refused.items()),
            *(f for d in designs.values() for f in _thin(d)),
            *(f for n, d in designs.items() for f in blocked_findings(n, d.bypass, blocked[n])),
            *level_findings(survey, site, [d.flow for d in kept if d.flow is not None]),
            *(f for n, d in designs.items() for f in cure_findings(n, d.forecast)),
            *short_path(site, kit.shifts),
            *governing_findings(d.cure for d in designs.values()),
            *not_computed(kit.resin, [d.forecast for d in designs.values()]),
            *(f for n, d in designs.items() for f in _too_hot(n, d, begun[n], kit)),
            *neighbour_findings(survey, kit, kept, branches),
            *(left_out(_taken(kept, resolved), [d.pressure for d in kept]) if kept else ()),
        ),
        maps=made.maps_of(designs, kept),
        families=made.families,
        day=_day(kept, resolved, kit, site),
    )


def _taken(designs: Sequence[Design], resolved: Mapping[str, Inputs]) -> tuple[str, ...]:
    told = all(d.collar.landing.thin for d in designs)
    return taken([resolved[d.connection_id] for d in designs], parts_told=told)


def _day(
    designs: Sequence[Design], resolved: Mapping[str, Inputs], kit: Kit, site: Site
) -> DayWindow | None:
    """The window of the collar that is hard last."""
    cured = [d for d in designs if d.forecast is not None]
    if not cured:
        return None
    slowest = max(cured, key=lambda d: d.forecast.release[1] if d.forecast else 0.0)
    inputs, weather = resolved[slowest.connection_id], site.weather
    ground = weather.ground if weather and weather.ground is not None else inputs.pipe.value
    collar = in_place(inputs, slowest.wall.provided, slowest.resin.void_fraction)
    return day_window(inputs, kit, slowest.cure, collar=collar, ground=ground)


def _silent(_: str) -> None:
    pass


def without_gaps(designs: Sequence[Design]) -> tuple[Design, ...]:
    """The designs with their patterns numbered from 1: a refused pattern leaves no gap."""
    used = sorted({d.collar.pattern for d in designs}, key=lambda name: int(name[1:]))
    names = {old: f"P{number}" for number, old in enumerate(used, start=1)}
    return tuple(
        replace(d, collar=replace(d.collar, pattern=names[d.collar.pattern])) for d in designs
    )


def finish(begun: Begun, made: Made, kit: Kit, site: Site) -> Design:
    """Everything else of one connection.

    Raises:
        CannotBeMadeError: Fabric or packer cannot do it.
        RangeError: A formula does not hold here, e.g. a temperature outside the data sheet.
    """
    packer, collar = begun.packers[0], made.collar
    reasons = refusals(begun.junction, (packer,), kit.fabric, collar)
    if reasons:
        raise CannotBeMadeError(reasons)
    begun = settle(begun, collar.landing.pressure_landed, kit)
    thinnest = begun.thickness * collar.landing.thickness[0] / collar.thickness
    found: Settings = settings(
        begun.inputs,
        made,
        packer,
        kit,
        site,
        thickness=thinnest,
        soaked=begun.soaked,
    )
    hold = found.cure.release_time
    return Design(
        connection_id=begun.connection_id,
        junction=begun.junction,
        collar=collar,
        packers=tuple(p.name for p in begun.packers),
        resin=found.resin,
        cure=found.cure,
        forecast=found.forecast,
        pressure=begun.window,
        walls=found.walls.walls,
        tornado=found.walls.tornado,
        tight=found.walls.tight,
        bypass=found.bypass,
        head=begun.inputs.head_over_crown,
        cautions=cautions(kit.resin, packer, begun.window, hold),
        review=(*found.review, *begun.notes),
        trace=rows(begun.inputs),
    )


def _blocked(survey: Survey, site: Site, kit: Kit, begun: Begun, design: Design) -> Blocked:
    connection, packer = survey.connection(design.connection_id), begun.packers[0]
    return flow_forecast(survey, site, connection, begun.inputs, packer, design.cure, kit=kit)


def _with_flow(design: Design, blocked: Blocked) -> Design:
    flow, review = blocked.forecast, design.review
    if not blocked_hours(design.bypass, flow):
        review = (
            *review,
            f"At no hour may the main be blocked: {over_pumping(design.bypass, flow)}.",
        )
    return replace(design, flow=flow, review=review)


def _refused(connection_id: str, reasons: tuple[str, ...]) -> Finding:
    return Finding(FindingKind.REFUSED, "no-collar", " ".join(reasons), subject=connection_id)


def _too_hot(name: str, design: Design, begun: Begun, kit: Kit) -> tuple[Finding, ...]:
    found, packer = design.forecast, begun.packers[0]
    return (
        *packer_findings(name, found, packer, design.pressure.set),
        *liner_findings(name, found, kit.rules.liner_temperature),
    )


def _thin(design: Design) -> Iterable[Finding]:
    wall = design.governing_wall
    if design.wall_too_thin:
        yield Finding(
            FindingKind.DOUBT,
            "wall-too-thin",
            f"the wall of {wall.provided / MM:.2f} mm in the {wall.name} is less than the "
            f"{wall.required / MM:.2f} mm that {wall.governing} needs: thicker or "
            "stiffer fabric and resin, or less stretch, would help",
            value=f"{wall.provided / MM:.2f} mm",
            subject=design.connection_id,
        )
