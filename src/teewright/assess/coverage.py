"""Parts of a run that no camera saw: a connection there would be missed."""

from collections.abc import Iterator

from teewright.findings import Finding, FindingKind
from teewright.network.codes import FINISH
from teewright.network.values import Direction, Inspection, Run, Survey

LEAST_GAP = 0.5
"""A shorter part counts as seen: the camera looks ahead [m]."""
NEARLY = 0.9
"""Share of the run's length after which a pass without a finish code counts as whole [-]."""

Span = tuple[float, float]


def seen_spans(run: Run, passes: tuple[Inspection, ...]) -> tuple[Span, ...]:
    """Chainages that the passes through a run covered, merged [m].

    Args:
        run: Run of known length.
        passes: Its inspections.
    """
    length = run.length or 0.0
    spans = sorted(
        (0.0, p.last_station)
        if p.direction is Direction.WITH
        else (length - p.last_station, length)
        for p in passes
    )
    merged: list[Span] = []
    for low, high in spans:
        if merged and low <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(merged[-1][1], high))
        else:
            merged.append((low, high))
    return tuple(merged)


def unseen(run: Run, passes: tuple[Inspection, ...]) -> tuple[Span, ...]:
    """Chainages of a run that no pass covered [m], parts under 0.5 m left out.

    Only passes given up short of the far node leave a part unseen, and those that code no finish
    and stop well short of it: a whole pass whose counter ran short saw the whole run. Nothing
    is said of runs of unknown length or direction.
    """
    whole = any(_whole(p, run.length or 0.0) for p in passes)
    known = all(p.direction is not Direction.UNKNOWN for p in passes)
    if run.length is None or not passes or whole or not known:
        return ()
    edges = [0.0]
    for low, high in seen_spans(run, passes):
        edges += [low, high]
    edges.append(run.length)
    pairs = zip(edges[::2], edges[1::2], strict=True)
    return tuple((low, high) for low, high in pairs if high - low > LEAST_GAP)


def _whole(one: Inspection, length: float) -> bool:
    finished = any(o.code == FINISH for o in one.observations)
    return not one.abandoned and (finished or one.last_station >= NEARLY * length)


def unseen_parts(survey: Survey) -> tuple[Finding, ...]:
    """A finding for each part of a run that no camera saw."""
    return tuple(_unseen_parts(survey))


def _unseen_parts(survey: Survey) -> Iterator[Finding]:
    passes = {inspection.key: inspection for inspection in survey.inspections}
    for run in survey.runs:
        of_run = tuple(passes[key] for key in run.inspections if key in passes)
        for low, high in unseen(run, of_run):
            yield Finding(
                FindingKind.DOUBT,
                "unseen-part",
                f"no camera saw run {run.id} from {low:.2f} to {high:.2f} m; a connection there "
                "is missed",
                subject=run.id,
            )
