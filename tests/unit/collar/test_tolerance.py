"""The envelope against judges whose answer is known without a forming run."""

import math
from collections.abc import Callable

import numpy as np
import pytest
from scipy.stats import beta

from teewright.collar.tolerance import CONFIDENCE, NAMES, Case, envelope, inside, share_kept
from teewright.collar.values import Tolerance
from teewright.junction.skin import FloatArray

REACH = Case(0.02, 0.2, 0.006, 0.004, 0.09, 0.005)
SIZES = {"along": 0.013, "round": 0.5, "main": 0.0031, "branch": 0.004, "angle": 0.02,
         "fillet": 0.001}  # fmt: skip
"""Of a box, two of its sides beyond what is tried."""


def sets(seed: int, *, count: int = 10, size: int = 40) -> list[FloatArray]:
    rng = np.random.default_rng(seed)
    return [rng.uniform(-1.0, 1.0, (size, 6)) for _ in range(count)]


def of(case: Case, name: str) -> float:
    return float(getattr(case, name))


def box(case: Case) -> str:
    return next((name for name in NAMES if abs(of(case, name)) > SIZES[name]), "")


def ball(radius: float) -> Callable[[Case], str]:
    """Breaks beyond a ball whose radius is a share of the reach in each direction."""

    def judge(case: Case) -> str:
        shares = [of(case, name) / of(REACH, name) for name in NAMES]
        return "gap" if math.hypot(*shares) > radius else ""

    return judge


def test_a_box_is_found_to_the_last_halving() -> None:
    found = envelope(box, REACH, sets(1))
    for name in NAMES:
        true, reach, got = SIZES[name], of(REACH, name), getattr(found, name)
        if true >= reach:
            assert got == reach
        else:
            assert true - reach / 32.0 <= got <= true
    assert found.runs == 40


def test_each_side_names_what_breaks_beyond_it() -> None:
    breaks = dict(zip(NAMES, envelope(box, REACH, sets(1)).breaks, strict=True))
    for name in NAMES:
        assert breaks[name] == (name if SIZES[name] < of(REACH, name) else "")


def test_one_sided_limits_bind_both_ways() -> None:
    """A narrower main breaks at 1 mm, a wider one never: the tolerance is 1 mm either way."""
    found = envelope(lambda case: "folds" if case.main < -0.001 else "", REACH, sets(2))
    assert 0.001 - 0.006 / 32.0 <= found.main <= 0.001
    assert found.breaks[NAMES.index("main")] == "folds"


@pytest.mark.parametrize("seed", range(5))
def test_a_ball_shrinks_the_box_until_a_whole_set_lies_inside(seed: int) -> None:
    radius = 0.5
    samples = sets(seed)
    found = envelope(ball(radius), REACH, samples)
    single = radius  # 16/32 of the reach, which the halving meets
    norms = [float(np.max(np.linalg.norm(points, axis=1))) for points in samples]
    number = next(k for k, norm in enumerate(norms) if 0.75**k * single * norm <= radius)
    for name in NAMES:
        assert getattr(found, name) == pytest.approx(0.75**number * single * of(REACH, name))
    assert 0 < number < 4
    assert found.share == share_kept(40, number + 1)


@pytest.mark.parametrize(("runs", "looks"), [(1, 1), (10, 1), (40, 1), (40, 4), (300, 10)])
def test_the_share_is_the_lower_limit_of_clopper_and_pearson(runs: int, looks: int) -> None:
    """By the beta distribution, with the error split over the sets looked at."""
    spent = (1.0 - CONFIDENCE) / 2.0**looks
    assert share_kept(runs, looks) == pytest.approx(float(beta.ppf(spent, runs, 1)), rel=1e-12)


def test_more_runs_promise_more_and_more_looks_less() -> None:
    shares = [share_kept(runs, 1) for runs in (5, 20, 80, 320)]
    assert shares == sorted(shares)
    assert share_kept(40, 1) > share_kept(40, 2) > share_kept(40, 8)
    assert sum((1.0 - CONFIDENCE) / 2.0**k for k in range(1, 60)) == pytest.approx(0.05)


def test_the_promise_is_broken_no_oftener_than_it_says() -> None:
    """Many envelopes of one judge: the share promised is seldom more than the true one."""
    rng = np.random.default_rng(5)
    many = rng.uniform(-1.0, 1.0, (100_000, 6))
    limit = 1.1
    wrong, count = 0, 300
    singles = envelope(lambda _: "", REACH, sets(0))
    truth = {k: float(np.mean(0.75**k * many.sum(axis=1) <= limit)) for k in range(10)}

    def judge(case: Case) -> str:
        total = sum(of(case, name) / of(REACH, name) for name in NAMES)
        return "folds" if total > limit else ""

    for seed in range(count):
        found = envelope(judge, REACH, sets(1000 + seed, size=12))
        if found.runs:
            number = round(math.log(found.along / singles.along) / math.log(0.75))
            wrong += found.share > truth[number]
    # 5 % of 300, and three standard deviations of such a count
    assert wrong <= 15 + 3 * 3.8


def test_nothing_is_promised_where_the_design_itself_breaks_a_limit() -> None:
    found = envelope(lambda _: "gap behind the fabric", REACH, sets(1))
    assert found == Tolerance(0, 0, 0, 0, 0, 0, 0, 0, CONFIDENCE, ("gap behind the fabric",) * 6)


def test_nothing_is_promised_without_random_cases() -> None:
    assert envelope(lambda _: "", REACH, ()).share == 0.0
    never = envelope(lambda case: "edge" if case.along and case.main else "", REACH, sets(3))
    assert (never.runs, never.share, never.along) == (0, 0.0, 0.0)
    assert set(never.breaks) == {"several at once"}


def test_every_case_that_was_judged_in_the_last_set_lies_inside() -> None:
    asked: list[Case] = []

    def judge(case: Case) -> str:
        asked.append(case)
        return ball(0.6)(case)

    found = envelope(judge, REACH, sets(8))
    assert all(inside(case, found) for case in asked[-found.runs :])
    assert not inside(Case(along=found.along * 1.01), found)
    assert inside(Case(), found)
