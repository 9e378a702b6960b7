"""The programme: fewest shifts, then earliest finish.

Decomposed. Each installation is first asked alone, so that a refusal can be explained (`alone`).
The rest are packed into the fewest shifts (`packing`), each with an order (`sequence`); the
shifts are laid on days (`workdays`), and each is ordered to end early.

Rules of a day besides those of a shift: on one day a run, and a manhole, belong to one crew.
"""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date

from teewright.errors import InputError
from teewright.kit.values import Crew, ShiftRules
from teewright.programme.alone import fits, refusal
from teewright.programme.durations import Job, job
from teewright.programme.packing import Packing
from teewright.programme.sequence import earliest
from teewright.programme.solving import Budget
from teewright.programme.taken import taken_by
from teewright.programme.timetable import shift
from teewright.programme.values import Installation, Programme, Shift, Unplanned
from teewright.programme.windows import DAY
from teewright.programme.workdays import Dated, first_ready, van_of, workdays

MINUTE = 60
"""Starts are whole minutes, as a crew reads them, where that bars nothing [s]."""
PACE = 2.4
"""Seconds of the clock for one deterministic second, measured on a slow core."""

Say = Callable[[str], None]


def plan(  # noqa: PLR0913 -- each limits the programme in its own way
    installations: tuple[Installation, ...],
    *,
    crews: tuple[Crew, ...],
    shifts: ShiftRules,
    first_day: date,
    days: tuple[int, ...],
    last_day: date | None = None,
    seconds: float = 10.0,
    progress: Say | None = None,
    around: tuple[Shift, ...] = (),
) -> Programme:
    """Plan shifts for all installations.

    Args:
        installations: What is to be placed, connections unique.
        crews: Crews with their packers, names unique.
        shifts: Rules of the shifts.
        first_day: First day of work.
        days: Days of the week on which a shift may start, 1 Monday to 7 Sunday.
        last_day: Last day on which a shift may start, or None for as many days as needed.
        seconds: About how long to search [s]; the search itself counts steps, not the clock,
            so that the same input gives the same programme everywhere.
        progress: Told in one line what is being done.
        around: Shifts that stand, of other installations: their crews have no other shift on
            their days, nor has another crew work in their runs and manholes.

    Returns:
        The programme, without the shifts that stand; what no shift can hold is named with the
        rule that refuses it: `packer`, `working-time`, `max-collars`, `shift-length`,
        `access`, `flow`, or `last-day`. `bound` and `proved` speak of the planned installations.

    Raises:
        InputError: A rule, a day or a name is not allowed.
    """
    _validate(installations, crews, shifts, days)
    say = progress or (lambda _text: None)
    jobs = tuple(job(i, shifts) for i in installations)
    refused = {j.key: r for j in jobs if (r := refusal(j, crews, shifts))}
    able = tuple(j for j in jobs if j.key not in refused)
    say(f"{len(able)} of {len(jobs)} installations fit a shift")
    after = {i.connection_id: i.not_before for i in installations}
    wait = max([0, *((after[j.key] - first_day).days for j in able)])
    least = wait + len(able) + len(around) + 1
    dates = workdays(first_day, days, last=last_day, least=least)
    ready = {j.key: first_ready(dates, after[j.key]) for j in able}
    timely = tuple(j for j in able if ready[j.key] < len(dates))
    work = _Work(timely, ready, tuple(dates), crews, shifts, seconds / PACE, say, around)
    programme = work.programme()
    planned = {v.connection_id for s in programme.shifts for v in s.visits}
    unplanned = tuple(
        refused.get(j.key) or _too_late(j, last_day, len(programme.shifts), full=j in timely)
        for j in jobs
        if j.key not in planned
    )
    return Programme(programme.shifts, unplanned, programme.bound, programme.proved)


def _validate(
    installations: tuple[Installation, ...],
    crews: tuple[Crew, ...],
    shifts: ShiftRules,
    days: tuple[int, ...],
) -> None:
    if not 0 < shifts.length <= DAY:
        raise InputError(
            "is not a length of shift", field="length", value=shifts.length, allowed="0 to 24 h"
        )
    if not 0 <= shifts.start < DAY:
        raise InputError(
            "is not a time of day", field="start", value=shifts.start, allowed="0 to 24 h"
        )
    if shifts.travel_speed <= 0:
        raise InputError(
            "lets no packer arrive",
            field="travel_speed",
            value=shifts.travel_speed,
            allowed="more than 0 m/s",
        )
    if not days or not set(days) <= set(range(1, 8)):
        raise InputError(
            "are not days of the week", field="days", value=days, allowed="1 Monday to 7 Sunday"
        )
    _unique("connection", [i.connection_id for i in installations])
    _unique("crew", [c.name for c in crews])


def _unique(field_name: str, names: list[str]) -> None:
    for name, count in Counter(names).items():
        if count > 1:
            raise InputError(
                f"is given {count} times", field=field_name, value=name, allowed="each name once"
            )


def _too_late(left: Job, last_day: date | None, count: int, *, full: bool) -> Unplanned:
    text = f"It is ready only after the last day of work, {last_day}."
    if full:
        text = f"The {count} shifts found up to the last day of work, {last_day}, are full."
    return Unplanned(left.key, "last-day", text)


@dataclass(frozen=True, slots=True)
class _Work:
    """Jobs that fit a shift, and all that is needed to plan them."""

    jobs: tuple[Job, ...]
    ready: dict[str, int]
    dates: tuple[date, ...]
    crews: tuple[Crew, ...]
    rules: ShiftRules
    effort: float
    say: Say
    around: tuple[Shift, ...]

    def programme(self) -> Programme:
        """Pack, then order each shift."""
        if not self.jobs:
            return Programme((), (), 0, proved=True)
        grid = MINUTE if all(fits(j, self.rules, MINUTE) for j in self.jobs) else 1
        crews = self._able_crews()
        packed = Packing(
            self.jobs,
            self.ready,
            len(self.dates),
            crews,
            self.rules,
            grid,
            0.85 * self.effort,
            self.say,
            taken_by(self.around, self.dates, crews),
        ).pack()
        shifts = self._order(packed.shifts, grid)
        return Programme(shifts, (), packed.bound, proved=packed.bound == len(shifts))

    def _able_crews(self) -> tuple[Crew, ...]:
        """Crews with any packer that is wanted, and those packers alone, so that like vans meet."""
        wanted = {name for j in self.jobs for name in j.packers}
        crews = (replace(c, packers=tuple(n for n in c.packers if n in wanted)) for c in self.crews)
        return tuple(c for c in crews if c.packers)

    def _order(self, laid: tuple[Dated, ...], grid: int) -> tuple[Shift, ...]:
        """Order each shift to end early and write its times."""
        shifts = []
        crews = self._able_crews()
        share = 0.15 * self.effort / max(1, len(laid))
        for number, one in enumerate(laid, 1):
            self.say(f"ordering shift {number} of {len(laid)}")
            crew = crews[one.crew]
            best = earliest(
                one.filled.order,
                van_of(crew),
                self.rules,
                grid=grid,
                budget=Budget(share),
                limit=share / 2,
            )
            shifts.append(shift(number, self.dates[one.day], crew, best, self.rules))
        return tuple(shifts)
