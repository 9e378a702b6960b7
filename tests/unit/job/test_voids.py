"""The resin that a pressed fabric holds: for mixing, for its heat and on the formed collar."""

from dataclasses import replace

import numpy as np
import pytest

from collar_shapes import made
from teewright.heat.situation import Situation
from teewright.job.amounts import resin_of
from teewright.job.beginning import Begun, begin
from teewright.job.collars import orders_for
from teewright.job.curing import in_place, situation_of
from teewright.job.resolve import resolve
from teewright.kit.values import Kit
from teewright.resin.amount_values import ResinAmount
from teewright.resin.path import steady
from teewright.units import kelvin
from unit.job import world

UNLOADED = 0.0
"""Pressure at which the voids of a fabric may have been measured [Pa]."""


def kit_of(void_pressure: float | None) -> Kit:
    kit = world.kit()
    pressed = replace(kit.fabric, void_pressure=void_pressure)
    return replace(kit, fabrics=(pressed, *kit.fabrics[1:]))


def begun_with(kit: Kit) -> Begun:
    survey, site = world.survey(), world.site()
    return begin("T1/1", resolve(survey, site, survey.connections[0]), kit)


def holding(kit: Kit) -> tuple[float, Situation, ResinAmount]:
    """Void fraction of the landed collar, situation of its cure and what is mixed for it."""
    begun = begun_with(kit)
    (order,) = orders_for({"T1/1": begun}, kit).values()
    one, soaked = made(order), order.thickness * order.stretch**2
    mixed = resin_of(one, order.fabric, kit.resin, soaked=soaked, loss=kit.rules.loss)
    place = in_place(begun.inputs, order.thickness, mixed.void_fraction)
    mild = kelvin(15.0)
    cure = situation_of(kit, place, steady(mild), mixed=mild, ground=mild, inflation=900.0)
    landing = one.collar.landing
    shares = np.array(landing.resin)[[0, 2]] / np.array(landing.thickness)
    assert shares[0] == pytest.approx(shares[1])
    return float(shares[0]), cure, mixed


def test_all_that_holds_resin_holds_as_much_of_it() -> None:
    kit = kit_of(UNLOADED)
    landed, cure, mixed = holding(kit)
    assert landed < kit.fabric.void_fraction
    assert mixed.void_fraction == pytest.approx(landed)
    wall = cure.wall.layers[cure.wall.collar()]
    for soaked in (wall.resin, cure.spread.resin):
        assert soaked == pytest.approx(kit.resin.density * landed)


def test_the_fibre_of_the_unloaded_fabric_is_still_there() -> None:
    kit = kit_of(UNLOADED)
    landed, _, _ = holding(kit)
    (order,) = orders_for({"T1/1": begun_with(kit)}, kit).values()
    unloaded = kit.fabric.thickness[0][1]
    fibre = (1.0 - landed) * order.thickness * order.stretch**2
    assert fibre == pytest.approx((1.0 - kit.fabric.void_fraction) * unloaded)


def test_where_no_pressure_is_told_the_share_is_that_declared() -> None:
    kit = kit_of(None)
    landed, cure, mixed = holding(kit)
    assert landed == pytest.approx(kit.fabric.void_fraction)
    assert mixed.void_fraction == pytest.approx(kit.fabric.void_fraction)
    assert cure.spread.resin == pytest.approx(kit.resin.density * kit.fabric.void_fraction)
