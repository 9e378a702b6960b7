import pytest

from teewright.hydraulics.leakage import (
    GALLON_PER_DAY_INCH_MILE,
    GALLON_PER_DAY_MILE,
    LITRE_PER_DAY_MM_KM,
    LITRE_PER_SECOND_KM,
)


def test_the_units_from_their_definitions() -> None:
    gallon = 231.0 * 0.0254**3
    mile = 5280.0 * 12.0 * 0.0254
    assert pytest.approx(gallon / 86400.0 / mile) == GALLON_PER_DAY_MILE
    assert pytest.approx(gallon / 86400.0 / mile / 0.0254) == GALLON_PER_DAY_INCH_MILE
    # 1 l/(s km) on a DN200 sewer is 432 l/(d mm km)
    assert pytest.approx(86400.0 / 200.0 * LITRE_PER_DAY_MM_KM * 0.2) == LITRE_PER_SECOND_KM
