"""The window after the collar was formed: what it keeps, raises and refuses."""

import math
from dataclasses import replace

import pytest

from teewright.errors import CannotBeMadeError
from teewright.job.beginning import Begun, begin
from teewright.job.resolve import Given, Inputs, resolve
from teewright.job.settling import NEVER, settle
from teewright.job.window_case import window_case
from teewright.kit.values import Kit
from teewright.network.branch_pipe import BranchPipe
from teewright.pressure.ends import (
    BRANCH,
    BRANCH_CRACKED,
    BRANCH_RING,
    FRICTION,
    LANDED,
    SQUEEZE,
)
from teewright.pressure.window import NO_BRANCH, NO_FRICTION, NO_SQUEEZE
from teewright.resin.uptake import thickness_at
from teewright.trace import Origin
from unit.job import world


def inputs() -> Inputs:
    survey = world.survey()
    return resolve(survey, world.site(), survey.connections[0])


@pytest.fixture(scope="module")
def kit() -> Kit:
    made = world.kit()
    fabric = replace(made.fabric, squeezed=4.75e-3)
    fabrics = tuple(fabric if f.name == fabric.name else f for f in made.fabrics)
    rules = replace(made.rules, friction=2e3)
    # a second packer, so that one can stand in for the first
    twice = (*made.packers, *(replace(p, name=f"other {p.name}") for p in made.packers))
    return replace(made, fabrics=fabrics, rules=rules, packers=twice)


@pytest.fixture(scope="module")
def begun(kit: Kit) -> Begun:
    return begin("X", inputs(), kit)


def test_squeezing_and_friction_come_from_the_kit(begun: Begun, kit: Kit) -> None:
    parts = dict(begun.window.low_parts)
    # 4.7 mm at 0.3 bar and 5.0 mm at none: 4.75 mm at 0.25 bar
    assert parts[SQUEEZE] == pytest.approx(0.25e5)
    assert parts[FRICTION] == 2e3
    assert not {NO_SQUEEZE, NO_FRICTION} & set(begun.window.left_out)
    plain = begin("X", inputs(), world.kit()).window
    assert begun.window.low == pytest.approx(plain.low + 0.25e5 + 2e3)
    assert kit.fabric.squeezed is not None
    assert begun.soaked <= kit.fabric.squeezed


def test_the_run_replaces_formula_and_friction_and_changes_nothing_else(
    begun: Begun, kit: Kit
) -> None:
    after = settle(begun, 1.2e3, kit)
    assert after.window.set == begun.window.set
    assert (after.thickness, after.soaked) == (begun.thickness, begun.soaked)
    assert after.packers == begun.packers
    assert len(after.packers) == 2
    parts = dict(after.window.low_parts)
    assert parts[LANDED] == 1.2e3
    assert FRICTION not in parts
    assert after.notes == ()


def test_a_run_that_never_landed_keeps_the_formula_with_a_note(begun: Begun, kit: Kit) -> None:
    after = settle(begun, math.nan, kit)
    assert after.window.low == begun.window.low
    assert after.window.set == begun.window.set
    assert after.notes == (NEVER,)


def test_a_run_that_needs_more_raises_pressure_and_thins_the_wall(begun: Begun, kit: Kit) -> None:
    assert begun.window.set is not None
    needs = begun.on_fabric + 2e3
    after = settle(begun, needs, kit)
    assert after.window.set is not None
    assert after.window.set >= after.window.low > begun.window.set
    rise = after.window.set - begun.window.set
    assert after.on_fabric == pytest.approx(begun.on_fabric + rise)
    assert after.soaked == pytest.approx(thickness_at(kit.fabric, after.on_fabric))
    pressed = thickness_at(kit.fabric, after.window.set)
    assert after.thickness == pytest.approx(pressed / kit.rules.stretch**2)
    assert after.thickness < begun.thickness
    assert "raised from" in after.notes[0]


