"""From seconds of a shift to times of day."""

from collections import Counter
from datetime import date, datetime, time, timedelta

from teewright.kit.values import Crew, ShiftRules
from teewright.programme.durations import seconds_up
from teewright.programme.sequence import Sequence, Slot
from teewright.programme.values import Shift, Visit


def shift(number: int, day: date, crew: Crew, found: Sequence, rules: ShiftRules) -> Shift:
    """A shift with its times of day.

    Args:
        number: Its number in the programme.
        day: Day on which it starts.
        crew: Its crew.
        found: Order and seconds.
        rules: Of the shifts.

    Returns:
        The shift; packers are numbered where the van has several of a name.
    """
    start = datetime.combine(day, time()) + timedelta(seconds=rules.start)
    names = _units(found.slots, crew)
    return Shift(
        number=number,
        crew=crew.name,
        day=day,
        start=start,
        end=start + timedelta(seconds=rules.length),
        visits=tuple(_visit(s, n, start, rules) for s, n in zip(found.slots, names, strict=True)),
        manholes=tuple(
            (node, start + timedelta(seconds=begin), start + timedelta(seconds=end))
            for node, begin, end in found.manholes
        ),
    )


def _units(slots: tuple[Slot, ...], crew: Crew) -> list[str]:
    """Which of several packers of a name each job takes: the one that is free longest."""
    counts = Counter(crew.packers)
    free = {name: [0] * count for name, count in counts.items()}
    names: list[str] = []
    for slot in slots:
        since = free[slot.packer]
        unit = min(range(len(since)), key=lambda u: since[u])
        since[unit] = slot.finish + slot.job.finish
        names.append(f"{slot.packer} #{unit + 1}" if len(since) > 1 else slot.packer)
    return names


def _visit(slot: Slot, packer: str, start: datetime, rules: ShiftRules) -> Visit:
    def at(seconds: int) -> datetime:
        return start + timedelta(seconds=seconds)

    job = slot.job
    inflate = seconds_up(rules.inflate)
    return Visit(
        connection_id=job.key,
        run_id=job.run,
        manhole=job.manhole,
        packer=packer,
        mix=at(slot.prepare),
        wet_out=at(slot.prepare + job.prepare),
        lower=at(slot.place),
        in_place=at(slot.place + job.place - inflate),
        at_pressure=at(slot.place + job.place),
        latest_pressure=at(slot.prepare + job.latest),
        release=at(slot.finish),
        earliest_release=at(slot.prepare + job.hold),
        out=at(slot.finish + job.pull),
        tested=at(slot.finish + job.finish),
    )
