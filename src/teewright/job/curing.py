"""The cure of one collar on the day, beside the times of the data sheet."""

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

import numpy as np

from teewright.errors import ConvergenceError, InputError, RangeError
from teewright.findings import Finding, FindingKind
from teewright.heat.answers import Answers, answer, what_if
from teewright.heat.batch import Pack, Spread
from teewright.heat.forecast import forecast_of
from teewright.heat.sheet import fit_pot_sheet, usual_pot
from teewright.heat.situation import Situation
from teewright.heat.values import DayWindow, Forecast
from teewright.heat.wall import COLLAR, HOLD, usual_wall
from teewright.job.resolve import Inputs
from teewright.kit.values import Kit, Packer, Resin
from teewright.numerics.draws import even_normals
from teewright.pressure.limits import rating_share
from teewright.resin.cure_fit import CureFit
from teewright.resin.kinetics import FloatArray
from teewright.resin.path import steady
from teewright.resin.values import CureTimes
from teewright.units import BAR, celsius

POT = 0.1
"""Mass in which data sheets measure working times [kg]; common practice, no source."""
DOUBLINGS = 6
"""2^6 - 1 cases: their 95 % is the fourth last."""
UNKNOWNS = 4
FAILURES = (ConvergenceError, InputError, RangeError)
"""A cure that cannot be computed leaves the data sheet's times; it refuses no collar."""
AIRS, PACKS = 13, 3
"""Temperatures of the air and of the packs in the window of the day."""


def forecast(
    inputs: Inputs, kit: Kit, cure: CureTimes, *, thickness: float, mixed: float, ground: float
) -> Forecast | None:
    """What becomes of the batch that is mixed for one collar.

    It is taken to be at pressure as late as the data sheet's time allows, in air of the day's
    temperature, and released by the data sheet's time; the chance that this holds is told.

    Args:
        inputs: Of the connection.
        kit: What the contractor has.
        cure: Times of the data sheet.
        thickness: Of the collar in place [m].
        mixed: Temperature of the packs when mixed [K].
        ground: Of ground and groundwater round the pipe [K].

    Returns:
        The forecast; None where the heat of reaction is not known or no law fits the sheet.
    """
    fit = known_fit(kit.resin)
    if fit is None:
        return None
    try:
        situation = _situation(inputs, kit, cure, thickness=thickness, mixed=mixed, ground=ground)
        found = _answered(kit.resin, situation)
    except FAILURES:
        return None
    wanted = kit.rules.release_chance
    return forecast_of(found, fit, situation, told=cure.release_time, wanted=wanted)


def day_window(
    inputs: Inputs, kit: Kit, cure: CureTimes, *, thickness: float, ground: float
) -> DayWindow | None:
    """Deadlines of one collar over all temperatures of the data sheet.

    Args:
        inputs: Of the connection.
        kit: What the contractor has.
        cure: Times of the data sheet.
        thickness: Of the collar in place [m].
        ground: Of ground and groundwater round the pipe [K].

    Returns:
        The window; None where the heat of reaction is not known or no law fits the sheet.
    """
    fit = known_fit(kit.resin)
    if fit is None:
        return None
    air = np.linspace(*fit.kinetics.valid, AIRS)
    packs = np.linspace(*fit.kinetics.valid, PACKS)
    today = inputs.air.value
    try:
        situation = _situation(inputs, kit, cure, thickness=thickness, mixed=today, ground=ground)
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
        thickness=thickness,
        main_diameter=inputs.lined_diameter,
        ground=ground,
    )


def _rows(table: FloatArray) -> tuple[tuple[float, ...], ...]:
    """One row a pack temperature."""
    return tuple(tuple(row) for row in table.T.tolist())


def known_fit(resin: Resin) -> CureFit | None:
    """The law of a resin; None where its heat of reaction is not known or no law fits."""
    if resin.heat <= 0.0:
        return None
    try:
        return fit_of(resin)
    except FAILURES:
        return None


