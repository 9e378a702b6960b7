"""Cover and contents."""

from collections.abc import Sequence

from teewright.report import words
from teewright.report.figures import overview
from teewright.report.index import JobIndex
from teewright.report.sheets.sheet import Json, Sheet

_QUESTIONS = {
    "Summary": "What is sealed, what is not, and at what cost?",
    "Not sealed": "What is left out, and for which reason?",
    "Connections": "What does each one need, and why?",
    "Run sheets": "Where are the connections?",
    "Pattern sheets": "What is cut, and how does it land?",
    "Collar sheets": "How is each one made and set?",
    "Shift sheets": "When must each collar be at pressure?",
    "Quantities and price": "What is ordered, and what does it cost?",
    "Record": "What was done, and is it tight?",
    "Findings": "What was repaired, assumed or doubted on the way?",
    "Calculation appendix": "Where does each number come from?",
}


def drawn_runs(index: JobIndex) -> list[overview.DrawnRun]:
    """Runs of a job as the overviews draw them."""
    out = []
    for run in index.job.survey.runs:
        connections = tuple(
            overview.DrawnConnection(c.chainage, c.clock, index.decision(c.id))
            for c in index.job.survey.of_run(run.id)
        )
        measured = run.length is not None and run.length > 0.0
        out.append(
            overview.DrawnRun(
                run.id, run.upstream, run.downstream, index.length(run), measured, connections
            )
        )
    return out


def _size(index: JobIndex) -> str:
    runs = index.job.survey.runs
    known = [r.length for r in runs if r.length]
    length = f", {sum(known):.1f} m of main" if known else ""
    connections = words.count(len(index.job.survey.connections), "connection")
    return words.capital(f"{words.count(len(runs), 'run')}{length}, {connections}")


def contents(sheets: Sequence[Sheet]) -> list[Json]:
    """Rows of the contents: each group with its question, its first and its last sheet."""
    groups: dict[str, list[int]] = {}
    for k, sheet in enumerate(sheets, 2):
        groups.setdefault(sheet.group, []).append(k)
    return [
        {
            "name": name,
            "question": _QUESTIONS.get(name, ""),
            "first": f"sheet-{numbers[0]}",
            "last": f"sheet-{numbers[-1]}",
        }
        for name, numbers in groups.items()
    ]


def _invented(index: JobIndex) -> str:
    if index.job.site.invented:
        return "Place, people and figures are invented for a demonstration."
    if index.job.kit.invented:
        return "The kit is invented: its fabrics, resins, packers and rates are for demonstration."
    return ""


def sheet(index: JobIndex, others: Sequence[Sheet]) -> Sheet:
    """The cover; the other sheets are listed in its contents."""
    site = index.job.site
    place = [p for p in (site.title, site.place) if p]
    drawn = drawn_runs(index)
    shown = drawn[:14]
    height = max(98.0, 8.2 * len(shown)) if len(shown) > 3 else 30.0 * max(len(shown), 1)
    left_out = len(drawn) - len(shown)
    body: dict[str, Json] = {
        "name": words.breakable(site.title),
        "lines": [
            words.breakable(", ".join(place[1:]) if place[1:] and place[1] not in place[0] else ""),
            _size(index),
            f"For {words.breakable(site.client)}" if site.client else "",
        ],
        "figure": overview.unrolled(shown, height) if shown else "",
        "left_out": f" {words.capital(words.count(left_out, 'run'))} more on the run sheets."
        if left_out
        else "",
        "contents": contents(others),
        "invented_text": _invented(index),
    }
    return Sheet("cover", "", "", words.figures(len(drawn), "run"), "Cover", body)
