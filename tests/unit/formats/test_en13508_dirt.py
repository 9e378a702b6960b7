"""What real files get wrong: each repair, guess and drop is told, and nothing else is raised."""

import pytest

from teewright.errors import FileFormatError
from teewright.findings import Finding, FindingKind
from teewright.formats.en13508 import read
from teewright.network.values import Direction, Inspection
from unit.network.writing import Film, Shot, Style, connection, finish, write

HEAD = '#A1=UTF-8\n#A2=en\n#A3=,\n#A4=.\n#A5="\n#A6=2010\n'
INSPECTION = "#B01=AAA,AAB,AAD,AAF,AAK,ABF\nP1,S1,S1,S2,A,2024-05-06\n"


def _read(text: str) -> tuple[tuple[Inspection, ...], dict[str, Finding]]:
    inspections, findings = read(text.encode(), file="a.txt")
    return inspections, {finding.rule: finding for finding in findings}


def _rows(rows: str, columns: str = "I,A,B,C,D,G,H,F,J,K") -> str:
    return f"{HEAD}{INSPECTION}#C={columns}\n{rows}\n#Z\n"


def test_clean_text_has_no_findings() -> None:
    (one,), findings = _read(_rows("1.5,BCA,A,A,150,3,,,,"))
    assert findings == {}
    assert one.observations[0].station == 1.5


@pytest.mark.parametrize(
    ("data", "problem"),
    [
        (b"", "empty"),
        (b"hello\nworld", "not an EN 13508-2"),
        (b"a;b;c\n1;2;3", "not an EN 13508-2"),
        (b"#A1=UTF-8\n#A3=,\n", "holds no inspection"),
        (b"#A1=UTF-8\n#C=I,A\n1,BCA\n#Z", "holds no inspection"),
        (b"#B01=AAA,AAB\n", "holds no inspection"),
        (b"#B01=AAA\0", "NUL"),
    ],
)
def test_refused(data: bytes, problem: str) -> None:
    with pytest.raises(FileFormatError, match=problem):
        read(data, file="a.txt")


@pytest.mark.parametrize("missing", [1, 2, 3, 4, 5, 6])
def test_a_missing_setting_is_told_and_guessed(missing: int) -> None:
    kept = [line for line in HEAD.splitlines() if not line.startswith(f"#A{missing}")]
    inspections, findings = read(
        ("\n".join(kept) + "\n" + INSPECTION + '#C=I,A,F\n1.5,BCA,"a, b"\n#Z').encode(),
        file="a.txt",
    )
    assert inspections[0].observations[0].remark == "a, b"
    assert [(f.rule, f.place.field) for f in findings] == [("setting-missing", f"#A{missing}")]


@pytest.mark.parametrize("separator", [";", "|", "\t"])
def test_separator_is_guessed_from_the_codes(separator: str) -> None:
    text = _rows("1.5,BCA,A,A,150,3,,,,").replace("#A3=,\n", "").replace(",", separator)
    (one,), findings = _read(text)
    assert one.observations[0].q1 == 150.0
    assert repr(separator) in findings["setting-missing"].text


def test_a_declared_separator_that_the_codes_do_not_use() -> None:
    text = _rows("1.5,BCA,A,A,150,3,,,,").replace("#A3=,", "#A3=;")
    (one,), findings = _read(text)
    assert one.observations[0].q1 == 150.0
    assert findings["separator"].kind is FindingKind.GUESSED


@pytest.mark.parametrize(("word", "sign"), [("TAB", "\t"), ("\t", "\t"), ("semicolon", ";")])
def test_separators_in_words(word: str, sign: str) -> None:
    text = _rows("1.5,BCA,A,A,150,3,,,,").replace(",", sign).replace(f"#A3={sign}", f"#A3={word}")
    (one,), findings = _read(text)
    assert one.observations[0].q1 == 150.0
    assert findings == {}


def test_separator_that_is_also_the_decimal_sign() -> None:
    (one,), findings = _read(_rows("1.5,BCA,A,A,150,3,,,,").replace("#A4=.", "#A4=,"))
    assert one.observations[0].station == 1.5
    assert findings["setting-clash"].kind is FindingKind.DOUBT


