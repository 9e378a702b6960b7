import itertools
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.assess.make_ready import MakeReady
from teewright.assess.rules import LAST_RESORT, RULES, assess
from teewright.assess.values import Assessment, GapEntry, Need, Verdict
from teewright.formats.en13508 import read
from teewright.network.conditions import RunConditions, Site
from teewright.network.reconcile import reconcile
from teewright.network.values import Connection, Direction, Survey

from .make import LINED, connection, defect, inspection, noted, run, sighting, survey


def no_flow(head: float, gap: float, path: float, perimeter: float) -> GapEntry:
    return GapEntry(None, None, None)


def of(found: Survey, site: Site, head: float | None) -> Assessment:
    return assess(found, site, heads={c.id: head for c in found.connections}, gap_flow=no_flow)


def verdict(one: Connection, site: Site = LINED, *, head: float | None = 1.0) -> Verdict:
    return of(survey(one), site, head).verdicts[0]


def rules(found: Verdict) -> tuple[str, ...]:
    return tuple(reason.rule for reason in found.reasons)


DECIDED = [
    (connection(), LINED, Need.SEAL, "below-groundwater"),
    (connection(), noted(must_leave="heritage"), Need.LEAVE, "must-leave"),
    (connection(), Site(), Need.LEAVE, "not-lined"),
    (connection(), noted(disused=True), Need.CLOSE_OFF, "disused"),
    (connection(is_open=False), LINED, Need.CLOSE_OFF, "closed"),
    (connection(defect("BDE"), is_open=False), LINED, Need.LOOK_AGAIN, "closed-but-flowing"),
    (connection(chainage=-0.51), LINED, Need.LOOK_AGAIN, "outside-run"),
    (connection(chainage=-0.49), LINED, Need.SEAL, "below-groundwater"),
    (connection(chainage=40.51), LINED, Need.LOOK_AGAIN, "outside-run"),
    (connection(chainage=40.49), LINED, Need.SEAL, "below-groundwater"),
    (connection(sightings=(sighting(), sighting(is_open=False))), LINED, Need.LOOK_AGAIN,
     "open-state-disputed"),
    (connection(clock=None), LINED, Need.LOOK_AGAIN, "no-clock"),
    (connection(clock=None), noted(clock=3.0), Need.SEAL, "below-groundwater"),
    (connection(diameter=None), LINED, Need.LOOK_AGAIN, "no-diameter"),
    (connection(diameter=None), noted(diameter=0.1), Need.SEAL, "below-groundwater"),
    (connection(sightings=(sighting(), sighting(diameter=0.125))), LINED, Need.LOOK_AGAIN,
     "diameter-disputed"),
    (connection(sightings=(sighting(), sighting(diameter=0.125))), noted(diameter=0.125),
     Need.SEAL, "below-groundwater"),
    (connection(sightings=(sighting(), sighting(diameter=0.16))), LINED, Need.SEAL,
     "below-groundwater"),
    (connection(defect("BAK", "L")), LINED, Need.LOOK_AGAIN, "liner-unsound"),
    (connection(defect("BBF", "C")), LINED, Need.SEAL, "entry-seen"),
    (connection(defect("BBG")), LINED, Need.SEAL, "leaking-out"),
    (connection(defect("BAP")), LINED, Need.SEAL, "soil-or-void-seen"),
    (connection(defect("BAH", "B")), LINED, Need.SEAL, "not-tied-in"),
    (connection(defect("BAK", "N")), LINED, Need.SEAL, "not-tied-in"),
    (connection(defect("BAH", "D")), LINED, Need.SEAL, "damaged"),
    (connection(defect("BAH", "Z")), LINED, Need.SEAL, "other-defect"),
]  # fmt: skip


@pytest.mark.parametrize(("one", "site", "need", "rule"), DECIDED)
def test_the_deciding_rule(one: Connection, site: Site, need: Need, rule: str) -> None:
    found = verdict(one, site)
    assert (found.need, rules(found)[0]) == (need, rule)
    assert found.make_ready == ()


