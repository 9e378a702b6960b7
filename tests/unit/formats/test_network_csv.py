import math
import sys

import pytest

from teewright.errors import FileFormatError, InputError
from teewright.findings import FindingKind
from teewright.formats import network_csv
from teewright.formats.network_csv import read
from teewright.network.values import ConnectionKind, Direction

RUNS = "upstream,downstream,length_m,dn_mm,material,lined\nT1,T2,47.2,300,concrete,yes\nT2,T3,,,,\n"
CONNECTIONS = """\
upstream;downstream;chainage_m;from_node;clock;dn_mm;angle_deg;kind;open;defects;date;remark
T1;T2;7,5;;10;150;90;plain, drilled;yes;BBFC BAHE;06.05.2024;"a; b"
T1;T2;8.5;T2;00;0;;junction;closed;;;
T1;T2;9;T1;;;45;A;;;;
"""
CODED = """\
pipe_id,up_node,down_node,start_node,direction,station_m,code,char1,char2,q1,q2,clock_from,clock_to,cont,remark,crew
P1,T1,T2,T2,U,1.5,BCA,A,A,150,,3,,,hello,x
P1,T1,T2,T1,D,45.7,bca,A,A,150,,9,,,,
P1,T1,T2,T2,U,20,BDC,A,,,,,,,,
"""


def test_runs() -> None:
    content = read(RUNS.encode(), file="runs.csv")
    assert content.findings == ()
    runs = content.runs
    assert (runs[0].upstream, runs[0].downstream) == ("T1", "T2")
    assert (runs[0].length, runs[0].diameter) == (47.2, 0.3)
    assert (runs[0].material, runs[0].lined) == ("concrete", True)
    assert (runs[1].length, runs[1].diameter, runs[1].lined) == (None, None, None)
    assert str(runs[1].place) == "runs.csv, line 3"


def test_connections() -> None:
    content = read(CONNECTIONS.encode("utf-8-sig"), file="c.csv")
    lines, findings = content.connections, content.findings
    assert [(f.rule, f.place.line, f.value) for f in findings] == [
        ("date", 2, "06.05.2024"),
        ("clock-zero", 3, "00"),
    ]
    first, second, third = lines
    assert (first.distance, first.from_node, first.clock) == (7.5, "T1", 10.0)
    assert first.diameter == 0.15
    assert first.angle == pytest.approx(math.pi / 2)
    assert first.kind is ConnectionKind.PLAIN_DRILLED
    assert first.is_open is True
    assert first.defects == (("BBF", "C"), ("BAH", "E"))
    assert (first.date, first.remark) == ("2024-05-06", "a; b")
    assert (second.distance, second.from_node, second.clock) == (8.5, "T2", None)
    assert (second.diameter, second.is_open) == (None, False)
    assert (third.kind, third.is_open) == (ConnectionKind.JUNCTION, None)


def test_coded_observations() -> None:
    content = read(CODED.encode(), file="o.csv")
    against, with_flow = content.inspections
    assert (against.start_node, against.direction) == ("T2", Direction.AGAINST)
    assert (against.upstream, against.downstream) == ("T1", "T2")
    assert [o.code for o in against.observations] == ["BCA", "BDC"]
    assert against.abandoned
    assert against.last_station == 20.0
    assert against.observations[0].extra == (("crew", "x"),)
    assert (with_flow.direction, with_flow.observations[0].code) == (Direction.WITH, "BCA")
    assert [f.place.field for f in content.findings] == ["crew"]


@pytest.mark.parametrize(
    ("start", "direction", "expected", "rule"),
    [
        ("T1", "", Direction.WITH, ""),
        ("T2", "", Direction.AGAINST, ""),
        ("", "B", Direction.AGAINST, ""),
        ("", "with flow", Direction.WITH, ""),
        ("", "", Direction.WITH, "direction"),
        ("T2", "A", Direction.AGAINST, "direction"),
    ],
)
def test_way_of_the_camera(start: str, direction: str, expected: Direction, rule: str) -> None:
    text = f"up_node,down_node,start_node,direction,station_m,code\nT1,T2,{start},{direction},1,BCA"
    content = read(text.encode(), file="o.csv")
    assert content.inspections[0].direction is expected
    assert {f.rule for f in content.findings} == ({rule} if rule else set())