def test_settings_in_any_order_and_after_the_inspections() -> None:
    body = INSPECTION.replace(",", "|") + "#C=I|A\n1,5|BCA\n#Z\n"
    (one,), findings = _read(body + '#A6=2010\n#A5="\n#A4=,\n#A3=|\n#A2=en\n#A1=UTF-8\n')
    assert one.observations[0].station == 1.5
    assert findings == {}


def test_two_files_put_together_may_be_written_differently() -> None:
    first = write(Film([connection(1.5), finish(9.0)]))
    second = write(Film([connection(2.5)]), style=Style(separator=";", decimal=","))
    inspections, findings = read(first + second, file="a.txt")
    assert [one.observations[0].station for one in inspections] == [1.5, 2.5]
    assert {finding.rule for finding in findings} == {"setting-again"}


def test_no_qualifier_leaves_quotes_alone() -> None:
    (one,), findings = _read(_rows('1,BCA,A,A,,3,,12" pipe,,').replace('#A5="', "#A5="))
    assert one.observations[0].remark == '12" pipe'
    assert findings == {}


def test_doubled_qualifier_and_separator_inside() -> None:
    (one,), _ = _read(_rows('1,BCA,A,A,,3,,"say ""yes"", then go",,'))
    assert one.observations[0].remark == 'say "yes", then go'


def test_text_over_several_lines() -> None:
    (one,), findings = _read(_rows('1,BCA,A,A,,3,,"first\nsecond",,\n2,BCA,A,A,,3,,,,'))
    assert [o.remark for o in one.observations] == ["first\nsecond", ""]
    assert findings["text-over-lines"].kind is FindingKind.NOTE


def test_a_stray_quote_costs_its_own_line_only() -> None:
    (one,), findings = _read(_rows('1,BCA,A,A,,3,,"half,,\n2,BCA,B,A,,4,,,,\n3,BCA,A,A,,5,,"x",,'))
    assert [o.station for o in one.observations] == [1.0, 2.0, 3.0]
    assert findings["quoting"].kind is FindingKind.DOUBT


def test_missing_terminators() -> None:
    body = INSPECTION + "#C=I,A\n1,BCA\n"
    inspections, findings = _read(HEAD + body + body)
    assert [len(one.observations) for one in inspections] == [1, 1]
    assert findings["missing-terminator"].kind is FindingKind.REPAIRED


def test_header_without_observations() -> None:
    inspections, findings = _read(HEAD + INSPECTION + INSPECTION.replace("P1", "P2") + "#Z\n")
    assert [one.pipe for one in inspections] == ["P1", "P2"]
    assert findings["no-observations"].place.line == 7


def test_several_header_lines_with_an_empty_value_line() -> None:
    text = f"{HEAD}{INSPECTION}#B02=ADE\n\n#B03=ACB,ABQ\n300,20.5\n#C=I,A\n1,BCA\n#Z\n"
    (one,), findings = _read(text)
    assert (one.height, one.length) == (0.3, 20.5)
    assert ("ADE", "") in one.header
    assert findings == {}


def test_header_line_without_values() -> None:
    (one,), findings = _read(f"{HEAD}{INSPECTION}#B02=ACB\n#C=I,A\n1,BCA\n#Z\n")
    assert one.height is None
    assert findings["header-without-values"].kind is FindingKind.DROPPED


def test_header_field_given_twice() -> None:
    (one,), findings = _read(f"{HEAD}{INSPECTION}#B02=AAA\nP2\n#C=I,A\n1,BCA\n#Z\n")
    assert one.pipe == "P1"
    assert findings["header-twice"].value == "P2"


def test_more_and_fewer_values_than_columns() -> None:
    (one,), findings = _read(_rows("1,BCA,A,A,,3,,,,,surplus,,more\n2,BCA,A"))
    assert one.observations[0].extra == (("column 11", "surplus"), ("column 13", "more"))
    assert one.observations[1].char1 == "A"
    assert findings["more-values"].value == "surplus,more"
    assert findings["fewer-values"].place.line == 11


def test_unknown_columns_and_records_are_not_lost() -> None:
    text = _rows("1,BCA,A,kept", columns="I,A,B,XQ").replace("#Z", "#Q=what\n#Z")
    (one,), findings = _read(text)
    assert one.observations[0].extra == (("XQ", "kept"),)
    assert findings["unknown-record"].value == "#Q=what"


