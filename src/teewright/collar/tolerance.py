"""How far packer and junction may be off before a limit breaks: an envelope from forming runs."""

import math
from collections.abc import Callable, Sequence
from dataclasses import astuple, dataclass, replace

from teewright.collar.values import Tolerance
from teewright.junction.skin import FloatArray

STEPS = 5
"""Halvings of each single tolerance."""
SHRINK = 0.75
"""The envelope is made smaller by this factor until every run inside it keeps the limits."""
LEAST = 0.05
"""Scale below which there is no envelope to speak of."""
CONFIDENCE = 0.95
"""Of the share of cases inside the envelope that keep every limit."""


@dataclass(frozen=True, slots=True)
class Case:
    """What is off, each from its design value.

    Attributes:
        along: Packer along the main, from where its branch stands over the middle of the opening
            as it is, upstream positive [m].
        round: Packer turned about the main, from z towards +y [rad].
        main: Diameter of the main [m].
        branch: Diameter of the branch [m].
        angle: Angle of the branch [rad].
        fillet: Radius of the edge [m].
    """

    along: float = 0.0
    round: float = 0.0
    main: float = 0.0
    branch: float = 0.0
    angle: float = 0.0
    fillet: float = 0.0


NAMES = ("along", "round", "main", "branch", "angle", "fillet")
Judge = Callable[[Case], str]
"""Forms one case; the name of the limit that breaks first, empty if all are kept."""


def envelope(judge: Judge, reach: Case, samples: Sequence[FloatArray]) -> Tolerance:
    """The largest box of cases found in which every forming run keeps the limits.

    Each deviation is first tried alone, both ways, from `reach` down by halving. The box of
    these single tolerances is then shrunk evenly until a whole fresh set of random cases
    inside keeps every limit. With n independent uniform cases and none broken, at least the
    share a^(1/n) of all cases in the box keeps the limits at the confidence 1 - a (Clopper
    and Pearson's lower limit for no failure, *Biometrika* 26, 1934, 404-413). Because boxes
    are tried one after another, the k-th set may spend only a = (1 - confidence) / 2^k.

    Args:
        judge: Forms one case.
        reach: Largest deviation tried, each > 0.
        samples: Sets of points in [-1, 1]^6, drawn uniformly, shape (n, 6) each: one set is
            used up for each size of the box.

    Returns:
        The envelope; all zero with share 0 where even the design itself breaks a limit or no
        box was found.
    """
    first = judge(Case())
    if first:
        return _none(first)
    singles, breaks = zip(
        *(_single(judge, name, getattr(reach, name)) for name in NAMES), strict=True
    )
    scale, runs, looks = 1.0, 0, 0
    for points in samples:
        looks += 1
        if not _first_broken(judge, singles, scale, points):
            runs = len(points)
            break
        scale *= SHRINK
        if scale < LEAST:
            break
    if runs == 0:
        return _none("several at once")
    along, turned, main, branch, angle, fillet = (float(scale * value) for value in singles)
    return Tolerance(
        along=along,
        round=turned,
        main=main,
        branch=branch,
        angle=angle,
        fillet=fillet,
        runs=runs,
        share=share_kept(runs, looks),
        confidence=CONFIDENCE,
        breaks=breaks,
    )


def share_kept(runs: int, looks: int) -> float:
    """Share of all cases that keeps the limits at the least [-].

    Args:
        runs: Random cases of the last set, each of which kept the limits.
        looks: Sets tried, the last one included.
    """
    return math.pow((1.0 - CONFIDENCE) / 2.0**looks, 1.0 / runs)


def _none(name: str) -> Tolerance:
    return Tolerance(
        along=0.0,
        round=0.0,
        main=0.0,
        branch=0.0,
        angle=0.0,
        fillet=0.0,
        runs=0,
        share=0.0,
        confidence=CONFIDENCE,
        breaks=(name,) * len(NAMES),
    )


def _single(judge: Judge, name: str, reach: float) -> tuple[float, str]:
    """Largest deviation tried, both ways, that keeps the limits alone, and what breaks beyond."""
    way, broken = _worse_way(judge, name, reach, 1.0)
    if not broken:
        return reach, ""
    low, high = 0.0, reach
    for _ in range(STEPS):
        middle = (low + high) / 2.0
        worse, found = _worse_way(judge, name, middle, way)
        if found:
            way, high, broken = worse, middle, found
        else:
            low = middle
    return low, broken


def _worse_way(judge: Judge, name: str, size: float, first: float) -> tuple[float, str]:
    """The way in which a deviation breaks a limit, that of `first` tried first, and the limit."""
    for way in (first, -first):
        found = judge(replace(Case(), **{name: way * size}))
        if found:
            return way, found
    return first, ""


def _first_broken(judge: Judge, singles: Sequence[float], scale: float, points: FloatArray) -> str:
    for point in points:
        case = Case(*(scale * s * float(p) for s, p in zip(singles, point, strict=True)))
        broken = judge(case)
        if broken:
            return broken
    return ""


def inside(case: Case, tolerance: Tolerance) -> bool:
    """Whether a case lies in an envelope."""
    limits = (getattr(tolerance, name) for name in NAMES)
    return all(abs(v) <= limit + 1e-12 for v, limit in zip(astuple(case), limits, strict=True))
