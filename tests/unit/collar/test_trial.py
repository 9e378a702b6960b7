"""A case of a misplaced packer or another junction, judged by one forming run."""

import pytest

from collar_shapes import order, sewn, tee, tried
from teewright.collar import trial
from teewright.collar.landing import GAP_BEHIND
from teewright.collar.tolerance import Case
from teewright.collar.trial import IMPOSSIBLE, judge

ORDER = order(tee(0.2, 0.1, 60.0))


def test_the_design_itself_is_kept() -> None:
    assert judge(sewn(ORDER), Case()) == ""


def test_a_packer_far_from_its_place_breaks_a_limit_that_is_named() -> None:
    found = judge(sewn(ORDER), Case(along=0.03))
    assert found in {limit.name for limit in tried(ORDER).limits}


def test_an_edge_rounder_than_any_that_fits_cannot_be() -> None:
    assert judge(sewn(ORDER), Case(fillet=0.2)) == IMPOSSIBLE


def test_a_gap_may_be_as_much_wider_as_a_coarse_mesh_steps_over(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    gap = next(limit for limit in tried(ORDER).limits if limit.name == GAP_BEHIND)
    assert gap.high is not None
    left = gap.high - gap.value
    monkeypatch.setattr(trial, "UNSEEN", left - 1e-6)
    assert judge(sewn(ORDER), Case()) == ""
    monkeypatch.setattr(trial, "UNSEEN", left + 1e-6)
    assert judge(sewn(ORDER), Case()) == GAP_BEHIND
