"""The crew's times and their spread."""

import math
from dataclasses import replace

import numpy as np
import pytest

from teewright.errors import InputError, RangeError
from teewright.heat.answers import Answers, Doubt, answer, what_if
from teewright.heat.batch import Pack, Spread
from teewright.heat.situation import QUICK_PASSAGE, Situation, passage
from teewright.heat.wall import usual_wall
from teewright.resin.cure_fit import CureFit
from teewright.resin.data_sheet import fit_data_sheet
from teewright.resin.path import Path, steady
from teewright.units import HOUR, MINUTE, kelvin

FIT = fit_data_sheet(
    tuple((kelvin(t), m * MINUTE) for t, m in ((5.0, 200.0), (15.0, 120.0), (25.0, 75.0))),
    tuple((kelvin(t), m * MINUTE) for t, m in ((5.0, 600.0), (15.0, 330.0), (25.0, 190.0))),
)
DAY = Situation(
    pack=Pack(0.02, 0.2, 1150.0, 1700.0),
    mixed=kelvin(16.0),
    air=Path((0.0, HOUR), (kelvin(14.0), kelvin(17.0))),
    spread_at=6.0 * MINUTE,
    spread=Spread(0.005, 1150.0, 1600.0, 950.0),
    inflation=12.0 * MINUTE,
    wall=usual_wall(
        main_diameter=0.2, collar_thickness=0.004, liner_thickness=0.004, ground=kelvin(11.0)
    ),
    spare_share=0.2,
    hold=12.0 * HOUR,
)
SURE = Doubt(air=0.0, mixed=0.0, ground=0.0, thickness=0.0)


def normals(count: int = 60, seed: int = 5) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    return np.random.default_rng(seed).standard_normal((count, len(FIT.theta) + 4))


@pytest.fixture(scope="module")
def answers() -> Answers:
    return answer(FIT, DAY, normals())


def test_a_passage_goes_from_mixing_to_release() -> None:
    found = passage(FIT.kinetics, DAY)
    assert found.at_inflation is not None
    assert found.curing is not None
    assert 0.0 < found.at_inflation.conversion < FIT.kinetics.gel
    assert DAY.inflation < found.working_time < found.release < DAY.inflation + DAY.hold
    assert found.latest_inflation == pytest.approx(0.8 * found.working_time)
    assert found.release == DAY.inflation + found.curing.firm
    assert abs(found.imbalance) < 1e-3


def test_the_quick_passage_is_near_the_fine_one() -> None:
    for ground in (-5.0, 0.0, 8.0):
        case = DAY.changed(ground=ground)
        fine = passage(FIT.kinetics, case)
        quick = passage(FIT.kinetics, case, effort=QUICK_PASSAGE, full=False)
        assert quick.release == pytest.approx(fine.release, rel=0.01)
        assert quick.working_time == pytest.approx(fine.working_time, rel=0.01)


def test_a_batch_that_gels_before_inflation_is_told_so() -> None:
    late = replace(DAY, inflation=10.0 * HOUR)
    found = passage(FIT.kinetics, late)
    assert found.curing is None
    assert found.release == math.inf
    assert found.working_time == pytest.approx(passage(FIT.kinetics, DAY).working_time)
    told = answer(FIT, late, normals(20))
    assert told.notes[-1] == "The batch gels before it is inflated."
    assert told.chance_firm(1e9) == 0.0


def test_a_batch_that_gels_in_its_pack_is_told_so() -> None:
    big = replace(DAY, pack=Pack(0.15, 0.2, 1150.0, 1700.0), spread_at=5 * HOUR, inflation=6 * HOUR)
    found = passage(FIT.kinetics, big)
    assert found.working_time < 5 * HOUR
    assert found.at_inflation is None


def test_what_is_warmer_is_sooner() -> None:
    base = passage(FIT.kinetics, DAY)
    assert passage(FIT.kinetics, DAY.changed(air=4.0)).working_time < base.working_time
    assert passage(FIT.kinetics, DAY.changed(mixed=4.0)).working_time < base.working_time
    assert passage(FIT.kinetics, DAY.changed(ground=4.0)).release < base.release


