"""Families: the fewest distinct patterns that serve all connections, and what each saves.

Choosing patterns is the set covering problem; choosing them for the greatest least margin at a
given number is its bottleneck form, solved here as a row of coverings, one for each margin that
occurs (the threshold method of Hochbaum and Shmoys, J. ACM 33, 1986, cited from memory, with an
exact covering in place of their approximate one).
"""

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from teewright.errors import CannotBeMadeError, InputError, RangeError

LARGEST_MARGIN = 1.0
"""Margin of a pattern for the very connection for which it was drawn [-]."""
EFFORT = 20.0
"""Deterministic time that one question may cost, about as many seconds on one core [s]."""

_GRAIN = 1_000_000
_SLACK = 1e-9
_LEAST_EFFORT = 1e-3


@dataclass(frozen=True, slots=True)
class Margins:
    """How well each candidate pattern serves each connection.

    Attributes:
        patterns: Names of the candidates, each once.
        connections: Names of the connections, each once.
        table: Of each pattern a row with the margin at each connection: the share of the
            tolerance envelope that is left, at most 1, which is an exact fit; above 0 serves,
            -inf cannot be placed at all [-].
    """

    patterns: tuple[str, ...]
    connections: tuple[str, ...]
    table: tuple[tuple[float, ...], ...]

    def at(self, pattern: str, connection: str) -> float:
        """Margin of one pattern at one connection [-]."""
        row = self.table[self.patterns.index(pattern)]
        return row[self.connections.index(connection)]


@dataclass(frozen=True, slots=True)
class Family:
    """Patterns that together serve all connections.

    Attributes:
        patterns: Names, rising.
        assignment: (connection, pattern) for each connection, in the order of the margins.
        margin: Least margin of a connection with its pattern [-].
        mean: Mean of these margins [-].
        bound: Number of patterns that every family has at the least, which is proved.
        margin_bound: Least margin that no family of so many patterns exceeds, which is proved [-].
        proved: Whether the least margin is as great as so many patterns allow and, of the
            smallest family, whether fewer patterns cannot serve all. The mean is the best found.
    """

    patterns: tuple[str, ...]
    assignment: tuple[tuple[str, str], ...]
    margin: float
    mean: float
    bound: int
    margin_bound: float
    proved: bool


def unserved(margins: Margins, *, least_margin: float = 0.0) -> tuple[str, ...]:
    """Connections that no candidate pattern serves.

    Args:
        margins: Of candidates and connections.
        least_margin: Margin that a pattern must leave, besides being above 0 [-].

    Returns:
        Names in the order of the margins.

    Raises:
        InputError: The margins are not a table of their names.
        RangeError: A margin is no number or above 1.
    """
    _check(margins)
    best = zip(margins.connections, zip(*margins.table, strict=True), strict=True)
    return tuple(name for name, own in best if not _serves(max(own), least_margin))


def fewest_patterns(
    margins: Margins, *, least_margin: float = 0.0, effort: float = EFFORT
) -> Family:
    """The fewest patterns that serve all, and of these families the one with most to spare.

    Args:
        margins: Of candidates and connections.
        least_margin: Margin that a pattern must leave, besides being above 0 [-].
        effort: Deterministic time that it may cost [s].

    Returns:
        Fewest patterns first, then the greatest least margin, then the greatest mean.

    Raises:
        CannotBeMadeError: Connections that no pattern serves, each named with its best margin.
        InputError: The margins are not a table of their names.
        RangeError: A margin is no number or above 1.
    """
    search = _search(margins, least_margin, effort)
    return search.family(search.smallest)


def trade_off(
    margins: Margins,
    *,
    least_margin: float = 0.0,
    most: int | None = None,
    effort: float = EFFORT,
) -> tuple[Family, ...]:
    """The best family for each number of patterns, from the fewest to one for each shape.

    Args:
        margins: Of candidates and connections.
        least_margin: Margin that a pattern must leave, besides being above 0 [-].
        most: Largest number of patterns of interest, None for one for each shape.
        effort: Deterministic time that all of it may cost [s].

    Returns:
        Families of rising size and never falling least margin, the last of them with its best
        pattern at every connection. A number that brings nothing over a smaller one is left out.

    Raises:
        CannotBeMadeError: Connections that no pattern serves, each named with its best margin.
        InputError: The margins are not a table of their names.
        RangeError: A margin is no number or above 1.
    """
    search = _search(margins, least_margin, effort)
    last = search.most if most is None else min(most, search.most)
    counts = range(search.smallest + 1, last + 1)
    for count in counts:  # the least margins first: the means may use up the rest of the effort
        search.reach(count)
    families = [search.family(search.smallest)]
    for count in counts:
        family = search.family(count)
        if (family.margin, family.mean) > (families[-1].margin, families[-1].mean + _SLACK):
            families.append(family)
    return tuple(families)


