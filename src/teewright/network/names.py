"""Names of connections that outlive a survey that is read anew.

Numbers follow the chainage while nothing was made. Once collars are designed, labels, papers and
the log of the site call the connections by their names, so each keeps its own whatever is found
or taken out beside it later, and no number is given twice.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from teewright.network.corrections import Mark, mark_of
from teewright.network.values import Sighting, Survey
from teewright.network.view import clock_distance

SAME_LINE = 0.05
"""A sighting at the line of a mark is the one meant where it moved by no more than this [m]."""
SAME_PLACE = 0.3
"""Where the lines moved: the nearest in the run within this distance [m] ..."""
SAME_CLOCK = 0.5
"""... and within this of its clock [h]."""
_ROUNDING = 1e-6


@dataclass(frozen=True, slots=True)
class Named:
    """A connection as it was named.

    Attributes:
        id: Its name.
        seen: Its sightings.
    """

    id: str
    seen: tuple[Mark, ...]

    @property
    def run_id(self) -> str:
        """Run of which it is one."""
        return self.id.rpartition("/")[0]

    @property
    def number(self) -> int:
        """In the run."""
        return int(self.id.rpartition("/")[2])


def names_of(before: Sequence[Named], *surveys: Survey) -> tuple[Named, ...]:
    """Names given so far, those among them that stand for nothing any more.

    Args:
        before: Names as they were kept.
        surveys: As reconciled, then as corrected: what was split off has a name there alone.
    """
    found = {one.id: one for one in before}
    given: set[str] = set()
    for survey in surveys:
        for c in survey.connections:
            if c.id not in given:
                found[c.id] = Named(c.id, tuple(mark_of(s, c.run_id) for s in c.sightings))
                given.add(c.id)
    return tuple(found.values())


def numbered(
    seen: Sequence[Sequence[Sighting]], run_id: str, named: Sequence[Named]
) -> tuple[int, ...]:
    """Number of each connection of a run.

    Args:
        seen: Sightings of each, in order of chainage.
        run_id: The run.
        named: Names given so far, of any run.

    Returns:
        The number by which it was known; else the next that was never given, from 1.
    """
    known = [one for one in named if one.run_id == run_id]
    again = _known_again([[mark_of(s, run_id) for s in one] for one in seen], known)
    last = max((one.number for one in known), default=0)
    numbers = []
    for place in range(len(seen)):
        if place not in again:
            last += 1
        numbers.append(again[place].number if place in again else last)
    return tuple(numbers)


def name_of(sighting: Sighting, run_id: str, named: Sequence[Named]) -> str:
    """The name under which a sighting alone was known, or an empty text."""
    mark = mark_of(sighting, run_id)
    alone = [n for n in named if n.run_id == run_id and len(n.seen) == 1]
    for alike in (is_meant, is_near):
        found = [one for one in alone if alike(mark, one.seen[0])]
        if found:
            return min(found, key=lambda one: apart(mark, one.seen[0])).id
    return ""


def is_meant(seen: Mark, mark: Mark) -> bool:
    """Whether a sighting is the one of a mark, by its line."""
    same_line = (seen.file, seen.line) == (mark.file, mark.line)
    return same_line and apart(seen, mark) <= SAME_LINE + _ROUNDING


def is_near(seen: Mark, mark: Mark) -> bool:
    """Whether a sighting may be the one of a mark, by its place in the run."""
    near = apart(seen, mark) <= SAME_PLACE + _ROUNDING
    return seen.run == mark.run and near and _same_clock(seen.clock, mark.clock)


def apart(seen: Mark, mark: Mark) -> float:
    """How far a sighting stands from where a mark saw one [m].

    In its own file a sighting has its station, whatever length the run is taken to have; from
    file to file only the place in the run can be compared.
    """
    own = seen.file == mark.file
    if own and mark.station is not None and seen.station is not None:
        return abs(seen.station - mark.station)
    return abs(seen.chainage - mark.chainage)


def _same_clock(a: float | None, b: float | None) -> bool:
    if a is None or b is None:
        return a is b
    return clock_distance(a, b) <= SAME_CLOCK + _ROUNDING


def _known_again(seen: Sequence[Sequence[Mark]], known: Sequence[Named]) -> dict[int, Named]:
    """Which of the connections has which name: by their lines first, then by their places."""
    found = _paired(_by_line(seen, known))
    places = [k for k in range(len(seen)) if k not in found]
    free = [k for k in range(len(known)) if k not in found.values()]
    found |= _paired(_by_place(seen, known, places, free))
    return {place: known[number] for place, number in found.items()}


def _paired(pairs: Iterable[tuple[float, int, int]]) -> dict[int, int]:
    """Each of two sides at most once, the closest pairs first."""
    found: dict[int, int] = {}
    taken: set[int] = set()
    for _, place, number in sorted(pairs):
        if place not in found and number not in taken:
            found[place] = number
            taken.add(number)
    return found


def _by_line(
    seen: Sequence[Sequence[Mark]], known: Sequence[Named]
) -> Iterator[tuple[float, int, int]]:
    """(closeness, place, number): the more sightings two have in common, the closer."""
    at: dict[tuple[str, int | None], list[tuple[int, Mark]]] = {}
    for number, one in enumerate(known):
        for mark in one.seen:
            at.setdefault((mark.file, mark.line), []).append((number, mark))
    for place, marks in enumerate(seen):
        near = ((m, at.get((m.file, m.line), ())) for m in marks)
        shared = Counter(number for m, had in near for number, mark in had if is_meant(m, mark))
        yield from ((-float(count), place, number) for number, count in shared.items())


def _by_place(
    seen: Sequence[Sequence[Mark]],
    known: Sequence[Named],
    places: Sequence[int],
    free: Sequence[int],
) -> Iterator[tuple[float, int, int]]:
    """(closeness, place, number) by the distance of what is left."""
    for place in places:
        for number in free:
            near = [apart(m, o) for m in seen[place] for o in known[number].seen if is_near(m, o)]
            if near:
                yield min(near), place, number
