"""A collar formed off its place: the same panels, other limits."""

import math
from functools import lru_cache

import numpy as np
import pytest

from collar_shapes import QUICK, order, tee
from teewright.collar.making import Designed, design, made_of, make_collar
from teewright.collar.placing import place
from teewright.collar.tolerance import Case
from teewright.errors import GeometryError

JUNCTION = tee(0.2, 0.1, 60.0)


@lru_cache(maxsize=1)
def designed() -> Designed:
    return design(order(JUNCTION), effort=QUICK)


def test_designing_and_finishing_are_the_halves_of_making() -> None:
    assert made_of(designed()) == make_collar(order(JUNCTION), effort=QUICK)


def test_at_its_place_it_lands_where_it_was_designed() -> None:
    placed = place(designed(), Case())
    there = np.array(made_of(designed()).map.points)
    moved = np.linalg.norm(np.array(placed.map.points) - there, axis=1)
    # the design was formed slowly, this is the usual run: no farther apart than that tells
    assert float(moved.max()) <= made_of(designed()).collar.landing.drift + 1e-6
    assert placed.kept


def test_off_along_the_main_the_sleeve_follows_the_packer() -> None:
    off = 0.008
    plain, placed = place(designed(), Case()), place(designed(), Case(along=off))
    x = [np.array(each.map.points)[:, 0] for each in (plain, placed)]
    ends = [(float(each.min()), float(each.max())) for each in x]
    # far from the branch nothing holds the sleeve back
    assert ends[1][0] - ends[0][0] == pytest.approx(off, abs=0.003)
    assert ends[1][1] - ends[0][1] == pytest.approx(off, abs=0.003)
    assert placed.limits[2].value > plain.limits[2].value


def test_turned_both_ways_it_lands_in_mirror_images() -> None:
    one, other = (place(designed(), Case(round=math.radians(way * 5.0))) for way in (1, -1))
    for a, b in zip(one.limits, other.limits, strict=True):
        assert a.value == pytest.approx(b.value, rel=0.05, abs=2e-4)
    # two halves that land unlike need a whole mesh; its pieces lie where its outlines lie
    for panel in one.panels:
        flat = next(np.array(f[1]) for f in one.map.flats if f[0] == panel.name)
        cut = np.array(panel.cut)
        assert (flat.min(axis=0) >= cut.min(axis=0) - 1e-6).all()
        assert (flat.max(axis=0) <= cut.max(axis=0) + 1e-6).all()


def test_a_junction_that_cannot_be_is_refused() -> None:
    with pytest.raises(GeometryError):
        place(designed(), Case(fillet=0.2))
