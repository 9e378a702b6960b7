"""The hands of one crew: tasks in their order, each as early as wished and as late as must be.

A task waits for the one before it, for the way from another manhole, and for its own collar.
Tasks that are held stay where they are, and the others go round them.
"""

from collections import deque
from dataclasses import dataclass, field, replace

from teewright.kit.values import ShiftRules
from teewright.programme.durations import seconds_up
from teewright.programme.sequence import Sequence, Slot

PREPARE, PLACE, FINISH = 0, 1, 2


@dataclass(frozen=True, slots=True)
class Block:
    """One job as it is wished.

    Attributes:
        slot: When its tasks should begin.
        held: Whether they must begin then.
        together: Whether its batch is placed before what is held, or mixed after it.
    """

    slot: Slot
    held: bool
    together: bool = False


@dataclass(frozen=True, slots=True)
class _Task:
    """One task; set-up is a lead before it, clearing a tail behind it [s].

    What begins with it and must not be parted from it takes `whole` in all; the batch that it
    begins is wished to be placed at `placed`.
    """

    index: int
    kind: int
    wish: int
    size: int
    node: str
    held: bool
    lead: int = 0
    tail: int = 0
    whole: int = 0
    placed: int = 0


@dataclass(frozen=True, slots=True)
class _Stay:
    """When the hands are taken, from start to end, and where."""

    start: int
    end: int
    node: str


def timed(blocks: tuple[Block, ...], rules: ShiftRules, *, step: int) -> Sequence:
    """Times of all jobs of a shift.

    Args:
        blocks: The jobs; of two that are wished at the same time the first goes first.
        rules: Of the shifts.
        step: What is put off begins on a whole step of this [s].

    Returns:
        The jobs in order of mixing, each manhole set up straight before its first batch is
        mixed and cleared straight after its last test.
    """
    tasks = _tasks(blocks, rules)
    hands = _Hands(blocks, seconds_up(rules.move), step, [])
    for task in tasks:
        if task.held:
            hands.hold(task)
    for task in _ordered([t for t in tasks if not t.held]):
        hands.put(task)
    return _sequence(hands, rules)


def _tasks(blocks: tuple[Block, ...], rules: ShiftRules) -> list[_Task]:
    found = []
    for k, block in enumerate(blocks):
        slot, job = block.slot, block.slot.job
        for kind, wish, size in (
            (PREPARE, slot.prepare, job.prepare),
            (PLACE, slot.place, job.place),
            (FINISH, slot.finish, job.finish),
        ):
            batch = slot.place + job.place - slot.prepare
            whole = batch if kind == PREPARE and block.together else 0
            task = _Task(k, kind, wish, size, job.manhole, block.held)
            found.append(replace(task, whole=whole, placed=slot.place))
    found.sort(key=lambda t: (t.wish, t.index, t.kind))
    set_up, clear = seconds_up(rules.set_up), seconds_up(rules.clear)
    for node in {t.node for t in found}:
        first = next(i for i, t in enumerate(found) if t.node == node)
        last = max(i for i, t in enumerate(found) if t.node == node)
        found[first] = replace(found[first], lead=set_up)
        found[last] = replace(found[last], tail=clear)
    return sorted(found, key=lambda t: (t.wish - t.lead, t.index, t.kind))


def _ordered(tasks: list[_Task]) -> list[_Task]:
    """Batch by batch: what would begin elsewhere while a batch lives comes after it is placed."""
    waiting = deque(tasks)
    found: list[_Task] = []
    live: _Task | None = None
    while waiting:
        able = (t for t in waiting if live is None or _may_pass(t, live))
        task = next(able)
        waiting.remove(task)
        found.append(task)
        if task.kind == PREPARE:
            live = task
        elif task.kind == PLACE:
            live = None
    return found


def _may_pass(task: _Task, live: _Task) -> bool:
    """Whether a task may begin while a batch lives: one at its manhole that was meant to."""
    if task.index == live.index:
        return task.kind == PLACE
    between = task.wish + task.size <= live.placed
    return task.kind == FINISH and task.node == live.node and between


@dataclass(slots=True)
class _Hands:
    """What is put so far."""

    blocks: tuple[Block, ...]
    way: int
    step: int
    fixed: list[_Stay]
    last: _Stay | None = None
    starts: dict[tuple[int, int], int] = field(default_factory=dict)

    def hold(self, task: _Task) -> None:
        """Put a task where it must be."""
        self._note(task, task.wish)
        self.fixed.append(
            _Stay(task.wish - task.lead, task.wish + task.size + task.tail, task.node)
        )
        self.fixed.sort(key=lambda stay: stay.start)

    def put(self, task: _Task) -> None:
        """Put a task behind the last one."""
        at = max(task.wish, self._ready(task))
        if self.last is not None:
            at = max(at, self.last.end + self._between(self.last, task) + task.lead)
        at = self._round(at, task.wish)
        for stay in self.fixed:
            end = at + max(task.size + task.tail, task.whole)
            before = end + self._between(stay, task) <= stay.start
            after = stay.end + self._between(stay, task) + task.lead
            if not before and at < after:
                at = self._round(after, task.wish)
        self._note(task, at)
        self.last = _Stay(at - task.lead, at + task.size + task.tail, task.node)

    def start(self, index: int, kind: int) -> int:
        """When a task begins."""
        return self.starts[index, kind]

    def _ready(self, task: _Task) -> int:
        """When its own collar lets it begin."""
        job = self.blocks[task.index].slot.job
        if task.kind == PREPARE:
            return task.wish
        mixed = self.start(task.index, PREPARE)
        if task.kind == PLACE:
            return mixed + job.prepare
        return max(self.start(task.index, PLACE) + job.place, mixed + job.hold)

    def _between(self, stay: _Stay, task: _Task) -> int:
        return 0 if stay.node == task.node else self.way

    def _round(self, at: int, wish: int) -> int:
        """What is put off begins on a whole step."""
        return at if at == wish else -(-at // self.step) * self.step

    def _note(self, task: _Task, at: int) -> None:
        self.starts[task.index, task.kind] = at


def _sequence(hands: _Hands, rules: ShiftRules) -> Sequence:
    set_up, clear = seconds_up(rules.set_up), seconds_up(rules.clear)
    slots = [
        replace(
            block.slot,
            prepare=hands.start(k, PREPARE),
            place=hands.start(k, PLACE),
            finish=hands.start(k, FINISH),
        )
        for k, block in enumerate(hands.blocks)
    ]
    manholes = []
    for node in dict.fromkeys(s.job.manhole for s in slots):
        here = [s for s in slots if s.job.manhole == node]
        begin = min(s.prepare for s in here) - set_up
        manholes.append((node, begin, max(s.finish + s.job.finish for s in here) + clear))
    return Sequence(
        tuple(sorted(slots, key=lambda s: s.prepare)), tuple(sorted(manholes, key=lambda m: m[1]))
    )
