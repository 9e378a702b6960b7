"""Answers are found again by the values themselves, and no more of them are held than asked."""

from dataclasses import dataclass

from teewright.web.kept import kept


@dataclass(frozen=True)
class Large:
    values: tuple[int, ...]

    def __hash__(self) -> int:
        raise AssertionError("a large value is not to be hashed")


def test_the_same_value_is_asked_for_once() -> None:
    asked: list[tuple[Large, str]] = []

    @kept(2)
    def made(large: Large, key: str) -> str:
        asked.append((large, key))
        return f"{sum(large.values)} {key}"

    one, twin = Large((1, 2)), Large((1, 2))
    assert [made(one, "a"), made(one, "a"), made(one, "".join("a"))] == ["3 a"] * 3
    assert asked == [(one, "a")]
    assert made(one, "b") == "3 b"
    assert made(twin, "a") == "3 a"  # equal, but another object: made anew
    assert len(asked) == 3


def test_what_was_asked_for_last_is_held_and_nothing_is_mistaken_for_it() -> None:
    calls: list[int] = []

    @kept(2)
    def made(large: Large) -> int:
        calls.append(large.values[0])
        return large.values[0]

    for k in range(200):  # those that are gone may leave their places in memory to others
        assert made(Large((k,))) == k
    assert calls == list(range(200))
    held = Large((7,))
    made(held)
    made(Large((8,)))
    assert made(held) == 7
    assert calls[-2:] == [7, 8]
    made(Large((9,)))
    made(Large((10,)))
    assert made(held) == 7
    assert calls[-1] == 7  # was forgotten, and made anew


def test_what_is_given_by_name_counts_too() -> None:
    @kept(4)
    def made(large: Large, *, times: int) -> int:
        return sum(large.values) * times

    one = Large((1, 2))
    assert [made(one, times=2), made(one, times=3), made(one, times=2)] == [6, 9, 6]
