"""One job, asked by connection: what is done with each, and where it stands in the job."""

import re
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

from teewright.assess.values import Need, Verdict
from teewright.job.values import Design, Job, PlannedCure, PlannedHold, Refusal
from teewright.network.conditions import NodeLevels, RunConditions
from teewright.network.values import Connection, Run
from teewright.programme.values import Shift, Unplanned, Visit
from teewright.proof.values import HandoverRecord
from teewright.report import words


class Decision(StrEnum):
    """What happens to a connection, as it is drawn and said."""

    SEAL = "seal"
    READY = "make ready, seal"
    CLOSE = "close off"
    LOOK = "look again"
    REFUSED = "no collar fits"
    UNPLANNED = "no shift fits"
    LEAVE = "leave"


SEALED = (Decision.SEAL, Decision.READY)
"""Decisions that end with a collar."""
OPEN = (Decision.LOOK, Decision.REFUSED, Decision.UNPLANNED)
"""Decisions that leave a question."""

_DECISIONS = {
    Need.SEAL: Decision.SEAL,
    Need.MAKE_READY: Decision.READY,
    Need.CLOSE_OFF: Decision.CLOSE,
    Need.LOOK_AGAIN: Decision.LOOK,
    Need.LEAVE: Decision.LEAVE,
}


def short(connection_id: str) -> str:
    """The last part of a connection's id, which is enough on its own run's sheet."""
    return connection_id.rsplit("/", 1)[-1]


@dataclass(frozen=True)
class JobIndex:
    """A job with its parts found by connection, run and node.

    Attributes:
        job: The job.
    """

    job: Job

    @cached_property
    def verdicts(self) -> dict[str, Verdict]:
        """Verdict of each connection."""
        return {v.connection_id: v for v in self.job.assessment.verdicts}

    @cached_property
    def designs(self) -> dict[str, Design]:
        """Design of each connection that has one."""
        return {d.connection_id: d for d in self.job.designs.designs}

    @cached_property
    def refusals(self) -> dict[str, Refusal]:
        """Refusal of each connection for which no collar can be made."""
        return {r.connection_id: r for r in self.job.designs.refusals}

    @cached_property
    def holds(self) -> dict[str, PlannedHold]:
        """Level behind the packer as planned, for each connection of which it is known."""
        return {hold.connection_id: hold for hold in self.job.holds}

    @cached_property
    def cures(self) -> dict[str, PlannedCure]:
        """Cure as planned, for each connection of which it is computed."""
        return {cure.connection_id: cure for cure in self.job.cures}

    @cached_property
    def visits(self) -> dict[str, tuple[Shift, Visit]]:
        """Shift and visit of each connection that is planned."""
        return {v.connection_id: (s, v) for s in self.job.programme.shifts for v in s.visits}

    @cached_property
    def unplanned(self) -> dict[str, Unplanned]:
        """Why no shift can hold it, for each connection left out of the programme."""
        return {u.connection_id: u for u in self.job.programme.unplanned}

    @cached_property
    def records(self) -> dict[str, HandoverRecord]:
        """Hand-over record of each connection."""
        return {r.connection_id: r for r in self.job.records}

    @cached_property
    def connections(self) -> dict[str, Connection]:
        """Connections by id."""
        return {c.id: c for c in self.job.survey.connections}

    @cached_property
    def runs(self) -> dict[str, Run]:
        """Runs by id."""
        return {r.id: r for r in self.job.survey.runs}

    @cached_property
    def levels(self) -> dict[str, NodeLevels]:
        """Levels by node."""
        return {n.node: n for n in self.job.site.nodes}

    @property
    def invented(self) -> bool:
        """Whether the scenario or the kit is invented, which every sheet says."""
        return self.job.site.invented or self.job.kit.invented

    def conditions(self, run: Run) -> RunConditions:
        """What is declared of a run; all unknown where nothing is."""
        for declared in self.job.site.runs:
            if (declared.upstream, declared.downstream) == (run.upstream, run.downstream):
                return declared
        return RunConditions(run.upstream, run.downstream)

    def lined(self, run: Run) -> bool | None:
        """Whether a run is lined: as declared, as surveyed, or as a collar was designed for it."""
        declared = self.conditions(run).lined
        known = declared if declared is not None else run.lined
        if known is None and any(self.connections[cid].run_id == run.id for cid in self.designs):
            return True
        return known

    def decision(self, connection_id: str) -> Decision:
        """What happens to a connection; without a verdict it must be looked at again."""
        verdict = self.verdicts.get(connection_id)
        if verdict is None:
            return Decision.LOOK
        decision = _DECISIONS[verdict.need]
        if decision not in SEALED:
            return decision
        if connection_id not in self.designs:
            return Decision.REFUSED
        return Decision.UNPLANNED if connection_id in self.unplanned else decision

    def decided(self, *wanted: Decision) -> list[str]:
        """Ids of the connections with one of the decisions, in the order of the survey."""
        return [c.id for c in self.job.survey.connections if self.decision(c.id) in wanted]

    def needs_review(self, connection_id: str) -> bool:
        """Whether the wall of its collar is too thin, or no pressure serves."""
        design = self.designs.get(connection_id)
        return design is not None and (design.wall_too_thin or design.pressure.set is None)

    def length(self, run: Run) -> float:
        """Length of a run to draw [m]: its own, or as far as anything was seen in it."""
        if run.length is not None and run.length > 0.0:
            return run.length
        seen = [c.chainage for c in self.job.survey.of_run(run.id)]
        seen += [d.chainage for d in run.defects]
        return max(seen, default=10.0) * 1.05 or 10.0

    def reason(self, connection_id: str) -> str:
        """The plain sentence that decided, or why no collar or no shift fits."""
        if connection_id in self.refusals:
            return " ".join(self.refusals[connection_id].reasons)
        if connection_id in self.unplanned:
            return words.capital(self.unplanned[connection_id].text)
        verdict = self.verdicts.get(connection_id)
        return words.capital(verdict.reasons[0].text) if verdict and verdict.reasons else ""

    def common_reason(self, connection_id: str) -> str:
        """The reason without the name of its run, so that equal ones can stand together."""
        connection = self.connections[connection_id]
        named = re.compile(rf"(?i)\brun {re.escape(connection.run_id)}(?![\w/-])")
        return words.capital(named.sub("the run", self.reason(connection_id)))

    def rule(self, connection_id: str) -> str:
        """Name of the rule that decided."""
        if connection_id in self.unplanned:
            return self.unplanned[connection_id].rule
        verdict = self.verdicts.get(connection_id)
        return verdict.reasons[0].rule if verdict and verdict.reasons else ""

    def entry(self, connection_id: str) -> float | None:
        """Estimated groundwater entry [m3/s], or None."""
        verdict = self.verdicts.get(connection_id)
        return verdict.entry.flow if verdict else None

    def head(self, connection_id: str) -> float | None:
        """Water above the connection [m], as designed for, else as assessed."""
        if connection_id in self.designs:
            return self.designs[connection_id].head
        verdict = self.verdicts.get(connection_id)
        return verdict.entry.head if verdict else None
