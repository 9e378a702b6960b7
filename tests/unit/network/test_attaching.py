"""Which observations belong to a connection."""

import pytest

from teewright.network.values import Connection
from unit.network.writing import Film, Shot, connection, finish, rules, survey


def _only(*shots: Shot) -> Connection:
    (found,) = survey(Film([*shots, finish(40.0)])).connections
    return found


def _codes(one: Connection) -> list[str]:
    return [defect.code for defect in one.defects]


@pytest.mark.parametrize(
    "code", ["BAG", "BAH", "BAI", "BAK", "BAL", "BAO", "BAP", "BBA", "BBB", "BBF", "BDE"]
)
def test_codes_that_belong_to_a_connection(code: str) -> None:
    found = _only(connection(10.0, "3"), Shot(10.0, code, "A", clock="3"))
    assert _codes(found) == [code]


@pytest.mark.parametrize("code", ["BAB", "BAC", "BAJ", "BBC", "BCC", "BDB", "BDA", "BDD", "AEC"])
def test_codes_that_do_not(code: str) -> None:
    assert _codes(_only(connection(10.0, "3"), Shot(10.0, code, "A", clock="3"))) == []


@pytest.mark.parametrize(
    ("station", "clock", "clock_to", "belongs"),
    [
        (10.1, "3", "", True),
        (9.9, "3", "", True),
        (10.11, "3", "", False),
        (9.89, "3", "", False),
        (10.0, "4", "", True),
        (10.0, "2", "", True),
        (10.0, "5", "", False),
        (10.0, "", "", True),
        (10.0, "00", "", True),
        (10.0, "12", "12", True),
        (10.0, "11", "4", True),
        (10.0, "5", "1", False),
        (10.0, "4", "1", True),
        (10.0, "12", "2", True),
    ],
)
def test_distance_and_clock(station: float, clock: str, clock_to: str, belongs: bool) -> None:
    defect = Shot(station, "BBF", "C", clock=clock, clock_to=clock_to)
    result = survey(Film([connection(10.0, "3"), defect, finish(40.0)]))
    assert _codes(result.connections[0]) == (["BBF"] if belongs else [])
    assert [d.code for d in result.runs[0].defects] == ([] if belongs else ["BBF"])


def test_the_nearest_in_clock_takes_it() -> None:
    shots = [connection(10.0, "9"), connection(10.05, "3"), Shot(10.0, "BBF", clock="4")]
    result = survey(Film([*shots, finish(40.0)]))
    assert [_codes(one) for one in result.connections] == [[], ["BBF"]]


def test_without_a_clock_the_nearest_in_station_takes_it() -> None:
    shots = [connection(10.0, "9"), connection(10.08, "3"), Shot(10.07, "BBF")]
    result = survey(Film([*shots, finish(40.0)]))
    assert [_codes(one) for one in result.connections] == [[], ["BBF"]]


def test_a_connection_without_clock_takes_any() -> None:
    assert _codes(_only(connection(10.0, ""), Shot(10.0, "BAG", clock="7"))) == ["BAG"]


def test_defects_are_in_flow_view_too() -> None:
    film = Film(
        [connection(10.0, "2"), Shot(10.05, "BBF", "C", clock="1", clock_to="3"), finish(40.0)],
        start="S2",
        direction="B",
        length=40.0,
    )
    (one,) = survey(film).connections
    assert (one.chainage, one.clock) == (30.0, 10.0)
    assert one.defects[0].chainage == pytest.approx(29.95)
    assert one.defects[0].clock == 10.0


def test_a_ring_has_no_clock() -> None:
    ring = Shot(10.0, "BBF", "A", clock="12", clock_to="12")
    assert _only(connection(10.0, "3"), ring).defects[0].clock is None


def test_coded_twice_in_one_pass_is_one_connection_with_a_finding() -> None:
    result = survey(Film([connection(10.0, "3"), connection(10.05, "3", kind="F"), finish(40.0)]))
    (one,) = result.connections
    assert len(one.sightings) == 2
    assert {"connection-twice", "kind-differs"} <= rules(result)


def test_two_sides_at_one_station_are_two() -> None:
    result = survey(Film([connection(10.0, "3"), connection(10.0, "9"), finish(40.0)]))
    assert [one.clock for one in result.connections] == [3.0, 9.0]
    assert rules(result) == set()


def test_one_station_and_one_clock_missing_are_two_with_a_doubt() -> None:
    result = survey(Film([connection(10.0, "3"), connection(10.0, ""), finish(40.0)]))
    assert len(result.connections) == 2
    assert "clock-missing" in rules(result)


@pytest.mark.parametrize(
    ("q1", "diameter", "doubted"),
    [
        ("150", 0.15, False),
        ("0", None, False),
        ("", None, False),
        ("0.15", None, True),
        ("400", 0.4, True),
        ("-150", None, True),
    ],
)
def test_diameter_of_the_branch(q1: str, diameter: float | None, doubted: bool) -> None:
    result = survey(Film([connection(10.0, q1=q1), finish(40.0)]))
    assert result.connections[0].diameter == diameter
    assert ("branch-size" in rules(result)) == doubted


def test_a_line_written_twice_is_one_defect_but_two_sightings() -> None:
    twice = [connection(10.0, "3"), Shot(10.0, "BAH", "E", clock="3")] * 2
    found = _only(*twice)
    assert _codes(found) == ["BAH"]
    assert len(found.sightings) == 2
    assert sum(len(s.defects) for s in found.sightings) == 2


def test_unlike_defects_of_one_code_are_all_kept() -> None:
    found = _only(
        connection(10.0, "3"),
        Shot(10.0, "BAH", "E", clock="3"),
        Shot(10.0, "BAH", "E", clock="3", remark="again"),
    )
    assert _codes(found) == ["BAH", "BAH"]
