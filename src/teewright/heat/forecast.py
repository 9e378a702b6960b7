"""Gather a collar's cure on the day for store and print: quantiles, chances, one curve."""

import math
from dataclasses import dataclass

import numpy as np

from teewright.heat.answers import Answers
from teewright.heat.situation import Situation
from teewright.heat.values import Forecast
from teewright.kit.values import Resin
from teewright.resin.cure_fit import Basis, CureFit
from teewright.resin.kinetics import FloatArray
from teewright.trace import Origin, TraceRow

POINTS = 49
"""Points of the curve."""
LINGER = 1.5
"""How far the curve goes on, over the time in which all of the wall becomes firm [-]."""
MARCH = "radial conduction with the resin's own heat"
CHOSEN = "engineer's choice"


@dataclass(frozen=True, slots=True)
class Day:
    """Answers of one collar on the safe side.

    The working time in the warmest air of the hours of work, the release in the coldest; where
    the air keeps one temperature both are the same.

    Attributes:
        warm: Answers in the warmest air.
        cold: Answers in the coldest air.
        situation: What happened to the batch in the coldest air.
    """

    warm: Answers
    cold: Answers
    situation: Situation


def computed_latest(answers: Answers, situation: Situation) -> float:
    """Latest inflation by computation: the 5 % of the working time, spare taken off [s].

    `Answers.working_told` has no spare taken off, `Answers.latest_told` has.
    """
    return answers.working_told[0] * (1.0 - situation.spare_share)


def forecast_of(day: Day, fit: CureFit, resin: Resin, *, told: float, wanted: float) -> Forecast:
    """Gather what is kept of the answers.

    Args:
        day: Answers of all cases.
        fit: The law of the resin.
        resin: The resin.
        told: Release of the data sheet [s].
        wanted: Chance wanted at the release [-].
    """
    warm, cold, situation = day.warm, day.cold, day.situation
    sure, chance = cold.sure(wanted), cold.chance_firm(told)
    bladder, liner = _faces(warm)
    return Forecast(
        cases=len(cold.release),
        planned=situation.inflation,
        told=told,
        working=warm.working_told,
        release=cold.release_told,
        wanted=wanted,
        sure=sure,
        chance=chance,
        workable=warm.chance_workable(situation.inflation),
        peak=warm.best.peak,
        curve=_curve(cold, situation.inflation),
        notes=tuple(dict.fromkeys((*warm.notes, *cold.notes))),
        assumed=fit.assumed,
        trace=(
            *_resin_rows(fit, resin),
            *_place_rows(situation),
            *_rows(day, sure, chance),
            *_peak_rows(warm.best.peak, bladder, liner),
        ),
        latest=computed_latest(warm, situation),
        peak_bladder=bladder,
        peak_liner=liner,
    )


def _faces(answers: Answers) -> tuple[float | None, float | None]:
    """Hottest of the collar's faces to the bladder and to the liner in the best case [K]."""
    curing = answers.best.curing
    if curing is None:
        return None, None
    bladder, liner = curing.touching.max(axis=0)
    return float(bladder), float(liner)


def _curve(answers: Answers, inflation: float) -> tuple[tuple[float, float, float, float], ...]:
    curing = answers.best.curing
    if curing is None:
        return ()
    times: FloatArray = np.asarray(curing.march.times)
    end = LINGER * curing.firm if math.isfinite(curing.firm) else times[-1]
    last = min(int(np.searchsorted(times, end)), len(times) - 1)
    chosen = np.unique(np.linspace(0, last, min(POINTS, last + 1)).round().astype(int))
    inner, middle, host = (np.round(curing.conversions[:, k], 4).tolist() for k in range(3))
    return tuple((float(inflation + times[n]), inner[n], middle[n], host[n]) for n in chosen)


def _resin_rows(fit: CureFit, resin: Resin) -> tuple[TraceRow, ...]:
    k, basis = fit.kinetics, _basis(fit, resin)
    return (
        TraceRow("heat of reaction", "H_r", k.heat, "kJ/kg", "", "resin", Origin.TABLE),
        _mark("conversion at gel", "α_g", k.gel, known=resin.gel is not None),
        _mark("conversion at release", "α_f", k.firm, known=resin.firm is not None),
        TraceRow("activation energy, start of cure", "E_1", k.e1, "kJ/mol", "fit", basis),
        TraceRow("activation energy, main cure", "E_2", k.e2, "kJ/mol", "fit", basis),
        _miss(fit),
    )


def _basis(fit: CureFit, resin: Resin) -> str:
    source = f" in {resin.readings_source}" if fit.basis is not Basis.SHEET else ""
    return f"Kamal and Sourour 1973, fitted to {fit.basis.value}{source}"


def _mark(name: str, symbol: str, value: float, *, known: bool) -> TraceRow:
    if known:
        return TraceRow(name, symbol, value, "%", "", "resin", Origin.TABLE)
    return TraceRow(name, symbol, value, "%", "", CHOSEN, Origin.ASSUMED)


def _miss(fit: CureFit) -> TraceRow:
    worst = float(np.max(np.abs(fit.residuals)))
    if fit.basis is Basis.SHEET:
        law = "computed/told − 1"
        return TraceRow("largest miss of the fit", "δ_t", math.expm1(worst), "%", law)
    return TraceRow("largest miss of the fit", "δ_α", worst, "%", "computed − read")


def _place_rows(situation: Situation) -> tuple[TraceRow, ...]:
    wall = situation.wall
    layer = wall.layers[wall.collar()]
    return (
        TraceRow("collar in place", "t", layer.thickness, "mm", "", "collar", Origin.INPUT),
        TraceRow("ground round the pipe", "T_g", wall.ground, "degC", "", "weather", Origin.INPUT),
        TraceRow("batch when mixed", "T_m", situation.mixed, "degC", "", "weather", Origin.INPUT),
        TraceRow("at pressure after mixing, as planned", "t_i", situation.inflation, "min", "t_D"),
    )


def _rows(day: Day, sure: float, chance: float) -> tuple[TraceRow, ...]:
    working, release = day.warm.working_told, day.cold.release_told
    rows = [
        TraceRow("working time on the packer, 5 % of cases", "t_5,w", working[0], "min", MARCH),
        TraceRow("working time on the packer", "t_50,w", working[1], "min", MARCH),
    ]
    if math.isfinite(release[1]):
        rows.append(TraceRow("hard in half the cases", "t_50", release[1], "min", MARCH))
    if math.isfinite(sure):
        rows.append(TraceRow("hard with the chance wanted", "t_s", sure, "min", MARCH))
    rows.append(TraceRow("chance to be hard at t_r", "P_r", chance, "%", "share of the cases"))
    return tuple(row for row in rows if math.isfinite(row.value))


def _peak_rows(peak: float, bladder: float | None, liner: float | None) -> tuple[TraceRow, ...]:
    faces = (
        ("hottest at the bladder", "T_b,max", bladder),
        ("hottest at the liner", "T_l,max", liner),
    )
    rows = [TraceRow("hottest of the resin", "T_max", peak, "degC", MARCH)]
    rows += [TraceRow(name, symbol, T, "degC", MARCH) for name, symbol, T in faces if T is not None]
    return tuple(rows)
