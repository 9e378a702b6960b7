"""Whole collars, coarse: what comes out, and what is refused."""

import math
import re
from dataclasses import replace

import numpy as np
import pytest

from collar_shapes import FABRIC, QUICK, collar, cutting, made, order, tee
from teewright.collar.closing import ENOUGH, close
from teewright.collar.making import REACH, check, make_collar
from teewright.collar.order import Effort, extent_of
from teewright.collar.tolerance import CONFIDENCE
from teewright.collar.values import Tolerance
from teewright.errors import CannotBeMadeError, GeometryError, InputError

RIGHT, OBLIQUE = tee(0.2, 0.1, 90.0), tee(0.2, 0.1, 60.0)


@pytest.mark.parametrize("junction", [RIGHT, OBLIQUE, tee(0.15, 0.15, 90.0)], ids=str)
def test_a_plain_junction_gets_a_plain_collar_that_lands(junction: object) -> None:
    assert isinstance(junction, type(RIGHT))
    found = collar(junction)
    assert found.layout == "saddle seam"
    assert found.landing.kept
    assert [p.name for p in found.panels] == ["main", "branch"]
    assert found.seam_edges[0] == pytest.approx(found.seam_edges[1], abs=5e-5)
    low, high = found.window
    assert low <= found.designed[0] <= 1.0 <= found.designed[1] <= high


def test_edges_land_within_the_limit_of_where_they_are_wanted() -> None:
    for junction in (RIGHT, OBLIQUE):
        for edge in collar(junction).landing.edges:
            assert edge.least >= edge.wanted - 0.005
            assert edge.least <= edge.most
            assert edge.most < edge.wanted + 0.03


def test_the_map_is_the_formed_collar_with_both_its_halves() -> None:
    picture = made(order(OBLIQUE)).map
    points = np.array(picture.points)
    count = len(picture.triangles)
    sizes = {len(picture.stretch), len(picture.least), len(picture.thickness), len(picture.wrinkle)}
    assert sizes == {count}
    assert count == 2 * made(order(OBLIQUE)).collar.landing.triangles
    assert sorted(face for flat in picture.flats for face in flat[3]) == list(range(count))
    mirrored = {tuple(p) for p in points * [1.0, -1.0, 1.0] + 0.0}
    assert mirrored == {tuple(p) for p in points + 0.0}
    # what lies against the main is half the cloth off its wall
    low = points[points[:, 2] < -0.02]
    assert np.hypot(low[:, 1], low[:, 2]) == pytest.approx(np.full(len(low), 0.098), abs=0.002)
    thin, thick = collar(OBLIQUE).landing.thickness
    assert min(picture.thickness) <= thin + 1e-6 < thick <= max(picture.thickness) + 1e-6
    assert len(picture.seams) == 3


def test_seams_of_the_map_run_along_the_saddle_and_the_closings() -> None:
    picture = made(order(OBLIQUE)).map
    lengths = sorted(
        float(np.linalg.norm(np.diff(np.array(line), axis=0), axis=1).sum())
        for line in picture.seams
    )
    assert lengths[1] == pytest.approx(collar(OBLIQUE).seam_length, rel=0.03)
    assert lengths[2] == pytest.approx(0.5, rel=0.03)


def test_a_layout_that_is_asked_for_is_taken() -> None:
    four = made(order(RIGHT, layout="four pieces")).collar
    assert four.layout == "four pieces"
    assert len(four.panels) == 4
    assert [o.layout for o in four.offers if o.chosen] == ["four pieces"]
    assert four.seam_edges[0] == pytest.approx(four.seam_edges[1], abs=5e-5)


def test_progress_is_told_in_words() -> None:
    said: list[str] = []
    make_collar(order(RIGHT), effort=QUICK, told=said.append)
    assert said[0] == "laying out the seam"
    assert "forming: saddle seam" in said


def test_the_same_order_gives_the_same_collar() -> None:
    assert make_collar(order(OBLIQUE), effort=QUICK) == made(order(OBLIQUE))


def test_correcting_never_makes_the_best_panels_worse() -> None:
    ways = cutting(order(tee(0.2, 0.1, 45.0, 0.008)))
    first = close(ways, extent_of(ways.wanted), rounds=0)
    more = close(ways, extent_of(ways.wanted), rounds=4)
    assert (first.rounds, first.runs) == (0, 1)
    assert more.trial.margin >= first.trial.margin
    assert more.rounds <= 4
    assert more.runs <= more.rounds + 1
    assert more.trial.margin >= ENOUGH or more.rounds == 4


