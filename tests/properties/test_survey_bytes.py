"""Whatever the bytes: a value or a clear refusal; and the same values however they are written."""

from collections import Counter
from dataclasses import replace
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from teewright.errors import TeewrightError
from teewright.formats.detect import SurveyFile, read_survey_file
from teewright.formats.en13508 import read
from teewright.network.reconcile import reconcile
from teewright.network.values import Observation, Survey
from unit.network.writing import Film, Shot, Style, connection, finish, survey, write

FILES = Path(__file__).parents[1] / "files" / "survey"
OPEN = (FILES / "en13508_open_example.txt").read_bytes()
TWO = (FILES / "en13508_two_directions_cp1252_comma.txt").read_bytes()
LIST = (
    b"upstream;downstream;chainage_m;clock;dn_mm;kind;open;defects\nT1;T2;7,5;10;150;A;yes;BBFC\n"
)
SAMPLES = (OPEN[:4000], TWO, LIST)


def _read_and_reconcile(data: bytes) -> None:
    """Read what can be read, and hold a refusal to be one sentence that names the file."""
    refusal = ""
    try:
        found: SurveyFile = read_survey_file(data, file="a.txt")
        result = reconcile(
            found.inspections,
            runs=found.runs,
            sightings=found.sightings,
            findings=found.findings,
        )
    except TeewrightError as error:
        refusal = str(error)
    else:
        _check_nothing_is_lost(result, listed=len(found.sightings))
    assert not refusal or refusal.startswith("a.txt")
    assert "\n" not in refusal


def _check_nothing_is_lost(result: Survey, *, listed: int) -> None:
    """Each coded or listed connection is a sighting of exactly one connection."""
    coded = sum(o.code == "BCA" for i in result.inspections for o in i.observations)
    seen = Counter(id(s) for c in result.connections for s in c.sightings)
    assert seen.total() == len(seen) == coded + listed
    assert len({c.id for c in result.connections}) == len(result.connections)
    assert {c.run_id for c in result.connections} <= {r.id for r in result.runs}
    assert sorted(k for r in result.runs for k in r.inspections) == sorted(
        i.key for i in result.inspections
    )


@given(st.binary(max_size=400))
@settings(max_examples=100, deadline=None)
def test_random_bytes(data: bytes) -> None:
    _read_and_reconcile(data)


LINES = (
    *("#A1=UTF-8", "#A3=;", "#A4=,", "#A5=", "#B01=AAA;AAB", "#B02=ABQ", "#C=I;A;G", "#Z"),
    *("P;S1", "1,5;BCA;3", '"x;;', "", "#Q", "#A3=", "#C=", "#B", "9,9", "5;BCE", "-;-;-"),
)


@given(
    st.lists(
        st.sampled_from(LINES),
        max_size=25,
    )
)
@settings(max_examples=150, deadline=None)
def test_lines_in_any_order(lines: list[str]) -> None:
    _read_and_reconcile("\n".join(lines).encode())


@given(st.sampled_from(SAMPLES), st.floats(0.0, 1.0))
@settings(max_examples=60, deadline=None)
def test_cut_anywhere(sample: bytes, share: float) -> None:
    _read_and_reconcile(sample[: round(share * len(sample))])


@given(
    st.sampled_from(SAMPLES),
    st.lists(st.tuples(st.floats(0.0, 1.0), st.integers(0, 255)), min_size=1, max_size=12),
)
@settings(max_examples=80, deadline=None)
def test_bytes_exchanged(sample: bytes, changes: list[tuple[float, int]]) -> None:
    data = bytearray(sample)
    for share, byte in changes:
        data[round(share * (len(data) - 1))] = byte
    _read_and_reconcile(bytes(data))


@given(
    st.sampled_from(SAMPLES),
    st.lists(
        st.tuples(st.sampled_from(b',;.|#="\t\r\nABCIZ019'), st.sampled_from(b',;.|#="\t\n A0')),
        min_size=1,
        max_size=3,
    ),
)
@settings(max_examples=80, deadline=None)
def test_signs_replaced_throughout(sample: bytes, swaps: list[tuple[int, int]]) -> None:
    for old, new in swaps:
        sample = sample.replace(bytes([old]), bytes([new]))
    _read_and_reconcile(sample)


STATIONS = st.integers(0, 9000).map(lambda n: n / 100.0)
CLOCKS = st.sampled_from(["", *map(str, range(1, 13))])
REMARKS = st.text(
    st.characters(codec="iso8859-1", exclude_categories=["Cc", "Zs"]) | st.sampled_from(",;|.\"' "),
    max_size=20,
).map(str.strip)
SHOTS = st.lists(
    st.builds(
        Shot,
        STATIONS,
        st.sampled_from(["BCA", "BAH", "BBF", "BAB", "BDB"]),
        st.sampled_from(["", "A", "B"]),
        st.sampled_from(["", "A", "B"]),
        st.sampled_from(["", "0", "150", "0100"]),
        CLOCKS,
        CLOCKS,
        REMARKS,
    ),
    max_size=8,
)
STYLES = st.builds(
    Style,
    separator=st.sampled_from([",", ";", "|", "\t"]),
    decimal=st.sampled_from([".", ","]),
    qualifier=st.sampled_from(['"', "'"]),
    newline=st.sampled_from(["\n", "\r\n", "\r"]),
    quote_all=st.booleans(),
    turned=st.booleans(),
    headers=st.integers(1, 3),
).filter(lambda style: style.separator != style.decimal)
CHARSETS = st.sampled_from(
    [("UTF-8", "utf-8"), ("UTF-8", "utf-8-sig"), ("ISO-8859-1", "latin-1"), ("CP1252", "cp1252")]
)


