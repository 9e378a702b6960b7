"""What the collar sheet tells of the batch and of what gave the pressure."""

from dataclasses import replace

import pytest

from teewright.job.values import Design
from teewright.pressure.ends import BRANCH, BRANCH_RING, CRACKED, LINER, SOUND
from teewright.report.index import JobIndex
from teewright.report.sheets import appendix, collar
from teewright.resin.amount_values import Filling
from unit.report.sample import make_job


def sheet(**changes: object) -> dict[str, object]:
    """Body of the sheet of the first design, changed so."""
    job = make_job()
    first, *others = job.designs.designs
    changed: Design = replace(first, **changes)  # type: ignore[arg-type]
    one = JobIndex(replace(job, designs=replace(job.designs, designs=(changed, *others))))
    return collar.sheets(one, appendix.build(one))[0].body  # type: ignore[return-value]


def batch(body: dict[str, object]) -> dict[str, str]:
    rows = body["batch"]
    assert isinstance(rows, list)
    return dict(rows)


def test_the_parts_are_told_by_mass_and_by_volume() -> None:
    resin = make_job().designs.designs[0].resin
    told = batch(sheet())
    assert told["Part A, kg / l"] == f"{resin.mass_a:.2f} / {1e3 * resin.volume_a:.2f}"
    assert told["Part B, kg / l"] == f"{resin.mass_b:.2f} / {1e3 * resin.volume_b:.2f}"
    assert told["To mix, kg / l"] == f"{resin.mass:.2f} / {1e3 * resin.volume:.2f}"
    assert told["Left in the last"] == f"{resin.left_over:.2f} kg"


def test_voids_in_the_batch_are_named() -> None:
    resin = make_job().designs.designs[0].resin
    void = Filling("annulus", 0.15e-3, "camera")
    told = batch(sheet(resin=replace(resin, fillings=(void,), filling=0.15e-3)))
    assert "To mix, 0.15 l in voids" in told
    assert "To mix, kg / l" not in told


@pytest.mark.parametrize(
    ("forming", "limit", "words"),
    [
        ("forming as simulated", LINER, "simulated; most: liner"),
        ("forming by formula", "rating of packer X", "by formula; most: packer"),
        ("forming by formula: it never lay", CRACKED, "by formula; most: cracked host"),
        ("forming as simulated", SOUND, "simulated; most: host"),
        ("forming as simulated", BRANCH, "simulated; most: branch pipe"),
        ("forming as simulated", BRANCH_RING, "simulated; most: branch pipe"),
        ("", "anything else", "bar; most: anything else"),
    ],
)
def test_the_pressure_says_what_formed_it_and_what_limits_it(
    forming: str, limit: str, words: str
) -> None:
    window = make_job().designs.designs[0].pressure
    assert collar._governs(replace(window, forming=forming, high_governs=limit)) == words
