import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.errors import InputError, RangeError
from teewright.pressure.host import Ground, confinement
from teewright.units import GRAVITY, WATER_DENSITY


def ground(cover: float, head: float, *, dry: float = 18e3, wet: float = 20e3) -> Ground:
    """Ground over a DN 300 host; `head` is over its crown."""
    return Ground(
        head=head + 0.3,
        host_diameter=0.3,
        cover=cover,
        host_cracked=None,
        soil_weight=dry,
        soil_weight_saturated=wet,
    )


@given(st.floats(0.0, 10.0), st.floats(-5.0, 10.0))
@settings(max_examples=60, deadline=None)
def test_soil_and_water_together_are_the_weight_above(cover: float, head: float) -> None:
    wet = min(max(head, 0.0), cover)
    standing = max(head - cover, 0.0)
    weight = 18e3 * (cover - wet) + 20e3 * wet + WATER_DENSITY * GRAVITY * standing
    assert confinement(ground(cover, head)).total == pytest.approx(weight, abs=1e-6)


def test_rising_water_takes_from_the_soil() -> None:
    dry, half, full = (confinement(ground(3.0, head)).soil for head in (-1.0, 1.5, 3.0))
    assert dry > half > full > 0.0
    # standing water above the ground takes nothing more
    assert confinement(ground(3.0, 5.0)).soil == pytest.approx(full)


def test_no_water_below_the_crown() -> None:
    assert confinement(ground(3.0, -2.0)).water == 0.0
    assert confinement(ground(3.0, -2.0)).soil == pytest.approx(54e3)


def test_soil_that_floats_is_refused() -> None:
    with pytest.raises(InputError, match="soil_weight_saturated"):
        confinement(ground(3.0, 1.0, wet=9e3))


@pytest.mark.parametrize(("cover", "head"), [(-0.1, 0.0), (31.0, 0.0), (2.0, 51.0)])
def test_places_out_of_range_are_refused(cover: float, head: float) -> None:
    with pytest.raises(RangeError):
        confinement(ground(cover, head))
