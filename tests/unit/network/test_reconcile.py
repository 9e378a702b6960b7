from dataclasses import replace

import pytest

from teewright.errors import InputError
from teewright.findings import Finding, FindingKind, Place
from teewright.network import reconcile as room
from teewright.network.declared import DeclaredConnection, DeclaredRun
from teewright.network.reconcile import reconcile
from teewright.network.values import ConnectionKind, Direction, Survey
from unit.network.writing import (
    Film,
    Shot,
    connection,
    finish,
    inspections,
    rules,
    survey,
)

NOWHERE = Place("list.csv", 2)


def _chainages(result: Survey) -> list[float]:
    return [round(one.chainage, 3) for one in result.connections]


def _against(shots: list[Shot], *, length: float | None = 40.0, date: str = "2024-06-01") -> Film:
    return Film(shots, start="S2", direction="B", length=length, date=date)


def test_with_and_against_the_flow_give_the_same() -> None:
    there = survey(Film([connection(10.0, "2"), finish(40.0)], length=40.0))
    back = survey(_against([connection(30.0, "10"), finish(40.0)]))
    for result in (there, back):
        (one,) = result.connections
        assert (one.id, one.chainage, one.clock) == ("S1-S2/01", 10.0, 2.0)
        assert (one.diameter, one.kind, one.is_open) == (0.15, ConnectionKind.JUNCTION, True)
    assert back.connections[0].sightings[0].direction is Direction.AGAINST
    assert back.connections[0].sightings[0].station == 30.0


def test_both_ends_become_one_with_both_sightings() -> None:
    result = survey(
        Film([connection(10.0, "2"), connection(25.0, "9"), finish(40.2)], length=40.2),
        _against([connection(15.1, "3"), connection(29.7, "10"), finish(40.0)]),
    )
    assert _chainages(result) == [10.0, 25.0]  # of the pass with the flow
    assert [len(one.sightings) for one in result.connections] == [2, 2]
    assert [s.inspection for s in result.connections[0].sightings] == ["a.txt#2", "a.txt#1"]
    assert result.runs[0].inspections == ("a.txt#1", "a.txt#2")
    assert "chainage-differs" in rules(result)  # 10.3 against 10.0


def test_abandoned_pass_and_its_completion_do_not_count_twice() -> None:
    result = survey(
        Film([connection(10.0), connection(20.0), Shot(26.0, "BDC", "A")], length=40.0),
        _against([connection(8.0, "9"), connection(19.9, "9"), Shot(22.0, "BDC", "A")]),
    )
    assert _chainages(result) == [10.0, 20.0, 32.0]
    assert rules(result) == set()


def test_a_connection_that_a_pass_went_by_is_doubted() -> None:
    result = survey(
        Film([connection(10.0), connection(20.0), finish(40.0)], date="2020-01-01"),
        Film([connection(10.0), finish(40.0)], date="2024-01-01"),
    )
    (finding,) = [f for f in result.findings if f.rule == "not-seen-by-all"]
    assert finding.subject == "S1-S2/02"
    assert "a.txt#2" in finding.text


def test_a_pass_abandoned_before_it_is_no_doubt() -> None:
    result = survey(
        Film([connection(10.0), connection(20.0), finish(40.0)]),
        Film([connection(10.0), Shot(15.0, "BDC", "A")], date="2024-06-01", length=40.0),
    )
    assert "not-seen-by-all" not in rules(result)


def test_disagreements_are_told() -> None:
    late = Shot(10.25, "BCA", "D", "B", "125", "4")
    result = survey(
        Film([connection(10.0, "3"), finish(40.0)]),
        Film([late, finish(40.0)], date="2024-06-01"),
    )
    (one,) = result.connections
    assert {f"{what}-differs" for what in ("chainage", "clock", "diameter", "kind", "state")} <= (
        rules(result)
    )
    assert {f.subject for f in result.findings if "differs" in f.rule} == {"S1-S2/01"}
    # the latest sighting counts
    assert (one.clock, one.diameter, one.is_open) == (4.0, 0.125, False)
    assert one.kind is ConnectionKind.PLAIN_DRILLED


def test_small_differences_are_not_told() -> None:
    result = survey(
        Film([connection(10.0, "3"), finish(40.0)]),
        Film([connection(10.2, "3.5"), finish(40.0)], date="2024-06-01"),
    )
    assert len(result.connections) == 1
    assert rules(result) == set()


