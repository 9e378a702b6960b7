"""One installation in whole seconds, as the optimiser works with it.

The crew's work on a collar is three tasks, each without a break: *prepare* (mix, wet out and
dress), *place* (lower, travel, position, inflate) and *finish* (release, travel, pull out,
test). Between prepare and place the collar may wait, as long as its working time allows; between
place and finish the packer holds it without the crew.
"""

import math
from dataclasses import dataclass, replace

from teewright.kit.values import ShiftRules
from teewright.programme.blocked import Blocking, blocking
from teewright.programme.values import Installation
from teewright.programme.windows import DAY, Stretch, stretches

TRAVEL_STEP = 120
"""Step to which the travel of an easiest job is rounded down [s]."""


@dataclass(frozen=True, slots=True)
class Job:
    """What the optimiser knows of one installation.

    Attributes:
        key: Connection.
        run: Run.
        manhole: Node from which the packer goes in.
        packers: Names of packers that fit, sorted.
        prepare: Mixing, wetting out and dressing [s].
        travel: Along the main, one way [s].
        place: From lowering to full pressure [s].
        pull: From release until the packer is out [s].
        finish: From release until tested [s].
        latest: From the start of mixing to full pressure, at most [s].
        hold: From the start of mixing to the earliest release [s].
        access: When the street may be occupied, [s] from the start of the shift.
        blocking: When the main may be blocked.
        inflate: The last part of `place`, in which the main is blocked already [s].
    """

    key: str
    run: str
    manhole: str
    packers: tuple[str, ...]
    prepare: int
    travel: int
    place: int
    pull: int
    finish: int
    latest: int
    hold: int
    access: tuple[Stretch, ...]
    blocking: tuple[Blocking, ...]
    inflate: int

    @property
    def way(self) -> int:
        """From lowering until the main is blocked [s]."""
        return self.place - self.inflate

    @property
    def kin(self) -> tuple[object, ...]:
        """What jobs share that differ only in their times."""
        return (self.run, self.manhole, self.packers, self.access, self.blocking)

    @property
    def times(self) -> tuple[int, int, int, int, int, int]:
        """Times, each the harder the larger (working time negated)."""
        return (self.prepare, self.place, self.pull, self.finish, self.hold, -self.latest)


def seconds_up(value: float) -> int:
    """Whole seconds that cover a duration [s]; a nanosecond is no second."""
    return math.ceil(value - 1e-9)


def up(seconds: int, grid: int) -> int:
    """Fewest steps of the grid that cover a duration."""
    return -(-seconds // grid)


def down(seconds: int, grid: int) -> int:
    """Most steps of the grid that a duration covers."""
    return seconds // grid


def job(installation: Installation, rules: ShiftRules) -> Job:
    """An installation in whole seconds, its windows laid over a shift.

    Args:
        installation: What is to be placed.
        rules: Durations and speeds; `travel_speed` > 0.

    Returns:
        The job; durations rounded up, the working time rounded down.
    """
    travel = seconds_up(installation.distance / rules.travel_speed)
    lower, position = seconds_up(rules.lower), seconds_up(rules.position)
    pull = seconds_up(rules.remove) + travel
    inflate = seconds_up(rules.inflate)
    place = lower + travel + position + inflate
    finish = pull + seconds_up(rules.test)
    latest = math.floor(installation.latest_inflation + 1e-9)
    hold = seconds_up(installation.release)
    return Job(
        key=installation.connection_id,
        run=installation.run_id,
        manhole=installation.manhole,
        packers=tuple(sorted(set(installation.packers))),
        prepare=seconds_up(rules.mix) + seconds_up(rules.wet_out),
        travel=travel,
        place=place,
        pull=pull,
        finish=finish,
        latest=latest,
        hold=hold,
        access=stretches(installation.access or ((0.0, DAY),), rules),
        blocking=blocking(
            installation,
            rules,
            shortest=max(inflate, hold - latest + inflate),
            after=finish + seconds_up(rules.clear),
        ),
        inflate=inflate,
    )


def dominates(hard: Job, easy: Job) -> bool:
    """Whether any shift that holds `hard` would hold `easy` in its place.

    Both must be kin.
    """
    return all(a >= b for a, b in zip(hard.times, easy.times, strict=True))


def easiest(jobs: tuple[Job, ...]) -> Job:
    """A job of the same kin, not harder in any time than any of these.

    Its travel is rounded down, so that runs alike but for their lengths put the same question.
    """
    easy = replace(
        jobs[0],
        prepare=min(j.prepare for j in jobs),
        travel=min(j.travel for j in jobs),
        place=min(j.place for j in jobs),
        pull=min(j.pull for j in jobs),
        finish=min(j.finish for j in jobs),
        latest=max(j.latest for j in jobs),
        hold=min(j.hold for j in jobs),
    )
    spared = easy.travel % TRAVEL_STEP
    return replace(
        easy,
        travel=easy.travel - spared,
        place=easy.place - spared,
        pull=easy.pull - spared,
        finish=easy.finish - spared,
    )
