"""Deadlines at other temperatures than the day's."""

import math

from teewright.heat.values import DayWindow
from teewright.report import words
from teewright.report.figures.day import day_figure
from teewright.report.index import JobIndex
from teewright.report.sheets.sheet import Json, Sheet
from teewright.units import celsius


def sheets(index: JobIndex) -> list[Sheet]:
    """One sheet; none where no cure is computed."""
    day = index.job.designs.day
    if day is None or len(day.air) < 2:
        return []
    body: dict[str, Json] = {"figure": day_figure(day), "words": _words(day)}
    title = "If the day is warmer or colder"
    return [Sheet("day", title, _answer(day), index.job.kit.resin.name, "Shift sheets", body)]


def _answer(day: DayWindow) -> str:
    """How the deadlines move from the coldest to the warmest air."""
    middle = len(day.packs) // 2
    cold, warm = day.latest[middle][0], day.latest[middle][-1]
    return (
        f"At pressure within {words.span(cold, up=False)} in air of {celsius(day.air[0]):.0f} °C, "
        f"{words.span(warm, up=False)} at {celsius(day.air[-1]):.0f} °C"
    )


def _words(day: DayWindow) -> list[Json]:
    what = (
        "Computed by the law of cure that is fitted to the resin's data, for the collar that "
        f"is hard last: {1e3 * day.thickness:.1f} mm in a main of "
        f"{1e3 * day.main_diameter:.0f} mm, ground at {celsius(day.ground):.0f} °C, at pressure "
        f"{words.span(day.planned, up=False)} after mixing (dotted). Spare is taken off the lower "
        "lines; the upper ones are best estimates, half of all cases are later."
    )
    use = (
        "The deadlines on the collar and shift sheets are the stricter of the data sheet's and the "
        "computed ones on the safe side. Where this chart is stricter still, go by the chart; test "
        "a sample when the air is far from the plan."
    )
    if all(math.isfinite(t) for row in day.release for t in row):
        return [what, use]
    ends = "Where a line ends the batch gels before it is at pressure, or is not firm in time."
    return [what, use, ends]
