"""Every connection with what it needs, in one list or, of a town, in sheets."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any
from urllib.parse import urlencode

from teewright.assess.values import Assessment, Need, Verdict
from teewright.bench.inputs import Loaded
from teewright.network.values import Connection
from teewright.web.kept import kept
from teewright.web.pages.survey import connection_address
from teewright.web.pages.survey_items import SEALED
from teewright.web.quantities import System, quantity
from teewright.web.survey_words import (
    KEYS,
    clock_words,
    entry_words,
    need_word,
    reason_words,
    seen_words,
)
from teewright.web.wording import in_units

WHOLE = 2_000
"""Connections that a browser is sent at once, to sort and filter them itself."""
ROOM = 200
"""Connections on one sheet of a longer list."""
NUMBERS = ("order", "need", "entry", "chainage", "clock", "size")
WORDS = ("reason", "seen")
GREATEST_FIRST = ("entry",)
"""Columns that are asked for the greatest first."""
_CODED = {"dry": 0.0, "sweating": 1.0, "dripping": 2.0, "flowing": 3.0, "gushing": 4.0}
"""Order of the coded classes among those whose flow is not known."""
_LONGEST = 10  # digits of a number that is worth reading
_DIGITS = re.compile(r"(\d+)")


@dataclass(frozen=True, slots=True)
class Row:
    """One connection of the list, with what each column is sorted by.

    Attributes:
        id: Its id.
        address: On the page of its run.
        run: Its run.
        order: In the order of the survey, from 0.
        rank: 1 for the greatest entry.
        need: Letter of its need.
        word: Its need as it is said.
        by_hand: Whether that was decided by hand.
        reason: Why, one sentence.
        seen: Defects in a few words.
        chainage: As it is shown.
        clock: As it is shown.
        size: Of the branch, as it is shown.
        entry: As it is shown.
        sorts: (column, number) of what is sorted by number.
        collar: Address of its collar, or `""`.
    """

    id: str
    address: str
    run: str
    order: int
    rank: int
    need: str
    word: str
    by_hand: bool
    reason: str
    seen: str
    chainage: str
    clock: str
    size: str
    entry: str
    sorts: tuple[tuple[str, str], ...]
    collar: str


@dataclass(frozen=True, slots=True)
class Asked:
    """How the list is asked for.

    Attributes:
        sort: Column; any other word is that of the survey's order.
        down: Whether the greatest is first.
        need: Letter of the need that is shown, or `""` for all.
        words: All of which a row holds.
        at: Id of the connection that is chosen, or `""`.
        sheet: Which sheet, from 1; 0 for the one with the chosen connection.
    """

    sort: str = "order"
    down: bool = False
    need: str = ""
    words: str = ""
    at: str = ""
    sheet: int = 0

    def address(self, **other: str | int | bool) -> str:
        """Of the list with something asked otherwise; its first sheet unless a sheet is named."""
        now = {"sort": self.sort, "down": self.down, "need": self.need, "words": self.words}
        now |= other
        if now["sort"] == "order":
            del now["sort"]
        asked = {name: "1" if value is True else value for name, value in now.items() if value}
        return f"/needs?{urlencode(asked)}" if asked else "/needs"

    def sorted_by(self, column: str) -> str:
        """Address of the list by a column: the other way round where it is by that already."""
        down = not self.down if column == self.sort else column in GREATEST_FIRST
        return self.address(sort=column, down=down)


@dataclass(frozen=True, slots=True)
class NeedSheet:
    """What is shown of the list.

    Attributes:
        rows: Those shown.
        all: Connections of the survey.
        found: Those that fit what is asked.
        asked: What is asked, the sheet among it.
        whole: Whether all are sent, and the browser sorts and filters.
    """

    rows: tuple[Row, ...]
    all: int
    found: int
    asked: Asked
    whole: bool

    @property
    def sheets(self) -> int:
        """How many there are, at least one."""
        return 1 if self.whole else max(1, -(-self.found // ROOM))

    @property
    def first(self) -> int:
        """Number of the first row, from 1."""
        return (self.asked.sheet - 1) * ROOM + 1

    @property
    def last(self) -> int:
        """Number of the last row."""
        return self.first + len(self.rows) - 1


def asked_of(query: Mapping[str, str]) -> Asked:
    """What an address asks for; what it cannot be is not asked."""
    sheet = query.get("sheet", "")
    return Asked(
        sort=query.get("sort", "order"),
        down=query.get("down", "") == "1",
        need=query.get("need", ""),
        words=query.get("words", ""),
        at=query.get("at", ""),
        sheet=int(sheet) if sheet.isdecimal() and len(sheet) < _LONGEST else 0,
    )


@kept(2)
def rows(
    loaded: Loaded, assessment: Assessment, system: System, given: frozenset[str]
) -> tuple[Row, ...]:
    """All connections in the order of the survey.

    Args:
        loaded: The survey.
        assessment: Needs.
        system: Units of the reader.
        given: Words of the user that no change of units may touch.
    """
    make = _maker(loaded, assessment, system, given)
    return tuple(make(k, c) for k, c in enumerate(loaded.survey.connections))


def row_of(
    loaded: Loaded, assessment: Assessment, system: System, given: frozenset[str], name: str
) -> Row:
    """One connection of the list; see `rows`."""
    make = _maker(loaded, assessment, system, given)
    found = enumerate(loaded.survey.connections)
    return next(make(k, c) for k, c in found if c.id == name)


def sheet_of(every: tuple[Row, ...], asked: Asked) -> NeedSheet:
    """What is shown of the list: all of it, or a sheet of what fits.

    Args:
        every: All rows.
        asked: How they are asked for; a sheet that there is not becomes the nearest.
    """
    if len(every) <= WHOLE:
        return NeedSheet(every, len(every), len(every), asked, whole=True)
    column = asked.sort if asked.sort in NUMBERS + WORDS else "order"
    fitting = [row for row in every if _fits(row, asked)]
    fitting.sort(key=_key(column), reverse=asked.down)  # equal ones stay in the survey's order
    last = max(1, -(-len(fitting) // ROOM))
    wanted = asked.sheet
    if not wanted and asked.at:
        wanted = next((k for k, row in enumerate(fitting) if row.id == asked.at), 0) // ROOM + 1
    at = min(max(wanted, 1), last)
    shown = tuple(fitting[(at - 1) * ROOM : at * ROOM])
    now = Asked(column, asked.down, asked.need, asked.words.strip(), asked.at, at)
    return NeedSheet(shown, len(every), len(fitting), now, whole=False)


def _fits(row: Row, asked: Asked) -> bool:
    if asked.need and row.need != asked.need:
        return False
    parts = asked.words.lower().split()
    if not parts:
        return True
    told = (row.id, row.word, row.reason, row.seen, row.entry, row.chainage, row.clock, row.size)
    said = "\n".join(told).lower()
    return all(part in said for part in parts)


def _key(column: str) -> Callable[[Row], Any]:
    if column in NUMBERS:
        at = NUMBERS.index(column)
        return lambda row: float(row.sorts[at][1])
    return lambda row: _natural(getattr(row, column))


@lru_cache(maxsize=4096)
def _natural(words: str) -> tuple[tuple[str, int], ...]:
    """What words are sorted by: numbers in them by their size, letters whatever their case."""
    parts = _DIGITS.split(words.casefold())
    return tuple((part, 0) if k % 2 == 0 else ("", int(part)) for k, part in enumerate(parts))


def _maker(
    loaded: Loaded, assessment: Assessment, system: System, given: frozenset[str]
) -> Callable[[int, Connection], Row]:
    decided = {connection_id for connection_id, _ in loaded.decisions}
    verdicts = {v.connection_id: v for v in assessment.verdicts}

    def made(k: int, c: Connection) -> Row:
        verdict = verdicts[c.id]
        reason = in_units(reason_words(verdict), system, given)
        return _row(k, c, verdict, system, reason, by_hand=c.id in decided)

    return made


def _row(k: int, c: Connection, v: Verdict, system: System, reason: str, *, by_hand: bool) -> Row:
    coded = _CODED.get(v.entry.coded.value, -1.0)
    flow = v.entry.flow if v.entry.flow is not None else -1.0 + coded * 1e-3
    missing = 99.0
    return Row(
        id=c.id,
        address=connection_address(c.id),
        run=c.run_id,
        order=k,
        rank=v.rank,
        need=KEYS[v.need],
        word=need_word(v.need),
        by_hand=by_hand,
        reason=reason,
        seen=seen_words(c),
        chainage=quantity(c.chainage, "m", system, digits=2 if system is System.METRIC else 1),
        clock=clock_words(c.clock),
        size=quantity(c.diameter, "mm", system, digits=None if system is System.US else 0),
        entry=entry_words(v.entry, system),
        sorts=(
            ("order", str(k)),
            ("need", str(list(Need).index(v.need))),
            ("entry", repr(flow)),
            ("chainage", repr(c.chainage)),
            ("clock", repr(c.clock if c.clock is not None else missing)),
            ("size", repr(c.diameter if c.diameter is not None else missing)),
        ),
        collar=f"/collars/{c.id}" if v.need in SEALED else "",
    )
