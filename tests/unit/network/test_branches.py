"""The invert of a branch counts where it can be that of its mouth."""

from dataclasses import replace

import pytest

from teewright.network.branches import branch_rise, unused_inverts
from teewright.network.conditions import ConnectionNote, NodeLevels, Site
from unit.network.writing import Film, connection, finish, survey

FOUND = survey(Film([connection(10.0, "3"), finish(40.0)]))
LEVELS = (NodeLevels("S1", 5.0, 2.0, 4.0), NodeLevels("S2", 5.0, 1.6, 4.0))
BORE = 0.3
"""The main opens from 1.90 to 2.20 m at 10 m of 40 m."""


def noted(invert: float | None, nodes: tuple[NodeLevels, ...] = LEVELS) -> Site:
    return Site(nodes=nodes, connections=(ConnectionNote("S1-S2", 10.0, branch_invert=invert),))


def rise(site: Site) -> tuple[float | None, str]:
    return branch_rise(FOUND, site, FOUND.connections[0], bore=BORE)


@pytest.mark.parametrize(("invert", "wanted"), [(1.9, 0.0), (2.0, 0.1), (2.2, 0.3)])
def test_a_mouth_lies_between_invert_and_crown(invert: float, wanted: float) -> None:
    found, why = rise(noted(invert))
    assert found == pytest.approx(wanted, abs=1e-9)
    assert why == ""


@pytest.mark.parametrize("invert", [1.85, 2.25, 3.5])
def test_a_level_that_is_not_that_of_the_mouth_is_not_used_and_said(invert: float) -> None:
    site = noted(invert)
    found, why = rise(site)
    assert found is None
    assert why == "the main opens from 1.90 to 2.20 m there"
    (finding,) = unused_inverts(FOUND, site, {FOUND.connections[0].id: BORE})
    assert finding.subject == FOUND.connections[0].id
    assert finding.value == f"{invert:g} m"
    assert "safe side" in finding.text


def test_without_the_level_of_the_main_it_is_not_used_and_said() -> None:
    site = noted(2.0, nodes=(replace(LEVELS[0], invert=None), LEVELS[1]))
    assert rise(site) == (None, "the level of the main there is not known")
    assert unused_inverts(FOUND, site, {}) == ()


def test_nothing_told_is_nothing_said() -> None:
    assert rise(noted(None)) == (None, "")
    assert rise(Site()) == (None, "")
    assert unused_inverts(FOUND, noted(None), {FOUND.connections[0].id: BORE}) == ()
