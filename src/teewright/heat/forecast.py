"""Gather a collar's cure on the day for store and print: quantiles, chances, one curve."""

import math

import numpy as np

from teewright.heat.answers import Answers
from teewright.heat.situation import Situation
from teewright.heat.values import Forecast
from teewright.resin.cure_fit import CureFit
from teewright.trace import Origin, TraceRow

POINTS = 25
"""Points of the curve."""
LAW = "Kamal and Sourour 1973, fitted to the data sheet"
MARCH = "radial conduction with the resin's own heat"


def forecast_of(
    answers: Answers, fit: CureFit, situation: Situation, *, told: float, wanted: float
) -> Forecast:
    """Gather what is kept of the answers.

    Args:
        answers: Of all cases.
        fit: The resin.
        situation: What happened to the batch.
        told: Release of the data sheet [s].
        wanted: Chance wanted at the release [-].
    """
    release = answers.release
    place = min(math.ceil(wanted * len(release)), len(release)) - 1
    sure, chance = float(release[place]), answers.chance_firm(told)
    return Forecast(
        cases=len(release),
        planned=situation.inflation,
        told=told,
        working=answers.working_told,
        release=answers.release_told,
        wanted=wanted,
        sure=sure,
        chance=chance,
        workable=answers.chance_workable(situation.inflation),
        peak=answers.best.peak,
        curve=_curve(answers, situation.inflation),
        notes=answers.notes,
        assumed=fit.assumed,
        trace=(*_resin_rows(fit), *_place_rows(situation), *_rows(answers, sure, chance)),
    )


def _curve(answers: Answers, inflation: float) -> tuple[tuple[float, float, float, float], ...]:
    curing = answers.best.curing
    if curing is None:
        return ()
    times = np.asarray(curing.march.times)
    chosen = np.linspace(0, len(times) - 1, min(POINTS, len(times))).round().astype(int)
    inner, middle, host = (np.round(curing.conversions[:, k], 4).tolist() for k in range(3))
    return tuple((float(inflation + times[n]), inner[n], middle[n], host[n]) for n in chosen)


def _resin_rows(fit: CureFit) -> tuple[TraceRow, ...]:
    k = fit.kinetics
    worst = float(np.max(np.abs(fit.residuals)))
    return (
        TraceRow("heat of reaction", "H_r", k.heat, "kJ/kg", "", "resin", Origin.TABLE),
        TraceRow("conversion at gel", "α_g", k.gel, "%", "", "engineer's choice", Origin.ASSUMED),
        TraceRow("conversion at release", "α_f", k.firm, "%", "", "the same", Origin.ASSUMED),
        TraceRow("activation energy, start of cure", "E_1", k.e1, "kJ/mol", "fit", LAW),
        TraceRow("activation energy, main cure", "E_2", k.e2, "kJ/mol", "fit", LAW),
        TraceRow("largest miss of the fit", "δ_t", math.expm1(worst), "%", "computed/told − 1"),
    )


def _place_rows(situation: Situation) -> tuple[TraceRow, ...]:
    wall = situation.wall
    layer = wall.layers[wall.collar()]
    return (
        TraceRow("collar in place", "t", layer.thickness, "mm", "", "collar", Origin.INPUT),
        TraceRow("ground round the pipe", "T_g", wall.ground, "degC", "", "weather", Origin.INPUT),
        TraceRow("batch when mixed", "T_m", situation.mixed, "degC", "", "weather", Origin.INPUT),
        TraceRow("at pressure after mixing, as planned", "t_i", situation.inflation, "min", "t_d"),
    )


def _rows(answers: Answers, sure: float, chance: float) -> tuple[TraceRow, ...]:
    rows = [
        TraceRow("working time on the packer", "t_50,w", answers.working_told[1], "min", MARCH),
        TraceRow("hottest of the collar", "T_max", answers.best.peak, "degC", MARCH),
    ]
    if math.isfinite(answers.release_told[1]):
        rows.append(
            TraceRow("hard in half the cases", "t_50", answers.release_told[1], "min", MARCH)
        )
    if math.isfinite(sure):
        rows.append(TraceRow("hard with the chance wanted", "t_s", sure, "min", MARCH))
    rows.append(TraceRow("chance to be hard at t_r", "P_r", chance, "%", "share of the cases"))
    return tuple(rows)
