"""What the wall against groundwater hangs on: one chart a pattern."""

from teewright.job.values import Design
from teewright.report import words
from teewright.report.figures.tornado import tornado_figure
from teewright.report.index import JobIndex
from teewright.report.sheets.pattern import by_pattern
from teewright.report.sheets.sheet import Json, Sheet
from teewright.wall.answers import Tornado

_MEANING = (
    "Each bar tells how much of the wall the groundwater uses at both ends of one input, while "
    "the others stay as checked; the numbers beside it are the input's. Above 100 % the wall is "
    "too thin. For each pattern the collar that is used most is shown. For review by a qualified "
    "engineer under the local code."
)


def sheets(index: JobIndex) -> list[Sheet]:
    """One sheet; none where nothing moves the wall of any collar."""
    shown = [
        (name, max(designs, key=lambda d: d.governing_wall.utilisation))
        for name, designs in by_pattern(index).items()
    ]
    charts = [
        _chart(name, d, d.tornado) for name, d in shown if d.tornado is not None and d.tornado.bars
    ]
    if not charts:
        return []
    most = max((d for _, d in shown), key=lambda d: d.governing_wall.utilisation)
    used = 100.0 * most.governing_wall.utilisation
    answer = f"At the most {used:.0f} % of the wall is used, at {most.connection_id}"
    subject = words.figures(len(charts), "pattern")
    body: dict[str, Json] = {"words": [_MEANING], "charts": list(charts)}
    return [Sheet("walls", "What the wall hangs on", answer, subject, "Collar sheets", body)]


def _chart(pattern: str, design: Design, chart: Tornado) -> dict[str, Json]:
    return {
        "title": f"Pattern {pattern}, {design.connection_id}: {design.wall_governs}",
        "figure": tornado_figure(chart),
        "words": [f"Range of {bar.name}: {bar.evidence}." for bar in chart.bars],
    }