def test_a_packer_that_does_not_stand_the_raised_pressure_no_longer_stands_in(
    begun: Begun, kit: Kit
) -> None:
    assert begun.window.set is not None
    first, other = begun.packers
    weak = replace(other, rating=begun.window.set)
    after = settle(replace(begun, packers=(first, weak)), begun.on_fabric + 2e3, kit)
    assert after.packers == (first,)


def test_a_collar_that_needs_more_than_anything_stands_is_refused(begun: Begun, kit: Kit) -> None:
    with pytest.raises(CannotBeMadeError, match="forming, as simulated"):
        settle(begun, 1.6e5, kit)


def test_a_branch_pipe_limits_as_it_is_declared(kit: Kit) -> None:
    pipe = BranchPipe(cracked=False, thickness=0.012, strength=1e6, pressure=1.1e5, source="pit")
    known = replace(inputs(), branch_pipe=pipe)
    found = begin("X", known, kit).window
    limits = dict(found.high_limits)
    a = known.branch_diameter.value / 2.0
    b = a + 0.012
    ring = 1e6 * (b**2 - a**2) / (b**2 + a**2)  # Lamé, greatest tension at the inner face
    assert limits[BRANCH_RING] == pytest.approx(ring)
    assert limits[BRANCH] == 1.1e5
    assert found.high_governs == BRANCH
    assert NO_BRANCH not in found.left_out


def branch_limit(known: Inputs, kit: Kit) -> float | None:
    return dict(begin("X", known, kit).window.high_limits).get(BRANCH_CRACKED)


def test_a_branch_pipe_declared_as_cracked_is_held_by_soil_and_water(kit: Kit) -> None:
    deep = replace(inputs().cover, value=5.0)
    known = replace(inputs(), branch_pipe=BranchPipe(cracked=True), cover=deep)
    begun = begin("X", known, kit)
    rows = {r.symbol: r for r in begun.window.trace}
    up = begun.packers[0].branch_reach * math.sin(known.angle.value)
    # where it joins is not told: it may be as high as the crown of the main
    assert known.branch_rise.assumed
    top = known.host_diameter.value + known.branch_diameter.value + up
    assert rows["z_br"].value == pytest.approx(top)
    assert rows["c_br"].value == pytest.approx(known.cover.value + known.host_diameter.value - top)
    limit = branch_limit(known, kit)
    assert limit == rows["p_br,c"].value
    told = replace(known, branch_rise=Given(0.0, Origin.INPUT, "site"))
    lower = branch_limit(told, kit)
    assert lower is not None
    assert limit is not None
    assert lower > limit  # more ground over it
    assert NO_BRANCH not in begun.window.left_out


def test_a_cracked_branch_pipe_with_too_little_over_it_is_refused_with_what_would_help(
    kit: Kit,
) -> None:
    shallow = replace(inputs().cover, value=1.0)
    with pytest.raises(CannotBeMadeError, match=r"cracked branch pipe .* branch pipe stands it"):
        begin("X", replace(inputs(), branch_pipe=BranchPipe(cracked=True), cover=shallow), kit)


@pytest.mark.parametrize(
    "pipe", [None, BranchPipe(), BranchPipe(cracked=False), BranchPipe(cracked=True, pressure=1e5)]
)
def test_nothing_is_assumed_of_a_branch_pipe_not_declared_as_cracked_or_with_a_pressure(
    pipe: BranchPipe | None, kit: Kit
) -> None:
    assert branch_limit(replace(inputs(), branch_pipe=pipe), kit) is None


@pytest.mark.parametrize("cracked", [True, None])
def test_the_ring_of_a_branch_not_known_to_be_sound_is_not_counted_on(
    cracked: bool | None, kit: Kit
) -> None:
    pipe = BranchPipe(cracked=cracked, thickness=0.012, strength=1e6)
    case = window_case(replace(inputs(), branch_pipe=pipe), kit.packers[1], kit)
    assert case.branch_wall is None
    assert case.branch_pressure is None
