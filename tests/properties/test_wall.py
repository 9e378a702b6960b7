"""What must hold for every wall: more load never thins it, more wall is never used more."""

import math
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.formats.site_toml import read_site
from teewright.trace import TraceRow
from teewright.units import FOOT, INCH, KPA, MM, MPA, PSI, SHOWN, shown
from teewright.wall.collar import collar_wall
from teewright.wall.f1216 import x1_1_thickness, x1_2_thickness
from teewright.wall.parts import part_check
from teewright.wall.sensitivity import INPUTS, inputs_of
from teewright.wall.values import CollarCase, CuredWall, Ground, Opening, Part, Rules

SLACK = 1.0 + 1e-9

walls = st.builds(
    CuredWall,
    modulus=st.floats(1e9, 5e9),
    strength=st.floats(20e6, 80e6),
    long_term=st.floats(0.3, 0.8),
    poisson=st.floats(0.2, 0.4),
)
rules = st.builds(Rules, safety_factor=st.floats(1.2, 2.5), enhancement=st.floats(4.0, 8.0))
grounds = st.none() | st.builds(
    Ground,
    cover=st.floats(0.5, 8.0),
    soil_weight=st.floats(16e3, 22e3),
    soil_modulus=st.floats(2e6, 15e6),
    traffic=st.floats(0.0, 3e4),
)


def parts(name: str, least: float, most: float) -> st.SearchStrategy[Part]:
    return st.builds(
        Part,
        name=st.just(name),
        diameter=st.floats(least, most),
        provided=st.floats(0.003, 0.012),
        head=st.floats(-2.0, 8.0),
        ovality=st.floats(0.0, 0.08),
        missing=st.none() | st.floats(0.005, 0.1),
        ground=grounds,
    )


openings = st.builds(
    Opening,
    branch_diameter=st.floats(0.08, 0.2),
    angle=st.floats(math.radians(30.0), math.radians(90.0)),
    broken=st.floats(0.0, 0.02),
    provided=st.floats(0.003, 0.012),
    head=st.floats(-2.0, 8.0),
    inside=st.floats(0.0, 3.0),
)
collars = st.builds(
    CollarCase,
    main=parts("main", 0.2, 0.6),
    branch=parts("branch", 0.1, 0.2),
    opening=openings,
    wall=walls,
    rules=rules,
)


@given(collars)
@settings(max_examples=100, deadline=None)
def test_the_governing_case_is_the_largest(case: CollarCase) -> None:
    found = collar_wall(case)
    for part in found.parts:
        needed = {c.name: c.needed for c in part.cases}
        assert part.required == max(needed.values()) == needed[part.governing]
        assert part.required >= case.rules.least
        assert part.utilisation == part.required / part.provided
    assert found.utilisation == max(part.utilisation for part in found.parts)
    worst = next(part for part in found.parts if part.name == found.governing_part)
    assert (worst.utilisation, worst.governing) == (found.utilisation, found.governing)


@given(collars, st.floats(0.0, 10.0))
@settings(max_examples=100, deadline=None)
def test_more_head_never_thins_the_wall(case: CollarCase, rise: float) -> None:
    higher = INPUTS["head"].move(case, case.main.head + rise)
    for low, high in zip(collar_wall(case).parts, collar_wall(higher).parts, strict=True):
        assert high.required * SLACK >= low.required


@given(collars, st.floats(1.0, 1.8))
@settings(max_examples=100, deadline=None)
def test_a_thicker_wall_is_used_less(case: CollarCase, ratio: float) -> None:
    thicker = INPUTS["thickness"].move(case, case.main.provided * ratio)
    for thin, thick in zip(collar_wall(case).parts, collar_wall(thicker).parts, strict=True):
        assert thick.utilisation <= thin.utilisation * SLACK
        for before, after in zip(thin.cases, thick.cases, strict=True):
            if before.stands is not None and after.stands is not None:
                assert after.stands * SLACK >= before.stands


@given(collars, st.data(), st.floats(0.0, 1.0), st.floats(0.8, 1.0))
@settings(max_examples=200, deadline=None)
def test_between_the_ends_of_a_range_nothing_is_worse_than_at_an_end(
    case: CollarCase, data: st.DataObject, share: float, width: float
) -> None:
    key = data.draw(st.sampled_from(sorted(inputs_of(case))))
    known = inputs_of(case)[key]
    nominal = known.read(case)
    # each end stays inside the range of the equations
    low, high = nominal * width, nominal * (2.0 - width)
    high = min(high, math.pi / 2.0) if key == "angle" else high
    high = min(high, 0.1) if "ovality" in key else high
    high = min(high, 1.0) if key == "long_term" else high
    low = max(low, math.radians(20.0)) if key == "angle" else low
    low, high = min(low, high), max(low, high)
    inner = known.move(case, low + share * (high - low))
    ends = [collar_wall(known.move(case, end)).utilisation for end in (low, high)]
    found = collar_wall(inner).utilisation
    assert min(ends) / SLACK <= found <= max(ends) * SLACK