def test_lines_outside_an_inspection_are_told() -> None:
    text = HEAD + "stray\n" + INSPECTION + "#C=I,A\n1,BCA\n#Z\n2,BCA\n#Z\n"
    (one,), findings = _read(text)
    assert len(one.observations) == 1
    assert findings["stray-line"].kind is FindingKind.DROPPED
    assert "2 times" in findings["stray-line"].text
    assert findings["stray-terminator"].place.line == 14


@pytest.mark.parametrize(
    ("row", "rules"),
    [
        ("1,5;BCA;A;A;150;3;;;;", []),
        ("1.5;BCA;A;A;150;3;;;;", ["decimal-sign"]),
        ("x;BCA;A;A;150;3;;;;", ["number", "station"]),
        (";BCA;A;A;150;3;;;;", ["station"]),
        ("-0,4;BCA;A;A;150;3;;;;", ["station"]),
        ("1500;BCA;A;A;150;3;;;;", ["station"]),
        ("1;BCA;A;A;>150;3;;;;", ["number"]),
        ("1;BCA;A;A;30%;3;;;;", ["number"]),
        ("1;BCA;A;A;150;13;;;;", ["clock"]),
        ("1;BCA;A;A;150;00;;;;", ["clock-zero"]),
        ("1;BCA;A;A;150;3;00;;;", ["clock-zero"]),
        ("1;XX;A;A;150;3;;;;", ["code"]),
        ("1;BCA;A;A;150;3;;;A1;", ["continuous"]),
        ("1;BCA;A;A;150;3;;;q;", ["continuous"]),
        ("1;BCA;A;A;150;3;;;;J", ["joint"]),
        (";;;;;;;;;", ["empty-line", "no-observations"]),
    ],
)
def test_values_that_are_not_as_they_should_be(row: str, rules: list[str]) -> None:
    text = _rows("@").replace(",", ";").replace("#A4=.", "#A4=,").replace("@", row)
    _, findings = _read(text)
    assert list(findings) == rules
    assert rules == [] or findings[rules[0]].place.line == 10


def test_what_cannot_be_read_is_kept_as_text() -> None:
    (one,), _ = _read(_rows("1,BCA,A,A,>150,25,??,,,"))
    seen = one.observations[0]
    assert (seen.q1, seen.clock_from, seen.clock_to) == (None, None, None)
    assert dict(seen.extra) == {"D": ">150", "G": "25", "H": "??"}


def test_a_missing_station_is_that_of_the_line_before() -> None:
    (one,), _ = _read(_rows("4.5,BCA,A,A,,3,,,,\n,BAH,E,,,3,,,,"))
    assert [o.station for o in one.observations] == [4.5, 4.5]


def test_padded_numbers_lower_case_and_spaces() -> None:
    (one,), findings = _read(_rows(" 0004.50 , bca , a , a , 0150 , 03 ,,,,"))
    seen = one.observations[0]
    assert (seen.code, seen.char1, seen.station, seen.q1) == ("BCA", "A", 4.5, 150.0)
    assert seen.clock_from == 3.0
    assert findings == {}


def test_exact_repeats_are_kept_and_told() -> None:
    (one,), findings = _read(_rows("1,BCA,A,A,,3,,,,\n1,BCA,A,A,,3,,,,"))
    assert len(one.observations) == 2
    assert "line 10" in findings["repeated-line"].text


@pytest.mark.parametrize(
    ("written", "expected", "rule"),
    [
        ("06.05.2024", "2024-05-06", "date"),
        ("20240506", "2024-05-06", "date"),
        ("2024-05-06", "2024-05-06", ""),
        ("in May", "in May", "date"),
        ("", "", ""),
    ],
)
def test_dates(written: str, expected: str, rule: str) -> None:
    (one,), findings = _read(_rows("1,BCA,A,A,,3,,,,").replace("2024-05-06", written))
    assert one.date == expected
    assert list(findings) == ([rule] if rule else [])