@pytest.mark.parametrize("delimiter", [";", ",", "\t"])
@pytest.mark.parametrize("codec", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
def test_every_delimiter_and_charset(delimiter: str, codec: str) -> None:
    sign = "." if delimiter == "," else ","
    rows = [["Up_Node", "down node", "length_m", "material"], ["Süd", "Ost", f"47{sign}2", "Ton"]]
    data = "\n".join(delimiter.join(row) for row in rows).encode(codec)
    content = read(data, file="runs.csv")
    assert (content.runs[0].upstream, content.runs[0].length) == ("Süd", 47.2)
    assert len(content.findings) == (codec in {"cp1252", "utf-16"})


def test_comments_and_blank_lines() -> None:
    text = "# invented\n\n" + RUNS.replace("T2,T3", "\n# more\n,,,,,\nT2,T3")
    content = read(text.encode(), file="runs.csv")
    assert [run.place.line for run in content.runs] == [4, 8]


def test_unknown_columns_are_told() -> None:
    content = read(b"upstream,downstream,street\nT1,T2,Mill Lane\nT2,T3,\n", file="runs.csv")
    (finding,) = content.findings
    assert (finding.kind, finding.place.field) == (FindingKind.DROPPED, "street")
    assert "1 values" in finding.text


def test_columns_without_a_name() -> None:
    content = read(b"upstream;downstream;;\nT1;T2;;\nT2;T3;x;\n", file="runs.csv")
    assert len(content.runs) == 2
    assert [f.place.field for f in content.findings] == ["column 3"]


def calls(columns: int, lines: int) -> int:
    """How many functions are called to read a list with so many columns that nothing is in."""
    more = "".join(f",c{n}" for n in range(columns))
    data = f"upstream,downstream{more}\n" + "".join(f"T{n},T{n + 1}\n" for n in range(lines))
    made = 0

    def count(frame: object, event: str, arg: object) -> None:
        nonlocal made
        made += event in {"call", "c_call"}

    sys.setprofile(count)
    try:
        read(data.encode(), file="runs.csv")
    finally:
        sys.setprofile(None)
    return made


def test_columns_that_are_empty_cost_nothing_line_by_line() -> None:
    # else a list of a thousand empty columns and a hundred thousand lines takes minutes
    few, many = ([calls(columns, lines) for lines in (100, 200)] for columns in (5, 900))
    assert many[1] - many[0] < 1.1 * (few[1] - few[0])


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (
            "upstream,downstream,length_m\nT1,T2,long",
            r"a\.csv, line 2: length_m = 'long' is not a number; allowed: a number such as 12\.5",
        ),
        ("upstream,downstream,length_m\nT1,T2,-3", "length_m = '-3' is out of range"),
        ("upstream,downstream\nT1,", "line 2: downstream = '' is empty"),
        ("upstream,downstream\nT1,T1", "downstream = 'T1' is also the upstream node"),
        ("upstream,downstream,lined\nT1,T2,perhaps", "lined = 'perhaps' is neither yes nor no"),
        ("upstream,downstream\nT1,T2,T3", "line 2: the line has 3 values; allowed: 2"),
        ("upstream,upstream\nT1,T2", "line 1: 'upstream' is the name of two columns"),
        ("a,b\n1,2", "'a, b' the header row is not one"),
        ('upstream,downstream\nT1,"T2', "line 2: cannot be read as a table"),
        ("upstream" + ",x" * 1000, "header row has 1001 columns; allowed: at most 1000"),
        ("# only a comment", "has no header row"),
        ("upstream;downstream;chainage_m\nT1;T2;", "chainage_m = '' is empty"),
        ("upstream;downstream;chainage_m;clock\nT1;T2;3;25", "clock = '25' is not a clock"),
        ("upstream;downstream;chainage_m;from_node\nT1;T2;3;T9", "from_node = 'T9' is not a node"),
        ("upstream;downstream;chainage_m;kind\nT1;T2;3;wye", "kind = 'wye' is not a kind"),
        ("upstream;downstream;chainage_m;angle_deg\nT1;T2;3;0", "angle_deg = '0' is out of range"),
        ("upstream;downstream;chainage_m;defects\nT1;T2;3;leak", "defects = 'leak' is not a list"),
        ("upstream;downstream;chainage_m;date\nT1;T2;3;May", "date = 'May' is not a date"),
        ("up_node,down_node,station_m,code\nT1,T2,,BCA", "station_m = '' is empty"),
        ("up_node,down_node,station_m,code\nT1,T2,3,", "code = '' is empty"),
        ("up_node,down_node,direction,station_m,code\nT1,T2,X,3,BCA", "direction = 'X' is not"),
        ("up_node,down_node,start_node,station_m,code\nT1,T2,X,3,BCA", "start_node = 'X' is not"),
    ],
)
def test_errors_name_line_field_value_and_what_is_allowed(text: str, sentence: str) -> None:
    with pytest.raises(InputError, match=sentence):
        read(text.encode(), file="a.csv")


