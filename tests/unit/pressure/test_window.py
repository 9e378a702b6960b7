import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.errors import RangeError
from teewright.pressure.forming import forming_pressure
from teewright.pressure.host import Ground
from teewright.pressure.values import PressureWindow
from teewright.pressure.window import (
    CRACKED,
    STEP,
    inflation_window,
    pressure_on_fabric,
    pressure_to_set,
)
from teewright.trace import Origin
from teewright.units import SHOWN
from unit.resin.samples import FABRIC, PACKER

HOST = 0.212


def window(
    *,
    head: float = 2.0,
    cover: float = 2.5,
    cracked: bool | None = False,
    liner: float | None = 180e3,
    margin: float = 10e3,
    stretch: float = 1.05,
) -> PressureWindow:
    return inflation_window(
        main_diameter=0.2,
        branch_diameter=0.15,
        fabric=FABRIC,
        stretch=stretch,
        packer=PACKER,
        ground=Ground(
            head=head,
            host_diameter=HOST,
            cover=cover,
            host_cracked=cracked,
            soil_weight=18e3,
            soil_weight_saturated=20e3,
        ),
        liner_pressure=liner,
        margin=margin,
    )


def test_the_membrane_is_in_equilibrium() -> None:
    # half a ring: the pressure on the bore is held by two cuts of the fabric
    stiffness, stretch, bore = 12e3, 1.05, 0.15
    tension = stiffness * (stretch - 1.0)
    assert forming_pressure(stiffness, stretch, bore) * bore == pytest.approx(2.0 * tension)
    assert forming_pressure(stiffness, 1.0, bore) == 0.0


def test_the_lower_end_by_hand() -> None:
    found = window()
    by_hand = 9810.0 * 2.0 + 35e3 + 12e3 * 0.05 / 0.075 + 10e3
    assert found.low == pytest.approx(by_hand)
    assert found.low == pytest.approx(math.fsum(value for _, value in found.low_parts))
    assert found.low_governs == "unfolding the bladder"
    assert "forming the branch" in dict(found.low_parts)


def test_the_upper_end_is_the_least_limit() -> None:
    assert (window().high, window().high_governs) == (180e3, "liner of the main")
    assert window(liner=None).high_governs == "rating of packer P200"
    assert dict(window(liner=None).high_limits) == {"rating of packer P200": 200e3}


@pytest.mark.parametrize("cracked", [True, None])
def test_a_host_not_known_to_be_sound_is_held_by_soil_and_water(cracked: bool | None) -> None:
    found = window(cracked=cracked, head=2.0 + HOST)
    # the main's bore and the softer direction: less is carried there than in the branch
    fabric = 8e3 * 0.05 / 0.1
    by_hand = (18e3 * 0.5 + (20e3 - 9810.0) * 2.0) + 9810.0 * 2.0 + 35e3 + fabric
    assert found.high == pytest.approx(by_hand)
    assert found.high_governs == CRACKED
    row = next(r for r in found.trace if r.symbol == "p_c")
    assert row.origin is Origin.ASSUMED
    assert "assumption" in row.source
    assert row.value == pytest.approx(dict(found.high_limits)[CRACKED])


def test_what_reaches_a_cracked_wall_is_between_water_and_ground() -> None:
    found = window(cracked=True, margin=0.0, head=2.0 + HOST)
    most = sum(v for n, v in found.low_parts if n.startswith(("unfolding", "forming")))
    least = 35e3 + 8e3 * 0.05 / 0.1
    assert found.set is not None
    assert found.set - most >= 9810.0 * (2.0 + HOST) - 1e-6
    assert found.set - least <= 9810.0 * 2.0 + 9e3 + 10190.0 * 2.0


def test_groundwater_counts_from_the_invert_whatever_the_liner() -> None:
    assert dict(window(head=2.0).low_parts)["groundwater at the invert"] == pytest.approx(19620.0)


def test_what_presses_on_the_fabric() -> None:
    found = window(margin=10e3)
    assert found.set is not None
    parts = dict(found.low_parts)
    by_hand = found.set - sum(parts.values()) + parts["margin"]
    assert pressure_on_fabric(found, 10e3) == pytest.approx(by_hand)
    assert 10e3 <= by_hand < found.set


def test_shallow_cover_shuts_the_window() -> None:
    found = window(cracked=True, cover=0.3, head=0.2)
    assert found.low > found.high
    assert found.set is None
    assert found.stored_energy > 0.0
    assert all(row.symbol != "p" for row in found.trace)


def test_water_below_the_invert_presses_nothing() -> None:
    assert dict(window(head=-0.5).low_parts)["groundwater at the invert"] == 0.0


@given(st.floats(0.0, 5.0), st.floats(0.0, 5.0))
@settings(max_examples=30, deadline=None)
def test_more_water_never_needs_less(one: float, other: float) -> None:
    less, more = sorted((one, other))
    assert window(head=more).low >= window(head=less).low


@given(st.floats(0.0, 2e5), st.floats(0.0, 2e5))
@settings(max_examples=80, deadline=None)
def test_the_setting_lies_inside_on_a_step_where_one_fits(one: float, other: float) -> None:
    low, high = sorted((one, other))
    found = pressure_to_set(low, high)
    assert found is not None
    assert low <= found <= high
    if high - low > STEP:
        assert found / STEP == pytest.approx(round(found / STEP), abs=1e-6)


def test_the_setting_by_hand() -> None:
    assert pressure_to_set(70e3, 160e3) == pytest.approx(100e3)
    assert pressure_to_set(71e3, 74e3) == pytest.approx(72e3)
    assert pressure_to_set(80e3, 70e3) is None


def test_a_stretch_beyond_the_fabric_is_refused() -> None:
    with pytest.raises(RangeError, match="largest stretch of fabric felt"):
        window(stretch=1.25)


def test_a_bladder_beyond_its_rating_is_refused() -> None:
    with pytest.raises(RangeError, match="bladder"):
        inflation_window(
            main_diameter=0.2,
            branch_diameter=0.15,
            fabric=FABRIC,
            stretch=1.05,
            packer=replace(PACKER, bladder_pressure=300e3),
            ground=Ground(
                head=2.0,
                host_diameter=HOST,
                cover=2.5,
                host_cracked=False,
                soil_weight=18e3,
                soil_weight_saturated=20e3,
            ),
            liner_pressure=None,
            margin=0.0,
        )


def test_the_trace_can_be_shown() -> None:
    assert all(row.shown_in in SHOWN for row in window(cracked=None).trace)