def _serves(margin: float, least: float) -> bool:
    return margin > 0.0 and margin >= least


def _check(margins: Margins) -> None:
    for field, names in (("pattern", margins.patterns), ("connection", margins.connections)):
        if not names:
            raise InputError(f"a family needs at least one {field}")
        twice = next((name for k, name in enumerate(names) if name in names[:k]), None)
        if twice is not None:
            raise InputError("stands twice", field=field, value=twice, allowed="each name once")
    shape = [len(row) for row in margins.table]
    if shape != [len(margins.connections)] * len(margins.patterns):
        raise InputError(
            f"the table of margins has rows of {shape} for {len(margins.patterns)} patterns and "
            f"{len(margins.connections)} connections"
        )
    for value in (value for row in margins.table for value in row):
        if math.isnan(value) or value > LARGEST_MARGIN:
            raise RangeError(
                "margin", value, low=-math.inf, high=1.0, unit="-", law="shares of an envelope"
            )


def _search(margins: Margins, least: float, effort: float) -> "_Search":
    """Refuse connections that nothing serves, then begin to search."""
    lost = set(unserved(margins, least_margin=least))
    if lost:
        best = zip(margins.connections, zip(*margins.table, strict=True), strict=True)
        raise CannotBeMadeError(
            _refusal(name, own, margins.patterns, least) for name, own in best if name in lost
        )
    return _Search(margins, least, effort)


def _refusal(name: str, own: Sequence[float], patterns: Sequence[str], least: float) -> str:
    margin, pattern = max(zip(own, patterns, strict=True))
    wanted = f"at least {least:.3g} is wanted" if least > 0.0 else "it must be above 0"
    nearest = (
        f"the nearest, {pattern}, leaves a margin of {margin:.3g} and {wanted}"
        if math.isfinite(margin)
        else "none can be placed there"
    )
    return f"No pattern serves {name}: {nearest}; a pattern of its own would help."


@dataclass(frozen=True, slots=True)
class _Cover:
    """Rows that serve all, and how many are needed at the least, which is proved."""

    rows: tuple[int, ...]
    bound: int