WORKS = [
    (("BAH", "A"), MakeReady.RE_CUT),
    (("BAH", "E"), MakeReady.RE_CUT),
    (("BAK", "C"), MakeReady.RE_CUT),
    (("BAG", ""), MakeReady.REMOVE_INTRUSION),
    (("BAI", "A"), MakeReady.REMOVE_INTRUSION),
    (("BAL", "E"), MakeReady.REMOVE_INTRUSION),
    (("BAK", "E"), MakeReady.REMOVE_INTRUSION),
    (("BBA", "C"), MakeReady.CUT_ROOTS),
    (("BBB", "A"), MakeReady.DESCALE),
    (("BBC", "B"), MakeReady.DESCALE),
    (("BAK", "F"), MakeReady.FIND_OPENING),
]


@pytest.mark.parametrize(("code", "kind"), WORKS)
def test_work_to_be_done_first(code: tuple[str, str], kind: MakeReady) -> None:
    found = verdict(connection(defect(*code)))
    assert (found.need, found.make_ready) == (Need.MAKE_READY, (kind.value,))


def test_every_kind_of_work_is_listed_once() -> None:
    one = connection(defect("BBA", "A"), defect("BAG"), defect("BAI", "A"), defect("BBF", "B"))
    found = verdict(one)
    assert found.make_ready == ("remove intrusion", "cut roots")
    assert rules(found) == (
        "intruding", "seal-intruding", "roots", "entry-seen", "below-groundwater",
    )  # fmt: skip


def test_a_closed_connection_over_which_the_liner_bulges_is_to_be_found() -> None:
    assert verdict(connection(defect("BAK", "F"), is_open=False)).need is Need.MAKE_READY


@pytest.mark.parametrize(
    ("declared", "surveyed", "lined"),
    [
        (RunConditions("A", "B"), None, False),
        (RunConditions("A", "B"), True, True),
        (RunConditions("B", "A", lined=True), None, True),
        (RunConditions("A", "B", liner_thickness=0.006), None, True),
        (RunConditions("A", "B", lined=False), True, False),
    ],
)
def test_lined_as_declared_else_as_surveyed(
    declared: RunConditions, surveyed: bool | None, lined: bool
) -> None:
    found = replace(survey(connection()), runs=(run(lined=surveyed),))
    result = of(found, Site(runs=(declared,)), 1.0)
    assert (result.verdicts[0].need is not Need.LEAVE) is lined
    assert ("not-lined" in {f.rule for f in result.findings}) is not lined
    disputed = declared.lined is False and surveyed is True
    assert ("lining-disputed" in {f.rule for f in result.findings}) is disputed


def test_one_finding_for_each_run_that_is_not_lined() -> None:
    ones = (connection(), connection(id="A-B/02", chainage=20.0))
    found = [f for f in of(survey(*ones), Site(), None).findings if f.rule == "not-lined"]
    assert [f.subject for f in found] == ["A-B"]
    assert "2 connections are left" in found[0].text


def test_dry_and_whole_needs_all_three() -> None:
    assert rules(verdict(connection(), head=0.0)) == ("dry-and-whole",)
    assert rules(verdict(connection(), head=None)) == ("cut-open",)
    assert rules(verdict(connection(defect("BAH", "Z")), head=0.0)) == ("other-defect",)
    assert rules(verdict(connection(), noted(gap=0.001), head=0.0)) == ("cut-open",)
    listed = connection(sightings=(sighting(inspection="list.csv"),))
    assert rules(verdict(listed, head=0.0)) == ("cut-open",)


def test_a_pass_that_was_given_up_beside_it() -> None:
    stopped = inspection(abandoned=True, last_station=10.6)
    whole = inspection(key="s.txt#2", direction=Direction.AGAINST)
    near, far = sighting(), sighting(station=9.0)
    both = (near, sighting(inspection="s.txt#2", station=30.0))

    def need(*seen: object) -> Need:
        one = connection(sightings=seen)
        return of(survey(one, passes=(stopped, whole)), LINED, 1.0).verdicts[0].need

    assert need(near) is Need.LOOK_AGAIN
    assert need(far) is Need.SEAL
    assert need(*both) is Need.SEAL


