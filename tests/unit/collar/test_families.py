import math
import random
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.collar.families import Family, Margins, fewest_patterns, trade_off, unserved
from teewright.errors import CannotBeMadeError, InputError, RangeError

NEVER = -math.inf


def margins(*rows: tuple[float, ...]) -> Margins:
    return Margins(
        tuple(f"K{i + 1}" for i in range(len(rows))),
        tuple(f"J{j + 1}" for j in range(len(rows[0]))),
        rows,
    )


PATH = margins(
    (1.0, 0.6, 0.1, NEVER),
    (0.5, 1.0, 0.4, NEVER),
    (-0.1, 0.4, 1.0, 0.3),
    (NEVER, -0.2, 0.2, 1.0),
)


@st.composite
def tables(draw: st.DrawFn) -> Margins:
    """Small tables with many ties, in which each connection is served by something."""
    count, wide = draw(st.integers(1, 6)), draw(st.integers(1, 6))
    value = st.sampled_from([NEVER, -0.5, 0.0, 0.125, 0.25, 0.5, 0.75, 1.0])
    rows = draw(
        st.lists(
            st.tuples(*[value] * wide),
            min_size=count,
            max_size=count,
        )
    )
    given_back = margins(*rows)
    if not unserved(given_back):
        return given_back
    return margins(*rows, tuple(draw(st.sampled_from([0.25, 1.0])) for _ in range(wide)))


def score(table: Margins, chosen: tuple[int, ...]) -> tuple[float, float]:
    """Least and mean margin of a family, by its definition."""
    best = [max(table.table[i][j] for i in chosen) for j in range(len(table.connections))]
    return min(best), math.fsum(best) / len(best)


def best_by_trying(table: Margins, count: int) -> tuple[float, float]:
    """Best (least, mean) margin of all families of exactly so many patterns."""
    return max(score(table, c) for c in combinations(range(len(table.patterns)), count))


def fewest_by_trying(table: Margins, least: float = 0.0) -> int:
    for count in range(1, len(table.patterns) + 1):
        found = best_by_trying(table, count)[0]
        if found > 0.0 and found >= least:
            return count
    raise AssertionError


def scored(table: Margins, family: Family) -> tuple[float, float]:
    """Least and mean margin of what a family assigns."""
    values = [table.at(pattern, connection) for connection, pattern in family.assignment]
    return min(values), math.fsum(values) / len(values)


@settings(max_examples=20, deadline=None)
@given(tables())
def test_no_other_choice_is_smaller_or_leaves_more(table: Margins) -> None:
    family = fewest_patterns(table)
    count = fewest_by_trying(table)
    assert len(family.patterns) == family.bound == count
    assert family.proved
    assert scored(table, family) == pytest.approx(best_by_trying(table, count))
    assert (family.margin, family.mean) == pytest.approx(scored(table, family))


@settings(max_examples=20, deadline=None)
@given(tables())
def test_each_family_of_the_trade_off_is_the_best_of_its_size(table: Margins) -> None:
    families = trade_off(table)
    counts = [len(f.patterns) for f in families]
    assert counts == sorted(set(counts))
    for family in families:
        best = max(best_by_trying(table, k) for k in range(counts[0], len(family.patterns) + 1))
        assert scored(table, family) == pytest.approx(best)
        assert family.margin == family.margin_bound
        assert family.proved
    everything = score(table, tuple(range(len(table.patterns))))
    assert scored(table, families[-1]) == pytest.approx(everything)


@settings(max_examples=20, deadline=None)
@given(tables(), st.randoms(use_true_random=False))
def test_the_order_of_the_names_does_not_matter(table: Margins, chance: random.Random) -> None:
    rows = chance.sample(range(len(table.patterns)), len(table.patterns))
    columns = chance.sample(range(len(table.connections)), len(table.connections))
    shuffled = Margins(
        tuple(table.patterns[i] for i in rows),
        tuple(table.connections[j] for j in columns),
        tuple(tuple(table.table[i][j] for j in columns) for i in rows),
    )
    one, other = fewest_patterns(table), fewest_patterns(shuffled)
    assert one.patterns == other.patterns
    assert dict(one.assignment) == dict(other.assignment)
    assert [name for name, _ in other.assignment] == list(shuffled.connections)