def test_what_the_latest_does_not_say_comes_from_earlier_ones() -> None:
    result = survey(
        Film([connection(10.0, "3"), Shot(10.0, "BBF", "C", clock="3"), finish(40.0)]),
        Film(
            [Shot(10.0, "BCA", "G"), Shot(10.0, "BAH", "E"), finish(40.0)],
            date="2024-06-01",
        ),
    )
    (one,) = result.connections
    assert (one.clock, one.diameter, one.is_open) == (3.0, 0.15, True)
    assert one.kind is ConnectionKind.JUNCTION
    assert [d.code for d in one.defects] == ["BAH", "BBF"]  # latest first


def test_the_same_defect_seen_again_counts_once() -> None:
    shots = [connection(10.0, "3"), Shot(10.0, "BBF", "C", clock="3"), finish(40.0)]
    result = survey(Film(shots), Film(shots, date="2024-06-01"))
    (one,) = result.connections
    assert [d.code for d in one.defects] == ["BBF"]
    assert [len(s.defects) for s in one.sightings] == [1, 1]


def test_unlike_clocks_at_one_place_may_be_one() -> None:
    result = survey(
        Film([connection(10.0, "3"), finish(40.0)]),
        Film([connection(10.1, "9"), finish(40.0)], date="2024-06-01"),
    )
    assert len(result.connections) == 2
    assert "perhaps-one" in rules(result)


@pytest.mark.parametrize(
    ("film", "others", "chainage", "rule"),
    [
        # stated length before measured length
        (_against([connection(10.0), finish(39.8)]), [], 30.0, ""),
        # measured where none is stated
        (_against([connection(10.0), finish(39.0)], length=None), [], 29.0, ""),
        # another pass of the run
        (
            _against([connection(10.0), Shot(15.0, "BDC", "A")], length=None),
            [Film([finish(41.0)])],
            31.0,
            "not-seen-by-all",
        ),
        # nothing: the farthest point reached
        (
            _against([connection(10.0), Shot(15.0, "BDC", "A")], length=None),
            [],
            5.0,
            "length-unknown",
        ),
        # a stated length that only repeats how far the camera came is none
        (
            _against([connection(10.0), Shot(15.0, "BDC", "A")], length=15.0),
            [Film([finish(41.0)])],
            31.0,
            "length-is-reach",
        ),
        # the camera came farther than is stated
        (_against([connection(10.0), finish(45.0)]), [], 35.0, "length-differs"),
    ],
)
def test_length_that_turns_a_station_round(
    film: Film, others: list[Film], chainage: float, rule: str
) -> None:
    result = survey(film, *others)
    assert _chainages(result) == [chainage]
    assert (rule in rules(result)) if rule else rules(result) == set()


def test_a_listed_length_turns_a_station_round() -> None:
    film = _against([connection(10.0), Shot(15.0, "BDC", "A")], length=None)
    run = DeclaredRun("S1", "S2", NOWHERE, length=42.0)
    result = reconcile(inspections(film), runs=[run])
    assert _chainages(result) == [32.0]
    assert result.runs[0].length == 42.0


def test_pipe_reference_may_be_a_counter() -> None:
    result = survey(
        Film([connection(10.0), finish(40.0)], pipe="21"),
        Film([connection(10.1), finish(39.5)], pipe="22", date="2024-06-01"),
    )
    assert len(result.runs) == len(result.connections) == 1


@pytest.mark.parametrize(("height", "length"), [("500", 40.0), ("300", 61.0)])
def test_parallel_pipes_are_told_apart(height: str, length: float) -> None:
    one = Film([connection(10.0)], pipe="21", length=40.0)
    unlike = replace(one, height=height, length=length)
    result = survey(one, replace(unlike, pipe="22"))
    assert [run.id for run in result.runs] == ["S1-S2", "S1-S2.2"]
    assert [c.id for c in result.connections] == ["S1-S2/01", "S1-S2.2/01"]
    assert "parallel-pipes" in rules(result)
    same = survey(one, unlike)
    assert len(same.runs) == 1  # one reference is one pipe
    assert {"height-differs", "length-differs"} & rules(same)


def test_direction_unknown_is_known_from_another_pass() -> None:
    result = survey(
        Film([connection(10.0, "2"), finish(40.0)], length=40.0),
        Film([connection(30.0, "10"), finish(40.0)], start="S2", direction="C", length=40.0),
    )
    assert len(result.connections) == 1
    assert result.runs[0].id == "S1-S2"
    assert "direction" in rules(result)


