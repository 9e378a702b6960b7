from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.errors import InputError, RangeError
from teewright.resin.amount import (
    amount,
    panel_of,
    ratio_check,
    saturated_density,
    void_fraction_at,
)
from teewright.resin.amount_values import Filling, Panel, ResinAmount
from teewright.resin.uptake import thickness_at
from teewright.trace import Origin
from teewright.units import SHOWN
from unit.resin.samples import FABRIC, RESIN

MAIN, BRANCH = Panel("main", 0.30, 4.2e-3), Panel("branch", 0.09, 4.4e-3)
EDGE = Filling("annulus at the cut edge", 5e-5, "gap of 1 mm, 0.5 m long, 0.1 m deep")


def found(
    *panels: Panel, loss: float = 0.1, void: float = 0.84, fillings: tuple[Filling, ...] = (EDGE,)
) -> ResinAmount:
    return amount(
        panels or (MAIN, BRANCH),
        RESIN,
        void_fraction=void,
        fibre_density=1380.0,
        fillings=fillings,
        loss=loss,
    )


def test_the_amount_by_hand() -> None:
    result = found()
    in_fabric = 0.84 * (0.30 * 4.2e-3 + 0.09 * 4.4e-3)
    assert result.in_fabric == pytest.approx(in_fabric)
    assert result.volume == pytest.approx((in_fabric + 5e-5) / 0.9)
    assert result.lost == pytest.approx(result.volume - in_fabric - 5e-5)
    assert result.mass == pytest.approx(1140.0 * result.volume)
    assert [panel.volume for panel in result.panels] == pytest.approx(
        [0.84 * 0.30 * 4.2e-3, 0.84 * 0.09 * 4.4e-3]
    )


@given(
    st.lists(st.tuples(st.floats(1e-3, 0.5), st.floats(1e-3, 0.02)), min_size=1, max_size=6),
    st.floats(0.3, 0.95),
    st.floats(0.0, 0.5),
)
@settings(max_examples=60, deadline=None)
def test_mass_and_volume_are_conserved(
    pieces: list[tuple[float, float]], void: float, loss: float
) -> None:
    panels = tuple(Panel(str(i), a, t) for i, (a, t) in enumerate(pieces))
    result = found(*panels, loss=loss, void=void)
    assert result.in_fabric + result.filling + result.lost == pytest.approx(result.volume)
    assert result.mass_a + result.mass_b == pytest.approx(result.mass)
    assert result.volume_b == pytest.approx(result.ratio_volume * result.volume_a)
    assert result.mass + result.left_over == pytest.approx(result.packs * RESIN.pack_mass)
    assert 0.0 <= result.left_over < RESIN.pack_mass
    bulk = sum(a * t for a, t in pieces)
    fibre = (1.0 - void) * bulk * 1380.0
    assert result.saturated_mass == pytest.approx(fibre + result.in_fabric * RESIN.density)


def test_triangles_keep_their_volume() -> None:
    rng = np.random.default_rng(7)
    areas, thicknesses = rng.uniform(1e-5, 1e-4, 500), rng.uniform(3e-3, 5e-3, 500)
    panel = panel_of("main", areas.tolist(), thicknesses.tolist())
    assert panel.area == pytest.approx(float(areas.sum()))
    assert panel.area * panel.thickness == pytest.approx(float(areas @ thicknesses))


def test_pressed_fabric_keeps_its_fibre() -> None:
    measured = replace(FABRIC, void_pressure=50e3)
    pressed = thickness_at(FABRIC, 150e3)
    fibre = (1.0 - FABRIC.void_fraction) * thickness_at(FABRIC, 50e3)
    assert (1.0 - void_fraction_at(measured, pressed)) * pressed == pytest.approx(fibre)
    assert void_fraction_at(measured, thickness_at(FABRIC, 50e3)) == pytest.approx(0.85)
    assert void_fraction_at(FABRIC, pressed) == FABRIC.void_fraction


def test_a_fabric_pressed_to_solid_fibre_is_refused() -> None:
    solid = replace(FABRIC, void_fraction=0.3, void_pressure=0.0)
    with pytest.raises(RangeError, match="under pressure"):
        void_fraction_at(solid, 0.68 * thickness_at(FABRIC, 0.0))


def test_density_between_its_parts() -> None:
    assert saturated_density(0.85, 1140.0, 1380.0) == pytest.approx(0.85 * 1140.0 + 0.15 * 1380.0)
    assert saturated_density(0.5, 1200.0, 1200.0) == pytest.approx(1200.0)


def test_a_ratio_by_volume_that_contradicts_the_one_by_mass_is_told() -> None:
    # 0.4 kg of B to 1 kg of A: 0.4/1000 to 1/1200 m3
    assert ratio_check(RESIN).by_volume == pytest.approx(0.48)
    assert ratio_check(RESIN, 0.48).agree
    wrong = ratio_check(RESIN, 0.40)
    assert not wrong.agree
    assert wrong.difference == pytest.approx(0.40 / 0.48 - 1.0)
    result = amount(
        (MAIN,), RESIN, void_fraction=0.84, fibre_density=1380.0, loss=0.1, declared_ratio=0.40
    )
    assert not result.ratio_agrees
    assert {"r_V,d", "δ_V"} <= {row.symbol for row in result.trace}


def test_the_rows_can_be_shown_and_are_each_once() -> None:
    rows = found().trace
    assert all(row.shown_in in SHOWN for row in rows)
    assert len({row.symbol for row in rows}) == len(rows)
    assert all(row.formula for row in rows if row.origin is Origin.COMPUTED)
    values = {row.symbol: row.value for row in rows}
    assert values["A_f"] * values["t"] * values["n"] == pytest.approx(values["V_v"])
    assert EDGE.note in next(row.source for row in rows if row.symbol == "V_f")


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(InputError, match="panels"):
        amount((), RESIN, void_fraction=0.84, fibre_density=1380.0, loss=0.1)
    with pytest.raises(InputError, match="no note"):
        found(fillings=(Filling("root hole", 1e-4, " "),))
    with pytest.raises(InputError, match="triangles of panel x"):
        panel_of("x", [1.0], [])
    with pytest.raises(InputError, match="area of panel x"):
        panel_of("x", [0.0], [1e-3])
    with pytest.raises(RangeError, match="thickness of panel main"):
        found(replace(MAIN, thickness=0.0))
    with pytest.raises(RangeError, match="volume of filling"):
        found(fillings=(replace(EDGE, volume=-1e-6),))
    with pytest.raises(RangeError, match="loss"):
        found(loss=1.0)
    with pytest.raises(RangeError, match="density of the fibre"):
        saturated_density(0.8, 1140.0, 100.0)