def _line(**changes: str) -> bytes:
    plain = {"upstream": "T1", "downstream": "T2", "chainage_m": "7,5", "clock": "3"}
    values = plain | changes
    return f"{';'.join(values)}\n{';'.join(values.values())}\n".encode()


@pytest.mark.parametrize(
    ("column", "text", "rule"),
    [
        ("chainage_m", "7,5 m", "number"),
        ("dn_mm", "DN 150", "number"),
        ("dn_mm", "150 mm", "number"),
        ("clock", "00", "clock-zero"),
        ("date", "5.6.2024", "date"),
    ],
)
def test_what_is_repaired_is_told_with_its_line_and_column(
    column: str, text: str, rule: str
) -> None:
    content = read(_line(**{column: text}), file="c.csv")
    (line,), (finding,) = content.connections, content.findings
    assert (finding.rule, finding.value) == (rule, text)
    assert str(finding.place) == f"c.csv, line 2, {column}"
    assert line.distance == 7.5
    assert line.diameter in {None, 0.15}


@pytest.mark.parametrize(("column", "text"), [("chainage_m", "7,5 mm"), ("dn_mm", "0,15 m")])
def test_another_unit_than_that_of_the_column_is_refused(column: str, text: str) -> None:
    with pytest.raises(InputError, match="is not a number"):
        read(_line(**{column: text}), file="c.csv")


def test_a_list_without_lines_says_so() -> None:
    content = read(b"upstream;downstream;chainage_m\n", file="c.csv")
    assert [f.rule for f in content.findings] == ["no-lines"]


def test_observations_without_the_nodes_of_their_run_are_refused() -> None:
    with pytest.raises(FileFormatError, match="header row") as refusal:
        read(b"station_m;code\n5;BCA\n", file="c.csv")
    assert "upstream and downstream" in str(refusal.value)


@pytest.mark.parametrize(("letter", "start"), [("O", "T1"), ("I", "T1"), ("G", "T2"), ("U", "T2")])
def test_letters_of_other_codings(letter: str, start: str) -> None:
    data = f"up_node;down_node;station_m;code;direction\nT1;T2;5;BCA;{letter}\n".encode()
    (one,) = read(data, file="c.csv").inspections
    assert one.start_node == start


def test_lists_that_are_too_long_are_refused_before_they_are_read(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(network_csv, "MOST_RUNS", 2)
    monkeypatch.setattr(network_csv, "MOST_CONNECTIONS", 3)
    # the values would not do either: nobody looks at them
    runs = "upstream,downstream,length_m\n" + "".join(f"A{n},B{n},x\n" for n in range(3))
    with pytest.raises(InputError, match="line 4: the list has 3 runs; allowed: at most 2; give"):
        read(runs.encode(), file="r.csv")
    head = "upstream,downstream,chainage_m\n"
    with pytest.raises(InputError, match="line 5: the list has 4 connections; allowed: at most 3;"):
        read((head + "A,B,x\n" * 4).encode(), file="c.csv")
    with pytest.raises(InputError, match="the list names 3 runs; allowed: at most 2;"):
        read((head + "A,B,x\nB,C,x\nC,D,x\n").encode(), file="c.csv")
    assert len(read((head + "A,B,1\nB,C,1\nA,B,2\n").encode(), file="c.csv").connections) == 3


def test_every_faulty_line_is_told() -> None:
    rows = ["T1;T2;;;150", "T1;T2;5;99;150", "T1;T2;6;3;150", "T1;T2;7;3;0,15"]
    head = "upstream;downstream;chainage_m;clock;dn_mm\n"
    with pytest.raises(InputError) as caught:
        read((head + "\n".join(rows)).encode(), file="c.csv")
    faults = (caught.value, *caught.value.others)
    assert [(f.line, f.field) for f in faults] == [(2, "chainage_m"), (3, "clock"), (5, "dn_mm")]


def test_no_more_faulty_lines_are_told_than_are_read() -> None:
    rows = "upstream;downstream;chainage_m\n" + "T1;T2;x\n" * 200
    with pytest.raises(InputError) as caught:
        read(rows.encode(), file="c.csv")
    assert len(caught.value.others) == network_csv.MOST_FAULTS - 1


@pytest.mark.parametrize(("size", "diameter"), [("", None), ("0", None), ("20", 0.02)])
def test_a_size_of_a_branch_that_can_be_one(size: str, diameter: float | None) -> None:
    text = f"upstream;downstream;chainage_m;dn_mm\nT1;T2;5;{size}\n"
    assert read(text.encode(), file="c.csv").connections[0].diameter == diameter
