"""Properties of the cure: any resin, any layers."""

import math
from dataclasses import replace

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from teewright.formats.cure_csv import read_cure
from teewright.heat.batch import Pack, Spread, in_pack, on_packer
from teewright.heat.layers import Layer, Side
from teewright.heat.wall import State, Wall, cure_in_place
from teewright.kit.cure import CureSeries
from teewright.resin.governing import governed
from teewright.resin.kinetics import Kinetics, conversion, time_along, time_to
from teewright.resin.path import Path, steady
from teewright.resin.times import cure_times
from teewright.units import celsius
from unit.resin.samples import RESIN

temperatures = st.floats(275.0, 315.0)
films = st.one_of(st.just(0.0), st.floats(1.0, 500.0))


@st.composite
def resins(draw: st.DrawFn) -> Kinetics:
    """A resin with a working time of 5 min to 5 h at 20 degrees."""
    e1, e2 = draw(st.floats(0.0, 90e3)), draw(st.floats(0.0, 90e3))
    shape = Kinetics(
        math.exp(e1 / 8.314 / 293.0) * draw(st.floats(0.01, 10.0)),
        e1,
        math.exp(e2 / 8.314 / 293.0),
        e2,
        draw(st.floats(0.3, 2.0)),
        draw(st.floats(0.8, 3.0)),
        0.5,
        0.85,
        draw(st.floats(1e5, 4.5e5)),
        (260.0, 330.0),
    )
    slow = float(time_to(shape, 0.5, 293.0)) / draw(st.floats(300.0, 18000.0))
    return replace(shape, a1=shape.a1 * slow, a2=shape.a2 * slow)


@st.composite
def layers(draw: st.DrawFn, resin: float = 0.0) -> Layer:
    density = draw(st.floats(800.0, 2500.0))
    return Layer(
        "layer",
        draw(st.floats(0.001, 0.03)),
        draw(st.floats(0.05, 5.0)),
        density,
        draw(st.floats(600.0, 2500.0)),
        resin * density,
    )


@st.composite
def walls(draw: st.DrawFn) -> Wall:
    inside = draw(st.lists(layers(), max_size=2))
    outside = draw(st.lists(layers(), max_size=3))
    collar = draw(layers(resin=draw(st.floats(0.3, 1.0))))
    fluid = Path((0.0, 1200.0, 1800.0), tuple(draw(temperatures) for _ in range(3)))
    return Wall(
        draw(st.floats(0.02, 0.5)),
        (*inside, collar, *outside),
        Side(draw(films), fluid),
        Side(draw(films), steady(draw(temperatures))),
        draw(temperatures),
    )


@given(resins(), walls(), temperatures, st.floats(0.0, 0.4))
@settings(max_examples=60, deadline=None)
def test_no_heat_is_lost(k: Kinetics, wall: Wall, start: float, done: float) -> None:
    cure = cure_in_place(k, wall, State(done, start), hold=7200.0)
    assert abs(cure.imbalance) < 1e-3
    assert np.all(np.diff(cure.conversions, axis=0) >= -1e-6)
    assert cure.conversions.max() <= 1.0 + 1e-12


@given(resins(), temperatures, st.floats(0.0, 20.0))
@settings(max_examples=100, deadline=None)
def test_warmer_never_works_longer_at_a_steady_temperature(
    k: Kinetics, temperature: float, more: float
) -> None:
    cool, warm = time_to(k, k.gel, np.array([temperature, temperature + more]), beyond=True)
    assert warm <= cool * (1.0 + 1e-9)


@given(resins(), st.lists(temperatures, min_size=2, max_size=4), st.floats(0.0, 15.0))
@settings(max_examples=40, deadline=None)
def test_warmer_never_works_longer_along_a_path(
    k: Kinetics, heats: list[float], more: float
) -> None:
    path = Path(tuple(600.0 * i for i in range(len(heats))), tuple(heats))
    cool = time_along(k, k.gel, path, beyond=True)
    warm = time_along(k, k.gel, path.shifted(more), beyond=True)
    assert warm <= cool * (1.0 + 1e-6)


