from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from forming_shapes import held, orthotropic, square
from teewright.errors import InputError
from teewright.forming.build import pressed, unsewn
from teewright.forming.check import check_setup
from teewright.forming.values import Contact, Setup
from teewright.junction.field import plane_field


def setup() -> Setup:
    patch = square(0.1, 2)
    cloth = unsewn(patch.triangles, patch.rest, orthotropic(1e4, 2e4, 0.3, 5e3))
    return Setup(cloth, patch.points, pressed(9, 1e5), None, held(np.ones((9, 3))))


def test_sound_setup_passes() -> None:
    check_setup(setup())


@pytest.mark.parametrize(
    ("part", "change", "sentence"),
    [
        ("cloth", {"triangles": np.full((8, 3), 9)}, "triangles = '9' names a vertex"),
        ("cloth", {"triangles": np.full((8, 3), -1)}, "triangles = '-1' names a vertex"),
        ("cloth", {"rest": np.zeros((7, 3, 2))}, "rest .* wrong shape; allowed: .8, 3, 2"),
        ("cloth", {"stiffness": np.zeros((8, 3))}, "stiffness .* wrong shape"),
        ("cloth", {"bars": np.array([[0, 1]])}, "bar_rest .* wrong shape"),
        ("load", {"thrust": np.zeros((3, 3))}, "thrust .* wrong shape"),
        ("load", {"bladder": np.zeros(3)}, "bladder .* wrong shape"),
        ("restraint", {"spring": np.full(9, np.nan)}, "spring = 'nan' stands where"),
        ("restraint", {"grip": np.zeros(9)}, "grip .* wrong shape"),
    ],
)
def test_arrays_that_do_not_fit_are_named(part: str, change: dict[str, Any], sentence: str) -> None:
    whole = setup()
    broken = replace(whole, **{part: replace(getattr(whole, part), **change)})
    with pytest.raises(InputError, match=sentence):
        check_setup(broken)


def test_places_that_are_no_numbers_are_named() -> None:
    start = setup().start.copy()
    start[4, 2] = np.nan
    with pytest.raises(InputError, match="start = 'nan' stands where a number should"):
        check_setup(replace(setup(), start=start))


def test_seam_without_length_is_named() -> None:
    cloth = replace(
        setup().cloth,
        bars=np.array([[0, 1]]),
        bar_rest=np.zeros(1),
        bar_stiffness=np.ones(1),
    )
    with pytest.raises(InputError, match=r"bar_rest = '0\.0' is no length"):
        check_setup(replace(setup(), cloth=cloth))


@pytest.mark.parametrize("friction", [-0.1, float("nan"), float("inf")])
def test_friction_that_is_none_is_named(friction: float) -> None:
    contact = Contact(plane_field(0.0), friction)
    with pytest.raises(InputError, match="friction"):
        check_setup(replace(setup(), contact=contact))
