"""The two sample files, against counts and values taken from them by hand."""

from collections import Counter
from pathlib import Path

import pytest

from teewright.errors import InputError
from teewright.findings import FindingKind
from teewright.formats import en13508
from teewright.formats.en13508 import read
from teewright.network.values import Direction, Inspection

FILES = Path(__file__).parents[2] / "files" / "survey"
OPEN = "en13508_open_example.txt"
TWO = "en13508_two_directions_cp1252_comma.txt"


def _read(name: str) -> tuple[Inspection, ...]:
    return read((FILES / name).read_bytes(), file=name)[0]


def test_open_example_is_read_whole() -> None:
    inspections = _read(OPEN)
    codes = Counter(o.code for one in inspections for o in one.observations)
    assert len(inspections) == 19
    assert codes.total() == 335
    counted = {"BCA": 49, "BAG": 2, "BAH": 7, "BBF": 14, "BAB": 57, "BBA": 56}
    assert {code: codes[code] for code in counted} == counted
    assert codes["BCD"] == codes["BCE"] == 19
    ways = Counter(one.direction for one in inspections)
    assert ways == {Direction.WITH: 15, Direction.AGAINST: 4}


def test_open_example_has_one_finding_its_missing_end() -> None:
    _, findings = read((FILES / OPEN).read_bytes(), file=OPEN)
    (finding,) = findings
    assert finding.kind is FindingKind.REPAIRED
    assert finding.rule == "missing-terminator"
    assert finding.place.line == 416


def test_every_line_of_observations_of_the_open_example_is_an_observation() -> None:
    lines = (FILES / OPEN).read_text("ascii").splitlines()
    rows = {
        n for n, line in enumerate(lines, 1) if line[:1].isdigit() and line.split(",")[2][:1] == "B"
    }
    assert {o.place.line for one in _read(OPEN) for o in one.observations} == rows


def test_values_of_the_open_example() -> None:
    first, against = _read(OPEN)[0], _read(OPEN)[4]
    assert (first.upstream, first.downstream, first.start_node) == ("2925", "6", "2925")
    assert (first.length, first.height, first.width) == (23.5, 0.4, 0.4)
    assert (first.date, first.time, first.pipe) == ("2007-07-19", "09:05", "1")
    assert not first.abandoned
    crack = first.observations[2]  # line 12
    assert (crack.code, crack.char1, crack.char2, crack.q1) == ("BAB", "A", "A", 1.0)
    assert (crack.station, crack.clock_from, crack.clock_to) == (3.4, 12.0, None)
    assert crack.at_joint
    assert crack.remark == "[Chr1 Y->A] [Chr2 Y->A]"
    assert first.observations[5].continuous == "A1"  # line 15
    assert first.observations[5].photo == "6"
    assert first.observations[0].extra == (("D", "2925"),)  # the node that BCD names
    assert first.observations[0].q1 is None
    # header 9, line 92: against the flow from 11 to 10, so that 10 is upstream
    assert (against.start_node, against.nodes) == ("11", ("11", "10"))
    assert (against.upstream, against.downstream) == ("10", "11")
    assert against.observations[4].video == "5331"


def test_windows_bytes_quoted_separators_and_decimal_commas() -> None:
    with_flow, against = _read(TWO)
    assert with_flow.length == 45.6
    assert dict(with_flow.header)["AAJ"] == "Mühlstraße; Nord"
    assert dict(with_flow.header)["ABQ"] == "45,60"
    second = with_flow.observations[2]
    assert (second.station, second.q1, second.clock_from) == (12.4, 125.0, 2.0)
    assert second.remark == 'Anschluss "gebohrt"'
    assert (second.photo, second.video) == ("2.jpg", "00:02:00")
    assert (with_flow.upstream, with_flow.downstream) == ("S1", "S2")
    assert (against.upstream, against.downstream, against.start_node) == ("S1", "S2", "S2")
    assert against.abandoned
    assert against.last_station == 20.0


def test_sample_files_need_no_other_repair() -> None:
    assert read((FILES / TWO).read_bytes(), file=TWO)[1] == ()


def test_keys_are_file_and_ordinal() -> None:
    assert [one.key for one in _read(TWO)] == [f"{TWO}#1", f"{TWO}#2"]


def test_too_many_inspections_are_refused_where_they_begin(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    second = _read(TWO)[1].place.line
    monkeypatch.setattr(en13508, "MOST_INSPECTIONS", 1)
    sentence = rf"line {second}: the file has 2 inspections; allowed: at most 1; give"
    with pytest.raises(InputError, match=sentence):
        _read(TWO)


@pytest.mark.parametrize("end", [b"\n", b"\r"])
def test_line_ends_change_nothing(end: bytes) -> None:
    data = (FILES / OPEN).read_bytes().replace(b"\r\n", end)
    assert read(data, file=OPEN)[0] == _read(OPEN)
