"""Resin of a collar, from the thickness that its pieces have when formed."""

import math
from dataclasses import replace

import pytest

from collar_shapes import FABRIC, made, order, tee
from teewright.job.amounts import BEYOND, resin_of
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
