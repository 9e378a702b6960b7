"""Levels that water in a main must not reach, found at their connections."""

from dataclasses import replace

import pytest

from teewright.errors import InputError
from teewright.network.backwater import backwater_levels, check_backwater
from teewright.network.conditions import ConnectionNote
from teewright.network.levels import connection_levels
from unit.job import world

NAME = "T03-T04/02"


def note(level: float | None, off: float = 0.0) -> ConnectionNote:
    at = world.survey().connection(NAME).chainage + off
    return ConnectionNote("T03-T04", at, backwater=level)


def test_a_level_belongs_to_the_connection_next_to_its_note() -> None:
    site = replace(world.site(), connections=(note(21.3, 0.2), note(None)))
    assert backwater_levels(world.survey(), site) == {NAME: 21.3}
    far = replace(site, connections=(note(21.3, 3.0),))
    assert backwater_levels(world.survey(), far) == {}


def test_a_level_below_the_main_is_refused_in_one_sentence() -> None:
    survey, site = world.survey(), world.site()
    invert = connection_levels(survey, site, survey.connection(NAME)).invert
    assert invert is not None
    check_backwater(survey, replace(site, connections=(note(invert + 0.001),)))
    low = replace(site, connections=(note(invert - 0.01),))
    with pytest.raises(InputError, match=r"backwater_level_m of T03-T04/02.*below the invert") as e:
        check_backwater(survey, low)
    assert f"{invert:.2f} m" in str(e.value)


def test_a_level_where_the_main_is_not_known_is_let_through() -> None:
    survey, site = world.survey(), world.site()
    bare = tuple(replace(n, invert=None) for n in site.nodes)
    check_backwater(survey, replace(site, nodes=bare, connections=(note(-3.0),)))
