"""A march of heat and cure from a start to an end, and its balance."""

from dataclasses import dataclass

import numpy as np

from teewright.errors import ConvergenceError, InputError
from teewright.heat.kernel import Chain, march
from teewright.resin.kinetics import FloatArray, Kinetics

FINE, COARSE = 1e-6, 3e-4
"""Largest error of one step, as a share of the whole conversion or of 50 K [-]."""
MOST_STEPS = 200_000


@dataclass(frozen=True, slots=True)
class March:
    """Heat and cure of all cells over time.

    Attributes:
        times: At which the histories are told [s].
        temperatures: [K], shape (times, cells).
        conversions: [-], shape (times, cells); 0 where there is no resin.
        gel_times: At which each cell reached gel [s]; infinite where it did not.
        firm_times: At which each cell became firm [s]; infinite where it did not.
        peak: Hottest temperature of the resin [K].
        peak_cell: Where.
        peak_time: When [s].
        end: Time at which the march stopped [s].
        last: Temperatures [K] and conversions [-] at the end, shape (2, cells).
        heat_in: Through both ends of the chain [J, per metre for a stack of layers].
        imbalance: Heat released and let in less heat stored, over the sum of their sizes [-].
        steps: Steps tried.
    """

    times: FloatArray
    temperatures: FloatArray
    conversions: FloatArray
    gel_times: FloatArray
    firm_times: FloatArray
    peak: float
    peak_cell: int
    peak_time: float
    end: float
    last: FloatArray
    heat_in: tuple[float, float]
    imbalance: float
    steps: int


def run(
    k: Kinetics,
    chain: Chain,
    *,
    temperature: FloatArray,
    conversion: FloatArray,
    times: FloatArray,
    tolerance: float = FINE,
    until: str = "end",
) -> March:
    """March a chain from its start.

    Args:
        k: The resin.
        chain: Cells and what surrounds them.
        temperature: Of each cell at the start [K].
        conversion: Of each cell at the start [-].
        times: At which the histories are wanted, ascending from 0; the last is the end [s].
        tolerance: Largest error of one step, as a share of the whole conversion or of 50 K.
        until: `"end"`, or `"firm"` or `"gel"` to stop once all resin is: what comes later in
            the histories is then not a number, and a march to gel finds no firm times.

    Returns:
        The march.

    Raises:
        InputError: Times that do not ascend from 0, or resin that never starts.
        ConvergenceError: The march needed too many steps.
    """
    if len(times) < 2 or times[0] != 0.0 or np.any(np.diff(times) <= 0.0):
        raise InputError("do not ascend from 0", field="times", value=times)
    curing = chain.heat > 0.0
    if k.a1 == 0.0 and k.m > 0.0 and np.any(curing & (conversion == 0.0)):
        raise InputError(
            "never starts", field="a1", value=0.0, allowed="above 0, or a conversion to start from"
        )
    start = np.stack([temperature, np.where(curing, conversion, 0.0)])
    end = float(times[-1])
    knots = np.concatenate([chain.inner, chain.outer, [end]])
    knots = np.unique(knots[(knots > 0.0) & (knots <= end)])
    # the end of workability is told by the first mark, so a march to gel leaves the second out
    marks = np.array([k.gel] if until == "gel" else [k.gel, k.firm])
    control = (tolerance, MOST_STEPS, until != "end")
    story, found, flow, peak, steps, last, final = march(
        chain, start, np.ascontiguousarray(times), knots, marks, control
    )
    if steps < 0:
        raise ConvergenceError("the heat of the batch", iterations=-steps, residual=end - last)
    stored = float(chain.capacity @ (final[0] - start[0]))
    released = float(chain.heat @ (final[1] - start[1]))
    sizes = abs(stored) + released + float(np.abs(flow).sum())
    return March(
        times=times,
        temperatures=story[:, 0],
        conversions=story[:, 1],
        gel_times=found[0],
        firm_times=found[1] if len(found) > 1 else np.full(len(start[0]), np.inf),
        peak=float(peak[0]),
        peak_cell=int(peak[1]),
        peak_time=float(peak[2]),
        end=float(last),
        last=final,
        heat_in=(float(flow[0]), float(flow[1])),
        imbalance=(released + float(flow.sum()) - stored) / sizes if sizes > 0.0 else 0.0,
        steps=steps,
    )
