"""Form a cloth: raise the pressure slowly enough for friction, then wait for balance."""

import math
from collections.abc import Callable

import numpy as np

from teewright.forming.run import Progress, Run
from teewright.forming.values import FloatArray, Formed, Setup

_PIECES = 24
"""Pieces of a way on which as much of the cloth touches in each piece."""
_FIRST, _LEAST, _MOST = 1.0 / 96.0, 1.0 / 512.0, 1.0 / 24.0
"""Rise of the pressure in the first piece, and in any, over the pressure at the end."""
_CALM_RAMP = 256
_LEAST_RAMP = 512
_RAMP_PER_CELL = 24.0
_FINE_PIECE = 20


def form(
    setup: Setup,
    *,
    tolerance: float = 1e-3,
    ramp: int | None = None,
    max_steps: int = 40_000,
    progress: Progress | None = None,
) -> Formed:
    """Blow a cloth against a surface and say where it comes to rest.

    Friction makes the end depend on the way, so the pressure is raised slowly, in steps of a
    damped motion, and the more slowly the more of the cloth comes to touch. The cloth lags
    behind its balance all over alike, which does not matter to a law without time. The pressure
    is then held until the forces balance. Where the cloth sticks it stays, until the force
    along the surface is more than friction can hold.

    Args:
        setup: Cloth, load, surface and restraint.
        tolerance: Largest force out of balance over pressure times the mean area of a vertex
            [-].
        ramp: Steps in which most of the cloth comes to touch; None chooses by size and friction.
        max_steps: Steps at most.
        progress: Told of each place on the way.

    Returns:
        The formed cloth.

    Raises:
        ConvergenceError: Not in balance after `max_steps`, or the motion has blown up.
        GeometryError: A triangle as cut has no area or is turned over.
        InputError: An array does not fit, or pressure or stiffness are not positive.
    """
    run = Run(setup, max_steps=max_steps, progress=progress)
    if ramp is None:
        ramp = ramp_for(setup)
    _raise(run, max(round(ramp / _PIECES), 1))
    run.settle(tolerance)
    return run.formed()


def _raise(run: Run, steps: int) -> None:
    """Raise the pressure in pieces of so many steps, gently where much comes to touch."""
    rise = _FIRST
    while run.pressure < run.target:
        before = run.path[-1].touching
        pressure = run.pressure + rise * run.target
        # no sliver of a piece at the end
        run.raise_to(pressure if pressure < 0.999 * run.target else run.target, steps)
        gained = max(run.path[-1].touching - before, 1e-9)
        rise *= min(max(1.0 / (_PIECES * gained), 0.5), 2.0)
        rise = min(max(rise, _LEAST), _MOST)


def form_fine(
    coarse: Formed,
    carry: Callable[[FloatArray], FloatArray],
    setup: Setup,
    *,
    tolerance: float = 1e-3,
    piece: int | None = None,
    max_steps: int = 40_000,
    progress: Progress | None = None,
) -> Formed:
    """Form a finer mesh of a cloth that has been formed on a coarser one.

    The slow motion of the whole, which needs many steps on a fine mesh, is taken from the
    coarse way: at the same pressures each vertex is carried as the coarse cloth moved there,
    while it is free or slides. Where it lands, sticks and slips is decided by its own forces
    on the way, not by the coarse cloth. Without friction the way does not matter, and the fine
    cloth starts from the end of the coarse one.

    Args:
        coarse: Formed under the same load, against the same surface.
        carry: Values of the fine vertices, (n, 3), from those of the coarse ones: linear
            interpolation, e.g. `teewright.junction.refine.Prolongation.carried`.
        setup: Of the fine cloth.
        tolerance: As for `form` [-].
        piece: Steps from one kept place of the coarse way to the next; None chooses.
        max_steps: Steps at most.
        progress: Told of each place on the way.

    Returns:
        The formed fine cloth.

    Raises:
        ConvergenceError: As for `form`.
        GeometryError: As for `form`.
        InputError: As for `form`.
    """
    run = Run(setup, max_steps=max_steps, progress=progress)
    if run.wall.friction > 0.0 or piece is not None:
        _follow(run, coarse, carry, piece or _FINE_PIECE)
    else:
        run.nodes.x[:] += run.nodes.free * carry(coarse.positions - coarse.track[0])
        run.raise_to(setup.load.pressure, 1)
    run.settle(tolerance)
    return run.formed()


def _follow(
    run: Run, coarse: Formed, carry: Callable[[FloatArray], FloatArray], piece: int
) -> None:
    """Take a run along the way of a coarse one."""
    scale = run.target / coarse.pressure
    before = carry(coarse.track[0])
    for moment, place in zip(coarse.path[1:], coarse.track[1:], strict=True):
        after = carry(place)
        run.nodes.drift[:] = run.nodes.free * (after - before) / piece
        run.raise_to(scale * moment.pressure, piece)
        before = after
    run.nodes.drift[:] = 0.0


def ramp_for(setup: Setup) -> int:
    """Steps of the ramp: the slowest motion takes steps with extent over size of a triangle.

    Without friction the way matters little, but a cloth blown up too fast runs on by its
    inertia into wrinkles, which nothing draws out again.

    Args:
        setup: Cloth, load, surface and restraint.

    Returns:
        The number of steps.
    """
    if setup.contact is None or setup.contact.friction <= 0.0:
        return _CALM_RAMP
    corners = setup.cloth.rest
    u, v = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    area = 0.5 * np.abs(u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]).mean()
    extent = np.linalg.norm(np.ptp(setup.start, axis=0))
    ratio = float(extent / np.sqrt(max(area, 1e-30)))
    # a start that is no number is found by the first step
    return max(round(_RAMP_PER_CELL * ratio), _LEAST_RAMP) if math.isfinite(ratio) else _LEAST_RAMP
