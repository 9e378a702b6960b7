"""Connections that stand too near each other."""

from dataclasses import replace

import pytest

from teewright.findings import FindingKind
from teewright.job.neighbours import neighbour_findings
from teewright.job.values import Designs
from teewright.network.values import Survey
from unit.job import world

ONE, OTHER = "T01-T02/01", "T01-T02/02"


@pytest.fixture(scope="module")
def designs() -> Designs:
    return world.designs()


def moved(apart: float) -> Survey:
    """The survey with the second connection that far from the first [m]."""
    survey = world.survey()
    first = survey.connection(ONE)
    return replace(
        survey,
        connections=tuple(
            replace(c, chainage=first.chainage + apart) if c.id == OTHER else c
            for c in survey.connections
        ),
    )


def rules(apart: float, designs: Designs, *, sealed: bool) -> list[str]:
    made = [d for d in designs.designs if d.connection_id == ONE or sealed]
    made = [d for d in made if d.connection_id in {ONE, OTHER}]
    found = neighbour_findings(moved(apart), world.kit(), made, {OTHER: 0.15})
    assert all(f.kind is FindingKind.DOUBT for f in found)
    return [f.rule for f in found]


def test_the_town_stands_far_enough_apart(designs: Designs) -> None:
    assert not {f.rule for f in designs.findings} & {
        "collars-overlap",
        "collar-over-opening",
        "packer-over-opening",
    }


@pytest.mark.parametrize(
    ("apart", "expected"),
    [
        # the sleeve is 420 mm, the packer 1250 mm long
        (0.0, ["collars-overlap"]),
        (0.41, ["collars-overlap"]),
        (0.43, ["packer-over-opening", "packer-over-opening"]),
        (0.90, []),
    ],
)
def test_two_that_are_both_sealed(designs: Designs, apart: float, expected: list[str]) -> None:
    assert rules(apart, designs, sealed=True) == expected


@pytest.mark.parametrize(
    ("apart", "expected"),
    [
        (0.28, ["collar-over-opening"]),
        (0.29, ["packer-over-opening"]),
        (0.69, ["packer-over-opening"]),
        (0.71, []),
    ],
)
def test_beside_one_that_is_not_sealed(designs: Designs, apart: float, expected: list[str]) -> None:
    assert rules(apart, designs, sealed=False) == expected
