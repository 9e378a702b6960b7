"""The state in which each connection is handed over."""

from collections.abc import Collection, Mapping, Sequence
from typing import Protocol

from teewright.proof.values import Decision, HandoverRecord, HandoverState, LeakTest, Matter

_OUT = frozenset({"out", "test-reading", "inspected"})
_SEALED = frozenset({HandoverState.TIGHT, HandoverState.NOT_TIGHT, HandoverState.UNTESTED})
_SEALING = frozenset({"seal", "make ready first"})
_OPEN = {
    "seal": "Not planned yet.",
    "make ready first": "Make ready, then seal: not planned yet.",
    "look again": "Look again before it can be decided.",
    "close off": "Close off.",
    "leave": "",
}


class Installed(Protocol):
    """What the hand-over record needs of the state of an installation.

    `teewright.site.values.InstallationState` is one.
    """

    @property
    def installation(self) -> str:
        """Connection id, `#`, attempt."""

    @property
    def step(self) -> str | None:
        """Last step done, as it is logged, or None before mixing."""

    @property
    def breaches(self) -> tuple[str, ...]:
        """Limits that were broken, one plain sentence each."""

    @property
    def differs(self) -> tuple[str, ...]:
        """Where the present design has other limits than were told, one plain sentence each."""

    @property
    def repeats(self) -> tuple[str, ...]:
        """Steps that were logged again, one plain sentence each."""

    @property
    def finished(self) -> bool:
        """Whether it is out, tested and inspected, or aborted."""

    @property
    def aborted(self) -> bool:
        """Whether it was given up."""


def handover(
    connection_ids: Sequence[str],
    *,
    needs: Mapping[str, str],
    planned: Collection[str] = (),
    installations: Sequence[Installed] = (),
    tests: Mapping[str, LeakTest] | None = None,
    decisions: Mapping[str, Sequence[Decision]] | None = None,
    refusals: Mapping[str, Sequence[str]] | None = None,
    given_up: Mapping[str, str] | None = None,
) -> tuple[HandoverRecord, ...]:
    """Hand-over record of each connection.

    Of several attempts the last that was begun counts; the earlier ones stay as departures.

    Args:
        connection_ids: All connections, in the order of the record.
        needs: What each needs, in the words of the assessment.
        planned: Connections with a place in the programme.
        installations: States of the installations begun.
        tests: Leak tests by installation.
        decisions: What people decided, by installation, in the order of the log; the last that
            counts for a matter closes it.
        refusals: Reasons why no collar can be made, by connection.
        given_up: Why an installation was given up, as it was logged.

    Returns:
        One record for each connection, in the given order.
    """
    begun: dict[str, list[Installed]] = {}
    for state in installations:
        if state.step is not None:
            begun.setdefault(state.installation.rpartition("#")[0], []).append(state)
    return tuple(
        _installed(name, begun[name], tests or {}, decisions or {}, given_up or {})
        if name in begun
        else _not_begun(name, needs.get(name, ""), planned, (refusals or {}).get(name, ()))
        for name in connection_ids
    )


def _installed(
    connection_id: str,
    attempts: list[Installed],
    tests: Mapping[str, LeakTest],
    decisions: Mapping[str, Sequence[Decision]],
    given_up: Mapping[str, str],
) -> HandoverRecord:
    ordered = sorted(attempts, key=_attempt)
    last = ordered[-1]
    test = tests.get(last.installation)
    state = _state(last, test)
    points = _points(last, state, test)
    closed = {m: d for d in decisions.get(last.installation, ()) for m in d.on}
    earlier = tuple(
        (name, _outcome(before, tests.get(name), given_up.get(name)))
        for name, before in ((state.installation, state) for state in ordered[:-1])
    )
    return HandoverRecord(
        connection_id=connection_id,
        state=state,
        installation=last.installation,
        test=test if state in _SEALED else None,
        departures=(*(said for _, said in earlier), *last.breaches),
        open_points=tuple(said for said, matter in points if matter not in closed),
        remarks=(*last.differs, *last.repeats),
        to_decide=tuple(m for _, m in points if m is not None and m not in closed),
        decided=tuple(_decided(m, closed[m]) for _, m in points if m in closed),
        earlier=earlier,
    )


def _attempt(state: Installed) -> int:
    return int(state.installation.rpartition("#")[2])


def _outcome(state: Installed, test: LeakTest | None, reason: str | None) -> str:
    """What became of an attempt that was followed by another, one sentence."""
    name = f"Attempt {_attempt(state)}"
    if state.aborted:
        why = f": {reason}" if reason else ""
        return f"{name} was given up{why}".rstrip(".") + "."
    what = "finished and done again" if state.finished else "left unfinished"
    if test is None:
        return f"{name} was {what}."
    tight = {True: "tight", False: "not tight", None: "not decided"}[test.passed]
    return f"{name} was {what}; its leak test: {tight}."


def _state(last: Installed, test: LeakTest | None) -> HandoverState:
    if last.aborted:
        return HandoverState.GIVEN_UP
    if last.step not in _OUT:
        return HandoverState.IN_WORK
    if test is None or test.passed is None:
        return HandoverState.UNTESTED
    return HandoverState.TIGHT if test.passed else HandoverState.NOT_TIGHT


Point = tuple[str, Matter | None]
"""What is still to be done, one sentence, and what of it a person must decide."""


def _points(last: Installed, state: HandoverState, test: LeakTest | None) -> list[Point]:
    points: list[Point] = []
    if state is HandoverState.GIVEN_UP:
        points.append(("Decide on another attempt.", Matter.ATTEMPT))
    elif state is HandoverState.IN_WORK:
        points.append(("Finish the installation.", None))
    elif state is HandoverState.NOT_TIGHT:
        points.append(("Decide on the failed leak test.", Matter.TEST))
    elif state is HandoverState.UNTESTED and test is not None:
        points.append((f"Test again. {test.reason}", Matter.TEST))
    elif state is HandoverState.UNTESTED:
        points.append(("Test for leaks.", None))
    if state in _SEALED and not last.finished and last.step != "inspected":
        points.append(("Inspect the collar.", None))
    if state in _SEALED and last.breaches:
        points.append(("Decide on the limits that were broken.", Matter.LIMITS))
    return points


def _decided(matter: Matter | None, decision: Decision) -> str:
    """A matter with who closed it, when and how."""
    said = f"{str(matter).capitalize()}: decided by {decision.person} on {decision.at:%Y-%m-%d}: "
    return said + decision.text + ("" if decision.text.endswith((".", "!", "?")) else ".")


def _not_begun(
    connection_id: str, need: str, planned: Collection[str], reasons: Sequence[str]
) -> HandoverRecord:
    is_planned = connection_id in planned
    points = [] if is_planned else _reasons_open(need, reasons)
    return HandoverRecord(
        connection_id=connection_id,
        state=HandoverState.PLANNED if is_planned else HandoverState.NOT_SEALED,
        installation="",
        test=None,
        departures=(),
        open_points=tuple(points),
    )


def _reasons_open(need: str, reasons: Sequence[str]) -> list[str]:
    if reasons and need in _SEALING:
        return [f"No collar can be made: {reason}" for reason in reasons]
    return [point] if (point := _OPEN.get(need, "Not assessed yet.")) else []