def test_direction_unknown_is_known_from_a_list() -> None:
    film = Film([connection(10.0, "2"), finish(40.0)], direction="C", length=40.0)
    result = reconcile(inspections(film), runs=[DeclaredRun("S2", "S1", NOWHERE)])
    (one,) = result.connections
    assert (one.run_id, one.chainage, one.clock) == ("S2-S1", 30.0, 10.0)


def test_direction_unknown_both_ways() -> None:
    result = survey(
        Film([connection(10.0, "2"), finish(40.0)], direction="C", length=40.0),
        Film([connection(30.0, "10"), finish(40.0)], start="S2", direction="C", length=40.0),
    )
    (run,) = result.runs
    assert (run.id, run.upstream, run.downstream) == ("S1~S2", "S1", "S2")
    (one,) = result.connections
    assert (one.chainage, one.clock, len(one.sightings)) == (10.0, 2.0, 2)
    assert one.sightings[0].direction is Direction.UNKNOWN
    assert "flow-unknown" in rules(result)


def test_flow_given_both_ways_follows_the_majority() -> None:
    right = Film([connection(10.0, "2"), finish(40.0)], length=40.0)
    wrong = Film([connection(30.0, "10"), finish(40.0)], start="S2", direction="A", length=40.0)
    result = survey(right, right, wrong)
    assert [run.id for run in result.runs] == ["S1-S2"]
    assert _chainages(result) == [10.0]  # its start node lays the wrong one rightly
    assert {"flow-contradicted", "direction"} <= rules(result)


def test_run_ids_stay_unlike_though_nodes_hold_hyphens() -> None:
    a = Film([finish(9.0)], start="A-B", nodes=("A-B", "C"))
    b = Film([finish(9.0)], start="A", nodes=("A", "B-C"))
    assert [run.id for run in survey(a, b).runs] == ["A-B-C", "A-B-C.2"]


def test_listed_connections_alone() -> None:
    lines = [
        DeclaredConnection("T1", "T2", "T1", 7.5, NOWHERE, clock=10.0, angle=0.8),
        DeclaredConnection(
            "T1", "T2", "T2", 8.5, Place("list.csv", 3), clock=2.0, defects=(("BBF", "C"),)
        ),
    ]
    run = DeclaredRun("T1", "T2", Place("runs.csv", 2), length=47.0, diameter=0.3, lined=True)
    result = reconcile([], runs=[run], sightings=lines)
    assert [(c.chainage, c.clock, c.angle) for c in result.connections] == [
        (7.5, 10.0, 0.8),
        (38.5, 2.0, None),  # the clock of a list is in flow view already
    ]
    assert result.connections[1].defects[0].code == "BBF"
    assert result.connections[0].sightings[0].inspection == "list.csv"
    assert (result.runs[0].length, result.runs[0].diameter, result.runs[0].lined) == (
        47.0,
        0.3,
        True,
    )


def test_listed_and_filmed_become_one() -> None:
    line = DeclaredConnection("S1", "S2", "S1", 10.4, NOWHERE, angle=0.8, diameter=0.1)
    result = reconcile(inspections(Film([connection(10.0, "2"), finish(40.0)])), sightings=[line])
    (one,) = result.connections
    assert (one.chainage, one.clock, one.angle, one.diameter) == (10.0, 2.0, 0.8, 0.15)
    assert "diameter-differs" in rules(result)


def test_a_list_that_names_the_flow_the_other_way_is_turned_with_its_run() -> None:
    run = DeclaredRun("S1", "S2", NOWHERE, length=40.0)
    line = DeclaredConnection("S2", "S1", "S2", 10.0, NOWHERE, clock=2.0)
    result = reconcile([], runs=[run], sightings=[line])
    (one,) = result.connections
    assert (one.chainage, one.clock) == (30.0, 10.0)
    assert "flow-contradicted" in rules(result)


def test_a_list_from_the_far_end_without_a_length() -> None:
    line = DeclaredConnection("S1", "S2", "S2", 10.0, NOWHERE)
    result = reconcile([], sightings=[line, replace(line, distance=25.0)])
    assert _chainages(result) == [0.0, 15.0]
    assert "length-unknown" in rules(result)


