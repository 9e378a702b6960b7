from dataclasses import dataclass, replace
from datetime import UTC, datetime

import pytest

from teewright.proof.en1610_air import judge_air
from teewright.proof.handover import handover
from teewright.proof.values import Decision, HandoverRecord, HandoverState, LeakTest, Matter
from teewright.site.clock import state
from teewright.site.values import EventKind as K
from unit.site.story import LIMITS, and_then, draft, usual

TIGHT = judge_air([(0, 10_000), (180, 9_900)], diameter=0.2, method="LC")
LEAKY = judge_air([(0, 10_000), (180, 5_000)], diameter=0.2, method="LC")
SHORT = judge_air([(0, 10_000), (30, 9_900)], diameter=0.2, method="LC")


@dataclass(frozen=True)
class Begun:
    installation: str
    step: str | None
    breaches: tuple[str, ...] = ()
    finished: bool = False
    aborted: bool = False
    differs: tuple[str, ...] = ()
    repeats: tuple[str, ...] = ()


def one(*begun: Begun, need: str = "seal", **given: object) -> HandoverRecord:
    (record,) = handover(["A"], needs={"A": need}, installations=begun, **given)  # type: ignore[arg-type]
    return record


DONE = Begun("A#1", "inspected", finished=True)


def test_tight() -> None:
    record = one(DONE, tests={"A#1": TIGHT})
    assert record == HandoverRecord("A", HandoverState.TIGHT, "A#1", TIGHT, (), ())


def test_not_tight_and_untested() -> None:
    leaky = one(DONE, tests={"A#1": LEAKY})
    assert (leaky.state, leaky.open_points) == (
        HandoverState.NOT_TIGHT,
        ("Decide on the failed leak test.",),
    )
    short = one(DONE, tests={"A#1": SHORT})
    assert short.state is HandoverState.UNTESTED
    assert short.open_points == (f"Test again. {SHORT.reason}",)
    none = one(Begun("A#1", "out"))
    assert none.state is HandoverState.UNTESTED
    assert none.open_points == ("Test for leaks.", "Inspect the collar.")


@pytest.mark.parametrize("step", ["mixed", "at-pressure", "released"])
def test_in_work(step: str) -> None:
    record = one(Begun("A#1", step), tests={"A#1": TIGHT})
    assert (record.state, record.test) == (HandoverState.IN_WORK, None)


def test_given_up_and_tried_again() -> None:
    failed = Begun("A#1", "aborted", finished=True, aborted=True)
    assert one(failed).state is HandoverState.GIVEN_UP
    again = one(Begun("A#2", "inspected", finished=True), failed, tests={"A#2": TIGHT})
    assert (again.state, again.installation) == (HandoverState.TIGHT, "A#2")
    assert again.departures == ("Attempt 1 was given up.",)
    assert again.earlier == (("A#1", "Attempt 1 was given up."),)


def test_what_became_of_earlier_attempts_is_told_with_its_reason_and_its_test() -> None:
    leaky = Begun("A#1", "inspected", finished=True)
    burst = Begun("A#2", "aborted", finished=True, aborted=True)
    record = one(
        leaky,
        burst,
        Begun("A#3", "inspected", finished=True),
        tests={"A#1": LEAKY, "A#3": TIGHT},
        given_up={"A#2": "packer lost air"},
    )
    assert (record.state, record.test) == (HandoverState.TIGHT, TIGHT)
    assert record.departures == (
        "Attempt 1 was finished and done again; its leak test: not tight.",
        "Attempt 2 was given up: packer lost air.",
    )
    assert dict(record.earlier) == dict(zip(("A#1", "A#2"), record.departures, strict=True))


def test_the_tenth_attempt_comes_after_the_ninth() -> None:
    attempts = [Begun(f"A#{n}", "aborted", finished=True, aborted=True) for n in range(1, 10)]
    assert one(*attempts, Begun("A#10", "mixed")).installation == "A#10"


def test_broken_limits_are_departures_to_be_decided() -> None:
    record = one(
        Begun("A#1", "inspected", ("Released early.",), finished=True), tests={"A#1": TIGHT}
    )
    assert record.state is HandoverState.TIGHT
    assert record.departures == ("Released early.",)
    assert record.open_points == ("Decide on the limits that were broken.",)


