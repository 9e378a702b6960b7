"""Neighbours too near: what a collar or its packer reaches besides its own connection.

A collar is a whole ring of the main, so that the clock position does not matter here.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from teewright.findings import Finding, FindingKind
from teewright.job.values import Design
from teewright.kit.values import Kit
from teewright.network.values import Connection, Survey
from teewright.units import MM


@dataclass(frozen=True, slots=True)
class Reach:
    """What one design takes up along its main, each side of its connection.

    Attributes:
        collar: Half the length of the collar [m].
        packer: Half the length of the packer [m].
    """

    collar: float
    packer: float


def neighbour_findings(
    survey: Survey, kit: Kit, designs: Iterable[Design], branches: Mapping[str, float]
) -> tuple[Finding, ...]:
    """Doubts about connections of one run that stand too near each other.

    Chainages are those of the survey, which may be wrong by tenths of a metre: measure before
    a collar is made.

    Args:
        survey: Reconciled survey.
        kit: The packers.
        designs: Designs made.
        branches: Connection id -> inner diameter of its branch, where it is known [m].
    """
    lengths = {p.name: p.length for p in kit.packers}
    reaches = {
        d.connection_id: Reach(d.collar.sleeve_length / 2.0, lengths[d.packers[0]] / 2.0)
        for d in designs
    }
    found: list[Finding] = []
    for run in survey.runs:
        found += _of_run(survey.of_run(run.id), reaches, branches)
    return tuple(found)


def _of_run(
    connections: Sequence[Connection], reaches: Mapping[str, Reach], branches: Mapping[str, float]
) -> Iterable[Finding]:
    for one, other in combinations(connections, 2):
        apart = abs(one.chainage - other.chainage)
        first, second = reaches.get(one.id), reaches.get(other.id)
        if first and second and apart < first.collar + second.collar:
            yield _near(
                "collars-overlap",
                one,
                other,
                apart,
                "their collars overlap: one collar for both, shorter ones, or the second set in "
                "the bore that the first leaves",
            )
            continue
        for mine, reach, its in ((one, first, other), (other, second, one)):
            if reach:
                half = branches.get(its.id, 0.0) / 2.0
                yield from _over_opening(mine, its, reach, apart - half, apart)


def _over_opening(
    mine: Connection, its: Connection, reach: Reach, edge: float, apart: float
) -> Iterable[Finding]:
    if edge < reach.collar:
        text = "the collar of the first would close the second, which is not to be sealed"
        yield _near("collar-over-opening", mine, its, apart, text)
    elif edge < reach.packer:
        text = (
            "the packer of the first covers the opening of the second: its flow is shut in and "
            "the bladder is not held there"
        )
        yield _near("packer-over-opening", mine, its, apart, text)


def _near(rule: str, mine: Connection, its: Connection, apart: float, text: str) -> Finding:
    return Finding(
        FindingKind.DOUBT,
        rule,
        f"{mine.id} and {its.id} are {apart / MM:.0f} mm apart; {text}",
        value=f"{apart / MM:.0f} mm",
        subject=mine.id,
    )