@pytest.mark.parametrize(
    ("letter", "start", "upstream", "downstream", "direction"),
    [
        ("A", "S1", "S1", "S2", Direction.WITH),
        ("A", "S2", "S2", "S1", Direction.WITH),
        ("B", "S2", "S1", "S2", Direction.AGAINST),
        ("B", "S1", "S2", "S1", Direction.AGAINST),
        ("D", "S1", "S1", "S2", Direction.WITH),
        ("U", "S1", "S2", "S1", Direction.AGAINST),
        ("C", "S1", "", "", Direction.UNKNOWN),
        ("", "S1", "", "", Direction.UNKNOWN),
        ("?", "S1", "", "", Direction.UNKNOWN),
    ],
)
def test_upstream_follows_from_start_and_letter_alone(
    letter: str, start: str, upstream: str, downstream: str, direction: Direction
) -> None:
    for nodes in (("S1", "S2"), ("S2", "S1")):
        data = write(Film([finish(9.0)], start=start, nodes=nodes, direction=letter))
        (one,), _ = read(data, file="a.txt")
        assert (one.upstream, one.downstream) == (upstream, downstream)
        assert (one.direction, one.start_node, one.nodes) == (direction, start, nodes)


@pytest.mark.parametrize(
    ("film", "start", "far", "rule"),
    [
        (Film([], start=""), "S1", "S2", "start-node"),
        (Film([Shot(0, "BCD", "XP", q1="S2")], start=""), "S2", "S1", "start-node"),
        (Film([Shot(0, "BCD", "XP", q1="S2")], start="S9"), "S2", "S1", "start-node"),
        (Film([], start="s2"), "S2", "S1", "start-node"),
        (Film([], start="S1", nodes=("", "S2")), "S1", "S2", "node-missing"),
        (Film([], start="S1", nodes=("", "")), "S1", "P1 lower end", "node-missing"),
        (Film([], start="", nodes=("", "")), "P1 upper end", "P1 lower end", "node-missing"),
        (
            Film([], start="", nodes=("", ""), direction="B"),
            "P1 lower end",
            "P1 upper end",
            "node-missing",
        ),
    ],
)
def test_nodes_that_are_missing_or_wrong(film: Film, start: str, far: str, rule: str) -> None:
    (one,), findings = read(write(film), file="a.txt")
    assert one.start_node == start
    assert set(one.nodes) == {start, far}
    assert rule in {finding.rule for finding in findings}


def test_manholes_and_laterals_are_kept_out() -> None:
    manhole = "#B01=CAA,CBF\nM1,2024-05-06\n#C=I,A\n1,DCA\n#Z\n"
    lateral = "#B01=AAA,AAB,AAD,AAF,AAT,AAK\nL1,S1,S1,S2,H7,B\n#C=I,A\n1,BCA\n#Z\n"
    inspections, findings = read((HEAD + manhole + lateral + INSPECTION).encode(), file="a.txt")
    assert [one.pipe for one in inspections] == ["P1"]
    assert inspections[0].key == "a.txt#3"
    dropped = [finding.text for finding in findings if finding.rule == "not-a-main"]
    assert len(dropped) == 2
    assert "manhole" in dropped[0]
    assert "lateral" in dropped[1]


def test_a_main_whose_lateral_fields_are_zero_is_a_main() -> None:
    (one,), _ = _read(f"{HEAD}{INSPECTION}#B02=AAH,AAT\n0.00,\n#C=I,A\n1,BCA\n#Z\n")
    assert one.pipe == "P1"


def test_abandoned_and_finished_at_once() -> None:
    (one,), findings = _read(_rows("1,BDC,A,,,,,,,\n9,BCE,XP,,,,,,,"))
    assert one.abandoned
    assert findings["abandoned"].kind is FindingKind.DOUBT


@pytest.mark.parametrize(("written", "expected"), [("0.3", 0.3), ("300", 0.3), ("0", None)])
def test_heights_in_metres(written: str, expected: float | None) -> None:
    (one,), _ = read(write(Film([finish(9.0)], height=written)), file="a.txt")
    assert one.height == expected


def test_a_long_value_does_not_break_the_parser() -> None:
    (one,), findings = _read(_rows('1,BCA,A,A,,3,,"' + "x" * 200_000 + '",,'))
    assert len(one.observations) == 1
    assert "quoting" in findings


