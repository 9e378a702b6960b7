"""What is drawn of a programme: values for the templates, places in percent of the width."""

from dataclasses import dataclass
from datetime import date, datetime

from teewright.programme.check import Breach
from teewright.programme.values import Shift, Visit
from teewright.web.shift_scale import Scale


@dataclass(frozen=True, slots=True)
class Bar:
    """One visit, places in percent of the width.

    Attributes:
        visit: It.
        live: (place, width) from mixing to full pressure.
        hold: From full pressure to release.
        out: From release until tested.
        latest: Latest inflation.
        earliest: Earliest release.
        labels: Name for each size of page; empty where it finds no room.
        state: Key of a word on it: `fixed`, `begun`, `moved` or empty.
        broken: Whether it breaks a rule.
        spare: From planned pressure to the latest [s].
    """

    visit: Visit
    live: tuple[float, float]
    hold: tuple[float, float]
    out: tuple[float, float]
    latest: float
    earliest: float
    labels: tuple[str, ...]
    state: str
    broken: bool
    spare: float


@dataclass(frozen=True, slots=True)
class Lane:
    """One packer.

    Attributes:
        name: Of the packer; empty for a further row of the one above.
        top: Of its row [px].
        ground: (place, width) where a main may not be blocked.
        bars: Its visits.
    """

    name: str
    top: int
    ground: tuple[tuple[float, float], ...]
    bars: tuple[Bar, ...]


@dataclass(frozen=True, slots=True)
class Street:
    """One manhole.

    Attributes:
        node: It.
        top: Of its row [px].
        place: Where the line begins, percent.
        width: Of the line, percent.
        start: Of the set-up.
        end: Of the clearing.
        ground: (place, width) where the street may not be occupied.
    """

    node: str
    top: int
    place: float
    width: float
    start: datetime
    end: datetime
    ground: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Block:
    """One crew on one day.

    Attributes:
        crew: Name.
        day: Day of the start.
        shift: Its shift, or None where it has none.
        start: When a shift of that day starts.
        height: Of the drawing [px].
        hands: ((place, width), kind) of what the crew does itself: `set-up`, `place`, `finish`.
        lanes: Packers in use.
        streets: Manholes in use.
        told: Broken rules.
        joints: (place in percent, height [px]) of the bars that they speak of.
        now: Place of the present, or None where it is on another day.
    """

    crew: str
    day: date
    shift: Shift | None
    start: datetime
    height: int
    hands: tuple[tuple[tuple[float, float], str], ...]
    lanes: tuple[Lane, ...]
    streets: tuple[Street, ...]
    told: tuple[Breach, ...]
    joints: tuple[tuple[float, int], ...]
    now: float | None


@dataclass(frozen=True, slots=True)
class Drawn:
    """A whole programme.

    Attributes:
        scale: Of all bars.
        days: (day, its blocks, one for each crew) in order.
        loose: Broken rules that speak of no visit of the programme.
    """

    scale: Scale
    days: tuple[tuple[date, tuple[Block, ...]], ...]
    loose: tuple[Breach, ...]


@dataclass(frozen=True, slots=True)
class Row:
    """One visit in the table.

    Attributes:
        visit: It.
        shift: Its shift.
        day: In words.
        bar: As it is drawn.
    """

    visit: Visit
    shift: Shift
    day: str
    bar: Bar