@pytest.mark.parametrize(
    ("film", "lined", "told"),
    [
        (Film([finish(9.0)]), None, ""),
        (Film([finish(9.0)], more={"ACE": "C"}), True, "ACE"),
        (Film([finish(9.0)], more={"ACF": "felt"}), True, "ACF"),
        (Film([finish(9.0)], more={"ACE": "", "ACF": "-"}), None, ""),
        (Film([Shot(3.0, "BAK", "D"), finish(9.0)]), True, "BAK"),
        (Film([Shot(3.0, "BCB", "B"), finish(9.0)]), True, "BCB"),
        (Film([Shot(3.0, "BCB", "E"), finish(9.0)]), None, ""),
    ],
)
def test_lining_and_its_evidence(film: Film, lined: bool | None, told: str) -> None:
    result = survey(film)
    assert result.runs[0].lined is lined
    texts = [f.text for f in result.findings if f.rule == "lining-evidence"]
    assert [told in text for text in texts] == ([True] if told else [])


def test_a_list_overrules_the_evidence() -> None:
    films = inspections(Film([finish(9.0)], more={"ACE": "C"}))
    result = reconcile(films, runs=[DeclaredRun("S1", "S2", NOWHERE, lined=False)])
    assert result.runs[0].lined is False
    assert {f.kind for f in result.findings} == {FindingKind.DOUBT}


def test_findings_of_the_readers_come_first() -> None:
    first = Finding(FindingKind.NOTE, "of-a-reader", "something")
    result = reconcile(inspections(Film([finish(9.0)])), findings=[first])
    assert result.findings == (first,)


def test_two_files_of_one_name_keep_their_inspections_apart() -> None:
    films = inspections(Film([connection(10.0), finish(40.0)]))
    result = reconcile([*films, *films])
    assert [one.key for one in result.inspections] == ["a.txt#1", "a.txt#1~2"]
    assert len(result.connections) == 1
    assert {"same-file-name", "copied-inspection"} <= rules(result)


def test_a_connection_outside_its_run_is_doubted() -> None:
    result = survey(Film([connection(-1.0), finish(40.0)], length=40.0))
    assert _chainages(result) == [-1.0]
    assert "outside-run" in rules(result)


def test_limits(monkeypatch: pytest.MonkeyPatch) -> None:
    films = inspections(*[Film([connection(1.0), connection(2.0), finish(40.0)])] * 3)
    monkeypatch.setattr(room, "MOST_PASSES", 2)
    with pytest.raises(InputError, match=r"a\.txt, line 7: there are 3 inspections of one run"):
        reconcile(films)
    monkeypatch.setattr(room, "MOST_PASSES", 3)
    monkeypatch.setattr(room, "MOST_ON_RUN", 1)
    with pytest.raises(InputError, match="there are 2 connections in one inspection"):
        reconcile(films)


def test_a_survey_that_is_too_large_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    lines = [DeclaredConnection("S1", "S2", "S1", float(n), Place("list.csv", n)) for n in (2, 3)]
    runs = [DeclaredRun(f"S{n}", f"S{n + 1}", Place("runs.csv", 1 + n)) for n in (1, 2)]
    monkeypatch.setattr(room, "MOST_RUNS", 2)
    monkeypatch.setattr(room, "MOST_CONNECTIONS", 2)
    assert len(reconcile([], runs=runs, sightings=lines).connections) == 2
    monkeypatch.setattr(room, "MOST_CONNECTIONS", 1)
    with pytest.raises(InputError, match=r"line 3: the survey has 2 connections.* at most 1; give"):
        reconcile([], runs=runs, sightings=lines)
    monkeypatch.setattr(room, "MOST_RUNS", 1)
    with pytest.raises(InputError, match=r"runs\.csv, line 3: the survey has 2 runs"):
        reconcile([], runs=runs, sightings=lines)


def test_nothing_gives_nothing() -> None:
    assert reconcile([]) == Survey((), (), (), ())


def test_lists_that_do_not_agree_on_the_lining_are_doubted() -> None:
    runs = [
        DeclaredRun("S1", "S2", Place("a.csv", line), lined=lined)
        for line, lined in ((2, True), (3, False))
    ]
    result = reconcile([], runs=runs)
    assert result.runs[0].lined is True
    doubt = next(f for f in result.findings if f.kind is FindingKind.DOUBT)
    assert (doubt.rule, str(doubt.place)) == ("lining-evidence", "a.csv, line 3")


@pytest.mark.parametrize(("last", "told"), [(40.4, False), (40.6, True)])
def test_a_pass_that_goes_beyond_its_length_is_doubted(last: float, told: bool) -> None:
    shots = [connection(10.0), finish(40.0), connection(last, "9")]
    result = survey(Film(shots, length=40.0))
    assert ("beyond-length" in rules(result)) is told
    assert result.runs[0].length == last
