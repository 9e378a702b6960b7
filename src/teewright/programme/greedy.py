"""A programme without search: shift after shift, each filled with what still fits.

It is the programme to beat, and the one that stays where not all can be done by the last day.
"""

from teewright.kit.values import Crew
from teewright.programme.assigning import Filled
from teewright.programme.durations import Job, dominates
from teewright.programme.oracle import Oracle
from teewright.programme.sequence import Van
from teewright.programme.taken import NOTHING, Taken
from teewright.programme.workdays import Dated, places, van_of

TRIES = 5
"""Jobs refused in a row before a shift counts as full."""


def fill_days(
    jobs: tuple[Job, ...],
    ready: dict[str, int],
    days: int,
    crews: tuple[Crew, ...],
    oracle: Oracle,
    taken_before: Taken = NOTHING,
) -> tuple[list[Dated], list[Job]]:
    """Fill shifts in order of days and crews.

    Args:
        jobs: All jobs; each goes into a shift alone.
        ready: For each job's key, the index of the first day.
        days: Number of days.
        crews: All crews.
        oracle: Says whether jobs go into a shift.
        taken_before: What is given away already.

    Returns:
        Shifts on their days, and the jobs that are left.
    """
    left = list(jobs)
    dated: list[Dated] = []
    for day in range(days):
        today: list[Filled] = []
        for c, crew in enumerate(crews):
            if (day, c) in taken_before.crew_days:
                continue
            taken = {place for held in today for place in places(held.jobs)}
            taken |= taken_before.at(day)
            able = [j for j in left if ready[j.key] <= day and not places((j,)) & taken]
            held = _fill(able, van_of(crew), oracle)
            if held is not None:
                today.append(held)
                dated.append(Dated(held, day, c))
                left = [j for j in left if j not in held.jobs]
        if not left:
            break
    return dated, left


def complete(
    dated: list[Dated],
    loose: list[Job],
    ready: dict[str, int],
    days: int,
    crews: tuple[Crew, ...],
    oracle: Oracle,
    taken_before: Taken = NOTHING,
) -> list[Dated] | None:
    """Put further jobs into shifts that have room, or into new ones.

    Args:
        dated: Shifts on their days.
        loose: Jobs without a shift.
        ready: For each job's key, the index of the first day.
        days: Number of days.
        crews: All crews.
        oracle: Says whether jobs go into a shift.
        taken_before: What is given away already.

    Returns:
        Shifts that hold them all, or None where the days do not suffice.
    """
    whole = list(dated)
    for job in loose:
        slots = [Dated(Filled((), (), None), d, c) for d in range(days) for c in range(len(crews))]
        taken = {(one.day, one.crew) for one in whole} | taken_before.crew_days
        free = [slot for slot in slots if (slot.day, slot.crew) not in taken]
        for one in [*sorted(whole, key=lambda o: len(o.filled.jobs)), *free]:
            able = ready[job.key] <= one.day and not places((job,)) & taken_before.at(one.day)
            put = _put(job, one, whole, crews, oracle) if able else None
            if put is not None:
                whole = [*(other for other in whole if other is not one), put]
                break
        else:
            return None
    return whole


def lighten(held: Filled, oracle: Oracle) -> tuple[Filled | None, list[Job]]:
    """Take out the job with the longest hold until the rest of a shift has an order.

    Args:
        held: A shift, perhaps without a sequence.
        oracle: Says whether jobs go into a shift.

    Returns:
        What is left of the shift, or None, and the jobs taken out.
    """
    taken: list[Job] = []
    jobs, sequence = held.jobs, held.sequence
    while jobs and sequence is None:
        taken.append(max(jobs, key=lambda j: (j.hold, j.travel, j.key)))
        jobs = tuple(j for j in jobs if j is not taken[-1])
        sequence = oracle.ask(jobs, held.van).sequence
    return (Filled(held.van, jobs, sequence) if jobs else None), taken


def _put(
    job: Job, one: Dated, whole: list[Dated], crews: tuple[Crew, ...], oracle: Oracle
) -> Dated | None:
    """A shift with one job more, where its day, its van and its hours allow."""
    van = van_of(crews[one.crew])
    today = [o.filled.jobs for o in whole if o.day == one.day and o.crew != one.crew]
    if places((job,)) & {place for jobs in today for place in places(jobs)}:
        return None
    if not set(job.packers) & set(van) or not _room(one.filled, oracle):
        return None
    found = _with(job, one.filled if one.filled.jobs else None, van, oracle)
    return Dated(found, one.day, one.crew) if found else None


def _fill(able: list[Job], van: Van, oracle: Oracle) -> Filled | None:
    """As many jobs as go into one shift: those at its manholes first, long holds first."""
    held: Filled | None = None
    refused: list[Job] = []
    waiting = [j for j in able if set(j.packers) & set(van)]
    while waiting and len(refused) < TRIES and (not held or _room(held, oracle)):
        job = min(waiting, key=lambda j: (not _near(j, held), -j.hold, -j.travel, j.key))
        waiting.remove(job)
        if any(job.kin == r.kin and dominates(job, r) for r in refused):
            continue
        found = _with(job, held, van, oracle)
        if found is None:
            refused.append(job)
        else:
            held, refused = found, []
    return held


def _room(held: Filled, oracle: Oracle) -> bool:
    return len(held.jobs) < oracle.rules.max_collars


def _near(job: Job, held: Filled | None) -> bool:
    return held is not None and any(job.manhole == j.manhole for j in held.jobs)


def _with(job: Job, held: Filled | None, van: Van, oracle: Oracle) -> Filled | None:
    if held is None:
        return Filled(van, (job,), oracle.alone(job, van))
    jobs = (*held.jobs, job)
    sequence = oracle.ask(jobs, van).sequence
    return Filled(van, jobs, sequence) if sequence else None