def test_without_doubt_only_the_resin_spreads(answers: Answers) -> None:
    exact = replace(FIT, covariance=np.zeros((4, 4)))
    still = answer(exact, DAY, normals(20), doubt=SURE)
    assert np.ptp(still.release) < 1e-6 * still.release[0]
    assert still.release[0] == pytest.approx(still.best.release, rel=0.01)
    resin = answer(FIT, DAY, normals(), doubt=SURE)
    assert np.ptp(resin.release) > 0.0
    assert np.std(np.log(resin.release)) < np.std(np.log(answers.release))


def test_quantiles_are_in_order_and_about_the_best(answers: Answers) -> None:
    for low, middle, high in (answers.working_told, answers.latest_told, answers.release_told):
        assert low < middle < high
    assert answers.release_told[0] < answers.best.release < answers.release_told[2]
    assert answers.latest_told[1] == pytest.approx(0.8 * answers.working_told[1])


def test_chances_count_the_cases_and_are_never_certain(answers: Answers) -> None:
    assert answers.chance_firm(0.0) == 0.0
    assert answers.chance_firm(float(answers.release[29])) == pytest.approx(0.5)
    assert answers.chance_firm(1e9) == pytest.approx(60.0 / 61.0)
    assert answers.chance_workable(0.0) == pytest.approx(60.0 / 61.0)
    assert answers.chance_workable(1e9) == 0.0


def test_the_same_numbers_give_the_same_answers(answers: Answers) -> None:
    np.testing.assert_array_equal(answer(FIT, DAY, normals()).release, answers.release)


def test_outside_the_data_is_refused_or_told_loudly() -> None:
    hot = replace(DAY, mixed=kelvin(30.0))
    with pytest.raises(RangeError, match="temperature = 30"):
        answer(FIT, hot, normals(20))
    told = answer(FIT, hot, normals(20), beyond=True)
    assert told.above == pytest.approx(5.0)
    assert any(note.startswith("Guessed") for note in told.notes)


def test_the_heat_above_the_data_is_told(answers: Answers) -> None:
    assert answers.peak_above == 0.0
    warm = answer(FIT, DAY.changed(air=8.0, mixed=8.0, ground=12.0), normals(20))
    assert warm.peak_above == pytest.approx(warm.best.peak - kelvin(25.0))
    assert warm.peak_above > 1.0
    assert any("own heat" in note for note in warm.notes)


def test_the_grid_is_the_passage_at_each_place() -> None:
    air = np.array([kelvin(5.0), kelvin(15.0), kelvin(30.0)])
    mixed = np.array([kelvin(10.0), kelvin(20.0)])
    grid = what_if(FIT, DAY, air=air, mixed=mixed)
    assert grid.latest.shape == grid.release.shape == grid.outside.shape == (3, 2)
    assert np.all(np.diff(grid.latest, axis=0) < 0.0)
    assert np.all(np.diff(grid.latest, axis=1) < 0.0)
    assert grid.outside.tolist() == [[False, False], [False, False], [True, True]]
    one = replace(DAY, air=steady(kelvin(15.0)), mixed=kelvin(20.0))
    found = passage(FIT.kinetics, one, effort=QUICK_PASSAGE, full=False)
    assert grid.release[1, 1] == found.release


@pytest.mark.parametrize(("spread_at", "inflation"), [(0.0, 60.0), (120.0, 60.0)])
def test_stages_out_of_order_are_refused(spread_at: float, inflation: float) -> None:
    with pytest.raises(InputError, match="not in order"):
        replace(DAY, spread_at=spread_at, inflation=inflation)


def test_too_few_cases_are_refused() -> None:
    with pytest.raises(InputError, match="normals"):
        answer(FIT, DAY, normals(10))


def fit_of(uncertainty: float) -> CureFit:
    """The sheet of a fast resin, known so well."""
    return fit_data_sheet(
        ((kelvin(5.0), 9000.0), (kelvin(25.0), 4000.0)),
        ((kelvin(5.0), 30000.0), (kelvin(25.0), 12000.0)),
        uncertainty=uncertainty,
    )


def test_a_better_known_resin_has_a_narrower_release() -> None:
    wide, narrow = (answer(fit_of(u), DAY, normals(), doubt=SURE) for u in (0.1, 0.02))
    assert np.std(np.log(narrow.release)) < 0.5 * np.std(np.log(wide.release))