def test_unknown_direction_and_length() -> None:
    unsure = replace(survey(connection(run_id="A~B")), runs=(run(id="A~B", lined=True),))
    assert rules(of(unsure, LINED, 1.0).verdicts[0])[0] == "flow-direction-unknown"
    against = connection(sightings=(sighting(direction=Direction.AGAINST),))
    short = replace(survey(against), runs=(run(length=None),))
    assert rules(of(short, LINED, 1.0).verdicts[0])[0] == "length-unknown"


CODES = [  # BAA to BBP
    f"{a}{b}{c}" for a, b, c in itertools.product("B", "AB", "ABCDEFGHIJKLMNOP")
]


@pytest.mark.parametrize("char1", ["", *"ABCDEFGHIJKLMNZ"])
def test_no_coded_defect_is_left_as_whole(char1: str) -> None:
    for code in CODES:
        found = verdict(connection(defect(code, char1)), head=0.0)
        assert found.need is not Need.LEAVE, (code, char1)
        assert rules(found)[0] != "cut-open", (code, char1)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(st.sampled_from(CODES), st.sampled_from(["", *"ABCDEFNZ"])), max_size=4),
    st.one_of(st.none(), st.floats(0.0, 10.0)),
    st.sampled_from([True, False, None]),
    st.booleans(),
)
def test_a_verdict_always_has_a_reason_and_work_only_where_it_is_due(
    codes: list[tuple[str, str]], head: float | None, is_open: bool | None, lined: bool
) -> None:
    one = connection(*(defect(*code) for code in codes), is_open=is_open)
    found = verdict(one, LINED if lined else Site(), head=head)
    assert found.reasons
    assert len(set(rules(found))) == len(found.reasons)
    assert bool(found.make_ready) is (found.need is Need.MAKE_READY)
    assert set(found.make_ready) <= set(MakeReady)
    deciding = {r.name: r.need for r in (*RULES, LAST_RESORT)}[rules(found)[0]]
    assert deciding is found.need
    if not lined:
        assert found.need is Need.LEAVE


def test_rules_have_names_and_words_of_their_own() -> None:
    every = (*RULES, LAST_RESORT)
    assert len({rule.name for rule in every}) == len(every)
    assert {rule.work for rule in every if rule.work} == set(MakeReady)
    assert all((rule.work is not None) is (rule.need is Need.MAKE_READY) for rule in every)


def test_open_state_that_nobody_coded_is_assumed() -> None:
    found = of(survey(connection(is_open=None)), LINED, 1.0)
    assert [f.rule for f in found.findings] == ["open-state-not-coded"]
    assert found.of("A-B/01").need is Need.SEAL


def test_a_connection_whose_station_was_guessed_is_looked_at_again() -> None:
    head = '#A1=UTF-8\n#A2=en\n#A3=;\n#A4=.\n#A5="\n#A6=2010\n#B01=AAA;AAB;AAD;AAF;AAK;ABQ\n'
    rows = "P;A;A;B;A;40\n#C=I;A;B;C;D;G\n10;BCA;D;A;150;3\n{};BCA;D;A;150;9\n40;BCE;XP;;;\n#Z\n"
    for station, need in (("20", Need.SEAL), ("", Need.LOOK_AGAIN), ("twenty", Need.LOOK_AGAIN)):
        inspections, _ = read((head + rows.format(station)).encode(), file="s.txt")
        found = of(reconcile(inspections), LINED, 1.0)
        guessed = [v for v in found.verdicts if v.need is not Need.SEAL]
        assert [rules(v)[0] for v in guessed] == ["station-guessed"] * len(guessed)
        assert len(guessed) == (need is Need.LOOK_AGAIN)
