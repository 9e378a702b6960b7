"""Whether a shift with nothing else in it could hold one installation, and if not, why.

The question has a closed answer: within one access stretch and one window of blocking every
time of the cycle grows with the start of mixing, so the earliest start decides.
"""

from teewright.kit.values import Crew, ShiftRules
from teewright.programme.blocked import Blocking
from teewright.programme.durations import Job, down, seconds_up, up
from teewright.programme.values import Unplanned
from teewright.programme.windows import Stretch


def cycle_end(job: Job, access: Stretch, blocking: Blocking, rules: ShiftRules, grid: int) -> int:
    """Earliest end of a cycle that keeps to two windows, whether or not it ends in time.

    Args:
        job: The installation; prepare + place must fit its working time.
        access: Street may be occupied [s].
        blocking: Main may be blocked.
        rules: Set-up and clearing.
        grid: Starts are multiples of it [s].

    Returns:
        End of clearing [s] from the start of the shift, or -1 where the main would be blocked
        too late or too long.
    """
    wait = down(job.latest - job.place, grid)
    size = up(job.place, grid)
    earliest, latest, longest = blocking.bounds(job.inflate, grid, (0, grid - 1))
    first = up(blocking.first, grid) if blocking.whole else earliest - size
    mix = max(up(access[0], grid) + up(seconds_up(rules.set_up), grid), first - wait)
    place = max(mix + up(job.prepare, grid), first)
    if not blocking.whole:  # what is blocked too long is placed later, as its batch may wait
        place = max(place, mix + up(job.hold, grid) - longest - size)
    finish = max(mix + up(job.hold, grid), place + size)
    if blocking.whole:
        late = finish * grid + job.pull > blocking.last
    else:
        late = place > mix + wait or place + size > latest or finish - place - size > longest
    if late:
        return -1
    return (finish + up(job.finish, grid) + up(seconds_up(rules.clear), grid)) * grid


def fits(job: Job, rules: ShiftRules, grid: int) -> bool:
    """Whether a shift with nothing else could hold the job, on a grid [s]."""
    if up(job.prepare, grid) > down(job.latest - job.place, grid):
        return False
    return any(
        0 <= cycle_end(job, street, main, rules, grid) <= grid * down(street[1], grid)
        for street in job.access
        for main in job.blocking
    )


def refusal(job: Job, crews: tuple[Crew, ...], rules: ShiftRules) -> Unplanned | None:
    """Why no shift can hold the job, or None where one can.

    Args:
        job: The installation.
        crews: All crews, with their packers.
        rules: Of the shifts.

    Returns:
        The first rule that refuses it, of `packer`, `working-time`, `max-collars`,
        `shift-length`, `access`, `flow`, with its numbers.
    """
    found = (
        _no_packer(job, crews)
        or _too_slow(job)
        or _no_collars(rules)
        or _too_long(job, rules)
        or _no_access(job, rules)
        or _no_flow(job, rules)
    )
    return Unplanned(job.key, *found) if found else None


Reason = tuple[str, str]


def _minutes(seconds: float) -> str:
    return f"{seconds / 60.0:.4g} min"


def _cycle(job: Job, rules: ShiftRules) -> int:
    ever = 10**9
    return cycle_end(job, (0, ever), Blocking(0, ever), rules, 1)


def _no_packer(job: Job, crews: tuple[Crew, ...]) -> Reason | None:
    owned = {name for crew in crews for name in crew.packers}
    if owned & set(job.packers):
        return None
    wanted = " or ".join(job.packers) or "none at all"
    return "packer", f"No crew has a packer that fits; fitting: {wanted}."


def _too_slow(job: Job) -> Reason | None:
    needed = job.prepare + job.place
    if needed <= job.latest:
        return None
    return "working-time", (
        f"From the start of mixing to full pressure takes {_minutes(needed)} (travel "
        f"{_minutes(job.travel)} of it), but the working time allows {_minutes(job.latest)}."
    )


def _no_collars(rules: ShiftRules) -> Reason | None:
    if rules.max_collars >= 1:
        return None
    return "max-collars", f"A shift may hold {rules.max_collars} collars."


def _too_long(job: Job, rules: ShiftRules) -> Reason | None:
    needed = _cycle(job, rules)
    if needed <= rules.length:
        return None
    return "shift-length", (
        f"Set-up, one installation with release after {_minutes(job.hold)}, and clearing take "
        f"{_minutes(needed)}, but a shift has {_minutes(rules.length)}."
    )


def _longest(stretches: tuple[Stretch, ...]) -> int:
    return max((b - a for a, b in stretches), default=0)


def _no_access(job: Job, rules: ShiftRules) -> Reason | None:
    needed, longest = _cycle(job, rules), _longest(job.access)
    if needed <= longest:
        return None
    return "access", (
        f"The street is needed for {_minutes(needed)} on end, but within a shift the longest "
        f"access window is {_minutes(longest)}."
    )


def _no_flow(job: Job, rules: ShiftRules) -> Reason | None:
    if fits(job, rules, 1):
        return None
    held = max(job.place, job.hold - (job.latest - job.place))
    if all(block.whole for block in job.blocking):
        blocked = held + job.pull
        longest = _longest(tuple((b.first, b.last) for b in job.blocking))
        most = "the longest stretch of a shift in which its flow lets it be blocked is"
    else:
        blocked = held - job.way
        longest = max(block.longest for block in job.blocking)
        most = "the water behind the packer allows, begun within a shift, at most"
    together = "; together with the access window no start fits." if blocked <= longest else "."
    return "flow", (
        f"The main is blocked for at least {_minutes(blocked)}, but {most} "
        f"{_minutes(longest)}{together}"
    )
