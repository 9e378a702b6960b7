"""Resin of a collar, from the thickness that its pieces have when formed."""

import math
from dataclasses import replace

import pytest

from collar_shapes import FABRIC, made, order, tee
from teewright.job.amounts import BEYOND, resin_of
from teewright.resin.amount_values import Filling
from teewright.trace import Origin
from unit.resin.samples import RESIN

MADE = made(order(tee(0.2, 0.1, 60.0)))


def test_stretching_spreads_the_same_voids() -> None:
    """Fabric as cut times its thickness as cut holds as much as the thinner formed one."""
    found = resin_of(MADE, FABRIC, RESIN, soaked=0.0044, loss=0.0)
    as_cut = MADE.collar.fabric_area * 0.0044 * FABRIC.void_fraction
    assert found.volume == pytest.approx(as_cut, rel=2e-3)  # wrinkled triangles are told thicker


def test_every_piece_and_what_is_cut_beside_it_has_a_line() -> None:
    found = resin_of(MADE, FABRIC, RESIN, soaked=0.0044, loss=0.1)
    assert [p.name for p in found.panels] == [p.name for p in MADE.collar.panels] + [BEYOND]
    formed = math.fsum(p.area for p in found.panels[:-1])
    assert formed == pytest.approx(MADE.collar.formed_area, rel=0.02)
    assert all(p.thickness < 0.0044 for p in found.panels[:-1])
    assert found.panels[-1].thickness == 0.0044


def test_a_thicker_fabric_takes_more_in_proportion() -> None:
    thin, thick = (resin_of(MADE, FABRIC, RESIN, soaked=t, loss=0.1) for t in (0.0040, 0.0050))
    assert thick.volume == pytest.approx(1.25 * thin.volume)


def test_voids_measured_under_less_pressure_are_pressed_out() -> None:
    """The fibre keeps its volume: what is left of the thickness holds resin."""
    measured = replace(FABRIC, void_pressure=0.0)  # 5 mm there
    found = resin_of(MADE, measured, RESIN, soaked=0.0040, loss=0.0)
    fibre = (1.0 - FABRIC.void_fraction) * 0.0050
    assert found.panels[-1].volume == pytest.approx(found.panels[-1].area * (0.0040 - fibre))


def test_the_fibre_that_the_kit_tells_weighs_the_soaked_collar() -> None:
    light, heavy = (
        resin_of(MADE, replace(FABRIC, fibre_density=d), RESIN, soaked=0.0044, loss=0.0)
        for d in (900.0, 2500.0)
    )
    share = 1.0 - FABRIC.void_fraction
    assert heavy.saturated_density - light.saturated_density == pytest.approx(1600.0 * share)


def test_declared_voids_are_filled_and_their_source_is_told() -> None:
    void = Filling("annulus", 0.2e-3, "camera")
    none = resin_of(MADE, FABRIC, RESIN, soaked=0.0044, loss=0.1)
    found = resin_of(MADE, FABRIC, RESIN, soaked=0.0044, loss=0.1, fillings=(void,))
    assert found.volume - none.volume == pytest.approx(0.2e-3 / 0.9)
    row = next(r for r in found.trace if r.symbol == "V_f")
    assert (row.value, row.source) == (0.2e-3, "annulus: camera")


def test_a_ratio_by_volume_is_told_as_the_one_given() -> None:
    by_volume = RESIN.ratio_mass * RESIN.density_a / RESIN.density_b
    both = replace(RESIN, ratio_volume=1.01 * by_volume)
    alone = replace(RESIN, ratio_volume=by_volume, by_volume=True)
    rows = [
        {r.symbol: r for r in resin_of(MADE, FABRIC, r, soaked=0.0044, loss=0.0).trace}
        for r in (RESIN, both, alone)
    ]
    assert "r_V,d" not in rows[0]
    assert rows[0]["r_V"].value == pytest.approx(by_volume)
    assert rows[1]["δ_V"].value == pytest.approx(0.01)
    assert (rows[1]["r_m"].origin, rows[2]["r_m"].origin) == (Origin.TABLE, Origin.COMPUTED)
    assert rows[2]["r_V,d"].origin is Origin.TABLE
    assert "r_V" not in rows[2]


def test_the_batch_by_volume_is_the_batch_by_mass() -> None:
    found = resin_of(MADE, FABRIC, RESIN, soaked=0.0044, loss=0.1)
    assert found.volume_a * RESIN.density_a == pytest.approx(found.mass_a)
    assert found.volume_b * RESIN.density_b == pytest.approx(found.mass_b)
    assert found.packs * RESIN.pack_mass - found.mass == pytest.approx(found.left_over)
