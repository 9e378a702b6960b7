"""Whether a set of jobs goes into one shift: asked once each, and kept."""

from dataclasses import dataclass, field

from teewright.errors import InfeasibleError
from teewright.kit.values import ShiftRules
from teewright.programme.durations import Job
from teewright.programme.sequence import Answer, Sequence, Slot, Van, possible
from teewright.programme.solving import Budget

ALONE = 60.0
"""Effort for a shift with a single job, which surely has an order [s]."""

Question = tuple[tuple[object, ...], ...]


@dataclass(slots=True)
class Oracle:
    """Answers, kept by all that distinguishes jobs but their names.

    Attributes:
        rules: Of the shifts.
        grid: Starts are multiples of it [s].
        budget: Is charged.
        limit: Most of it for one question [s].
    """

    rules: ShiftRules
    grid: int
    budget: Budget
    limit: float
    _known: dict[tuple[Van, Question], tuple[tuple[Job, ...], Answer]] = field(default_factory=dict)

    def ask(self, jobs: tuple[Job, ...], van: Van) -> Answer:
        """Whether the jobs go into one shift of the van.

        Args:
            jobs: In any order; the order decides nothing.
            van: Packers of the crew.

        Returns:
            A sequence of these very jobs, or None and whether that is proved.
        """
        if not jobs:
            return Answer(Sequence((), ()), proved=True)
        ordered, question = _canonical(jobs)
        if (van, question) not in self._known:
            answer = possible(
                ordered, van, self.rules, grid=self.grid, budget=self.budget, limit=self.limit
            )
            self._known[van, question] = (ordered, answer)
        return _retold(*self._known[van, question], ordered)

    def alone(self, job: Job, van: Van) -> Sequence:
        """The sequence of a job that has a shift to itself; found whatever the budget."""
        found = self.ask((job,), van).sequence
        if found is None:
            whole = Budget(ALONE)
            answer = possible((job,), van, self.rules, grid=self.grid, budget=whole, limit=ALONE)
            found = answer.sequence
        if found is None:
            raise InfeasibleError(f"{job.key} was found to fit a shift alone, but has no order")
        return found


def _canonical(jobs: tuple[Job, ...]) -> tuple[tuple[Job, ...], Question]:
    """Jobs in an order, and with places numbered, that do not depend on any names."""
    places: dict[str, list[Job]] = {}
    for job in jobs:
        places.setdefault(job.manhole, []).append(job)
    for members in places.values():
        _sort_by_run(members)
    in_order = sorted(places.values(), key=lambda members: [_nameless(j) for j in members])
    ordered = tuple(job for members in in_order for job in members)
    nodes = {n: k for k, n in enumerate(dict.fromkeys(j.manhole for j in ordered))}
    runs_seen = {r: k for k, r in enumerate(dict.fromkeys(j.run for j in ordered))}
    return ordered, tuple((nodes[j.manhole], runs_seen[j.run], *_nameless(j)) for j in ordered)


def _sort_by_run(members: list[Job]) -> None:
    """Keep the jobs of a run together, runs in an order that does not depend on their names."""
    runs: dict[str, list[tuple[object, ...]]] = {}
    for job in members:
        runs.setdefault(job.run, []).append(_nameless(job))

    def rank(job: Job) -> tuple[object, ...]:
        return (sorted(runs[job.run]), job.run, _nameless(job))

    members.sort(key=rank)


def _nameless(job: Job) -> tuple[object, ...]:
    """All of a job but its name and places."""
    return (job.times, job.travel, job.packers, job.access, job.blocking)


def _retold(known: tuple[Job, ...], answer: Answer, jobs: tuple[Job, ...]) -> Answer:
    """The answer to the same question about other jobs, told of these, place by place."""
    if answer.sequence is None or known == jobs:
        return answer
    nodes = {old.manhole: new.manhole for old, new in zip(known, jobs, strict=True)}
    left = list(zip(known, jobs, strict=True))
    slots = []
    for slot in answer.sequence.slots:
        pair = next(p for p in left if p[0] == slot.job)
        left.remove(pair)
        slots.append(Slot(pair[1], slot.packer, slot.prepare, slot.place, slot.finish))
    manholes = tuple((nodes[n], start, end) for n, start, end in answer.sequence.manholes)
    return Answer(Sequence(tuple(slots), manholes), answer.proved)