@given(resins(), temperatures, st.floats(1.0, 15.0), st.floats(0.003, 0.1))
@settings(max_examples=40, deadline=None)
def test_warmer_air_and_mix_never_work_longer_in_a_pack(
    k: Kinetics, temperature: float, more: float, radius: float
) -> None:
    pack = Pack(radius, 0.2, 1150.0, 1700.0)
    cool, warm = (
        in_pack(k, pack, State(0.0, T), steady(T), duration=8 * 3600.0, cells=6).gel
        for T in (temperature, temperature + more)
    )
    assert warm <= cool * (1.0 + 1e-3) or warm == cool


@given(resins(), temperatures, st.floats(0.001, 0.01))
@settings(max_examples=40, deadline=None)
def test_its_own_heat_never_makes_it_slower(
    k: Kinetics, temperature: float, thickness: float
) -> None:
    spread = Spread(thickness, 1150.0, 1600.0, 900.0)
    held = float(time_to(k, k.gel, temperature, beyond=True))
    batch = on_packer(
        k, spread, State(0.0, temperature), steady(temperature), since=0.0, duration=2.0 * held
    )
    assert batch.gel <= held * (1.0 + 2e-3)


@given(resins(), temperatures, st.floats(0.05, 0.95))
@settings(max_examples=60, deadline=None)
def test_the_march_and_the_integral_agree(k: Kinetics, temperature: float, wanted: float) -> None:
    time = float(time_to(k, wanted, temperature, beyond=True))
    assume(time < 1e7)
    found = conversion(k, np.array([time]), steady(temperature), beyond=True)
    assert abs(float(found[0]) - wanted) < 1e-4


@st.composite
def sampled_series(draw: st.DrawFn) -> CureSeries:
    """A series as a laboratory may read it, in SI units."""
    steps = draw(st.lists(st.floats(1.0, 3600.0), min_size=1, max_size=8))
    values = draw(st.lists(st.floats(0.0, 1.0), min_size=len(steps), max_size=len(steps)))
    flow = draw(st.booleans())
    return CureSeries(
        "S",
        draw(st.floats(265.0, 390.0)),
        tuple(float(t) for t in np.cumsum(steps)),
        () if flow else tuple(values),
        tuple(5e3 * v for v in values) if flow else (),
    )


@given(sampled_series(), st.booleans(), st.sampled_from([";", ","]))
@settings(max_examples=60, deadline=None)
def test_readings_come_back_from_the_units_in_which_they_are_written(
    one: CureSeries, seconds: bool, delimiter: str
) -> None:
    time, unit = ("time_s", 1.0) if seconds else ("time_min", 60.0)
    kind, scale = ("heat_flow_w_g", 1e3) if one.heat_flows else ("conversion", 1.0)
    values = one.heat_flows or one.conversions
    lines = [delimiter.join(("series", "temperature_c", time, kind))]
    for t, v in zip(one.times, values, strict=True):
        cells = ["S", *(f"{x:.12f}" for x in (celsius(one.temperature), t / unit, v / scale))]
        decimal = "," if delimiter == ";" else "."
        lines.append(delimiter.join(cell.replace(".", decimal) for cell in cells))
    (back,), findings = read_cure("\n".join(lines).encode(), file="c.csv")
    assert findings == ()
    assert abs(back.temperature - one.temperature) < 1e-9
    np.testing.assert_allclose(back.times, one.times, atol=1e-8)
    np.testing.assert_allclose(back.heat_flows or back.conversions, values, atol=1e-8)


@given(st.floats(60.0, 7200.0), st.one_of(st.floats(60.0, 40000.0), st.just(math.inf)))
@settings(max_examples=100, deadline=None)
def test_no_deadline_is_looser_than_the_data_sheets_or_the_computed_one(
    latest: float, release: float
) -> None:
    sheet = cure_times(RESIN, mix_temperature=288.15, cure_temperature=285.15, spare_share=0.2)
    used = governed(sheet, latest=latest, release=release)
    assert used.latest_inflation <= min(latest, sheet.latest_inflation)
    assert used.release_time >= sheet.release_time
    assert not math.isfinite(release) or used.release_time >= release
    assert used.release_time > used.latest_inflation
    # the crew's tables never show a time looser than the deadline that they are made about
    assert all(t <= sheet_t for (_, t), (_, sheet_t) in zip(
        used.working_table, sheet.working_table, strict=True))  # fmt: skip
    assert all(t >= sheet_t for (_, t), (_, sheet_t) in zip(
        used.release_table, sheet.release_table, strict=True))  # fmt: skip
