"""Cautions that go with the energy in an inflated packer."""

import math
from dataclasses import replace

import pytest

from teewright.job.cautions import cautions
from teewright.pressure.stand_off import blast_distance
from teewright.pressure.window import window_of
from unit.pressure.test_case import PLAIN
from unit.resin.samples import PACKER, RESIN

WINDOW = window_of(PLAIN)


def said(window: object = WINDOW) -> str:
    return dict(cautions(RESIN, PACKER, window, 3600.0))["Pressurised packer."]  # type: ignore[arg-type]


def test_the_distance_is_told_with_what_it_does_not_cover() -> None:
    assert WINDOW.stand_off is not None
    blast = blast_distance(max(WINDOW.stand_off.isothermal, WINDOW.stand_off.adiabatic))
    up = math.ceil(10.0 * blast) / 10.0  # never rounded down
    text = said()
    assert f"{up:.1f} m for blast, 30 m at least" in text
    assert "flying parts not covered" in text
    assert "No standard sets a distance" in text
    assert "read second-hand" in text
    assert "nobody in line with it" in text


def test_it_promises_no_safety() -> None:
    assert "safe" not in said().casefold()


@pytest.mark.parametrize("window", [replace(WINDOW, stand_off=None)])
def test_a_window_without_a_stand_off_still_warns(window: object) -> None:
    text = said(window)
    assert "nobody in line with it" in text
    assert "ASME" not in text
