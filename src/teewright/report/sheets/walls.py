"""What could make the wall too thin: one chart a pattern."""

from teewright.job.values import Design
from teewright.report import letters, words
from teewright.report.figures.tornado import tornado_figure
from teewright.report.index import JobIndex
from teewright.report.sheets.pattern import by_pattern
from teewright.report.sheets.sheet import Json, Sheet
from teewright.wall.answers import Tornado

_LEAD = (
    "Each bar moves one input from one end of its range to the other, while all else stays as "
    "checked, and tells how much of the wall is then used. Beyond the limit at 100 % the wall is "
    "too thin."
)
_FOOT = (
    "Used is thickness needed over thickness installed. For each pattern the collar whose wall is "
    "used most is shown. For review by a qualified engineer under the local code."
)


def sheets(index: JobIndex) -> list[Sheet]:
    """One sheet; none where nothing moves the wall of any collar."""
    shown = [
        (name, max(designs, key=lambda d: d.governing_wall.utilisation))
        for name, designs in by_pattern(index).items()
    ]
    # those nearest to the limit come first
    shown.sort(key=lambda pair: -pair[1].governing_wall.utilisation)
    charts = [(name, d, d.tornado) for name, d in shown if d.tornado is not None and d.tornado.bars]
    if not charts:
        return []
    subject = words.figures(len(charts), "pattern")
    body: dict[str, Json] = {
        "lead": _LEAD,
        "charts": [_chart(name, d, chart) for name, d, chart in charts],
        "ranges": _ranges([chart for _, _, chart in charts]),
        "foot": _FOOT,
    }
    title = "What could make the wall too thin?"
    heading = letters.shorten(_answer(shown[0][1]), 352.0, 19.0, 700)
    return [Sheet("walls", title, heading, subject, "Collar sheets", body)]


def _answer(most: Design) -> str:
    used = most.governing_wall.utilisation
    where = f"{100.0 * used:.0f} % is used, at {most.connection_id}"
    if used > 1.0:
        return f"It is too thin as it is: {where}"
    beyond = [bar.name for bar in most.tornado.bars if bar.worst > 1.0] if most.tornado else []
    if not beyond:
        return f"Nothing within its range: at the most {where}"
    before = " before all else" if len(beyond) > 1 else ""
    return f"{words.capital(beyond[0])}{before}: as checked {where}"


def _chart(pattern: str, design: Design, chart: Tornado) -> dict[str, Json]:
    return {
        "title": f"Pattern {pattern}, {design.connection_id}: {design.wall_governs}",
        "figure": tornado_figure(chart),
    }


def _ranges(charts: list[Tornado]) -> list[Json]:
    """What the ranges rest on, each said once."""
    said = dict.fromkeys((bar.name, bar.evidence) for chart in charts for bar in chart.bars)
    return [{"name": words.capital(name), "evidence": f"{evidence}."} for name, evidence in said]
