"""Landing sheets: where the fabric of a pattern really lies once it is pressed into place."""

import math
from collections.abc import Sequence

from teewright.collar.landing import FOLD, GAP_BEHIND
from teewright.collar.values import Collar, CollarMap, Landing, Limit
from teewright.kit.values import Fabric
from teewright.report import letters, words
from teewright.report.figures import limits
from teewright.report.index import JobIndex
from teewright.report.sheets import landing_maps, layouts, tolerances
from teewright.report.sheets.pattern import by_pattern
from teewright.report.sheets.sheet import Json, Sheet

NOTES = {
    "stretch along the grain": "formed over cut length, along the roll; more thins and tears it",
    "stretch across the grain": "the same across the roll",
    FOLD: "if all spare length nearby gathers in one fold",
    GAP_BEHIND: "hollow between fabric and pipe that resin must fill",
    "edge short of its place": "the end that falls shortest of where it should lie",
}
"""What each limit means."""
_SHORT = {FOLD: "fold", GAP_BEHIND: "gap"}
_ENDS = {
    "upstream": "Sleeve, upstream end",
    "downstream": "Sleeve, downstream end",
    "branch": "Branch part, top",
}


def figure(limit: Limit, *, unit: bool = True) -> str:
    """Value against what is allowed: `2.1 of 6.0 mm`, `1.070 of 1.250`."""
    end = nearer(limit)
    per, decimals, shown = (1e3, 1, " mm") if limit.unit == "m" else (1.0, 3, "")
    allowed = "–" if end is None else words.fixed(end * per, decimals)
    return f"{words.fixed(limit.value * per, decimals)} of {allowed}{shown if unit else ''}"


def nearer(limit: Limit) -> float | None:
    """The limit of which most is used up, or None where there is none."""
    ends = [end for end in (limit.low, limit.high) if end is not None]
    return min(ends, key=lambda end: (end - limit.value) / (end - limit.rest), default=None)


_LONG = 4
"""Signs of a name that find room in the heading."""


def answer(collar: Collar) -> str:
    """The heading: whether it lands smooth, and the two limits that decide it.

    A long name would need a second line; it stands over the heading anyway.
    """
    landing = collar.landing
    subject = collar.pattern if len(collar.pattern) <= _LONG else "It"
    if landing.kept:
        by_name = {limit.name: limit for limit in landing.limits}
        fold, gap = (figure(by_name[name], unit=False) for name in (FOLD, GAP_BEHIND))
        return f"{subject} lands smooth: fold {fold}, gap {gap} mm"
    worst = min(landing.limits, key=lambda limit: limit.margin)
    name = _SHORT.get(worst.name, worst.name)
    return f"{subject} does not land as it must: {name} {figure(worst)}"


def _row(limit: Limit) -> limits.Row:
    left = f"{math.floor(100.0 * limit.margin + 1e-9)} %" if limit.kept else "broken"
    return limits.Row(
        words.capital(limit.name),
        NOTES.get(limit.name, ""),
        1.0 - limit.margin,
        figure(limit),
        left,
    )


def _helps(landing: Landing) -> list[Json]:
    broken = [limit for limit in landing.limits if not limit.kept]
    return [[words.capital(limit.name), f"would be helped by {limit.helps}."] for limit in broken]


def _edges(landing: Landing) -> list[Json]:
    out: list[Json] = []
    for edge in landing.edges:
        name = _ENDS.get(edge.name, words.capital(edge.name))
        short = edge.wanted - edge.least
        off = f"{words.fixed(abs(short) * 1e3, 1)} {'short' if short > 0.0 else 'beyond'}"
        lands = f"{words.fixed(edge.least * 1e3, 1)}–{words.fixed(edge.most * 1e3, 1)}"
        out.append([name, words.fixed(edge.wanted * 1e3, 1), lands, off])
    return out


def _range(values: Sequence[float], per: float, decimals: int, unit: str) -> str:
    return "–".join(words.fixed(v * per, decimals) for v in values) + unit


def _facts(collar: Collar) -> list[Json]:
    landing = collar.landing
    lies = landing.pressure_landed
    least, mean, most = (words.fixed(v * 1e3, 2) for v in landing.resin)
    return [
        ["Pressed on at", words.fixed(landing.pressure / 1e5, 2, "bar")],
        ["Lies well from", words.fixed(lies / 1e5, 2, "bar") if math.isfinite(lies) else "never"],
        ["Stretch, formed", _range(landing.stretch_inner, 1.0, 3, "")],
        ["Stretch, of the flat pieces", _range(collar.designed, 1.0, 3, "")],
        ["Thickness, least–greatest", _range(landing.thickness, 1e3, 2, " mm")],
        ["Resin held, least", f"{least} l/m²"],
        ["Resin held, mean", f"{mean} l/m²"],
        ["Resin held, greatest", f"{most} l/m²"],
    ]


def _lead(landing: Landing) -> str:
    return (
        "Computed, not yet tried in a pipe: the sewn pieces sit on the packer, are pressed into "
        f"the junction at {words.fixed(landing.pressure / 1e5, 2)} bar and stick where they first "
        f"touch. {words.capital(words.count(landing.runs, 'forming run'))}, "
        f"{words.count(landing.rounds, 'correction')} of the pieces, "
        f"{landing.triangles} triangles.{_certain(landing)}"
    )


def _certain(landing: Landing) -> str:
    """How far the result may be trusted."""
    if not math.isfinite(landing.drift):
        return ""
    moved = words.fixed(math.ceil(landing.drift * 1e4 - 1e-6) / 10.0, 1)
    return f" Pressed on four times as slowly, no point lies more than {moved} mm elsewhere."


def sheet_of(collar: Collar, found: CollarMap | None, fabric: Fabric | None) -> Sheet:
    """How a collar lands.

    Args:
        collar: The collar.
        found: Picture of it formed, or None.
        fabric: Its fabric, or None where the kit no longer has it.
    """
    landing = collar.landing
    body: dict[str, Json] = {
        **landing_maps.figures(found, fabric),
        "lead": _lead(landing),
        "limits": limits.bars([_row(limit) for limit in landing.limits]),
        "helps": _helps(landing),
        "edges": _edges(landing),
        "facts": _facts(collar),
        **layouts.table(collar),
        "tolerance": tolerances.rows(collar.tolerance, collar.junction.main_diameter),
        "told": tolerances.told(collar.tolerance),
    }
    title = f"How pattern {collar.pattern} lands"
    heading = letters.shorten(answer(collar), 352.0, 19.0, 700)
    return Sheet("landing", title, heading, f"Pattern {collar.pattern}", "Pattern sheets", body)


def sheet(index: JobIndex, pattern: str) -> Sheet:
    """How one pattern lands.

    Args:
        index: The job.
        pattern: Name of a pattern in use.
    """
    collar = by_pattern(index)[pattern][0].collar
    fabrics = {f.name: f for f in index.job.kit.fabrics}
    return sheet_of(collar, dict(index.job.designs.maps).get(pattern), fabrics.get(collar.fabric))