@lru_cache(maxsize=16)
def fit_of(resin: Resin) -> CureFit:
    """The law of a resin, from its data sheet.

    Raises:
        ConvergenceError: The fit did not settle.
        InputError: Times that cannot be.
    """
    pot = usual_pot(POT, density=resin.density)
    return fit_pot_sheet(
        resin.working_time,
        resin.release_time,
        pot=pot,
        heat=resin.heat,
        uncertainty=resin.time_spread,
    )


@lru_cache(maxsize=256)
def _answered(resin: Resin, situation: Situation) -> Answers:
    fit = fit_of(resin)
    return answer(fit, situation, even_normals(DOUBLINGS, len(fit.theta) + UNKNOWNS), beyond=True)


def _situation(
    inputs: Inputs, kit: Kit, cure: CureTimes, *, thickness: float, mixed: float, ground: float
) -> Situation:
    shifts, resin, fabric = kit.shifts, kit.resin, kit.fabric
    spread_at = shifts.mix + shifts.wet_out
    soaked = resin.density * fabric.void_fraction
    wall = usual_wall(
        main_diameter=inputs.lined_diameter,
        collar_thickness=thickness,
        liner_thickness=max(inputs.liner_thickness.value, 1e-4),
        ground=ground,
    )
    at = wall.collar()
    collar = replace(wall.layers[at], resin=soaked)
    wall = replace(wall, layers=(*wall.layers[:at], collar, *wall.layers[at + 1 :]))
    radius = usual_pot(resin.pack_mass, density=resin.density).radius
    return Situation(
        pack=Pack(radius, 0.2, resin.density, 1700.0),
        mixed=mixed,
        air=steady(inputs.air.value),
        spread_at=spread_at,
        spread=Spread(thickness, COLLAR.density, COLLAR.heat_capacity, soaked),
        inflation=max(cure.latest_inflation, spread_at),
        wall=wall,
        spare_share=shifts.spare_share,
        hold=HOLD,
    )


def packer_findings(
    connection_id: str, found: Forecast | None, packer: Packer, pressure: float | None
) -> tuple[Finding, ...]:
    """A packer that is not rated for its pressure once the curing resin has heated it.

    Args:
        connection_id: Connection.
        found: Its cure.
        packer: The packer used.
        pressure: That it is set to [Pa].
    """
    if found is None or pressure is None or not packer.derating:
        return ()
    first, last = packer.derating[0][0], packer.derating[-1][0]
    if found.peak > last:
        said = f"no rating is told above {celsius(last):.0f} °C"
    else:
        rated = packer.rating * rating_share(packer.derating, max(found.peak, first))
        if rated >= pressure:
            return ()
        said = f"it is rated {rated / BAR:.2f} bar there, less than the {pressure / BAR:.2f} set"
    return (
        Finding(
            FindingKind.DOUBT,
            "packer-too-hot",
            f"the resin heats packer {packer.name} to {celsius(found.peak):.0f} °C, and {said}: "
            "a slower resin, less of it, or a packer that stands more heat would help",
            value=f"{celsius(found.peak):.0f} °C",
            subject=connection_id,
        ),
    )


def not_computed(resin: Resin, forecasts: Sequence[Forecast | None]) -> tuple[Finding, ...]:
    """Collars whose cure could not be computed, though the heat of reaction is told."""
    missing = sum(found is None for found in forecasts)
    if resin.heat <= 0.0 or not missing:
        return ()
    return (
        Finding(
            FindingKind.DOUBT,
            "no-cure-computed",
            f"the cure of {missing} of {len(forecasts)} collars could not be computed from the "
            f"sheet of {resin.name}: its times stand alone; check them and the times of the shift",
            value=str(missing),
        ),
    )


def cure_findings(connection_id: str, found: Forecast | None) -> tuple[Finding, ...]:
    """A release that is less sure than wanted, told as a doubt."""
    if found is None or found.chance >= found.wanted:
        return ()
    return (
        Finding(
            FindingKind.DOUBT,
            "release-not-sure",
            f"at the data sheet's release the wall is hard in {100.0 * found.chance:.0f} % of the "
            f"cases computed, {100.0 * found.wanted:.0f} % are wanted: hold the packer longer, or "
            "test a sample first",
            value=f"{100.0 * found.chance:.0f} %",
            subject=connection_id,
        ),
    )
