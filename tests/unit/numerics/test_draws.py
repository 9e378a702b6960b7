import numpy as np
import pytest

from teewright.errors import InputError
from teewright.numerics.draws import even_normals


def test_the_points_are_standard_normal_and_independent() -> None:
    found = even_normals(10, 9)
    assert found.shape == (1023, 9)
    assert np.abs(found.mean(axis=0)).max() < 0.02
    assert found.std(axis=0) == pytest.approx(np.ones(9), abs=0.02)
    assert np.abs(np.corrcoef(found.T) - np.eye(9)).max() < 0.05


def test_the_share_within_one_deviation_is_that_of_the_distribution() -> None:
    found = even_normals(12, 3)
    assert (np.abs(found) < 1.0).mean(axis=0) == pytest.approx(np.full(3, 0.6827), abs=2e-3)


def test_it_is_the_same_at_every_run() -> None:
    assert np.array_equal(even_normals(6, 5), even_normals(6, 5))


@pytest.mark.parametrize(("doublings", "size"), [(0, 3), (17, 3), (5, 0), (5, 41)])
def test_what_gives_no_points_is_refused(doublings: int, size: int) -> None:
    with pytest.raises(InputError, match="doublings"):
        even_normals(doublings, size)
