"""What the crew asks: until when may it be inflated, when may it be let go, and how sure is that.

Every drawn case is a passage of its own through pack, packer and wall, on a coarser mesh than
the best one: there is no surrogate. The best passage is the fine one.
"""

import math
from dataclasses import dataclass

import numpy as np

from teewright.errors import InputError
from teewright.heat.situation import (
    QUICK_PASSAGE,
    Passage,
    Situation,
    outside_data,
    passage,
)
from teewright.resin.cure_fit import CureFit, sampled, with_numbers
from teewright.resin.kinetics import FloatArray

QUANTILES = (0.05, 0.5, 0.95)
"""Shares told of each time."""
LEAST_DRAWS = 20
UNKNOWNS = 4
"""Numbers that a case needs beside those of the resin: air, mix, ground, thickness."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """Standard uncertainties of what is given; engineer's choices.

    Attributes:
        air: [K].
        mixed: Of the resin when mixed [K].
        ground: Of pipe and soil [K].
        thickness: Of the collar, a share of it [-].
    """

    air: float = 1.5
    mixed: float = 1.0
    ground: float = 1.0
    thickness: float = 0.05


@dataclass(frozen=True, slots=True)
class Answers:
    """The times of one collar and their spread. All count from the start of mixing.

    Attributes:
        best: With the best parameters and what was given.
        working: Working time of each case [s], ascending.
        latest: Latest inflation of each case, spare taken off [s], ascending.
        release: Earliest release of each case [s], ascending; infinite where it gelled before
            inflation or was not firm within the hold.
        working_told: Quantiles of the working time [s].
        latest_told: Of the latest inflation [s].
        release_told: Of the earliest release [s].
        below: How far a given temperature lies under the resin's data [K].
        above: How far one lies over them [K].
        peak_above: How far the resin's own heat takes it over them [K].
        notes: What has to be said beside the times, one sentence each.
    """

    best: Passage
    working: FloatArray
    latest: FloatArray
    release: FloatArray
    working_told: tuple[float, float, float]
    latest_told: tuple[float, float, float]
    release_told: tuple[float, float, float]
    below: float
    above: float
    peak_above: float
    notes: tuple[str, ...]

    def sure(self, wanted: float) -> float:
        """Release at which a chance wanted [-] is reached [s]; infinite where none does."""
        place = min(math.ceil(wanted * len(self.release)), len(self.release)) - 1
        return float(self.release[place])

    def chance_firm(self, release: float) -> float:
        """Share of the cases that are firm at a release time [-].

        Never told as certain: with N cases none of which fails, N/(N + 1).
        """
        return _share(float(np.count_nonzero(self.release <= release)), len(self.release))

    def chance_workable(self, inflation: float) -> float:
        """Share of the cases that have not gelled at an inflation time [-], never certain."""
        return _share(float(np.count_nonzero(self.working > inflation)), len(self.working))


@dataclass(frozen=True, slots=True)
class Grid:
    """What if air and mix were at other temperatures.

    Attributes:
        air: Steady temperature of the air [K], shape (rows,).
        mixed: Temperature of the resin when mixed [K], shape (columns,).
        latest: Latest inflation [s], shape (rows, columns).
        release: Earliest release after the planned inflation [s], the same shape.
        outside: Where a temperature is outside the resin's data, the same shape.
    """

    air: FloatArray
    mixed: FloatArray
    latest: FloatArray
    release: FloatArray
    outside: np.ndarray[tuple[int, ...], np.dtype[np.bool_]]


def answer(
    fit: CureFit,
    situation: Situation,
    normals: FloatArray,
    *,
    doubt: Doubt | None = None,
    beyond: bool = False,
) -> Answers:
    """The times of one collar, with their spread.

    Args:
        fit: The resin.
        situation: What happens to the batch.
        normals: Independent standard normal numbers, shape (cases, len(fit.theta) + 4): one
            row draws one case.
        doubt: Standard uncertainties of what is given.
        beyond: Also outside the temperatures of the resin's data; the notes then say so.

    Returns:
        The answers.

    Raises:
        InputError: Too few cases or numbers, or values that cannot be.
        RangeError: A given temperature outside the resin's data.
        ConvergenceError: A march needed too many steps.
    """
    size = len(fit.theta)
    if normals.ndim != 2 or len(normals) < LEAST_DRAWS or normals.shape[1] < size + UNKNOWNS:
        raise InputError(
            "has too few numbers",
            field="normals",
            value=normals.shape,
            allowed=f"{LEAST_DRAWS} rows or more of {size + UNKNOWNS}",
        )
    below, above = outside_data(fit.kinetics, situation, beyond=beyond)
    best = passage(fit.kinetics, situation)
    working, latest, release = _cases(fit, situation, normals, doubt or Doubt())
    peak_above = max(best.peak - fit.kinetics.valid[1], 0.0)
    return Answers(
        best=best,
        working=working,
        latest=latest,
        release=release,
        working_told=_told(working),
        latest_told=_told(latest),
        release_told=_told(release),
        below=below,
        above=above,
        peak_above=peak_above,
        notes=_notes(below, above, peak_above, best),
    )


def what_if(fit: CureFit, situation: Situation, *, air: FloatArray, mixed: FloatArray) -> Grid:
    """Latest inflation and earliest release for other temperatures of air and mix.

    The air is held steady at each of its temperatures; pipe, soil and the fluid in the bladder
    stay as they are.

    Args:
        fit: The resin.
        situation: What happens to the batch.
        air: Temperatures [K], shape (rows,).
        mixed: Temperatures of the resin when mixed [K], shape (columns,).

    Returns:
        The grid, best parameters, on the mesh of the drawn cases. Where it lies outside the
        resin's data it says so.

    Raises:
        ConvergenceError: A march needed too many steps.
    """
    shape = (len(air), len(mixed))
    latest, release = np.empty(shape), np.empty(shape)
    outside = np.zeros(shape, dtype=bool)
    for row, T_air in enumerate(air):
        for column, T_mix in enumerate(mixed):
            case = situation.at(air=float(T_air), mixed=float(T_mix))
            found = passage(fit.kinetics, case, effort=QUICK_PASSAGE, full=False)
            latest[row, column] = found.latest_inflation
            release[row, column] = found.release
            outside[row, column] = max(outside_data(fit.kinetics, case, beyond=True)) > 0.0
    return Grid(np.asarray(air), np.asarray(mixed), latest, release, outside)


def _cases(
    fit: CureFit, situation: Situation, normals: FloatArray, doubt: Doubt
) -> tuple[FloatArray, FloatArray, FloatArray]:
    sets = sampled(fit, normals)
    times = np.empty((3, len(sets)))
    for place, (numbers, draw) in enumerate(zip(sets, normals[:, len(fit.theta) :], strict=True)):
        case = situation.changed(
            air=doubt.air * float(draw[0]),
            mixed=doubt.mixed * float(draw[1]),
            ground=doubt.ground * float(draw[2]),
            thickness=float(np.exp(doubt.thickness * draw[3])),
        )
        resin = with_numbers(fit.kinetics, numbers)
        found = passage(resin, case, effort=QUICK_PASSAGE, full=False)
        times[:, place] = found.working_time, found.latest_inflation, found.release
    working, latest, release = np.sort(times, axis=1)
    return working, latest, release


def _told(ordered: FloatArray) -> tuple[float, float, float]:
    # a case itself, no mean of two: one of them may be infinite
    places = [share * (len(ordered) - 1) for share in QUANTILES]
    low, middle, high = math.floor(places[0]), math.ceil(places[1]), math.ceil(places[2])
    return float(ordered[low]), float(ordered[middle]), float(ordered[high])


def _share(hits: float, count: int) -> float:
    return min(hits, count * count / (count + 1.0)) / count


def _notes(below: float, above: float, peak_above: float, best: Passage) -> tuple[str, ...]:
    notes = []
    if below > 0.0:
        notes.append(f"Guessed: a temperature lies {below:.1f} K below the resin's data.")
    if above > 0.0:
        notes.append(f"Guessed: a temperature lies {above:.1f} K above the resin's data.")
    if peak_above > 0.0:
        notes.append(f"The resin's own heat takes it {peak_above:.0f} K above its data.")
    if best.curing is None:
        notes.append("The batch gels before it is inflated.")
    elif not np.isfinite(best.release):
        notes.append("The collar is not firm within the longest hold.")
    return tuple(notes)
