"""Which pattern serves which connection, and what another pattern would bring."""

from collections.abc import Sequence

from teewright.collar.families import Family
from teewright.job.values import Design
from teewright.report import letters, words
from teewright.report.figures.families import trade_off_figure
from teewright.report.index import JobIndex
from teewright.report.sheets import tolerances
from teewright.report.sheets.pattern import by_pattern
from teewright.report.sheets.sheet import Json, Sheet

_MOST = 40
_MEANING = (
    "A pattern made for one shape of junction also serves others that lie inside its placement "
    "tolerance. The margin is the share of that tolerance left over at the connection that it "
    "suits least; 100 % is a pattern for each shape."
)
_MORE = (
    "More patterns leave more room for what is not known of a junction, and cost drawing and "
    "sorting; where the sizes on site are doubtful, cut more."
)


def sheets(index: JobIndex) -> list[Sheet]:
    """One sheet where there is a choice of how many patterns to cut; else none."""
    families = index.job.designs.families
    patterns = by_pattern(index)
    if len(families) < 2 or not patterns:
        return []
    least = families[0]
    body: dict[str, Json] = {
        "figure": trade_off_figure(families, chosen=len(least.patterns)),
        "words": _words(families),
        "choices": _choices(families),
        "rows": [_row(pattern, designs) for pattern, designs in patterns.items()],
    }
    served = sum(len(designs) for designs in patterns.values())
    verb = "serves" if len(patterns) == 1 else "serve"
    answer = (
        f"{words.capital(words.count(len(patterns), 'pattern'))} {verb} "
        f"{words.figures(served, 'connection')}"
    )
    subject = words.figures(len(patterns), "pattern")
    return [Sheet("families", "How many patterns", answer, subject, "Pattern sheets", body)]


def _words(families: Sequence[Family]) -> list[Json]:
    least = families[0]
    proof = "Fewer cannot serve all: proved." if least.proved else "Not proved to be the fewest."
    chosen = words.figures(len(least.patterns), "pattern")
    return [_MEANING, f"Chosen: {chosen}, margin {100.0 * least.margin:.0f} %. {proof}", _MORE]


def _choices(families: Sequence[Family]) -> list[Json]:
    return [
        [
            str(len(family.patterns)),
            f"{100.0 * family.margin:.0f} %",
            f"{100.0 * family.mean:.0f} %",
            "chosen" if k == 0 else "",
        ]
        for k, family in enumerate(families)
    ]


def _row(pattern: str, designs: Sequence[Design]) -> dict[str, Json]:
    j = designs[0].collar.junction
    shape = f"{j.main_diameter * 1e3:.0f} / {j.branch_diameter * 1e3:.0f} mm"
    others = [d for d in designs if tolerances.used_share(d) > 0.0]
    named = [
        f"{letters.shorten(d.connection_id, 48.0, 9.0)} ({tolerances.served(d)})" for d in others
    ]
    return {
        "pattern": pattern,
        "shape": f"{shape}, {words.degrees(j.angle)}, edge {j.fillet * 1e3:.0f} mm",
        "own": str(len(designs) - len(others)),
        "others": [words.unbroken(name) for name in named[:_MOST]]
        + ([f"{len(named) - _MOST} more"] if len(named) > _MOST else []),
    }
