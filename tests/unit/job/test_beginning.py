"""Packer, pressure and thickness of a design, on the safe side."""

from dataclasses import replace

import pytest

from teewright.errors import CannotBeMadeError
from teewright.job.beginning import begin, stand_ins
from teewright.job.resolve import resolve
from teewright.kit.values import Kit, Packer
from teewright.pressure.values import PressureWindow
from teewright.resin.uptake import thickness_at
from unit.job import world

MAIN = 0.189


def first_packer() -> Packer:
    return next(p for p in world.kit().packers if p.main_min <= MAIN <= p.main_max)


def window(low: float, high: float) -> PressureWindow:
    return PressureWindow(low, high, (low + high) / 2.0, (), (), "", "", 0.0, ())


def as_good(**changes: object) -> bool:
    first = first_packer()
    other = replace(first, name="other", **changes)  # type: ignore[arg-type]
    found = stand_ins(
        [(first, window(0.7e5, 1.8e5), 1.1e5), (other, window(0.7e5, 1.8e5), 1.1e5)], MAIN
    )
    return found == (other,)


def test_an_equal_packer_stands_in() -> None:
    assert as_good()
    assert not as_good(sleeve_length=0.1)
    assert not as_good(branch_reach=0.01)


def test_two_small_bores_of_one_area_pass_less() -> None:
    one = first_packer().bypass_diameter
    assert not as_good(bypass_count=2, bypass_diameter=one / 2**0.5)
    assert not as_good(length=2.0)


def test_a_packer_whose_own_window_does_not_hold_the_pressure_does_not_stand_in() -> None:
    first = first_packer()
    other = replace(first, name="other")
    narrow = window(1.2e5, 1.8e5)
    assert stand_ins([(first, window(0.7e5, 1.8e5), 1.1e5), (other, narrow, 1.4e5)], MAIN) == ()


@pytest.fixture(scope="module")
def kit() -> Kit:
    return world.kit()


def test_stretching_thins_the_wall_and_resin_is_bought_for_the_thicker_felt(kit: Kit) -> None:
    survey, site = world.survey(), world.site()
    begun = begin("X", resolve(survey, site, survey.connections[0]), kit)
    assert begun.window.set is not None
    pressed = thickness_at(kit.fabric, begun.window.set)
    assert begun.thickness == pytest.approx(pressed / kit.rules.stretch**2)
    assert begun.thickness < pressed < begun.soaked < kit.fabric.thickness[0][1]


def test_groundwater_below_the_pipe_is_told_and_presses_nothing(kit: Kit) -> None:
    survey, site = world.survey(), world.site()
    dry = replace(
        site,
        water_levels=(),  # open water near the pipe would bring its own
        nodes=tuple(replace(n, groundwater=(n.invert or 0.0) - 1.5) for n in site.nodes),
    )
    inputs = resolve(survey, dry, survey.connections[0])
    assert inputs.head.value == pytest.approx(-1.5)
    assert inputs.head_over_crown == 0.0
    begun = begin("X", inputs, kit)
    assert dict(begun.window.low_parts)["groundwater at the invert"] == 0.0


def test_groundwater_above_the_ground_presses_and_holds_in_full(kit: Kit) -> None:
    survey, site = world.survey(), world.site()
    flooded = replace(
        site,
        water_levels=(),  # its fall would take from what holds a host not known to be sound
        nodes=tuple(replace(n, groundwater=(n.ground or 0.0) + 0.5) for n in site.nodes),
        runs=tuple(replace(r, host_cracked=None) for r in site.runs),
    )
    inputs = resolve(survey, flooded, survey.connections[0])
    found = begin("X", inputs, kit).window
    water = 9810.0 * inputs.head.value
    assert dict(found.low_parts)["groundwater at the invert"] == pytest.approx(water)
    row = next(r for r in found.trace if r.symbol == "u")
    assert row.value == pytest.approx(water - 9810.0 * inputs.host_diameter.value)


def test_a_liner_that_fills_the_pipe_is_named() -> None:
    survey, site = world.survey(), world.site()
    inputs = resolve(survey, site, survey.connections[0])
    thick = replace(inputs, liner_thickness=replace(inputs.liner_thickness, value=0.12))
    with pytest.raises(CannotBeMadeError, match="leaves no bore in a host of 200 mm"):
        begin("X", thick, world.kit())


def test_a_packer_derated_by_the_warmth_of_the_day_stands_less(kit: Kit) -> None:
    survey, site = world.survey(), world.site()
    inputs = resolve(survey, site, survey.connections[0])
    warm = inputs.air.value
    packers = tuple(
        replace(p, rating=1.2e5, derating=((warm - 10.0, 1.0), (warm + 10.0, 0.8)))
        for p in kit.packers
    )
    found = begin("X", inputs, replace(kit, packers=packers)).window
    assert found.high == pytest.approx(0.9 * 1.2e5)
    cold = tuple(replace(p, derating=((warm + 20.0, 1.0), (warm + 40.0, 0.5))) for p in packers)
    assert begin("X", inputs, replace(kit, packers=cold)).window.high == pytest.approx(1.2e5)


def test_the_ring_of_a_sound_host_limits_where_its_wall_is_told(kit: Kit) -> None:
    survey, site = world.survey(), world.site()
    inputs = replace(resolve(survey, site, survey.connections[0]), cracked=False)
    known = replace(inputs, host_thickness=0.004, host_strength=3e6)
    a = inputs.host_diameter.value / 2.0
    b = a + 0.004
    ring = 3e6 * (b**2 - a**2) / (b**2 + a**2)  # Lamé, greatest tension at the inner face
    assert begin("X", known, kit).window.high == pytest.approx(ring)
    assert begin("X", inputs, kit).window.high > ring
    cracked = replace(known, cracked=True)
    assert begin("X", cracked, kit).window.high != pytest.approx(ring)
