"""The closed loop: panels -> sewn -> formed -> compared -> panels corrected."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from teewright.collar.flat import FlatCollar
from teewright.collar.landing import FOLD, GAP_BEHIND, Wanted, quantile, triangle_areas
from teewright.collar.layouts import Laid, carried, flatten, least
from teewright.collar.order import Extent, Order, plan_of
from teewright.collar.targets import Targets
from teewright.collar.trial import Sewn, Trial, sewn_of, try_on
from teewright.errors import ConvergenceError, GeometryError
from teewright.fabric.law import law_of, window
from teewright.flattening.values import Stiffness
from teewright.junction.mesh import build_mesh
from teewright.junction.skin import SkinMesh
from teewright.junction.values import Seam

ENOUGH = 0.4
"""Least share of every limit at which the panels are good enough [-]."""
STEP = 0.02
"""First step of the stretch at the saddle [-]."""
SPREAD = 0.06
"""The stretch at the saddle stays so near to 1 below, and no higher than round the pipes [-]."""
LEAST_ROUND = 1.015
"""Least stretch round the pipes that the loop goes down to [-]: a main a little narrower than
measured must not leave the sleeve slack."""
SLOWER = 4
"""Times as many steps in which the pressure is raised in the last run."""
ALIKE = 1e-3
"""Change of the stretch along the pipes below which there is nothing left to correct [-]."""
GIVE_UP = 4
"""Rounds after which panels that still break a limit twice over are given up."""
SPARE = 0.001
"""Length beyond the wanted edges [m]."""

Told = Callable[[str], None]


@dataclass(frozen=True, slots=True, eq=False)
class Cutting:
    """A layout of a collar at one size of mesh, ready to be laid flat for any targets.

    Attributes:
        order: What it is made for.
        layout: Its layout.
        seam: Where the saddle seam runs.
        wanted: Where its edges should lie.
        size: Length of an edge of the mesh at the seam [m].
        half: As for `plan_mesh`.
        way: Number of the way that it is cut, as in `plans`; None for the best.
        longer: Length of the edges along the seam over the usual one [-].
    """

    order: Order
    layout: str
    seam: Seam
    wanted: Wanted
    size: float
    half: bool | None = None
    way: int | None = None
    longer: float = 1.0

    def sew(self, extent: Extent, targets: Targets, near: "Sewing | None" = None) -> "Sewing":
        """Lay the pieces flat and sew them.

        Args:
            extent: How far the designed surface reaches.
            targets: Wanted stretches.
            near: Of the same cutting and nearly the same extent: its cuts are used again, and
                its flat pieces to start from.

        Raises:
            CannotBeMadeError: The window of the fabric is too narrow for this layout.
            ConvergenceError: No flat pieces were found.
            GeometryError: The extent leaves no room.
        """
        plan = plan_of(self.order, extent, self.seam, self.size, half=self.half, longer=self.longer)
        if near is not None:
            plan = replace(near.sewn.plan, sleeve=plan.sleeve, top=plan.top)
        mesh = build_mesh(self.order.skin, plan)
        flat, laid = self._flat(mesh, targets, near)
        sewn = sewn_of(self.order, flat, plan, extent=extent, targets=targets, wanted=self.wanted)
        return Sewing(sewn, laid)

    def _flat(
        self, mesh: SkinMesh, targets: Targets, near: "Sewing | None"
    ) -> tuple[FlatCollar, Laid]:
        """Flat pieces from those of a like mesh, or from the beginning where that is no start."""
        if near is not None:
            laid = carried(near.laid, near.sewn.flat.mesh, mesh)
            try:
                return self._from(mesh, targets, laid), laid
            except (GeometryError, ConvergenceError):
                pass
        laid = least(mesh, self.layout, way=self.way)
        return self._from(mesh, targets, laid), laid

    def _from(self, mesh: SkinMesh, targets: Targets, laid: Laid) -> FlatCollar:
        fabric = self.order.fabric
        return flatten(
            mesh,
            self.layout,
            seam=self.seam,
            stiffness=Stiffness(*law_of(fabric).matrix()),
            targets=targets.on(mesh),
            window=window(fabric),
            laid=laid,
        )


@dataclass(frozen=True, slots=True, eq=False)
class Sewing:
    """A sewn collar, and the layout from which its like can be laid flat.

    Attributes:
        sewn: The collar.
        laid: Its cuts and flat pieces of least spread.
    """

    sewn: Sewn
    laid: Laid


@dataclass(frozen=True, slots=True, eq=False)
class Closed:
    """The best panels found.

    Attributes:
        trial: Their forming run.
        rounds: Corrections made.
        runs: Forming runs.
        drift: Farthest that any point moved when the pressure was raised more slowly [m].
        laid: Layout from which its like can be laid flat, None where that was not kept.
    """

    trial: Trial
    rounds: int
    runs: int
    drift: float = float("nan")
    laid: Laid | None = None


def slowly(closed: Closed) -> Closed:
    """The same panels formed along a slower path of the pressure.

    Friction makes the landing depend on the path: what the slower run moves is told as the
    uncertainty of the landing.

    Args:
        closed: The best panels, formed.

    Returns:
        With the slower run in place of the one that led to the panels, and `drift` set; the
        same if the slow run finds no rest.
    """
    quick = closed.trial
    try:
        slow = try_on(quick.sewn, slower=SLOWER)
    except ConvergenceError:
        return closed
    moved = np.linalg.norm(slow.formed.positions - quick.formed.positions, axis=1)
    drift = float(np.max(moved))
    return Closed(slow, closed.rounds, closed.runs + 1, drift, closed.laid)


def proven(cutting: Cutting, closed: Closed, *, rounds: int, told: Told | None = None) -> Closed:
    """Panels formed slowly, and corrected on if that breaks a limit that the quick run kept.

    Args:
        cutting: Their layout and mesh.
        closed: The best panels, formed quickly.
        rounds: Most corrections by slow runs.
        told: Told in plain words what is being done.

    Returns:
        The panels, formed slowly.
    """
    slow = slowly(closed)
    if slow.trial.margin >= 0.0 or closed.trial.margin < 0.0:
        return slow
    if slow.laid is None:
        return slow
    sewing = Sewing(slow.trial.sewn, slow.laid)
    better = _corrected_often(cutting, sewing, slow.trial, rounds, told, slower=SLOWER)
    return Closed(
        better.trial, slow.rounds + better.rounds, slow.runs + better.runs - 1, slow.drift
    )


def close(cutting: Cutting, extent: Extent, *, rounds: int, told: Told | None = None) -> Closed:
    """Correct panels until the formed collar keeps its limits.

    Corrected are the stretch along the pipes, to what the fabric lands with, since free ends
    settle there whatever was wished; the length of each end, by what it lands short; the stretch
    at the saddle, tighter where the cloth folds and looser where it bridges; and where that does
    not do, the stretch round the pipes.

    Args:
        cutting: Layout and mesh.
        extent: How far the designed surface should reach.
        rounds: Most corrections.
        told: Told in plain words what is being done.

    Returns:
        The panels whose worst limit has most left; also where some limit is broken.

    Raises:
        CannotBeMadeError: The window of the fabric is too narrow for this layout.
        ConvergenceError: Not even the first panels could be laid flat and formed.
    """
    stretch = cutting.order.stretch
    targets = Targets(round=stretch, along=1.0, saddle=stretch)
    sewing = cutting.sew(extent, targets)
    return _corrected_often(cutting, sewing, try_on(sewing.sewn), rounds, told)


def _corrected_often(
    cutting: Cutting,
    sewing: Sewing,
    first: Trial,
    rounds: int,
    told: Told | None,
    *,
    slower: int = 1,
) -> Closed:
    """Panels corrected round by round until they are good or nothing changes any more."""
    extent, targets = sewing.sewn.extent, sewing.sewn.targets
    trial = best = first
    best_laid = sewing.laid
    step, runs, number = STEP, 1, 0
    while number < rounds:
        if number and (_good(trial) or _hopeless(best, number)):
            break  # once at least: to let the ends land where they should
        before = targets
        extent, targets, step = _corrected(trial, extent, targets, step)
        if number > 1 and _alike(before, targets):
            break
        number += 1
        if told is not None:
            told(f"correcting the panels, round {number}")
        try:
            sewing = cutting.sew(extent, targets, sewing)
            trial = try_on(sewing.sewn, slower=slower)
        except (ConvergenceError, GeometryError):
            break
        runs += 1
        if _good(trial) or trial.margin > best.margin:
            best, best_laid = trial, sewing.laid
    return Closed(best, number, runs, laid=best_laid)


def _hopeless(best: Trial, number: int) -> bool:
    """Whether so far is left after some rounds that more will not do."""
    return number >= GIVE_UP and best.margin < -1.0


def _alike(one: Targets, two: Targets) -> bool:
    """Whether nothing is left that could be corrected."""
    return (one.round, one.saddle) == (two.round, two.saddle) and abs(one.along - two.along) < ALIKE


def _good(trial: Trial) -> bool:
    return trial.margin >= ENOUGH


def _corrected(
    trial: Trial, extent: Extent, targets: Targets, step: float
) -> tuple[Extent, Targets, float]:
    """Extent, targets and next step after one run."""
    up, down, top = (edge.wanted + SPARE - edge.least for edge in trial.measured.edges)
    targets = replace(targets, along=_landed_along(trial))
    margins = {limit.name: limit.margin for limit in trial.limits}
    gap, fold = margins[GAP_BEHIND], margins[FOLD]
    if min(gap, fold) < ENOUGH:
        # a gap far beyond the limit asks for longer steps
        longer = step * (1.0 + min(max(-gap, 0.0), 1.0))
        targets = _looser(targets, longer) if gap < fold else _tighter(targets, step / 2.0)
        step = step if gap < fold else step / 2.0
    return extent.longer(up, down, top), targets, step


def _looser(targets: Targets, step: float) -> Targets:
    """Less stretch where the cloth bridges: at the saddle, then round the pipes too."""
    if targets.saddle > 1.0 - SPREAD:
        return replace(targets, saddle=max(targets.saddle - step, 1.0 - SPREAD))
    return replace(targets, round=max(targets.round - step / 2.0, LEAST_ROUND))


def _tighter(targets: Targets, step: float) -> Targets:
    """More stretch at the saddle where the cloth folds."""
    return replace(targets, saddle=min(targets.saddle + step, targets.round))


def _landed_along(trial: Trial) -> float:
    """Median stretch along the grain of the fabric on main and branch, edge left out [-]."""
    mesh = trial.sewn.flat.mesh
    tubes = mesh.zone != 1
    area = triangle_areas(mesh.points, mesh.triangles)
    found = quantile(trial.formed.along[tubes, 1], area[tubes], 0.5)
    return float(np.clip(found, 0.9, trial.sewn.order.stretch))