@pytest.mark.parametrize(
    ("row", "station", "q1", "kept"),
    [
        ("5 m,BCA,A,A,150,3,,,,", 5.0, 150.0, {"I": "5 m"}),
        ("5.0,BCA,A,A,DN150,3,,,,", 5.0, 150.0, {"D": "DN150"}),
        ("5.0,BCA,A,A,150 mm,3,,,,", 5.0, 150.0, {"D": "150 mm"}),
        ("5.0,BAG,,,30%,3,,,,", 5.0, 30.0, {"D": "30%"}),
    ],
)
def test_a_number_with_its_unit_is_read_and_its_text_kept(
    row: str, station: float, q1: float, kept: dict[str, str]
) -> None:
    (one,), findings = _read(_rows(row))
    seen = one.observations[0]
    assert (seen.station, seen.q1, dict(seen.extra)) == (station, q1, kept)
    assert findings["number"].kind is FindingKind.REPAIRED


@pytest.mark.parametrize("text", ["5 mm", "5 ft", "5 m m"])
def test_a_station_in_another_unit_is_not_guessed(text: str) -> None:
    (one,), findings = _read(_rows(f"{text},BCA,A,A,150,3,,,,"))
    assert one.observations[0].station == 0.0
    assert dict(one.observations[0].extra) == {"I": text, "station": "guessed"}
    assert findings["station"].kind is FindingKind.GUESSED


@pytest.mark.parametrize(("letter", "direction"), [("O", "A"), ("I", "A"), ("G", "B"), ("U", "B")])
def test_letters_of_other_codings_for_the_direction(letter: str, direction: str) -> None:
    (other,), found = read(write(Film([finish(9.0)], direction=letter)), file="a.txt")
    (plain,), _ = read(write(Film([finish(9.0)], direction=direction)), file="a.txt")
    assert (other.direction, other.upstream) == (plain.direction, plain.upstream)
    assert {f.rule for f in found} >= {"direction"}


def test_a_pipe_from_a_node_to_itself_is_doubted() -> None:
    _, findings = read(write(Film([finish(9.0)], nodes=("S1", "S1"))), file="a.txt")
    assert {f.rule for f in findings} >= {"same-node"}


def test_marks_in_lower_case_and_separators_behind_the_last_mark() -> None:
    clean = _rows("1.5,BCA,A,A,150,3,,,,")
    (expected,), _ = _read(clean)
    for dirty, rule in (
        (clean.replace("#B01", "#b01").replace("#C=", "#c=").replace("#Z", "#z"), "mark-case"),
        (clean.replace("#A3", "#a3"), "mark-case"),
        (clean.replace("#Z", "#Z,,,"), ""),
    ):
        (one,), findings = _read(dirty)
        assert one.observations == expected.observations
        assert set(findings) == ({rule} if rule else set())


def test_lengths_and_sizes_that_no_pipe_has_are_not_used() -> None:
    for code, value in (("ABQ", "1" + 30 * "0"), ("ABQ", "-4"), ("ACB", "99999999")):
        head = INSPECTION.replace("ABF\n", f"{code}\n").replace("2024-05-06", value)
        (one,), findings = _read(f"{HEAD}{head}#C=I,A\n1,BCE\n#Z\n")
        assert (one.length, one.height) == (None, None)
        assert findings["size"].value == value


def test_a_station_that_no_sewer_has_is_not_used() -> None:
    (one,), findings = _read(_rows("2.0,BCA,A,A,,3,,,,\n99999999,BCA,A,A,,9,,,,"))
    assert [o.station for o in one.observations] == [2.0, 2.0]
    assert dict(one.observations[1].extra) == {"I": "99999999", "station": "guessed"}
    assert findings["station"].kind is FindingKind.GUESSED


def test_a_date_with_strokes_may_be_month_first_and_is_a_guess() -> None:
    for date, kind in (("5/6/24", FindingKind.GUESSED), ("5.6.24", FindingKind.REPAIRED)):
        (one,), findings = _read(_rows("1,BCA,,,,,,,,").replace("2024-05-06", date))
        assert one.date == "2024-06-05"
        assert findings["date"].kind is kind
