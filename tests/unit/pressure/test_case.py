import math
from dataclasses import replace

import pytest

from teewright.errors import InputError, RangeError
from teewright.pressure.case import WindowCase
from teewright.pressure.ends import (
    BRANCH,
    BRANCH_CRACKED,
    CRACKED,
    FRICTION,
    LANDED,
    SOUND,
    SQUEEZE,
)
from teewright.pressure.host import CrackedBranch, Ground, confinement, over_branch
from teewright.pressure.limits import PipeWall, ring_pressure
from teewright.pressure.window import (
    NO_BRANCH,
    NO_HEAT,
    NO_SQUEEZE,
    inflation_window,
    left_out,
    pressure_on_fabric,
    window_of,
)
from teewright.trace import Origin
from teewright.units import SHOWN, kelvin
from unit.resin.samples import FABRIC, PACKER

GROUND = Ground(
    head=2.0,
    host_diameter=0.212,
    cover=2.5,
    host_cracked=False,
    soil_weight=18e3,
    soil_weight_saturated=20e3,
)
PLAIN = WindowCase(
    main_diameter=0.2,
    branch_diameter=0.15,
    fabric=FABRIC,
    stretch=1.05,
    packer=PACKER,
    ground=GROUND,
    liner_pressure=180e3,
    margin=10e3,
)
HEAT = ((kelvin(0.0), 1.0), (kelvin(40.0), 0.75))
WEAK = PipeWall(diameter=0.212, wall=0.02, strength=4e6, safety=4.0, source="invented")
FULL = replace(
    PLAIN,
    landed=22e3,
    squeeze=15e3,
    friction=4e3,
    packer_temperature=kelvin(30.0),
    derating=HEAT,
    host_wall=WEAK,
    branch_wall=replace(WEAK, diameter=0.15, wall=0.015),
    branch_pressure=150e3,
)


def test_a_plain_case_is_the_plain_window() -> None:
    plain = inflation_window(
        main_diameter=0.2,
        branch_diameter=0.15,
        fabric=FABRIC,
        stretch=1.05,
        packer=PACKER,
        ground=GROUND,
        liner_pressure=180e3,
        margin=10e3,
    )
    assert window_of(PLAIN) == plain


def test_the_lower_end_of_a_full_case_by_hand() -> None:
    found = window_of(FULL)
    assert found.low == pytest.approx(9810.0 * 2.0 + 35e3 + 22e3 + 4e3 + 15e3 + 10e3)
    assert {LANDED, FRICTION, SQUEEZE} <= set(dict(found.low_parts))
    assert not any(name in dict(found.low_parts) for name in ("forming the branch",))


def test_each_limit_is_told_and_the_least_governs() -> None:
    found = window_of(FULL)
    limits = dict(found.high_limits)
    assert limits["rating of packer P200"] == pytest.approx(200e3 * (1.0 - 0.25 * 0.75))
    assert limits[SOUND] == pytest.approx(ring_pressure(WEAK))
    assert limits[BRANCH] == 150e3
    assert found.high == min(limits.values())
    assert limits[found.high_governs] == found.high
    assert len(limits) == 5


def test_heat_can_make_the_packer_govern() -> None:
    hot = replace(PLAIN, derating=HEAT, packer_temperature=kelvin(40.0))
    assert window_of(hot).high_governs == "rating of packer P200"
    assert window_of(hot).high == pytest.approx(150e3)


def test_what_presses_on_the_fabric_counts_what_squeezes_it() -> None:
    found = window_of(FULL)
    assert found.set is not None
    by_hand = found.set - (9810.0 * 2.0 + 35e3 + 22e3 + 4e3)
    assert pressure_on_fabric(found, FULL.margin) == pytest.approx(by_hand)
    assert by_hand >= FULL.squeeze + FULL.margin - 1e-6


def test_a_cracked_host_is_held_by_the_least_water() -> None:
    cracked = replace(PLAIN, ground=replace(GROUND, host_cracked=True))
    tide = replace(cracked, head_least=0.5)
    held = confinement(replace(cracked.ground, head=0.5)).total + 35e3 + 8e3 * 0.05 / 0.1
    assert dict(window_of(tide).high_limits)[CRACKED] == pytest.approx(held)
    assert window_of(tide).high < window_of(cracked).high
    assert window_of(tide).low == window_of(cracked).low
    row = next(r for r in window_of(tide).trace if r.symbol == "h_min")
    assert row.value == 0.5


