"""What was proved of each connection, as the pages of proof and hand-over show it."""

from dataclasses import dataclass

from teewright.job.values import Job
from teewright.proof.values import HandoverRecord, HandoverState, LeakTest
from teewright.report.index import JobIndex
from teewright.report.sheets.installation import open_words
from teewright.site.decisions import Decision, decisions
from teewright.web.quantities import System, quantity
from teewright.web.texts import text

WIDEST = 1.5
"""End of the scale of what was used of what is allowed [-]."""
MARKS = {
    HandoverState.TIGHT: "tight",
    HandoverState.NOT_TIGHT: "not_tight",
    HandoverState.UNTESTED: "untested",
    HandoverState.IN_WORK: "in_work",
    HandoverState.GIVEN_UP: "given_up",
    HandoverState.PLANNED: "planned",
    HandoverState.NOT_SEALED: "not_sealed",
}
"""Name of the mark and of the words of each state."""
UNTOUCHED = (HandoverState.PLANNED, HandoverState.NOT_SEALED)
"""States in which nothing was done on site."""


@dataclass(frozen=True, slots=True)
class Proved:
    """One connection that was begun.

    Attributes:
        record: Its hand-over record.
        state: Name of its state, a key of the texts.
        open: What is still to be done or decided, one sentence each.
        decisions: Written into the log.
        share: Measured over allowed [-], or None where nothing was judged.
    """

    record: HandoverRecord
    state: str
    open: tuple[str, ...]
    decisions: tuple[Decision, ...]
    share: float | None

    @property
    def id(self) -> str:
        """Connection."""
        return self.record.connection_id

    @property
    def test(self) -> LeakTest | None:
        """Its leak test."""
        return self.record.test

    @property
    def must_be_decided(self) -> bool:
        """Whether it departs from what was asked for, and nothing was decided since."""
        departs = bool(self.record.departures) and not self.decisions
        return departs or bool(self.record.to_decide)

    @property
    def bar(self) -> float:
        """Length of its bar, as a share of the scale [%]."""
        return 100.0 * min(self.share or 0.0, WIDEST) / WIDEST


def proved(job: Job) -> tuple[Proved, ...]:
    """Every connection that was begun: those that must be decided first, then by survey."""
    index = JobIndex(job)
    begun = [r for r in job.records if r.state not in UNTOUCHED]
    found = [of_record(index, record) for record in begun]
    return tuple(sorted(found, key=lambda one: not one.must_be_decided))


def of_record(index: JobIndex, record: HandoverRecord) -> Proved:
    """One connection."""
    return Proved(
        record=record,
        state=MARKS[record.state],
        open=tuple(open_words(index, record)),
        decisions=decisions(record.installation, index.job.events),
        share=_share(record.test),
    )


def judged(test: LeakTest, system: System) -> tuple[str, str]:
    """What was measured in a leak test and what it allows; dashes where nothing was judged."""
    if not test.limit:
        return "–", "–"
    unit = "l" if test.method == "W" else "mbar"
    # some hundredths of a litre are some thousandths of a gallon
    digits = 3 if system is System.US else None
    measured, limit = (
        quantity(value, unit, system, digits=digits) for value in (test.measured, test.limit)
    )
    return measured, limit


def verdict(test: LeakTest | None) -> str:
    """The verdict in a word."""
    if test is None:
        return text("proof.no_test")
    return text(
        {True: "proof.tight", False: "proof.not_tight", None: "proof.undecided"}[test.passed]
    )


def _share(test: LeakTest | None) -> float | None:
    if test is None or test.limit <= 0.0:
        return None
    return test.measured / test.limit
