import pytest

from unit.network.writing import Film, Shot, connection, finish, rules, survey

WHOLE = Film([connection(10.0), finish(40.0)], length=40.0)


def _partly(pipe: str = "P1") -> Film:
    shots = [connection(30.0, "9"), Shot(35.0, "BDC", "A")]
    return Film(
        shots,
        start="S2",
        nodes=("S2", ""),
        direction="B",
        length=40.0,
        pipe=pipe,
        date="2024-06-01",
    )


def test_a_far_node_left_out_is_found_in_another_inspection() -> None:
    result = survey(WHOLE, _partly())
    (run,) = result.runs
    assert (run.id, run.inspections) == ("S1-S2", ("a.txt#1", "a.txt#2"))
    assert [len(c.sightings) for c in result.connections] == [2]
    assert "node-completed" in rules(result)


def test_another_pipe_says_nothing() -> None:
    assert [run.id for run in survey(WHOLE, _partly("P2")).runs] == ["S1-S2", "P2 upper end-S2"]


def test_two_answers_are_none() -> None:
    other = Film([finish(9.0)], start="S2", nodes=("S2", "S3"))
    assert len(survey(WHOLE, other, _partly()).runs) == 3


@pytest.mark.parametrize("other", ["s1", "S 1", "S-1", "S01"])
def test_names_nearly_alike_are_doubted(other: str) -> None:
    result = survey(WHOLE, Film([finish(9.0)], start=other, nodes=(other, "S3")))
    assert "node-spelling" in rules(result)
    assert len(result.runs) == 2


def test_numbers_that_are_not_alike_are_left_alone() -> None:
    result = survey(WHOLE, Film([finish(9.0)], start="S10", nodes=("S10", "S100")))
    assert rules(result) == set()
