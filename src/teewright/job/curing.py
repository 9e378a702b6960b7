"""The cure of one collar on the day, beside the times of the data sheet."""

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from teewright.heat.answers import Answers, answer, what_if
from teewright.heat.batch import Pack, Spread
from teewright.heat.forecast import Day, computed_latest, forecast_of
from teewright.heat.sheet import usual_pot
from teewright.heat.situation import Situation
from teewright.heat.values import DayWindow, Forecast
from teewright.heat.wall import COLLAR, HOLD, usual_wall
from teewright.job.cure_law import FAILURES, fit_of, known_fit
from teewright.job.day_air import DayAir
from teewright.job.resolve import Inputs
from teewright.kit.values import Kit, Resin
from teewright.numerics.draws import even_normals
from teewright.resin.governing import governed
from teewright.resin.kinetics import FloatArray
from teewright.resin.path import Path, steady
from teewright.resin.times import cure_times
from teewright.resin.values import CureTimes

DOUBLINGS = 6
"""2^6 - 1 cases: their 95 % is the fourth last."""
UNKNOWNS = 4
AIRS, PACKS = 13, 3
"""Temperatures of the air and of the packs in the window of the day."""


@dataclass(frozen=True, slots=True)
class InPlace:
    """What the cure must know of a collar in its place.

    Attributes:
        thickness: In place [m].
        void_fraction: Share of it that resin fills, under the installed pressure [-].
        main_diameter: Inside the liner [m].
        liner: Its thickness [m].
    """

    thickness: float
    void_fraction: float
    main_diameter: float
    liner: float


def in_place(inputs: Inputs, thickness: float, void_fraction: float) -> InPlace:
    """A collar of a thickness in place [m] and its void fraction there at a connection."""
    liner = inputs.liner_thickness.value
    return InPlace(thickness, void_fraction, inputs.lined_diameter, liner)


def sheet_times(inputs: Inputs, kit: Kit, air: DayAir) -> CureTimes:
    """Times of the data sheet on the day.

    Raises:
        RangeError: A temperature is outside the data sheet.
    """
    return cure_times(
        kit.resin,
        mix_temperature=air.warmest,
        cure_temperature=inputs.pipe.value,
        spare_share=kit.shifts.spare_share,
        coldest=air.coldest if air.changes else None,
    )


def cured(
    kit: Kit, sheet: CureTimes, collar: InPlace, air: DayAir
) -> tuple[CureTimes, Forecast | None]:
    """Deadlines of the crew and what becomes of the batch that is mixed for one collar.

    The working time is computed for the warmest air of the hours of work and the release for the
    coldest. The batch is taken to be at pressure as late as the deadlines allow.

    Args:
        kit: What the contractor has.
        sheet: Times of the data sheet.
        collar: The collar in its place.
        air: Of the day.

    Returns:
        (the stricter of the data sheet's and the computed times, the forecast); the data sheet's
        alone and None where the heat of reaction is not known or no law fits.
    """
    fit = known_fit(kit.resin)
    if fit is None:
        return sheet, None
    try:
        day = _day(kit, sheet, collar, air)
    except FAILURES:
        return sheet, None
    told, wanted = sheet.release_time, kit.rules.release_chance
    found = forecast_of(day, fit, kit.resin, told=told, wanted=wanted)
    latest = computed_latest(day.warm, day.situation)
    return governed(sheet, latest=latest, release=found.sure), found


def _day(kit: Kit, sheet: CureTimes, collar: InPlace, air: DayAir) -> Day:
    def placed(temperature: float, inflation: float) -> Situation:
        mixed = temperature if air.pack is None else air.pack
        path = steady(temperature)
        return situation_of(kit, collar, path, mixed=mixed, ground=air.ground, inflation=inflation)

    # the working time does not hang on the inflation, so that the first one will do for it
    first = placed(air.warmest, sheet.latest_inflation)
    latest = computed_latest(answered(kit.resin, first), first)
    inflation = min(latest, sheet.latest_inflation)
    warm, cold = placed(air.warmest, inflation), placed(air.coldest, inflation)
    return Day(answered(kit.resin, warm), answered(kit.resin, cold), cold)


def day_window(
    inputs: Inputs, kit: Kit, cure: CureTimes, *, collar: InPlace, ground: float
) -> DayWindow | None:
    """Deadlines of one collar over all temperatures of the resin's data.

    Args:
        inputs: Of the connection.
        kit: What the contractor has.
        cure: Deadlines of the crew.
        collar: The collar in its place.
        ground: Of ground and groundwater round the pipe [K].

    Returns:
        The window; None where the heat of reaction is not known or no law fits.
    """
    fit = known_fit(kit.resin)
    if fit is None:
        return None
    air = np.linspace(*fit.kinetics.valid, AIRS)
    packs = np.linspace(*fit.kinetics.valid, PACKS)
    today = inputs.air.value
    try:
        situation = situation_of(
            kit,
            collar,
            steady(today),
            mixed=today,
            ground=ground,
            inflation=cure.latest_inflation,
        )
        grid = what_if(fit, situation, air=air, mixed=packs)
    except FAILURES:
        return None
    return DayWindow(
        air=tuple(air.tolist()),
        packs=tuple(packs.tolist()),
        latest=_rows(grid.latest),
        release=_rows(grid.release),
        today=today,
        planned=situation.inflation,
        thickness=collar.thickness,
        main_diameter=collar.main_diameter,
        ground=ground,
    )


def _rows(table: FloatArray) -> tuple[tuple[float, ...], ...]:
    """One row a pack temperature."""
    return tuple(tuple(row) for row in table.T.tolist())


@lru_cache(maxsize=256)
def answered(resin: Resin, situation: Situation) -> Answers:
    """All cases of one situation.

    Raises:
        ConvergenceError: A march or the fit did not settle.
        InputError: Values that cannot be.
    """
    fit = fit_of(resin)
    return answer(fit, situation, even_normals(DOUBLINGS, len(fit.theta) + UNKNOWNS), beyond=True)


def situation_of(
    kit: Kit, collar: InPlace, air: Path, *, mixed: float, ground: float, inflation: float
) -> Situation:
    """What happens to one batch.

    Args:
        kit: Resin and the times of the shifts.
        collar: The collar in its place.
        air: From the start of mixing on.
        mixed: Temperature of the resin when mixed [K].
        ground: Of ground and groundwater round the pipe [K].
        inflation: When the packer is at pressure [s]; not before the collar is soaked.

    Raises:
        InputError: Values that cannot be.
    """
    shifts, resin = kit.shifts, kit.resin
    spread_at = shifts.mix + shifts.wet_out
    soaked = resin.density * collar.void_fraction
    wall = usual_wall(
        main_diameter=collar.main_diameter,
        collar_thickness=collar.thickness,
        liner_thickness=max(collar.liner, 1e-4),
        ground=ground,
    )
    place = wall.collar()
    filled = replace(wall.layers[place], resin=soaked)
    wall = replace(wall, layers=(*wall.layers[:place], filled, *wall.layers[place + 1 :]))
    radius = usual_pot(resin.pack_mass, density=resin.density).radius
    return Situation(
        pack=Pack(radius, 0.2, resin.density, 1700.0),
        mixed=mixed,
        air=air,
        spread_at=spread_at,
        spread=Spread(collar.thickness, COLLAR.density, COLLAR.heat_capacity, soaked),
        inflation=max(inflation, spread_at),
        wall=wall,
        spare_share=shifts.spare_share,
        hold=HOLD,
    )
