"""Assumptions and doubts of an assessment: findings."""

from collections.abc import Iterator, Sequence

from teewright.assess.case import Case
from teewright.assess.values import Verdict
from teewright.findings import Finding, FindingKind
from teewright.network.conditions import Site


def doubts(every: Sequence[Case], verdicts: Sequence[Verdict], site: Site) -> tuple[Finding, ...]:
    """Findings on the cases of a survey and their verdicts.

    Args:
        every: Cases.
        verdicts: Verdict on each, in the same order.
        site: What is declared of the place.
    """
    pairs = tuple(zip(every, verdicts, strict=True))
    found: list[Finding] = [*_not_lined(every), *_lining_disputed(every)]
    for case, verdict in pairs:
        found += _of_one(case, verdict)
    return (*found, *_gap_path(verdicts, site), *_angles(pairs, site))


def _not_lined(every: Sequence[Case]) -> Iterator[Finding]:
    counts: dict[str, int] = {}
    for case in every:
        if not case.lined:
            counts[case.run.id] = counts.get(case.run.id, 0) + 1
    for run_id, count in counts.items():
        yield Finding(
            FindingKind.NOTE,
            "not-lined",
            f"run {run_id} is not known to be lined, so its {_number(count)} left; a collar "
            "seals a liner: if it is lined, declare it in the site file or with --declare-liner",
            subject=run_id,
        )


def _number(count: int) -> str:
    return "1 connection is" if count == 1 else f"{count} connections are"


def _lining_disputed(every: Sequence[Case]) -> Iterator[Finding]:
    disputed = {c.run.id for c in every if c.declared.lined is False and c.run.lined}
    for run_id in sorted(disputed):
        yield Finding(
            FindingKind.DOUBT,
            "lining-disputed",
            f"the survey has run {run_id} lined, the site file has it not lined; "
            "the site file is followed",
            subject=run_id,
        )


def _of_one(case: Case, verdict: Verdict) -> Iterator[Finding]:
    found = verdict.entry
    subject = case.connection.id
    if found.head is not None and found.head <= 0.0 and case.defects("BBF"):
        yield Finding(
            FindingKind.DOUBT,
            "entry-above-groundwater",
            f"water comes in at {subject}, though the groundwater declared does not reach it; "
            "check the level",
            subject=subject,
        )
    if found.flow is None and found.reynolds is not None:
        yield Finding(
            FindingKind.DOUBT,
            "gap-flow-not-valid",
            f"the thin-gap formula does not hold at {subject} (Re {found.reynolds:.0f}); "
            "the coded class stands",
            value=f"Re {found.reynolds:.0f}",
            subject=subject,
        )
    if case.connection.is_open is None and case.lined:
        yield Finding(
            FindingKind.ASSUMED,
            "open-state-not-coded",
            f"no sighting says whether {subject} is open; taken as open",
            subject=subject,
        )


def _gap_path(verdicts: Sequence[Verdict], site: Site) -> Iterator[Finding]:
    ids = [v.connection_id for v in verdicts if v.entry.reynolds is not None]
    if ids:
        path = f"{1e3 * site.defaults.gap_path:g} mm"
        yield Finding(
            FindingKind.ASSUMED,
            "gap-path",
            f"leakage path through the gap taken as {path} at {', '.join(ids)}",
            value=path,
        )


def _angles(pairs: Sequence[tuple[Case, Verdict]], site: Site) -> Iterator[Finding]:
    for case, verdict in pairs:
        angle, assumed = case.angle(site)
        if verdict.entry.reynolds is not None and assumed:
            yield Finding(
                FindingKind.ASSUMED,
                "gap-angle",
                f"length of the cut edge at {case.connection.id} from a branch angle of "
                f"{angle * 57.29577951308232:.0f}° by its kind",
                subject=case.connection.id,
            )
