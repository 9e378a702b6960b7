"""Properties of the cure: any resin, any layers."""

import math
from dataclasses import replace

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from teewright.heat.batch import Pack, Spread, in_pack, on_packer
from teewright.heat.layers import Layer, Side
from teewright.heat.wall import State, Wall, cure_in_place
from teewright.resin.kinetics import Kinetics, conversion, time_along, time_to
from teewright.resin.path import Path, steady

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