@settings(max_examples=20, deadline=None)
@given(tables(), st.sampled_from([0.125, 0.25, 0.5]))
def test_a_wanted_margin_is_kept_or_refused(table: Margins, least: float) -> None:
    lost = unserved(table, least_margin=least)
    if lost:
        with pytest.raises(CannotBeMadeError) as refused:
            fewest_patterns(table, least_margin=least)
        assert len(refused.value.reasons) == len(lost)
        assert all(n in t for n, t in zip(lost, refused.value.reasons, strict=True))
        return
    family = fewest_patterns(table, least_margin=least)
    assert family.margin >= least
    assert len(family.patterns) == fewest_by_trying(table, least)


def test_two_patterns_serve_a_row_of_four_that_are_alike_in_pairs() -> None:
    family = fewest_patterns(PATH)
    assert family.patterns == ("K2", "K4")
    assert dict(family.assignment) == {"J1": "K2", "J2": "K2", "J3": "K2", "J4": "K4"}
    assert family.margin == 0.4
    assert family.mean == pytest.approx((0.5 + 1.0 + 0.4 + 1.0) / 4)


def test_the_trade_off_ends_with_a_pattern_for_each_shape() -> None:
    families = trade_off(PATH)
    assert [(len(f.patterns), f.margin) for f in families] == [(2, 0.4), (3, 0.6), (4, 1.0)]
    assert trade_off(PATH, most=3) == families[:2]


def test_connections_of_one_shape_share_a_pattern() -> None:
    same = margins(*[(1.0, 1.0, 1.0)] * 3)
    (family,) = trade_off(same)
    assert (len(family.patterns), family.margin) == (1, 1.0)


def test_a_margin_of_nothing_does_not_serve() -> None:
    table = margins((1.0, 0.0), (-0.1, 1.0))
    assert fewest_patterns(table).patterns == ("K1", "K2")


def test_connections_that_nothing_serves_are_named_with_their_best_margin() -> None:
    table = margins((1.0, -0.25, NEVER), (0.5, -0.5, NEVER))
    assert unserved(table) == ("J2", "J3")
    with pytest.raises(CannotBeMadeError) as refused:
        trade_off(table)
    near, never = refused.value.reasons
    assert "J2" in near
    assert "K1, leaves a margin of -0.25" in near
    assert "J3: none can be placed there" in never


def test_without_time_the_answer_still_serves_all_and_its_bounds_hold() -> None:
    chance = random.Random(5)
    rows = [tuple(chance.uniform(-1.5, 1.0) for _ in range(30)) for _ in range(30)]
    table = margins(*rows)
    hasty, proper = fewest_patterns(table, effort=0.0), fewest_patterns(table)
    assert scored(table, hasty)[0] == hasty.margin > 0.0
    assert hasty.bound <= proper.bound == len(proper.patterns) <= len(hasty.patterns)
    if len(hasty.patterns) == len(proper.patterns):
        assert hasty.margin <= proper.margin <= hasty.margin_bound
    assert not hasty.proved
    assert proper.proved


@pytest.mark.parametrize(
    ("table", "words"),
    [
        (Margins((), ("J1",), ()), "at least one pattern"),
        (Margins(("K1",), (), ((),)), "at least one connection"),
        (Margins(("K1", "K1"), ("J1",), ((1.0,), (1.0,))), "stands twice"),
        (Margins(("K1",), ("J1", "J2"), ((1.0,),)), "rows of"),
    ],
)
def test_a_table_that_is_not_one_is_refused(table: Margins, words: str) -> None:
    with pytest.raises(InputError, match=words):
        fewest_patterns(table)


@pytest.mark.parametrize("value", [1.5, math.nan, math.inf])
def test_a_margin_that_cannot_be_is_refused(value: float) -> None:
    with pytest.raises(RangeError, match="margin"):
        fewest_patterns(margins((1.0, value)))
