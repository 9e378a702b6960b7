import pytest

from teewright.errors import FileFormatError, InputError
from teewright.findings import FindingKind
from teewright.formats import text
from teewright.formats.text import (
    FindingLog,
    charset,
    clock,
    iso_date,
    line_ranges,
    number,
    text_lines,
)


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("ISO-8859-1", "iso8859-1"),
        ("ISO-8859-1:1998", "iso8859-1"),
        ("iso8859-1", "iso8859-1"),
        ("latin1", "iso8859-1"),
        ("UTF-8", "utf-8"),
        ("utf8", "utf-8"),
        ("windows-1252", "cp1252"),
        ("ANSI", "cp1252"),
        ("rot13", ""),
        ("hex", ""),
        ("utf-16", ""),
        ("no such thing", ""),
        ("", ""),
    ],
)
def test_charset_names(written: str, expected: str) -> None:
    assert charset(written) == expected


@pytest.mark.parametrize("end", [b"\n", b"\r\n", b"\r"])
def test_every_line_end(end: bytes) -> None:
    log = FindingLog("a.txt")
    assert text_lines(end.join([b"one", b"", b"three"]), declared="", log=log) == [
        "one",
        "",
        "three",
    ]
    assert log.findings() == ()


@pytest.mark.parametrize(
    ("raw", "declared", "expected", "told"),
    [
        ("Mühle".encode("latin-1"), "iso8859-1", "Mühle", ""),
        ("8½ – Mühle".encode("cp1252"), "iso8859-1", "8½ – Mühle", "cp1252"),
        ("Mühle".encode(), "iso8859-1", "Mühle", "utf-8"),
        ("Mühle".encode("cp1252"), "utf-8", "Mühle", "cp1252"),
        ("Mühle".encode("cp1252"), "", "Mühle", "cp1252"),
        ("Mühle".encode(), "", "Mühle", ""),
        (b"\x81\xfc", "iso8859-1", "\x81ü", ""),  # 0x81 is no sign in Windows-1252
    ],
)
def test_a_line_is_read_as_what_it_is(raw: bytes, declared: str, expected: str, told: str) -> None:
    log = FindingLog("a.txt")
    assert text_lines(raw, declared=declared, log=log) == [expected]
    findings = log.findings()
    assert [told in finding.text for finding in findings] == ([True] if told else [])


def test_lines_of_two_charsets_in_one_file_are_each_repaired() -> None:
    log = FindingLog("a.txt")
    data = "Gefüge\n".encode() + "Gefüge\n".encode("latin-1") + b"x\n" + "zerstört".encode()
    assert text_lines(data, declared="iso8859-1", log=log) == ["Gefüge", "Gefüge", "x", "zerstört"]
    (finding,) = log.findings()
    assert finding.kind is FindingKind.REPAIRED
    assert "lines 1, 4" in finding.text


@pytest.mark.parametrize("codec", ["utf-8-sig", "utf-16", "utf-32"])
def test_byte_order_marks_beat_what_is_declared(codec: str) -> None:
    log = FindingLog("a.txt")
    assert text_lines("Mühle\nzwei".encode(codec), declared="iso8859-1", log=log) == [
        "Mühle",
        "zwei",
    ]
    assert [finding.rule for finding in log.findings()] == ["byte-order-mark"]


@pytest.mark.parametrize(
    ("data", "problem"),
    [
        (b"", "empty"),
        (b" \r\n\t", "empty"),
        (b"one\ntwo\0three", "line 2: holds NUL"),
        (b"\xff\xfea", "not valid UTF-16"),
    ],
)
def test_what_is_not_text_is_refused(data: bytes, problem: str) -> None:
    with pytest.raises(FileFormatError, match=problem):
        text_lines(data, declared="", log=FindingLog("a.txt"))


def test_limits(monkeypatch: pytest.MonkeyPatch) -> None:
    log = FindingLog("a.txt")
    with pytest.raises(InputError, match="line 2: the line has 1048577 bytes"):
        text_lines(b"x\n" + b"y" * (text.MAX_LINE + 1), declared="", log=log)
    monkeypatch.setattr(text, "MAX_BYTES", 2**20)
    with pytest.raises(InputError, match="the file has 2 MiB; allowed: at most 1 MiB"):
        text_lines(b"x" * 2**21, declared="", log=log)
    monkeypatch.setattr(text, "MOST_LINES", 3)
    with pytest.raises(InputError, match="the file has 5 lines; allowed: at most 3"):
        text_lines(b"1\n2\n3\n4\n5", declared="", log=log)


@pytest.mark.parametrize("end", ["\n", "\r", "\r\n"])
def test_lines_are_counted_as_they_are_read(end: str) -> None:
    given = end.join(["a", "", "b"]).encode()
    assert text.lines_in(given) == len(text_lines(given, declared="", log=FindingLog("a.txt"))) == 3
    assert text.lines_in(given + end.encode()) == 3


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("12.5", (12.5, True)),
        ("12,5", (12.5, False)),
        (" 00005.30 ", (5.3, True)),
        ("-0.4", (-0.4, True)),
        ("+3", (3.0, True)),
        (".5", (0.5, True)),
        ("5.", (5.0, True)),
        ("", None),
        ("1.234,5", None),
        ("12 m", None),
        ("nan", None),
        ("inf", None),
        ("1e3", None),
        ("9" * 400, None),
        ("٣", None),
    ],
)
def test_numbers(written: str, expected: tuple[float, bool] | None) -> None:
    assert number(written, decimal=".") == expected


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("3", 3.0),
        ("03", 3.0),
        ("12", 12.0),
        ("10.5", 10.5),
        ("10,5", 10.5),
        ("10:30", 10.5),
        ("12.5", 0.5),
        ("0.5", 0.5),
        ("0", None),
        ("00", None),
        ("", None),
        ("  ", None),
    ],
)
def test_clocks(written: str, expected: float | None) -> None:
    assert clock(written) == expected


@pytest.mark.parametrize("written", ["13", "99", "-3", "x", "3-4", "3.5.1"])
def test_no_clock(written: str) -> None:
    with pytest.raises(ValueError, match=written):
        clock(written)


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("2024-05-06", "2024-05-06"),
        ("2024-5-6", "2024-05-06"),
        ("20240506", "2024-05-06"),
        ("06.05.2024", "2024-05-06"),
        ("6/5/24", "2024-05-06"),
        ("06.05.1999", "1999-05-06"),
        ("1.2.99", "1999-02-01"),
        ("2024-05-06T09:05:00", "2024-05-06"),
        ("2024-02-30", None),
        ("32.1.2024", None),
        ("yesterday", None),
    ],
)
def test_dates(written: str, expected: str | None) -> None:
    assert iso_date(written) == expected


def test_repairs_of_one_kind_become_one_finding() -> None:
    log = FindingLog("a.txt")
    for line in (7, 3, 4, 9, 8):
        log.add(FindingKind.REPAIRED, "sign", "the sign is wrong", line=line, field="D", value="x")
    log.add(FindingKind.NOTE, "other", "something else")
    first, second = log.findings()
    assert first.text == "the sign is wrong (5 times, lines 3-4, 7-9)"
    assert first.place.line == 7
    assert second.text == "something else"
    assert line_ranges([5]) == "5"
