"""What was asked for: each connection once, in its place, when it is ready; true refusals."""

from collections import Counter
from collections.abc import Iterator

from teewright.programme.rules.case import Case, Fault


def once(case: Case) -> Iterator[Fault]:
    """Each connection is planned or refused, once; nothing else is."""
    planned = Counter(visit.connection_id for _, visit in case.visits())
    named = Counter(u.connection_id for u in case.programme.unplanned)
    for key in case.installations:
        if planned[key] + named[key] != 1:
            yield f"{key} is planned {planned[key]} and refused {named[key]} times.", (key,)
    for key in (planned + named).keys() - case.installations.keys():
        yield f"{key} was not asked for.", (key,)


def place(case: Case) -> Iterator[Fault]:
    """A visit is in its own run, from its own manhole."""
    for _, visit, asked in case.known():
        if (visit.run_id, visit.manhole) != (asked.run_id, asked.manhole):
            text = f"{visit.connection_id} is in {asked.run_id} from {asked.manhole}"
            text += f", not in {visit.run_id} from {visit.manhole}."
            yield text, (visit.connection_id,)


def not_before(case: Case) -> Iterator[Fault]:
    """A visit waits until its connection is ready."""
    for shift, visit, asked in case.known():
        if shift.day < asked.not_before:
            text = f"{visit.connection_id} is planned on {shift.day}"
            text += f", but ready from {asked.not_before}."
            yield text, (visit.connection_id,)


def refusal(case: Case) -> Iterator[Fault]:
    """A refusal for a reason that can be seen at once is true."""
    for refused in case.programme.unplanned:
        key = refused.connection_id
        if key in case.installations and _held_against(case, key).get(refused.rule):
            yield f"{key} is refused by {refused.rule}, which does not hold.", (key,)


def _held_against(case: Case, connection_id: str) -> dict[str, bool]:
    """Whether a refusal by each rule would be false."""
    rules, asked = case.rules, case.installations[connection_id]
    owned = {name for crew in case.crews.values() for name in crew.packers}
    travel = asked.distance / rules.travel_speed
    to_pressure = rules.mix + rules.wet_out + rules.lower + travel + rules.position
    to_pressure += rules.inflate
    after = rules.remove + travel + rules.test
    whole = rules.set_up + max(to_pressure, asked.release) + after + rules.clear
    return {
        "packer": bool(owned & set(asked.packers)),
        "working-time": to_pressure + 8.0 < asked.latest_inflation,
        "shift-length": whole + 12.0 < rules.length,
        "last-day": case.last_day is None,
    }
