"""The runs of a survey as lines at one scale, as many on a sheet as a reader can look through."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from urllib.parse import quote, urlencode

from markupsafe import Markup

from teewright.assess.values import Need
from teewright.findings import Finding
from teewright.network.values import Run, Survey
from teewright.web.drawings import lines
from teewright.web.office import Known

ROOM = 100
"""Runs on one sheet."""


@dataclass(frozen=True, slots=True)
class RunLine:
    """One run of the list.

    Attributes:
        id: Its id.
        address: Of its page.
        length: [m], or None.
        connections: How many.
        drawing: The run as a line.
        open: Findings that ask for a look.
    """

    id: str
    address: str
    length: float | None
    connections: int
    drawing: Markup
    open: int


@dataclass(frozen=True, slots=True)
class RunSheet:
    """One sheet of the list.

    Attributes:
        lines: Its runs.
        all: Runs of the survey.
        found: Runs that are looked for: those whose name holds `find`.
        find: What is looked for in their names; `""` for all.
        sheet: Which sheet, from 1.
    """

    lines: tuple[RunLine, ...]
    all: int
    found: int
    find: str
    sheet: int

    @property
    def sheets(self) -> int:
        """How many there are, at least one."""
        return max(1, -(-self.found // ROOM))

    @property
    def first(self) -> int:
        """Number of the first run shown, from 1."""
        return (self.sheet - 1) * ROOM + 1

    @property
    def last(self) -> int:
        """Number of the last run shown."""
        return self.first + len(self.lines) - 1

    def address(self, sheet: int) -> str:
        """Of another sheet of the same search."""
        asked = {"find": self.find} if self.find else {}
        return "?" + urlencode({**asked, "sheet": sheet})


def run_address(run_id: str) -> str:
    """Address of the page of a run."""
    return f"/survey/runs/{quote(run_id)}"


def run_sheet(
    known: Known, asking: Sequence[Finding], *, sheet: int = 1, find: str = ""
) -> RunSheet | None:
    """One sheet of the list, all runs at the scale of the longest; None without a survey.

    Args:
        known: What is known.
        asking: Findings that ask for a look.
        sheet: Which; one that there is not becomes the nearest.
        find: Part of the names of the runs that are shown, in upper or lower case.
    """
    if known.loaded is None or known.assessment is None or not known.loaded.survey.runs:
        return None
    survey, find = known.loaded.survey, find.strip()
    wanted = [run for run in survey.runs if find.casefold() in run.id.casefold()]
    last = max(1, -(-len(wanted) // ROOM))
    at = min(max(sheet, 1), last)
    needs = {v.connection_id: v.need for v in known.assessment.verdicts}
    run_of = {c.id: c.run_id for c in survey.connections}
    open_ = Counter(run_of.get(f.subject, f.subject) for f in asking)
    longest = max(_length(survey, run) for run in survey.runs)
    shown = wanted[(at - 1) * ROOM : at * ROOM]
    made = tuple(_line(survey, run, longest, needs, open_[run.id]) for run in shown)
    return RunSheet(made, len(survey.runs), len(wanted), find, at)


def _line(survey: Survey, run: Run, longest: float, needs: dict[str, Need], open_: int) -> RunLine:
    members = survey.of_run(run.id)
    placed = [(c.chainage, needs[c.id]) for c in members]
    return RunLine(
        id=run.id,
        address=run_address(run.id),
        length=run.length,
        connections=len(members),
        drawing=lines.line(_length(survey, run), longest, placed),
        open=open_,
    )


def _length(survey: Survey, run: Run) -> float:
    return run.length or max((c.chainage for c in survey.of_run(run.id)), default=1.0) or 1.0