class _Search:
    """Coverings of one table, each solved once.

    Rows and columns are taken in the order of their names, so that the answer does not depend
    on the order in which they are given.
    """

    def __init__(self, margins: Margins, least: float, effort: float) -> None:
        self.left, self.known = effort, dict[float, _Cover]()
        self.order = margins.connections
        rows = sorted(range(len(margins.patterns)), key=lambda i: margins.patterns[i])
        columns = sorted(range(len(margins.connections)), key=lambda j: margins.connections[j])
        self.patterns = [margins.patterns[i] for i in rows]
        self.connections = [margins.connections[j] for j in columns]
        self.table = [[margins.table[i][j] for j in columns] for i in rows]
        self.ceiling = min(max(own) for own in zip(*self.table, strict=True))
        found = {v for row in self.table for v in row if _serves(v, least) and v <= self.ceiling}
        self.levels = sorted(found)
        own_best = [[v == max(own) for v in own] for own in zip(*self.table, strict=True)]
        self.most = len(self._least_rows(own_best).rows)
        self.smallest = len(self.cover(self.levels[0]).rows)

    def cover(self, level: float) -> _Cover:
        """Fewest rows so that each column has a margin of at least `level`."""
        if level not in self.known:
            served = [[v >= level for v in own] for own in zip(*self.table, strict=True)]
            self.known[level] = self._least_rows(served)
        return self.known[level]

    def reach(self, count: int) -> tuple[int, int]:
        """Last level that at most so many rows reach, and the last not proved out of reach."""
        found = self._last_level(count, proof=False)
        return found, max(found, self._last_level(count, proof=True))

    def family(self, count: int) -> Family:
        """The best family of at most so many patterns."""
        reached, limit = self.reach(count)
        rows = self._best_mean(count, self.levels[reached])
        bound = self.cover(self.levels[0]).bound
        chosen = {self.connections[j]: self._own(rows, j) for j in range(len(self.connections))}
        values = [self.table[i][j] for j, i in enumerate(chosen.values())]
        used = sorted({self.patterns[i] for i in chosen.values()})
        best, ceiling = min(values), self.levels[limit]
        return Family(
            patterns=tuple(used),
            assignment=tuple((name, self.patterns[chosen[name]]) for name in self.order),
            margin=best,
            mean=math.fsum(values) / len(values),
            bound=bound,
            margin_bound=max(ceiling, best),
            proved=best >= ceiling and (count > self.smallest or count == bound),
        )

    def _own(self, rows: Sequence[int], j: int) -> int:
        """The row with the greatest margin, the first of equals."""
        return max(rows, key=lambda i: (self.table[i][j], -i))

    def _last_level(self, count: int, *, proof: bool) -> int:
        low, high = 0, len(self.levels) - 1
        while low < high:
            middle = (low + high + 1) // 2
            cover = self.cover(self.levels[middle])
            if (cover.bound if proof else len(cover.rows)) <= count:
                low = middle
            else:
                high = middle - 1
        return low

    def _least_rows(self, served: Sequence[Sequence[bool]]) -> _Cover:
        """Set covering: of each column the rows that serve it."""
        sets = sorted({tuple(i for i, yes in enumerate(own) if yes) for own in served})
        start = _greedy(sets)
        model = _model()
        take = [model.new_bool_var("") for _ in self.patterns]
        for rows in sets:
            model.add_bool_or([take[i] for i in rows])
        model.minimize(sum(take))
        solver = self._solve(model, {take[i]: i in start for i in range(len(take))})
        if solver is None:
            return _Cover(start, 1)
        found = tuple(i for i, literal in enumerate(take) if solver.boolean_value(literal))
        return _Cover(found, max(1, math.ceil(solver.best_objective_bound - _SLACK)))

    def _best_mean(self, count: int, level: float) -> tuple[int, ...]:
        """At most so many rows, no margin below the level, the greatest sum of margins."""
        start = self.cover(level).rows
        model = _model()
        take = [model.new_bool_var("") for _ in self.patterns]
        hint = {take[i]: i in start for i in range(len(take))}
        gain = []
        for own, times in sorted(Counter(zip(*self.table, strict=True)).items()):
            use = {i: model.new_bool_var("") for i, v in enumerate(own) if v >= level}
            model.add_exactly_one(use.values())
            for i, literal in use.items():
                model.add_implication(literal, take[i])
                gain.append(times * round(_GRAIN * own[i]) * literal)
            best = max((i for i in start if i in use), key=lambda i: own[i])
            hint |= {literal: i == best for i, literal in use.items()}
        model.add(sum(take) <= count)
        model.maximize(sum(gain))
        solver = self._solve(model, hint)
        if solver is None:
            return start
        return tuple(i for i, literal in enumerate(take) if solver.boolean_value(literal))

    def _solve(self, model: Any, hint: dict[Any, bool]) -> Any:
        """Solve within what is left of the effort; None where no solution was found."""
        from ortools.sat.python import cp_model  # noqa: PLC0415 - heavy, only where it is used

        for literal, value in hint.items():
            model.add_hint(literal, value)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 1
        solver.parameters.linearization_level = 2
        solver.parameters.max_deterministic_time = max(self.left, _LEAST_EFFORT)
        status = solver.solve(model)
        self.left -= solver.response_proto.deterministic_time
        return solver if status in (cp_model.OPTIMAL, cp_model.FEASIBLE) else None


def _model() -> Any:
    from ortools.sat.python import cp_model  # noqa: PLC0415 - heavy, only where it is used

    return cp_model.CpModel()


def _greedy(sets: Sequence[tuple[int, ...]]) -> tuple[int, ...]:
    """A covering to begin with: again and again the row that serves most of what is left."""
    left, taken = list(sets), list[int]()
    while left:
        counts = Counter(i for rows in left for i in rows)
        taken.append(max(counts, key=lambda i: (counts[i], -i)))
        left = [rows for rows in left if taken[-1] not in rows]
    return tuple(sorted(taken))