def _values(one: Observation) -> tuple[object, ...]:
    return (
        *(one.station, one.code, one.char1, one.char2, one.q1, one.clock_from, one.clock_to),
        *(one.remark, one.extra),
    )


def _written(shot: Shot) -> tuple[object, ...]:
    clocks = [float(text) if text else None for text in (shot.clock, shot.clock_to)]
    q1 = float(shot.q1) if shot.q1 else None
    return shot.station, shot.code, shot.char1, shot.char2, q1, *clocks, shot.remark, ()


def _by_chance_utf8(shots: list[Shot], codec: str) -> bool:
    """Whether single-byte text happens to be valid UTF-8, which is what it is then taken for."""
    if codec.startswith("utf"):
        return False
    for shot in shots:
        raw = shot.remark.encode(codec)
        try:
            if not raw.isascii() and raw.decode():
                return True
        except UnicodeDecodeError:
            continue
    return False


@given(SHOTS, STYLES, CHARSETS)
@settings(max_examples=150, deadline=None)
def test_every_style_gives_the_same_values(
    shots: list[Shot], style: Style, charset: tuple[str, str]
) -> None:
    if _by_chance_utf8(shots, charset[1]):
        return
    style = replace(style, charset=charset[0], codec=charset[1])
    film = Film(shots, length=93.25, more={"AAJ": "Mühlstraße, Nord; 2|3"})
    (one,), _ = read(write(film, style=style), file="a.txt")
    assert [_values(o) for o in one.observations] == [_written(shot) for shot in shots]
    assert (one.length, one.height, one.date) == (93.25, 0.3, "2024-05-06")
    assert dict(one.header)["AAJ"] == "Mühlstraße, Nord; 2|3"
    assert (one.upstream, one.downstream) == ("S1", "S2")


LATERALS = st.lists(
    st.tuples(st.integers(2, 380), st.integers(1, 12)), max_size=10, unique_by=lambda pair: pair[0]
)


def _mirror(clock: int) -> str:
    return str(12 if clock == 12 else 12 - clock)


@given(LATERALS, st.sampled_from([("S1", "S2"), ("S2", "S1")]))
@settings(max_examples=100, deadline=None)
def test_against_the_flow_is_the_mirror_of_with_the_flow(
    laterals: list[tuple[int, int]], nodes: tuple[str, str]
) -> None:
    # one lateral a quarter of a metre: far enough apart to stay single within one pass
    places = [(0.25 * n, clock) for n, clock in laterals]
    there = Film(
        [*(connection(s, str(c)) for s, c in places), finish(100.0)], length=100.0, nodes=nodes
    )
    back = Film(
        [*(connection(100.0 - s, _mirror(c)) for s, c in places), finish(100.0)],
        length=100.0,
        nodes=nodes,
        start="S2",
        direction="B",
        date="2024-06-01",
    )
    expected = sorted(places)
    for result in (survey(there), survey(back), survey(there, back), survey(back, there)):
        assert [(c.chainage, c.clock) for c in result.connections] == expected
        assert not result.findings


@given(LATERALS, st.lists(st.integers(-14, 14), min_size=10, max_size=10), st.integers(0, 90))
@settings(max_examples=100, deadline=None)
def test_play_of_the_cable_does_not_make_new_connections(
    laterals: list[tuple[int, int]], play: list[int], cut: int
) -> None:
    # laterals at least 0.75 m apart, each pass within 0.14 m of the truth
    kept: list[tuple[float, int]] = []
    for n, clock in sorted(laterals):
        if not kept or 0.25 * n - kept[-1][0] >= 0.75:
            kept.append((0.25 * n, clock))
    full = Film([*(connection(s, str(c)) for s, c in kept), finish(100.0)], length=100.0)
    near = [(s + p / 100.0, c) for (s, c), p in zip(kept, play, strict=False)]
    back = Film(
        [
            *(connection(100.0 - s, _mirror(c)) for s, c in near if 100.0 - s <= cut),
            Shot(float(cut), "BDC", "A"),
        ],
        length=100.0,
        start="S2",
        direction="B",
        date="2024-06-01",
    )
    result = survey(full, back)
    assert [(c.chainage, c.clock) for c in result.connections] == kept
    seen = sum(len(c.sightings) for c in result.connections)
    assert seen == len(kept) + sum(100.0 - s <= cut for s, _ in near)