@pytest.mark.parametrize(
    ("need", "point"),
    [
        ("seal", "Not planned yet."),
        ("make ready first", "Make ready, then seal: not planned yet."),
        ("look again", "Look again before it can be decided."),
        ("close off", "Close off."),
        ("", "Not assessed yet."),
    ],
)
def test_not_sealed_says_what_is_open(need: str, point: str) -> None:
    record = one(need=need)
    assert (record.state, record.open_points) == (HandoverState.NOT_SEALED, (point,))


def test_left_planned_and_refused() -> None:
    assert one(need="leave").open_points == ()
    assert one(planned={"A"}).state is HandoverState.PLANNED
    assert one(planned={"A"}).open_points == ()
    refused = one(refusals={"A": ["the branch is too wide"]})
    assert refused.open_points == ("No collar can be made: the branch is too wide",)


def test_a_note_alone_has_not_begun_it() -> None:
    assert one(Begun("A#1", None), planned={"A"}).state is HandoverState.PLANNED


def test_order_and_states_of_the_log_itself() -> None:
    ids = ["A-B/02", "A-B/01", "A-B/03"]
    log = and_then(usual(), draft(K.MIXED, 9000, installation="A-B/03#1"))
    states = [state(name, log, LIMITS) for name in ("A-B/01#1", "A-B/03#1")]
    records = handover(
        ids, needs=dict.fromkeys(ids, "seal"), installations=states, tests={"A-B/01#1": TIGHT}
    )
    assert [record.connection_id for record in records] == ids
    assert [record.state for record in records] == [
        HandoverState.NOT_SEALED,
        HandoverState.TIGHT,
        HandoverState.IN_WORK,
    ]


def test_other_limits_and_repeated_steps_are_remarks_and_no_departures() -> None:
    record = one(
        replace(DONE, differs=("Told otherwise.",), repeats=("Out again.",)), tests={"A#1": TIGHT}
    )
    assert record.remarks == ("Told otherwise.", "Out again.")
    assert (record.departures, record.open_points) == ((), ())


MONDAY = datetime(2027, 5, 3, 9, 30, tzinfo=UTC)


def settled(text: str, *on: Matter) -> dict[str, tuple[Decision, ...]]:
    return {"A#1": (Decision(text, "Engineer", MONDAY, frozenset(on)),)}


@pytest.mark.parametrize(
    ("begun", "test", "matter", "said"),
    [
        (DONE, LEAKY, Matter.TEST, "The leak test"),
        (DONE, SHORT, Matter.TEST, "The leak test"),
        (replace(DONE, aborted=True), None, Matter.ATTEMPT, "Another attempt"),
        (replace(DONE, breaches=("Late.",)), TIGHT, Matter.LIMITS, "The limits that were broken"),
    ],
)
def test_a_decision_closes_the_point_that_it_is_on_and_no_other(
    begun: Begun, test: LeakTest | None, matter: Matter, said: str
) -> None:
    tests = {"A#1": test} if test else {}
    before = one(begun, tests=tests)
    assert (before.to_decide, before.decided) == ((matter,), ())
    after = one(begun, tests=tests, decisions=settled("Leave it so", matter))
    assert (after.to_decide, after.open_points) == ((), ())
    assert after.decided == (f"{said}: decided by Engineer on 2027-05-03: Leave it so.",)
    assert (after.state, after.departures) == (before.state, before.departures)
    others = one(begun, tests=tests, decisions=settled("Yes.", *(set(Matter) - {matter})))
    assert others == before


def test_what_must_be_done_is_not_closed_by_a_decision() -> None:
    record = one(Begun("A#1", "out"), decisions=settled("Never mind", *Matter))
    assert record.open_points == ("Test for leaks.", "Inspect the collar.")
    assert record.decided == ()


def test_the_last_decision_counts() -> None:
    first, last = (settled(text, Matter.TEST)["A#1"][0] for text in ("Wait!", "Dig."))
    record = one(DONE, tests={"A#1": LEAKY}, decisions={"A#1": (first, last)})
    assert record.decided == ("The leak test: decided by Engineer on 2027-05-03: Dig.",)
