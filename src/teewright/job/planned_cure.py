"""Cure of each planned installation in the air that it will have, from its mixing on."""

import math
from collections.abc import Iterable

from teewright.findings import Finding, FindingKind
from teewright.heat.forecast import computed_latest
from teewright.job.cure_law import FAILURES, known_fit
from teewright.job.curing import answered, in_place, situation_of
from teewright.job.day_air import at, day_air, path_from
from teewright.job.resolve import resolve
from teewright.job.values import Design, Designs, PlannedCure
from teewright.kit.values import Kit
from teewright.network.conditions import Site
from teewright.network.values import Survey
from teewright.programme.values import Programme, Visit
from teewright.units import MINUTE

SLACK = 1.0
"""A computed time that breaks a deadline by less is none that breaks it [s]."""


def planned_cures(
    survey: Survey, site: Site, kit: Kit, designs: Designs, programme: Programme
) -> tuple[PlannedCure, ...]:
    """What becomes of each batch as planned, in the air of its own hours.

    Args:
        survey: Runs and connections.
        site: Weather.
        kit: Resin and fabric.
        designs: What is made; a collar without a forecast has none here either.
        programme: Shifts.

    Returns:
        In the order of the programme.
    """
    if known_fit(kit.resin) is None:
        return ()
    known = {d.connection_id: d for d in designs.designs if d.forecast is not None}
    visits = [v for s in programme.shifts for v in s.visits if v.connection_id in known]
    found = (_planned(survey, site, kit, known[v.connection_id], v) for v in visits)
    return tuple(cure for cure in found if cure is not None)


def planned_cure_findings(planned: Iterable[PlannedCure], designs: Designs) -> tuple[Finding, ...]:
    """Installations whose batch, in its own hours, keeps to neither deadline of the crew.

    Args:
        planned: Cures as planned.
        designs: With the deadlines.

    Returns:
        One finding for each deadline that is too loose.
    """
    return tuple(
        finding
        for cure in planned
        if (design := designs.of(cure.connection_id)) is not None
        for finding in _late(cure, design)
    )


def _late(cure: PlannedCure, design: Design) -> Iterable[Finding]:
    by, free = design.cure.latest_inflation, design.cure.release_time
    when = f"mixed at {cure.mix:%H:%M} as planned"
    if cure.latest < by - SLACK:
        yield Finding(
            FindingKind.DOUBT,
            "planned-batch-gels-sooner",
            f"{when} the batch must be at pressure {cure.latest / MINUTE:.0f} min after mixing by "
            f"computation, the deadline is {by / MINUTE:.0f} min: keep the earlier one",
            value=f"{cure.latest / MINUTE:.0f} min",
            subject=cure.connection_id,
        )
    if cure.release > free + SLACK:
        told = f"hard {cure.release / MINUTE:.0f} min after mixing"
        if cure.chance < cure.wanted and math.isinf(cure.release):
            told = f"hard at the deadline in {100.0 * cure.chance:.0f} % of the cases only"
        yield Finding(
            FindingKind.DOUBT,
            "planned-cure-later",
            f"{when} the wall is {told} by computation, the release is planned from "
            f"{free / MINUTE:.0f} min: hold the packer longer",
            value=f"{100.0 * cure.chance:.0f} %",
            subject=cure.connection_id,
        )


def _planned(
    survey: Survey, site: Site, kit: Kit, design: Design, visit: Visit
) -> PlannedCure | None:
    """One cure, or None where it cannot be computed."""
    inputs = resolve(survey, site, survey.connection(visit.connection_id))
    day = day_air(inputs, site, kit.shifts)
    air = path_from(site, inputs, visit.mix)
    wanted = kit.rules.release_chance
    held = (visit.earliest_release - visit.mix).total_seconds()
    try:
        situation = situation_of(
            kit,
            in_place(inputs, design.wall.provided, design.resin.void_fraction),
            air,
            mixed=at(air, 0.0) if day.pack is None else day.pack,
            ground=day.ground,
            inflation=(visit.at_pressure - visit.mix).total_seconds(),
        )
        answers = answered(kit.resin, situation)
    except FAILURES:
        return None
    return PlannedCure(
        connection_id=visit.connection_id,
        mix=visit.mix,
        air=(at(air, 0.0), at(air, held)),
        inflation=situation.inflation,
        latest=computed_latest(answers, situation),
        release=answers.sure(wanted),
        wanted=wanted,
        chance=answers.chance_firm(held),
        peak=answers.best.peak,
    )