@given(parts("main", 0.2, 0.6), walls, rules)
@settings(max_examples=100, deadline=None)
def test_a_load_that_just_stands_is_stood(part: Part, wall: CuredWall, rule: Rules) -> None:
    found = part_check(part, wall, rule)
    pressure = 9810.0 * max(part.head, 0.0)
    for case in found.cases[:2]:
        assert case.stands is not None
        # the two ways of asking must agree: thick enough, or strong enough
        if abs(case.needed / part.provided - 1.0) > 1e-6:
            assert (case.needed <= part.provided) == (pressure <= case.stands)


@given(parts("main", 0.2, 0.6), walls, rules, st.floats(0.5, 8.0))
@settings(max_examples=60, deadline=None)
def test_a_host_that_has_given_up_never_asks_for_less(
    part: Part, wall: CuredWall, rule: Rules, cover: float
) -> None:
    ground = Ground(cover=cover, soil_weight=19e3, soil_modulus=7e6, traffic=1e4)
    sound = part_check(replace(part, ground=None), wall, rule)
    fallen = part_check(replace(part, ground=ground), wall, rule)
    assert fallen.required >= sound.required


@given(
    parts("main", 0.2, 0.6),
    walls,
    rules,
    st.floats(0.5, 8.0),
    st.floats(1e6, 2e7),
    st.floats(1.0, 4.0),
)
@settings(max_examples=60, deadline=None)
def test_softer_ground_and_more_traffic_never_thin_the_wall(
    part: Part, wall: CuredWall, rule: Rules, cover: float, modulus: float, times: float
) -> None:
    firm = Ground(cover=cover, soil_weight=19e3, soil_modulus=modulus, traffic=1e4)
    worse = (replace(firm, soil_modulus=modulus / times), replace(firm, traffic=1e4 * times))
    found = part_check(replace(part, ground=firm), wall, rule).required
    for ground in worse:
        assert part_check(replace(part, ground=ground), wall, rule).required * SLACK >= found


def displayed(row: TraceRow) -> float:
    """The value of a row as it is read back from its sheet, in the unit shown there."""
    return float(shown(row.value, row.shown_in).replace("−", "-"))


@given(collars)
@settings(max_examples=60, deadline=None)
def test_what_a_sheet_shows_is_the_value_to_the_last_digit(case: CollarCase) -> None:
    for row in collar_wall(case).trace:
        convert, digits = SHOWN[row.shown_in]
        half = 0.5 * 10.0**-digits
        assert abs(displayed(row) - convert(row.value)) <= half * (1.0 + 1e-6)


@given(
    st.floats(0.5, 100.0),
    st.just(0.0) | st.floats(1e-6, 500.0),
    st.just(0.0) | st.floats(1e-6, 20.0),
)
@settings(max_examples=60, deadline=None)
def test_units_of_the_site_file_come_back(mpa: float, kpa: float, ovality: float) -> None:
    text = (
        "[[runs]]\nupstream = 'A'\ndownstream = 'B'\ndeteriorated = 'fully'\n"
        f"soil_modulus_mpa = {mpa!r}\ntraffic_kpa = {kpa!r}\n"
        "[[connections]]\nrun = 'A-B'\nchainage_m = 1\n"
        f"branch_ovality_percent = {ovality!r}\n"
    )
    site, _ = read_site(text.encode(), file="site.toml")
    run, note = site.runs[0], site.connections[0]
    assert run.soil_modulus is not None
    assert run.traffic is not None
    assert note.branch_ovality is not None
    assert math.isclose(run.soil_modulus / MPA, mpa)
    assert math.isclose(run.traffic / KPA, kpa)
    assert math.isclose(note.branch_ovality * 100.0, ovality)


@given(st.floats(4.0, 40.0), st.floats(5.0, 60.0), st.floats(1e5, 5e5), st.floats(0.01, 0.08))
@settings(max_examples=60, deadline=None)
def test_inches_and_pounds_find_the_same_wall(
    inches: float, feet: float, psi: float, ovality: float
) -> None:
    """The laws hold in any units that agree: solved in inches and psi, without a conversion."""
    head = 62.4279606 / 144.0 * feet  # psi of water, 1000 kg/m3 at standard gravity
    C = ((1.0 - ovality) / (1.0 + ovality) ** 2) ** 3
    ring = (2.0 * 7.0 * psi * C / (head * 2.0 * (1.0 - 0.3**2))) ** (1.0 / 3.0)
    pressure = 1000.0 * 9.80665 * feet * FOOT
    found = x1_1_thickness(
        pressure,
        inches * INCH,
        psi * PSI,
        poisson=0.3,
        ovality=ovality,
        safety_factor=2.0,
        enhancement=7.0,
    )
    assert math.isclose(found / INCH, inches / (ring + 1.0), rel_tol=1e-6)
    strength = 0.01 * psi
    bent = x1_2_thickness(
        pressure, inches * INCH, strength * PSI, ovality=ovality, safety_factor=2.0
    )
    ratio = inches * INCH / MM / (bent / MM)
    left = 1.5 * ovality * (1.0 + ovality) * ratio**2 - 0.5 * (1.0 + ovality) * ratio
    assert math.isclose(left, strength / (head * 2.0), rel_tol=1e-6)
