"""Step: what each connection needs."""

import math
from collections.abc import Sequence
from dataclasses import replace

from teewright.assess.make_ready import MakeReady
from teewright.assess.rules import RULES, assess
from teewright.assess.values import Assessment, GapEntry, Need, Reason, Verdict
from teewright.findings import Finding, FindingKind
from teewright.hydraulics.orifice import orifice_flow
from teewright.hydraulics.thin_gap import thin_gap_flow
from teewright.job.correcting import Decision
from teewright.network.conditions import Site
from teewright.network.levels import connection_levels
from teewright.network.notes import not_in_survey, note_of, unplaced
from teewright.network.values import Connection, Survey
from teewright.units import clock_angle

BY_HAND = "decided-by-hand"
"""Rule of the reason where a need was decided by hand."""


def gap_flow(head: float, gap: float, path: float, perimeter: float) -> GapEntry:
    """Flow through the gap round a cut edge, or an upper bound of it where it is not laminar.

    Beyond the laminar range the cubic law leaves out the losses of turbulence and of the entry
    and gives too much; so does the orifice law without any loss. The lesser is still a bound.

    Args:
        head: Of water above the connection [m].
        gap: Width [m].
        path: Length along the flow [m].
        perimeter: Of the cut [m].

    Returns:
        The flow, or its bound, and the Reynolds number.
    """
    found = thin_gap_flow(head, gap, path, perimeter)
    if found.valid:
        return GapEntry(found.flow, None, found.reynolds)
    free = orifice_flow(gap * perimeter, head, coefficient=1.0)
    return GapEntry(None, min(found.flow, free), found.reynolds)


def water_over(survey: Survey, site: Site, connection: Connection) -> float | None:
    """Groundwater above the centre of a connection [m], or None where not known.

    The centre lies at the clock position on the wall; where the clock is not known the invert
    is taken, where most water stands above it.
    """
    levels = connection_levels(survey, site, connection)
    if levels.invert is None or levels.groundwater is None:
        return None
    diameter = survey.run(connection.run_id).diameter or site.defaults.main_diameter
    note = note_of(survey, site, connection)
    noted = note.clock if note else None
    clock = connection.clock if noted is None else noted
    angle = math.pi if clock is None else clock_angle(clock)
    centre = levels.invert + 0.5 * diameter * (1.0 + math.cos(angle))
    return max(0.0, levels.groundwater - centre)


def assess_survey(
    survey: Survey, site: Site, decisions: Sequence[tuple[str, Decision]] = ()
) -> Assessment:
    """Needs and groundwater entry of every connection, with findings.

    Args:
        survey: Reconciled and corrected.
        site: What is declared of the place.
        decisions: (connection id, decision) of each need that was decided by hand; it counts
            before every rule.
    """
    heads = {c.id: water_over(survey, site, c) for c in survey.connections}
    found = assess(survey, site, heads=heads, gap_flow=gap_flow)
    by_hand = dict(decisions)
    verdicts = tuple(
        _decided(v, by_hand[v.connection_id]) if v.connection_id in by_hand else v
        for v in found.verdicts
    )
    nothing = (_no_work(v) for v in verdicts if v.connection_id in by_hand)
    return Assessment(
        verdicts,
        (
            *not_in_survey(survey, site),
            *unplaced(survey, site),
            *found.findings,
            *(finding for finding in nothing if finding is not None),
        ),
    )


def _decided(verdict: Verdict, by_hand: Decision) -> Verdict:
    """The verdict as decided by hand, with the reasons of the rules after it."""
    asked = {rule.name: rule.work for rule in RULES if rule.work is not None}
    ruled = [asked[reason.rule] for reason in verdict.reasons if reason.rule in asked]
    works: Sequence[MakeReady] = by_hand.works or tuple(dict.fromkeys(ruled))
    signed = ", ".join(part for part in (by_hand.who, by_hand.at[:10]) if part)
    text = f"decided by hand ({signed})" + (f": {by_hand.why}" if by_hand.why else "")
    return replace(
        verdict,
        need=by_hand.need,
        make_ready=tuple(w.value for w in works) if by_hand.need is Need.MAKE_READY else (),
        reasons=(Reason(BY_HAND, text), *verdict.reasons),
    )


def _no_work(verdict: Verdict) -> Finding | None:
    if verdict.need is not Need.MAKE_READY or verdict.make_ready:
        return None
    text = "to be made ready by a decision that names no kind of work: none is priced"
    return Finding(
        FindingKind.DOUBT, "make-ready-unnamed", text, value="", subject=verdict.connection_id
    )
