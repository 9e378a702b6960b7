"""The crew's deadlines: the stricter of the data sheet's and the computed ones."""

import math
from dataclasses import replace

from teewright.resin.times import Points
from teewright.resin.values import CureTimes, Governs
from teewright.trace import TraceRow

LATEST, RELEASE = "latest inflation used", "release used"


def governed(sheet: CureTimes, *, latest: float, release: float) -> CureTimes:
    """Deadlines that neither the data sheet nor the computed cure breaks.

    The inflation at the earlier of both times, the release at the later. Where the computed
    release is never reached the data sheet's stays, and whoever shows it has to say so. The
    crew's tables keep the ratio that both have at the day's temperatures.

    Args:
        sheet: Times of the data sheet alone.
        latest: Computed latest inflation, spare taken off [s].
        release: Computed release with the chance wanted [s]; infinite where it is not reached.

    Returns:
        The times, with what governs each of them.
    """
    computed = math.isfinite(release)
    earlier = latest < sheet.latest_inflation
    later = computed and release > sheet.release_time
    by_latest = Governs.COMPUTED if earlier else Governs.SHEET
    by_release = Governs.COMPUTED if later else Governs.SHEET
    used = (min(latest, sheet.latest_inflation), release if later else sheet.release_time)
    return replace(
        sheet,
        latest_inflation=used[0],
        release_time=used[1],
        working_table=_scaled(sheet.working_table, used[0] / sheet.latest_inflation),
        release_table=_scaled(sheet.release_table, used[1] / sheet.release_time),
        trace=(
            *sheet.trace,
            *_computed_rows(latest, release),
            TraceRow(LATEST, "t_D", used[0], "min", "min(t_d, t_d,c)", by_latest.value),
            TraceRow(
                RELEASE,
                "t_R",
                used[1],
                "min",
                "max(t_r, t_s)" if computed else "t_r, as no t_s is reached",
                by_release.value,
            ),
        ),
        latest_by=by_latest,
        release_by=by_release,
        sheet=(sheet.latest_inflation, sheet.release_time),
        computed=(latest, release),
    )


def _computed_rows(latest: float, release: float) -> tuple[TraceRow, ...]:
    rows = []
    if math.isfinite(latest):
        law = "t_5,w (1 − s_w)"
        rows.append(TraceRow("latest inflation by computation", "t_d,c", latest, "min", law))
    if math.isfinite(release):
        law = "the chance wanted, of all cases"
        rows.append(TraceRow("release by computation", "t_s", release, "min", law))
    return tuple(rows)


def _scaled(table: Points, ratio: float) -> Points:
    return tuple((T, ratio * time) for T, time in table)
