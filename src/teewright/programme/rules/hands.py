"""The hands of a crew: one place, one thing, one batch at a time, at a manhole that is set up."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from itertools import pairwise

from teewright.kit.values import ShiftRules
from teewright.programme.rules.case import Case, Fault, clock, minutes, short
from teewright.programme.values import Shift, Visit

Stay = tuple[datetime, datetime, str, str, tuple[str, ...]]
"""Start, end, manhole, what it is, and the connection that it is for or nearest to."""


def attended(shift: Shift, rules: ShiftRules) -> list[Stay]:
    """What the crew does with its own hands."""
    stays: list[Stay] = []
    for node, start, end in shift.manholes:
        here = [v for v in shift.visits if v.manhole == node]
        first = tuple(v.connection_id for v in here[:1])
        last = tuple(v.connection_id for v in sorted(here, key=lambda v: v.tested)[-1:])
        stays.append((start, start + timedelta(seconds=rules.set_up), node, "set-up", first))
        stays.append((end - timedelta(seconds=rules.clear), end, node, "clearing", last))
    for v in shift.visits:
        name, of = v.connection_id, (v.connection_id,)
        stays.append((v.mix, v.wet_out, v.manhole, f"preparing {name}", of))
        stays.append((v.lower, v.at_pressure, v.manhole, f"placing {name}", of))
        stays.append((v.release, v.tested, v.manhole, f"finishing {name}", of))
    return stays


def one_place(case: Case) -> Iterator[Fault]:
    """A crew does one thing after the other, with the move between manholes."""
    for crew in {shift.crew: None for shift in case.programme.shifts}:
        mine = (s for s in case.programme.shifts if s.crew == crew)
        stays = sorted(stay for shift in mine for stay in attended(shift, case.rules))
        for one, other in pairwise(stays):
            move = 0.0 if one[2] == other[2] else case.rules.move
            if short(other[0] - one[1], move):
                text = f"{crew}: {one[3]} at {one[2]} ends {clock(one[1])}, {other[3]} at"
                text += f" {other[2]} begins {clock(other[0])}"
                text += f", with {minutes(move)} of move between." if move else "."
                yield text, one[4] + other[4]


def one_batch(case: Case) -> Iterator[Fault]:
    """No other batch is mixed and no other manhole attended while a batch is not in place."""
    for shift in case.programme.shifts:
        for visit in shift.visits:
            for start, end, node, what, of in attended(shift, case.rules):
                away = node != visit.manhole
                mixing = what.startswith("preparing") and what != f"preparing {visit.connection_id}"
                inside = start < visit.at_pressure and end > visit.mix
                if inside and (away or mixing):
                    text = f"{visit.connection_id} is mixed and not in place during {what}."
                    yield text, (visit.connection_id, *of)


def set_up(case: Case) -> Iterator[Fault]:
    """A manhole is set up from the first mixing to the last test, and for nothing else."""
    rules = case.rules
    for shift in case.programme.shifts:
        for visit in shift.visits:
            if not any(_covers(span, visit, rules) for span in shift.manholes):
                text = f"{visit.connection_id}: {visit.manhole} is not set up from mixing to test."
                yield text, (visit.connection_id,)
        for node, start, end in shift.manholes:
            if not any(v.manhole == node and start <= v.mix <= end for v in shift.visits):
                yield f"Shift {shift.number}: {node} is set up for nothing.", ()


def _covers(span: tuple[str, datetime, datetime], visit: Visit, rules: ShiftRules) -> bool:
    node, start, end = span
    ready = not short(visit.mix - start, rules.set_up)
    return node == visit.manhole and ready and not short(end - visit.tested, rules.clear)
