"""A collar from its order: layout, seam, panels, forming, tolerance, drawing."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from teewright.collar.closing import Closed, Cutting, close, proven, slowly
from teewright.collar.drawing import draw_panels
from teewright.collar.edges import highest_seam
from teewright.collar.fabric_map import map_of
from teewright.collar.flat import FlatCollar
from teewright.collar.landed import landing_of
from teewright.collar.landing import triangle_areas
from teewright.collar.layout_lines import LAYOUTS
from teewright.collar.made import Made
from teewright.collar.mirror import whole
from teewright.collar.numbers import collar_trace
from teewright.collar.offers import Compared, compared
from teewright.collar.order import Effort, Order, edge_size, extent_of, wanted_of
from teewright.collar.outline import line_length
from teewright.collar.seams import best_seam, start_seam
from teewright.collar.tolerance import Case, envelope
from teewright.collar.trial import Sewn, Trial, judge
from teewright.collar.values import Collar, Offer, Panel, Tolerance
from teewright.errors import (
    CannotBeMadeError,
    ConvergenceError,
    GeometryError,
    UnknownNameError,
)
from teewright.junction.check import check_junction, check_skin
from teewright.junction.skin import FloatArray
from teewright.junction.values import Seam

Told = Callable[[str], None]
"""Told in plain words what is being done."""

SLOW_ROUNDS = 3
"""Most corrections by slow runs, where such a run breaks a limit."""
COARSER = 2.0
"""Length along the seam of the edges of the mesh of the tolerance runs, over that of the design
[-]. Across the seam they are as short: coarser ones step over the gap at the crotch."""
REACH = Case(along=0.02, round=np.radians(12.0), main=0.006, branch=0.004,
             angle=np.radians(5.0), fillet=0.005)  # fmt: skip
"""Largest deviations for which the tolerance is sought."""


@dataclass(frozen=True, slots=True, eq=False)
class Designed:
    """The best panels found for an order, formed, ready to be formed again elsewhere.

    Attributes:
        order: What they are made for.
        offers: All layouts with their t*.
        closed: The panels and where they landed.
        cutting: From which the same panels can be cut on another mesh.
    """

    order: Order
    offers: tuple[Offer, ...]
    closed: Closed
    cutting: Cutting


def make_collar(
    order: Order,
    *,
    effort: Effort | None = None,
    samples: Sequence[FloatArray] = (),
    told: Told | None = None,
) -> Made:
    """Make a collar.

    The plainest layout that the fabric bears is taken whose formed collar keeps every limit.
    Where none does, the one whose worst limit is broken least is returned: its `landing` says
    which limits fail and what would help.

    Args:
        order: What it is made for.
        effort: How finely; None for the usual.
        samples: Sets of random points in [-1, 1]^6 for the tolerance, shape (n, 6) each.
        told: Told what is being done.

    Returns:
        The collar.

    Raises:
        CannotBeMadeError: No layout fits the window of the fabric.
        ConvergenceError: No panels were found, or they found no place to rest.
        GeometryError: The junction cannot be covered; the sentence has the numbers.
        UnknownNameError: There is no such layout.
    """
    work = effort if effort is not None else Effort()
    say = told if told is not None else _silent
    designed = design(order, effort=work, told=say)
    if not work.tolerance:
        return made_of(designed)
    return made_of(designed, _tolerance(designed.cutting, designed.closed.trial, samples, say))


def design(order: Order, *, effort: Effort | None = None, told: Told | None = None) -> Designed:
    """Find the panels of a collar, as `make_collar` does, without their tolerance and drawing.

    Args:
        order: What it is made for.
        effort: How finely; None for the usual.
        told: Told what is being done.

    Returns:
        The panels, formed.

    Raises:
        CannotBeMadeError: No layout fits the window of the fabric.
        ConvergenceError: No panels were found, or they found no place to rest.
        GeometryError: The junction cannot be covered; the sentence has the numbers.
        UnknownNameError: There is no such layout.
    """
    work = effort if effort is not None else Effort()
    say = told if told is not None else _silent
    check(order)
    say("laying out the seam")
    seam = _seam(order, search=work.seam)
    layouts = compared(order, seam)
    closed, cutting = _best(order, layouts, seam, work, say)
    return Designed(order, tuple(layouts.offers), closed, cutting)


def made_of(designed: Designed, tolerance: Tolerance | None = None) -> Made:
    """The collar of panels that were found, drawn and measured.

    Args:
        designed: The panels.
        tolerance: How far off they may be placed, where that was found.
    """
    return _finished(designed.order, designed.offers, designed.closed, tolerance)


def check(order: Order) -> None:
    """Refuse an order whose numbers cannot be met.

    Args:
        order: What is to be made.

    Raises:
        GeometryError: The sentence has the numbers.
        UnknownNameError: There is no such layout.
    """
    check_junction(order.junction)
    if not 1.0 <= order.stretch <= 2.0:
        raise GeometryError(f"a design stretch of {order.stretch:.3f} is not between 1 and 2")
    if not 0.0 <= order.lap <= 0.2:
        raise GeometryError(f"a lap of {1e3 * order.lap:.0f} mm is not between 0 and 200 mm")
    if order.layout and order.layout not in LAYOUTS:
        raise UnknownNameError(
            "is no layout", field="layout", value=order.layout, allowed=", ".join(LAYOUTS)
        )
    check_skin(order.skin)


def _seam(order: Order, *, search: bool) -> Seam:
    """The best place of the saddle seam, or a usual one."""
    first = start_seam(order.skin)
    if not search:
        return first
    extent = extent_of(wanted_of(order, highest_seam(order.skin, first)))
    sleeve = (extent.middle - extent.downstream, extent.middle + extent.upstream)
    return best_seam(order.skin, sleeve=sleeve, top=extent.top, start=first).seam


def _silent(_: str) -> None:
    pass


def _best(
    order: Order, layouts: Compared, seam: Seam, work: Effort, say: Told
) -> tuple[Closed, Cutting]:
    """The first layout that lands well, else the one that lands best."""
    found: list[tuple[Closed, Cutting]] = []
    troubles: list[str] = []
    for layout in _candidates(order, layouts.offers):
        say(f"forming: {layout}")
        wanted = wanted_of(order, highest_seam(order.skin, seam))
        size, way = edge_size(order, work), layouts.ways.get(layout)
        cutting = Cutting(order, layout, seam, wanted, size, way=way)
        try:
            closed = close(cutting, extent_of(wanted), rounds=work.rounds, told=say)
            if closed.trial.margin >= 0.0:
                say("forming once more, slowly")
                closed = proven(cutting, closed, rounds=SLOW_ROUNDS, told=say)
            _drawn(order, closed)  # a piece that cannot be drawn rules its layout out
        except (CannotBeMadeError, ConvergenceError, GeometryError) as error:
            troubles.append(str(error))
            continue
        found.append((closed, cutting))
        if closed.trial.margin >= 0.0:
            break
    if not found:
        raise CannotBeMadeError(dict.fromkeys(troubles) or [_none_fits(order, layouts.offers)])
    closed, cutting = max(found, key=lambda pair: pair[0].trial.margin)
    return (closed if math.isfinite(closed.drift) else slowly(closed)), cutting


def _candidates(order: Order, offers: Sequence[Offer]) -> list[str]:
    """Layouts to try, the plainest first."""
    if order.layout:
        return [order.layout]
    plain = [layout for layout in LAYOUTS if layout not in {"one piece", "mirror halves"}]
    fitting = {offer.layout for offer in offers if offer.fits}
    return [layout for layout in plain if layout in fitting]


def _none_fits(order: Order, offers: Sequence[Offer]) -> str:
    least = min(offers, key=lambda offer: offer.ratio)
    return (
        f"No layout fits {order.fabric.name}: {least.layout} needs a largest over smallest "
        f"stretch of {least.ratio:.3f}, the fabric allows {least.allowed:.3f}; a fabric that "
        "stretches further or an edge rounded less would help."
    )


def _tolerance(
    cutting: Cutting, trial: Trial, samples: Sequence[FloatArray], say: Told
) -> Tolerance:
    """Envelope from forming runs of the same panels on a mesh with fewer columns."""
    coarse = replace(cutting, longer=COARSER)
    folded = coarse.sew(trial.sewn.extent, trial.sewn.targets).sewn
    sewn = replace(coarse, half=False).sew(trial.sewn.extent, trial.sewn.targets).sewn
    count = 0

    def told_judge(case: Case) -> str:
        nonlocal count
        count += 1
        say(f"placement tolerance, run {count}")
        return judge(sewn if case.round else folded, case)

    return envelope(told_judge, REACH, samples)


def _finished(
    order: Order, offers: Sequence[Offer], closed: Closed, tolerance: Tolerance | None
) -> Made:
    sewn: Sewn = closed.trial.sewn
    flat = whole(sewn.flat)
    panels = _drawn(order, closed)
    landing = landing_of(order, closed)
    # of the chosen one the t* of the panels themselves, not that of the mesh for comparison
    chosen = tuple(
        replace(o, chosen=True, ratio=flat.ratio) if o.layout == flat.layout else o for o in offers
    )
    collar = Collar(
        pattern=order.pattern,
        junction=order.junction,
        fabric=order.fabric.name,
        layout=flat.layout,
        seam=flat.seam,
        offers=chosen,
        window=flat.window,
        thickness=order.thickness,
        stretch=sewn.targets.round,
        stretch_along=sewn.targets.along,
        sleeve_length=order.sleeve_length,
        branch_length=order.branch_length,
        reach=sewn.wanted.reach,
        panels=panels,
        fabric_area=sum(panel.area for panel in panels),
        formed_area=float(triangle_areas(flat.mesh.points, flat.mesh.triangles).sum()),
        seam_length=_saddle_length(flat),
        seam_edges=_seam_edges(panels),
        designed=(float(np.min(flat.stretch)), float(np.max(flat.stretch))),
        landing=landing,
        tolerance=tolerance,
        trace=(),
    )
    trace = collar_trace(collar, order.pressure, design_stretch=order.stretch)
    return Made(replace(collar, trace=trace), map_of(order, closed.trial, flat))


def _drawn(order: Order, closed: Closed) -> tuple[Panel, ...]:
    return draw_panels(whole(closed.trial.sewn.flat), order.fabric, lap=order.lap)


def _saddle_length(flat: FlatCollar) -> float:
    """Length of the saddle seam in space, 0 without one [m]."""
    if not any(name == "saddle" for piece in flat.pieces for name, _ in piece.lines):
        return 0.0
    row = flat.mesh.grid[flat.mesh.seam_row]
    closed = flat.mesh.points[np.append(row, row[0])]
    return float(np.linalg.norm(np.diff(closed, axis=0), axis=1).sum())


def _seam_edges(panels: Sequence[Panel]) -> tuple[float, float]:
    """Length of the saddle seam as cut, on the pieces of the main and on the others [m]."""
    sums = [0.0, 0.0]
    for panel in panels:
        for name, line in panel.seams:
            if name == "saddle":
                sums[0 if panel.name.startswith("main") else 1] += line_length(line)
    return sums[0], sums[1]
