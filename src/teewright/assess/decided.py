"""Rules for what is settled before anything else: decided, not lined, out of use, in doubt."""

from teewright.assess.case import Case
from teewright.network.codes import GUESSED_STATION
from teewright.network.values import Direction, Sighting

DIAMETER_DOUBT = 0.02
"""Sightings whose diameters differ by more than this are in doubt [m]."""
STOP_REACH = 1.0
"""A connection this close to where a pass was given up was not seen well [m]."""
OUTSIDE = 0.5
"""A connection measured this far outside its run is in the wrong place [m]."""


def must_leave(case: Case) -> str | None:
    """The engineer has decided that it is not to be touched."""
    if case.note and case.note.must_leave:
        return f"not to be touched: {case.note.must_leave}"
    return None


def not_lined(case: Case) -> str | None:
    """The run is not lined, and a collar seals the cut through a liner."""
    if case.lined:
        return None
    return (
        f"run {case.run.id} is not lined as far as survey and site file say, and a collar seals "
        "the cut through a liner; if it is lined, declare it in the site file (lined = true) or "
        "with --declare-liner"
    )


def disused(case: Case) -> str | None:
    """The engineer knows that nothing drains through it any more."""
    if case.note and case.note.disused:
        return f"disused{': ' + case.note.note if case.note.note else ''}"
    return None


def not_opened(case: Case) -> str | None:
    """The liner bulges outward over the connection (BAK F): it was never cut open."""
    if case.defects("BAK", "F"):
        return "the liner bulges outward over it (BAK F): not cut open yet"
    return None


def open_state_disputed(case: Case) -> str | None:
    """One sighting has it open, another closed."""
    states = {s.is_open for s in case.connection.sightings} - {None}
    if len(states) < 2 or "state" in case.connection.settled:
        return None
    said = ", ".join(
        f"{'open' if s.is_open else 'closed'} on {s.date or s.inspection}"
        for s in case.connection.sightings
        if s.is_open is not None
    )
    return f"the sightings disagree: {said}"


def closed_but_flowing(case: Case) -> str | None:
    """It is coded closed, yet water was seen to come from it (BDE)."""
    if case.connection.is_open is False and case.defects("BDE"):
        return "coded closed, yet flow was seen to come from it (BDE)"
    return None


def closed(case: Case) -> str | None:
    """It is coded closed (BCA, second characterisation B) in every sighting."""
    if case.connection.is_open is False:
        return "coded closed: nothing drains through it"
    return None


def no_clock(case: Case) -> str | None:
    """Its clock position is not known, so no packer can be set to it."""
    return "its clock position is not known" if case.clock is None else None


def no_diameter(case: Case) -> str | None:
    """The diameter of the branch is not known, so no collar can be cut for it."""
    return "the diameter of the branch is not known" if case.diameter is None else None


def diameter_disputed(case: Case) -> str | None:
    """Sightings differ in the diameter of the branch and no note settles it."""
    seen = sorted({s.diameter for s in case.connection.sightings if s.diameter is not None})
    settled = case.note is not None and case.note.diameter is not None
    settled = settled or "diameter" in case.connection.settled
    if settled or not seen or seen[-1] - seen[0] <= DIAMETER_DOUBT:
        return None
    listed = " and ".join(f"{1e3 * d:.0f}" for d in seen)
    return f"the sightings disagree on the diameter of the branch: {listed} mm"


def flow_direction_unknown(case: Case) -> str | None:
    """The direction of flow of its run is not known: chainage, clock and lean are not either."""
    if "~" not in case.run.id:
        return None
    return (
        f"the direction of flow between {case.run.upstream} and {case.run.downstream} is not known"
    )


def length_unknown(case: Case) -> str | None:
    """It was only seen against the flow, in a run of unknown length: it cannot be placed."""
    travelled = {s.direction for s in case.connection.sightings}
    if "chainage" in case.connection.settled:
        return None
    if case.run.length is None and travelled == {Direction.AGAINST}:
        return "seen only against the flow in a run of unknown length: its place is a guess"
    return None


def station_guessed(case: Case) -> str | None:
    """Its station could not be read in any sighting: its place is that of the line before."""
    sightings = case.connection.sightings
    if "chainage" in case.connection.settled:
        return None
    if sightings and all(_guessed(case, s) for s in sightings):
        return "its station is missing or cannot be read in the survey: its place is a guess"
    return None


def _guessed(case: Case, sighting: Sighting) -> bool:
    seen_by = case.passes.get(sighting.inspection)
    return seen_by is not None and any(
        o.place == sighting.place and GUESSED_STATION in o.extra for o in seen_by.observations
    )


def outside_run(case: Case) -> str | None:
    """Its chainage is not within its run, by more than half a metre."""
    chainage, length = case.connection.chainage, case.run.length
    if chainage < -OUTSIDE:
        return f"it is measured {-chainage:.2f} m above the upstream node"
    if length is not None and chainage > length + OUTSIDE:
        return f"it is measured {chainage - length:.2f} m beyond the downstream node"
    return None


def seen_where_a_pass_stopped(case: Case) -> str | None:
    """It was only seen within 1 m of where an abandoned pass stopped, never from beyond."""
    sightings = case.connection.sightings
    for s in sightings:
        seen_by = case.passes.get(s.inspection)
        if seen_by is None or not seen_by.abandoned:
            return None
        if abs(seen_by.last_station - s.station) > STOP_REACH:
            return None
    if not sightings:
        return None
    return "seen only from a pass that was given up within 1 m of it; none from beyond codes it"


def liner_unsound(case: Case) -> str | None:
    """The liner round it is detached, holed, cracked, soft or dry (BAK A, I, J, L, M)."""
    found = case.defects("BAK", "A", "I", "J", "L", "M")
    if not found:
        return None
    codes = ", ".join(sorted({f"BAK {d.char1}" for d in found}))
    return f"the liner round it is not sound ({codes}); a collar bears on sound liner"
