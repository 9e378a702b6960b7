"""The cure as the sheets tell it: what governs, what is computed, and the curve of the slowest."""

import math
from datetime import timedelta

from teewright.heat.values import Forecast
from teewright.job.values import Design, PlannedCure
from teewright.report import words
from teewright.report.figures import windows
from teewright.report.figures.cure import cure_figure
from teewright.report.index import JobIndex
from teewright.report.sheets.appendix import Appendix
from teewright.report.sheets.sheet import Json
from teewright.resin.values import CureTimes, Governs
from teewright.units import celsius


def by_words(cure: CureTimes) -> str:
    """What the latest inflation rests on, and the other one beside it."""
    return _beside(cure, 0, cure.latest_by.value, up=False)


def from_words(cure: CureTimes) -> str:
    """What the release rests on, and the other one beside it."""
    return _beside(cure, 1, cure.release_by.value, up=True)


def _beside(cure: CureTimes, place: int, governs: str, *, up: bool) -> str:
    if cure.sheet is None or cure.computed is None:
        return governs
    told, found = cure.sheet[place], cure.computed[place]
    if not math.isfinite(found):
        return f"{governs}, none computed"
    sheet = governs == Governs.SHEET.value
    other = found if sheet else told
    name = Governs.COMPUTED.value if sheet else Governs.SHEET.value
    minutes = math.ceil(other / 60.0 - 1e-9) if up else math.floor(other / 60.0 + 1e-9)
    return f"{governs}, {name} {minutes} min"


def rows(design: Design, trace: Appendix) -> list[windows.Window]:
    """When the wall is hard by computation beside the release, and how hot it gets.

    Args:
        design: Of the connection.
        trace: Numbered rows.

    Returns:
        Rows of the collar sheet; none where no cure is computed.
    """
    found = design.forecast
    return [] if found is None else [_hard(design, found, trace)]


def _hard(design: Design, found: Forecast, trace: Appendix) -> windows.Window:
    low, _, high = (t / 60.0 for t in found.release)
    used = math.ceil(design.cure.release_time / 60.0 - 1e-9)
    told = math.ceil(found.told / 60.0 - 1e-9)
    sure = math.isfinite(high)
    return windows.Window(
        "Hard, computed",
        f"min; {_heat(found)}",
        (0.0, 1.5 * max(used, high if sure else 0.0)),
        (None, None),
        (low, high) if sure else None,
        used,
        f"{math.floor(100.0 * found.chance + 1e-9)} % by {told} min",
        trace.find(design, "Cure", found.chance),
        0,
    )


def _heat(found: Forecast) -> str:
    """Hottest of the resin, and of the liner where that is known."""
    peak = f"{celsius(found.peak):.0f}"
    if found.peak_liner is None:
        return f"resin up to {peak} °C"
    return f"resin up to {peak}, liner {celsius(found.peak_liner):.0f} °C"


def crew_line(cure: PlannedCure | None) -> list[Json]:
    """The computed deadlines of one batch in its own hours, in few words for the crew.

    Args:
        cure: As planned, or None where none is computed.

    Returns:
        (words before, figure, words after) of each part; together they fit on one line.
    """
    if cure is None:
        return []
    warm, late = (f"{celsius(T):.0f}" for T in cure.air)
    air = warm if warm == late else f"{warm} to {late}"
    said = f"Computed alone, air {air} °C:"
    parts = [[said, "", ""]]
    if math.isfinite(cure.latest):
        by = words.at(cure.mix + timedelta(seconds=cure.latest))
        parts = [[f"{said} at pressure by", by, ""]]
    if math.isfinite(cure.release):
        free = words.at(cure.mix + timedelta(seconds=cure.release), up=True)
        parts.append(["hard from", free, f"in {100.0 * cure.wanted:.0f} of 100 cases"])
    else:
        parts.append(["hard", "not sure", f"{100.0 * cure.chance:.0f} of 100 at the release"])
    parts.append(["resin up to", f"{celsius(cure.peak):.0f} °C", ""])
    return [list(part) for part in parts]


def curve(index: JobIndex) -> Json:
    """Conversion over time of the collar that is hard last, or None where none is computed."""
    known = [(d, d.forecast) for d in index.job.designs.designs if d.forecast is not None]
    drawn = [(d, f) for d, f in known if len(f.curve) > 1]
    if not drawn:
        return None
    design, found = max(drawn, key=lambda pair: pair[1].release[1])
    marks = _marks(design)
    text = (
        f"Connection {design.connection_id}, the best estimate in the coldest air of the hours of "
        f"work; one of {found.cases} cases. Gel at {100.0 * marks[0]:.0f} %, the packer may be "
        f"released where all is beyond {100.0 * marks[1]:.0f} %. Blue: the release that the crew "
        f"keeps, {words.span(design.cure.release_time, up=True)} after mixing "
        f"({from_words(design.cure)})."
    )
    figure = cure_figure(found.curve, marks=marks, release=design.cure.release_time)
    return {"figure": figure, "words": text}


def _marks(design: Design) -> tuple[float, float]:
    """Conversions at gel and at release, from the trace of the cure."""
    found = design.forecast
    symbols = {row.symbol: row.value for row in found.trace} if found else {}
    return symbols["α_g"], symbols["α_f"]