def test_a_cracked_branch_pipe_is_held_by_what_lies_over_its_highest_place() -> None:
    # crown 0.6 m above the main's invert: 2.5 + 0.212 - 0.6 m of ground over it, 1.4 m of water
    found = window_of(replace(PLAIN, branch_cracked=CrackedBranch(0.6, "by hand")))
    wet = 2.0 - 0.6
    soil = 18e3 * (2.112 - wet) + (20e3 - 9810.0) * wet
    fabric = 8e3 * 0.05 / (0.15 / 2.0)
    held = soil + 9810.0 * wet + PACKER.bladder_pressure + fabric
    assert dict(found.high_limits)[BRANCH_CRACKED] == pytest.approx(held)
    assert found.high_governs == BRANCH_CRACKED
    assert found.high == pytest.approx(held)
    rows = {r.symbol: r for r in found.trace}
    assert [rows[name].value for name in ("z_br", "c_br")] == pytest.approx([0.6, 2.112])
    assert rows["p_br,c"].value == pytest.approx(held)
    assert rows["p_br,c"].origin is Origin.ASSUMED
    assert "p_c" not in rows  # the host is sound
    assert NO_BRANCH in left_out(PLAIN)
    assert NO_BRANCH not in found.left_out


def test_the_least_water_holds_a_cracked_branch_pipe() -> None:
    branch = CrackedBranch(0.6, "by hand")
    tide = replace(PLAIN, head_least=0.5, branch_cracked=branch)
    dry = replace(PLAIN, ground=replace(GROUND, head=0.5), branch_cracked=branch)
    limits = [dict(window_of(case).high_limits)[BRANCH_CRACKED] for case in (tide, dry)]
    assert limits[0] == pytest.approx(limits[1])
    assert limits[0] < dict(window_of(replace(tide, head_least=None)).high_limits)[BRANCH_CRACKED]


def test_a_cracked_branch_pipe_that_reaches_the_surface_has_nothing_over_it() -> None:
    ground = over_branch(GROUND, CrackedBranch(5.0, "by hand"), 0.15)
    assert (ground.cover, confinement(ground).total) == (0.0, 0.0)


def test_a_ring_that_is_not_whole_is_not_counted_on() -> None:
    branch = {"branch_wall": WEAK, "branch_cracked": CrackedBranch(0.6, "by hand")}
    with pytest.raises(InputError, match="branch_wall"):
        window_of(replace(PLAIN, **branch))  # type: ignore[arg-type]
    for state in (True, None):
        with pytest.raises(InputError, match="host_wall"):
            window_of(replace(PLAIN, host_wall=WEAK, ground=replace(GROUND, host_cracked=state)))


def test_contradictions_are_refused() -> None:
    with pytest.raises(InputError, match="packer_temperature"):
        window_of(replace(PLAIN, derating=HEAT))
    with pytest.raises(InputError, match="never lay"):
        window_of(replace(PLAIN, landed=math.nan))
    with pytest.raises(InputError, match="head_least"):
        window_of(replace(PLAIN, head_least=2.1))
    with pytest.raises(RangeError, match="squeezing pressure"):
        window_of(replace(PLAIN, squeeze=-1.0))
    with pytest.raises(RangeError, match="branch pressure"):
        window_of(replace(PLAIN, branch_pressure=0.0))


def test_the_rows_tell_all_and_add_up() -> None:
    found = window_of(FULL)
    rows = {row.symbol: row for row in found.trace}
    assert len(rows) == len(found.trace)
    assert all(row.shown_in in SHOWN for row in found.trace)
    assert all(row.formula for row in found.trace if row.origin is Origin.COMPUTED)
    assert all(row.source for row in found.trace if row.origin is not Origin.COMPUTED)
    parts = ("p_w", "p_b", "p_lie", "p_k", "p_s", "p_m")
    assert sum(rows[symbol].value for symbol in parts) == pytest.approx(rows["p_low"].value)
    assert rows["p_low"].formula == " + ".join(parts)
    limits = ("p_r,T", "p_l", "p_h,R", "p_br,R", "p_br")
    assert min(rows[symbol].value for symbol in limits) == rows["p_high"].value


def test_what_is_declared_is_not_left_out() -> None:
    assert NO_SQUEEZE in left_out(PLAIN)
    assert NO_HEAT in left_out(PLAIN)
    assert len(left_out(FULL)) == 1
    assert "Traffic" in left_out(FULL)[0]


def test_the_window_carries_its_caution() -> None:
    found = window_of(PLAIN)
    assert found.stand_off is not None
    assert found.stand_off.pressure == found.set
    assert found.stand_off.energy == found.stored_energy
