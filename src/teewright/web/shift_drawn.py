"""Time bars of a programme, block by block, as a template sets them."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from teewright.job.planning import Planning
from teewright.programme.check import Breach
from teewright.programme.values import Installation, Programme, Shift, Visit
from teewright.programme.windows import joined
from teewright.programme.workdays import workdays
from teewright.report import words
from teewright.report.index import short
from teewright.web.shift_blocks import Bar, Block, Drawn, Lane, Row, Street
from teewright.web.shift_scale import (
    Scale,
    Span,
    no_flow_stop,
    no_street,
    scale_of,
    since,
)

HANDS, LANE, STREET = 34, 62, 30
"""Height of a row [px]."""
SIZES = (976.0, 808.0, 540.0)
"""Least width of the drawing in the three sizes of a page: from 1200, 1000 and 700 px on [px]."""
LETTER = 7.6
"""Widest mean of a letter at 13 px [px]."""
MOST_DAYS = 400
"""Most days that are drawn, from the first shift on."""


@dataclass(frozen=True, slots=True)
class Look:
    """What is shown besides the programme.

    Attributes:
        fixed: Connections whose visits stay.
        begun: Connections at which work has begun or is done.
        moved: Connections that were moved and not kept yet.
        breaches: Rules that are broken.
        now: Local time.
    """

    fixed: frozenset[str]
    begun: frozenset[str]
    moved: frozenset[str]
    breaches: tuple[Breach, ...]
    now: datetime


def drawn(programme: Programme, planning: Planning, look: Look) -> Drawn:
    """Lay a programme out.

    Args:
        programme: The programme.
        planning: What was to be planned.
        look: What is shown besides.
    """
    scale = scale_of(programme.shifts, planning.rules)
    asked = {i.connection_id: i for i in planning.installations}
    maker = _Maker(scale, asked, look)
    shifts = {(s.day, s.crew): s for s in programme.shifts}
    days = tuple(
        (
            day,
            tuple(
                maker.block(crew, day, shifts.get((day, crew)))
                for crew in _crews(programme, planning, day)
            ),
        )
        for day in _days(programme, planning)
    )
    planned = {v.connection_id for s in programme.shifts for v in s.visits}
    loose = tuple(b for b in look.breaches if not set(b.about) & planned)
    return Drawn(scale, days, loose)


def _days(programme: Programme, planning: Planning) -> tuple[date, ...]:
    """Days of work from the first shift to the day after the last."""
    used = {s.day for s in programme.shifts} or {planning.first_day}
    first, last = min(used), min(max(used), min(used) + timedelta(days=MOST_DAYS))
    between = workdays(first, planning.days, last=last, least=0)
    after = workdays(last + timedelta(days=1), planning.days, last=None, least=1)
    return tuple(sorted({*used, *between, *after}))


def _crews(programme: Programme, planning: Planning, day: date) -> list[str]:
    known = [crew.name for crew in planning.crews]
    strange = [s.crew for s in programme.shifts if s.day == day and s.crew not in known]
    return [*known, *strange]


@dataclass(frozen=True, slots=True)
class _Maker:
    scale: Scale
    asked: dict[str, Installation]
    look: Look

    def block(self, crew: str, day: date, one: Shift | None) -> Block:
        start = datetime.combine(day, datetime.min.time()) + timedelta(seconds=self.scale.start)
        if one is None:
            return Block(crew, day, None, start, HANDS, (), (), (), (), (), self._now(start))
        lanes = self._lanes(one)
        below = HANDS + LANE * len(lanes)
        streets = tuple(self._street(one, k, below + STREET * k) for k in range(len(one.manholes)))
        height = below + STREET * len(streets)
        told = self._told(one)
        return Block(
            crew=crew,
            day=day,
            shift=one,
            start=start,
            height=height,
            hands=self._hands(one),
            lanes=lanes,
            streets=streets,
            told=told,
            joints=_joints(told, lanes),
            now=self._now(start),
        )

    def _now(self, start: datetime) -> float | None:
        seconds = (self.look.now - start).total_seconds()
        inside = self.scale.low <= seconds < self.scale.high
        return self.scale.share(seconds) if inside else None

    def _hands(self, one: Shift) -> tuple[tuple[tuple[float, float], str], ...]:
        spans: list[tuple[Span, str]] = []
        for node, begin, end in one.manholes:
            here = [v for v in one.visits if v.manhole == node]
            if here:
                spans.append(((since(one, begin), since(one, here[0].mix)), "set-up"))
                last = max(v.tested for v in here)
                spans.append(((since(one, last), since(one, end)), "set-up"))
        for v in one.visits:
            spans.append(((since(one, v.mix), since(one, v.wet_out)), "place"))
            spans.append(((since(one, v.lower), since(one, v.at_pressure)), "place"))
            spans.append(((since(one, v.release), since(one, v.tested)), "finish"))
        return tuple((self.scale.part(span), kind) for span, kind in spans)

    def _lanes(self, one: Shift) -> tuple[Lane, ...]:
        names = sorted(dict.fromkeys(v.packer for v in one.visits))
        found = [(name, own) for name in names for own in _apart(one, name)]
        return tuple(
            Lane(
                name if k == 0 or found[k - 1][0] != name else "",
                HANDS + LANE * k,
                self._ground(one, own),
                tuple(self._bar(one, v) for v in own),
            )
            for k, (name, own) in enumerate(found)
        )

    def _ground(self, one: Shift, own: list[Visit]) -> tuple[tuple[float, float], ...]:
        """Where the main of the nearest visit may not be blocked."""
        found: list[Span] = []
        for k, visit in enumerate(own):
            asked = self.asked.get(visit.connection_id)
            if asked is None:
                continue
            left = self.scale.low if k == 0 else since(one, own[k - 1].tested)
            right = self.scale.high if k + 1 == len(own) else since(one, own[k + 1].mix)
            for a, b in no_flow_stop(asked, self.scale):
                if max(a, left) < min(b, right):
                    found.append((max(a, left), min(b, right)))
        return tuple(self.scale.part(span) for span in joined(found))

    def _bar(self, one: Shift, v: Visit) -> Bar:
        scale = self.scale
        hold = scale.part((since(one, v.at_pressure), since(one, v.release)))
        breaks = any(v.connection_id in b.about for b in self.look.breaches)
        return Bar(
            visit=v,
            live=scale.part((since(one, v.mix), since(one, v.at_pressure))),
            hold=hold,
            out=scale.part((since(one, v.release), since(one, v.tested))),
            latest=scale.share(since(one, v.latest_pressure)),
            earliest=scale.share(since(one, v.earliest_release)),
            labels=_labels(v.connection_id, hold[1] / 100.0),
            state=self._state(v.connection_id),
            broken=breaks,
            spare=(v.latest_pressure - v.at_pressure).total_seconds(),
        )

    def _state(self, key: str) -> str:
        if key in self.look.begun:
            return "begun"
        if key in self.look.moved:
            return "moved"
        return "fixed" if key in self.look.fixed else ""

    def _street(self, one: Shift, k: int, top: int) -> Street:
        node, begin, end = one.manholes[k]
        place, width = self.scale.part((since(one, begin), since(one, end)))
        asked = (self.asked.get(v.connection_id) for v in one.visits if v.manhole == node)
        closed = joined(span for i in asked if i for span in no_street(i, self.scale))
        ground = tuple(self.scale.part(span) for span in closed)
        return Street(node, top, place, width, begin, end, ground)

    def _told(self, one: Shift) -> tuple[Breach, ...]:
        """Rules of which the first visit that they speak of is in this shift."""
        mine = {v.connection_id for v in one.visits}
        return tuple(b for b in self.look.breaches if b.about and b.about[0] in mine)


def _apart(one: Shift, packer: str) -> list[list[Visit]]:
    """Visits of a packer in as many rows as it takes for none to lie on another."""
    found: list[list[Visit]] = []
    for visit in (v for v in one.visits if v.packer == packer):
        free = next((row for row in found if row[-1].tested <= visit.mix), None)
        if free is None:
            found.append([visit])
        else:
            free.append(visit)
    return found


def _joints(told: tuple[Breach, ...], lanes: tuple[Lane, ...]) -> tuple[tuple[float, int], ...]:
    """Bars to which findings are joined; one about a whole shift is joined to none."""
    named = {key for b in told if len(set(b.about)) <= 2 for key in b.about}
    return tuple(
        (bar.hold[0], lane.top + 40)
        for lane in lanes
        for bar in lane.bars
        if bar.visit.connection_id in named
    )


def _labels(name: str, share: float) -> tuple[str, ...]:
    """A name in a hold that takes a share of the width, for each size of page."""
    return tuple(_fitting(name, share * wide - 12.0) for wide in SIZES)


def _fitting(name: str, room: float) -> str:
    """The name, its last part, or nothing, as there is room."""
    for text in (name, short(name)):
        if len(text) * LETTER <= room:
            return text
    return ""


def rows(found: Drawn) -> tuple[Row, ...]:
    """All visits in order of their shifts."""
    blocks = (block for _, blocks in found.days for block in blocks)
    return tuple(row for block in blocks for row in _rows(block))


def _rows(block: Block) -> Iterable[Row]:
    if block.shift is None:
        return
    bars = [bar for lane in block.lanes for bar in lane.bars]
    for bar in sorted(bars, key=lambda b: b.visit.mix):
        yield Row(bar.visit, block.shift, words.day(block.day), bar)
