"""A case of a misplaced packer or another junction, judged by one forming run."""

from collar_shapes import order, sewn, tee, tried
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
