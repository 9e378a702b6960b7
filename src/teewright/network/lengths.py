"""How long a run is, from what each inspection and list says of it."""

from collections.abc import Iterable, Sequence

from teewright.findings import Finding, FindingKind
from teewright.network.codes import FINISH
from teewright.network.groups import Ends, Group
from teewright.network.values import Direction, Inspection
from teewright.network.view import Pass

_SAME = 0.1
"""An abandoned pass whose expected length is what it reached, within this, states none [m]."""
BEYOND = 0.5
"""A pass that reaches this far beyond the stated length gets a finding [m]."""


def completed(inspection: Inspection) -> bool:
    """Whether the pass reached the far node (BCE, and no BDC)."""
    return not inspection.abandoned and any(o.code == FINISH for o in inspection.observations)


def stated_length(inspection: Inspection) -> float | None:
    """Length that the header states [m]; None where it only repeats how far the camera came."""
    length = inspection.length
    if length is None or (
        not completed(inspection) and abs(length - inspection.last_station) <= _SAME
    ):
        return None
    return length


def measured_length(inspection: Inspection) -> float | None:
    """Station of the far node where the pass reached it [m]."""
    if not completed(inspection):
        return None
    ends = [o.station for o in inspection.observations if o.code == FINISH]
    return max(ends) if max(ends) > 0.0 else None


def length_of(inspection: Inspection, group: Group) -> float | None:
    """Length by which a station of this inspection is turned round [m], or None.

    In this order: what its header states, what it measured, the same of the other inspections
    of the run, what a list declares. A camera that came farther than stated is believed.
    """
    own = stated_length(inspection) or measured_length(inspection)
    others = (stated_length(one) or measured_length(one) for one in group.inspections)
    found = own or _first(others) or _first(run.length for run in group.runs)
    return None if found is None else max(found, inspection.last_station)


def lay(
    inspection: Inspection, group: Group, ends: Ends, *, known: bool, given: float | None = None
) -> Pass:
    """Lay an inspection along its run.

    The node where the camera started says which way it went; where the length is not known the
    farthest point that it reached stands for the far node.

    Args:
        inspection: One of the run.
        group: All that speaks of the run.
        ends: Upstream and downstream node.
        known: Whether the direction of flow is known.
        given: Length that was set by hand [m], which counts before any other; or None.
    """
    against = inspection.start_node != ends[0]
    if ends[0] == ends[1]:
        against = inspection.direction is Direction.AGAINST
    length = length_of(inspection, group) if given is None else given
    direction = Direction.AGAINST if against else Direction.WITH
    return Pass(
        inspection=inspection,
        direction=direction if known else Direction.UNKNOWN,
        against=against,
        length=inspection.last_station if length is None else length,
        length_guessed=length is None,
    )


def run_length(passes: Sequence[Pass], group: Group) -> float | None:
    """Length of the run [m]: that of its first pass, else what a list declares, else None."""
    return _first(None if p.length_guessed else p.length for p in passes) or _first(
        run.length for run in group.runs
    )


def length_findings(passes: Sequence[Pass], group: Group, run_id: str) -> list[Finding]:
    """What is doubtful about the length of a run and so about chainages turned round."""
    found = [_guessed(p, run_id) for p in passes if p.against and p.length_guessed]
    found += [_repeats_reach(p, run_id) for p in passes if _repeats(p.inspection)]
    found += [_beyond(p, run_id) for p in passes if _goes_beyond(p.inspection)]
    return found + _differing(group, run_id)


def given_findings(passes: Sequence[Pass], length: float, run_id: str) -> list[Finding]:
    """What is doubtful about a length that was set by hand: a pass that came farther."""
    return [
        _reaches(p, length, run_id) for p in passes if p.inspection.last_station > length + BEYOND
    ]


def _differing(group: Group, run_id: str) -> list[Finding]:
    lengths = statements(group)
    spread = max(lengths, default=0.0) - min(lengths, default=0.0)
    if spread <= max(0.5, 0.02 * max(lengths, default=0.0)):
        return []
    values = ", ".join(f"{length:.2f}" for length in sorted(lengths))
    text = f"lengths of the run differ by {spread:.2f} m ({values} m)"
    return [Finding(FindingKind.DOUBT, "length-differs", text, group.place, values, run_id)]


def statements(group: Group) -> set[float]:
    """Every length that anyone states or measured of a run [m]."""
    found = {f(one) for one in group.inspections for f in (stated_length, measured_length)}
    found |= {run.length for run in group.runs}
    return {length for length in found if length is not None}


def _first(lengths: Iterable[float | None]) -> float | None:
    return next((length for length in lengths if length), None)


def _repeats(inspection: Inspection) -> bool:
    return inspection.length is not None and stated_length(inspection) is None


def _repeats_reach(one: Pass, run_id: str) -> Finding:
    text = (
        "the pass did not reach the far node and its expected length is what it reached: "
        "not taken as the length of the run"
    )
    place, value = one.inspection.place, f"{one.inspection.length}"
    return Finding(FindingKind.DOUBT, "length-is-reach", text, place, value, run_id)


def _goes_beyond(inspection: Inspection) -> bool:
    length = stated_length(inspection) or measured_length(inspection)
    return length is not None and inspection.last_station > length + BEYOND


def _beyond(one: Pass, run_id: str) -> Finding:
    reached = one.inspection.last_station
    text = (
        f"the pass codes something at {reached:.2f} m, beyond the length that it states: "
        "the station is believed"
    )
    place, value = one.inspection.place, f"{reached:.2f}"
    return Finding(FindingKind.DOUBT, "beyond-length", text, place, value, run_id)


def _reaches(one: Pass, length: float, run_id: str) -> Finding:
    reached = one.inspection.last_station
    text = (
        f"the pass codes something at {reached:.2f} m, beyond the length of {length:.2f} m that "
        "was set by hand: the length is believed"
    )
    place, value = one.inspection.place, f"{reached:.2f}"
    return Finding(FindingKind.DOUBT, "beyond-length", text, place, value, run_id)


def _guessed(one: Pass, run_id: str) -> Finding:
    text = (
        "the camera went against the flow and nobody says how long the run is: chainages are "
        f"measured from the farthest point that it reached, {one.length:.2f} m on, and are too "
        "small by what it did not reach"
    )
    return Finding(
        FindingKind.GUESSED, "length-unknown", text, one.inspection.place, subject=run_id
    )