def test_an_edge_that_lands_short_is_cut_longer() -> None:
    """A soft sleeve that contracts along the pipe comes up short at first; one round mends it."""
    soft = replace(FABRIC, poisson=0.6, stiffness_along=5e3)
    ways = cutting(order(OBLIQUE, fabric=soft, stretch=1.08))
    first = close(ways, extent_of(ways.wanted), rounds=0).trial
    more = close(ways, extent_of(ways.wanted), rounds=4)
    lacking = [edge.wanted - edge.least for edge in first.measured.edges]
    left = [edge.wanted - edge.least for edge in more.trial.measured.edges]
    assert max(lacking) > 0.002
    assert max(left) < max(lacking) / 2.0
    extents = (first.sewn.extent, more.trial.sewn.extent)
    assert extents[1].upstream > extents[0].upstream


def test_an_envelope_is_found_where_it_is_asked_for() -> None:
    rng = np.random.default_rng(3)
    effort = Effort(fineness=1.5, seam=False)
    samples = [rng.uniform(-1.0, 1.0, (6, 6)) for _ in range(8)]
    said: list[str] = []
    found = make_collar(order(RIGHT), effort=effort, samples=samples, told=said.append)
    tolerance = found.collar.tolerance
    assert isinstance(tolerance, Tolerance)
    assert tolerance.confidence == CONFIDENCE
    for name in ("along", "round", "main", "branch", "angle", "fillet"):
        assert 0.0 <= getattr(tolerance, name) <= getattr(REACH, name)
    assert tolerance.runs == 6
    assert tolerance.along > 0.0
    runs = [line for line in said if "placement tolerance, run" in line]
    assert runs[0].endswith("run 1")
    plain = made(order(RIGHT), replace(effort, tolerance=False)).collar
    assert replace(found.collar, tolerance=None) == plain


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"stretch": 0.9}, "stretch of 0.900"),
        ({"stretch": math.nan}, "stretch of nan"),
        ({"lap": -0.01}, "lap of -10 mm"),
        ({"lap": 0.3}, "lap of 300 mm"),
        ({"thickness": 0.1}, "50.0 mm inside the wall"),
        ({"sleeve_length": 0.12}, "does not cover the opening"),
        ({"branch_length": 0.002}, "does not cover the rounded edge"),
    ],
)
def test_choices_that_cannot_be_made_are_refused(changed: dict[str, float], words: str) -> None:
    with pytest.raises(GeometryError, match=words):
        make_collar(order(OBLIQUE, **changed), effort=QUICK)


def test_an_allowance_that_does_not_fit_is_refused() -> None:
    wide = replace(FABRIC, seam_allowance=0.06)
    with pytest.raises(GeometryError, match="allowance of 60 mm does not fit"):
        make_collar(order(OBLIQUE, fabric=wide), effort=QUICK)


def test_a_layout_that_there_is_not_is_refused_by_name() -> None:
    with pytest.raises(InputError, match=r"quilt.*allowed: saddle seam"):
        make_collar(order(OBLIQUE, layout="quilt"), effort=QUICK)


@pytest.mark.parametrize("layout", ["", "saddle seam"])
def test_a_fabric_that_hardly_stretches_is_refused_with_what_it_would_need(layout: str) -> None:
    stiff = replace(FABRIC, stretch_along=1.012, stretch_across=1.012, poisson=0.05)
    with pytest.raises(CannotBeMadeError) as refused:
        make_collar(order(tee(0.2, 0.1, 45.0, 0.010), fabric=stiff, layout=layout), effort=QUICK)
    (reason,) = refused.value.reasons
    needed = [float(word) for word in re.findall(r"\d+\.\d+", reason)]
    assert max(needed) > 1.02
    assert "would help" in reason


def test_one_piece_is_refused_where_its_stretch_is_beyond_the_window() -> None:
    stiff = replace(FABRIC, stretch_along=1.10, stretch_across=1.10)
    with pytest.raises(CannotBeMadeError, match=r"one piece: .* stretch is 1\.[12]"):
        make_collar(order(RIGHT, fabric=stiff, layout="one piece"), effort=QUICK)


def test_an_order_is_checked_before_anything_is_computed() -> None:
    check(order(RIGHT))
    with pytest.raises(GeometryError, match="must be a number"):
        check(order(replace(RIGHT, fillet=math.inf)))
    with pytest.raises(GeometryError, match="main diameter is 1200"):
        check(order(tee(1.2, 0.1, 60.0)))
