"""Files given one after the other; corrections kept beside them."""

from pathlib import Path

import pytest

from teewright import demo
from teewright.bench import amending, giving, inputs
from teewright.bench.giving import Given, look_at, plain_name, put, put_back, with_files
from teewright.bench.inputs import Document, Inputs, Options, load, stored
from teewright.bench.keeping import keep, on_top
from teewright.errors import InputError, UnknownNameError
from teewright.formats.kinds import Kind
from teewright.network.corrections import Correction, Decide, mark_of
from teewright.store.project import Project

NONE = Inputs((), None, None, Options())


def given(name: str, data: bytes | None = None) -> Given:
    found = look_at(Document(name, demo.file(name) if data is None else data))
    assert found.fault == ""
    return found


@pytest.mark.parametrize(
    ("told", "name"),
    [
        ("night.txt", "night.txt"),
        ("../../etc/passwd", "passwd"),
        ("C:\\surveys\\night.txt", "night.txt"),
        ("/abs/a b.csv", "a b.csv"),
        ("nul\x00\x1b[31m.txt", "nul[31m.txt"),
        ("abc\u202etxt.exe", "abctxt.exe"),
        ("x" * 400 + ".csv", "x" * 116 + ".csv"),
    ],
)
def test_names_lose_their_folders_and_what_is_not_seen(told: str, name: str) -> None:
    assert plain_name(told) == name


@pytest.mark.parametrize("told", ["", "..", "/", "a/..", "\x00", " . "])
def test_a_name_of_which_nothing_is_left_is_refused(told: str) -> None:
    with pytest.raises(InputError, match="no name of a file"):
        plain_name(told)


def test_a_file_too_large_is_not_read() -> None:
    found = look_at(Document("a.csv", b"x" * 11), largest=10)
    assert found.fault == "a.csv: has 11 bytes; allowed: at most 10 bytes"


def test_a_file_of_the_same_name_takes_the_place_of_the_one_before() -> None:
    first = with_files(NONE, [given("runs.csv"), given("connections.csv"), given("kit.toml")])
    assert [d.name for d in first.surveys] == ["runs.csv", "connections.csv"]
    changed = demo.file("runs.csv").replace(b"47.20", b"48.20")
    second = with_files(first, [given("runs.csv", changed)])
    assert [d.name for d in second.surveys] == ["runs.csv", "connections.csv"]
    assert second.surveys[0].data == changed
    assert second.kit == first.kit


def test_kit_and_site_take_the_place_of_those_before(tmp_path: Path) -> None:
    with Project.create(tmp_path / "a.tee") as project:
        put(project, [given("kit.toml")])
        put(project, [given("other.toml", demo.file(demo.KIT_FILE) + b"\n")])
        assert [d.name for d in project.documents("kit")] == ["other.toml"]
        put_back(project, Kind.KIT, "kit.toml")
        assert [d.name for d in project.documents("kit")] == ["kit.toml"]


def test_the_last_change_of_a_file_is_undone_as_a_new_version(tmp_path: Path) -> None:
    changed = demo.file("runs.csv").replace(b"47.20", b"48.20")
    with Project.create(tmp_path / "a.tee") as project:
        put(project, [given("runs.csv")])
        put(project, [given("runs.csv", changed)])
        put_back(project, Kind.SURVEY, "runs.csv")
        (held,) = project.documents("survey")
        assert (held.version, held.data) == (3, demo.file("runs.csv"))
        project.remove_document("survey", "runs.csv")
        put_back(project, Kind.SURVEY, "runs.csv")
        (held,) = project.documents("survey")
        assert (held.version, held.data) == (4, demo.file("runs.csv"))
        with pytest.raises(UnknownNameError):
            put_back(project, Kind.SURVEY, "nothing.csv")


def test_a_file_that_was_given_once_is_taken_out_by_undo(tmp_path: Path) -> None:
    with Project.create(tmp_path / "a.tee") as project:
        put(project, [given("runs.csv")])
        put_back(project, Kind.SURVEY, "runs.csv")
        assert project.documents("survey") == ()


def test_files_that_do_not_go_together_are_refused() -> None:
    many = "upstream,downstream,chainage_m,clock,dn_mm,kind,open,defects,date,remark\n" + "".join(
        f"A,B,{k / 100:.2f},3,150,junction,open,,2026-01-01,\n" for k in range(600)
    )
    one, other = given("a.csv", many.encode()), given("b.csv", many.encode())
    giving.check(with_files(NONE, [one]))
    with pytest.raises(InputError, match="1200 connections of one run"):
        giving.check(with_files(NONE, [one, other]))


@pytest.fixture
def project(tmp_path: Path) -> Path:
    path = tmp_path / "job.tee"
    files = tuple(Document(name, demo.file(name)) for name in demo.SURVEY_FILES)
    keep(path, Inputs(files, None, None, Options(liner_mm=6.0)))
    return path


def decision(inputs: Inputs, number: int) -> Correction:
    c = load(inputs).survey.connections[number]
    act = Decide(mark_of(c.sightings[0], c.run_id), "leave")
    return Correction(act, "ab", "2027-05-06T07:08:09+02:00", "no house")


def test_corrections_change_the_fingerprint_and_taking_them_back_brings_it_back(
    project: Path,
) -> None:
    with Project.open(project) as opened:
        plain = stored(opened)
        assert plain.corrections is None
        amending.add(opened, [decision(plain, 0)])
        one = stored(opened)
        amending.add(opened, [decision(plain, 1)])
        two = stored(opened)
        assert len({plain.fingerprint, one.fingerprint, two.fingerprint}) == 3
        assert [cid for cid, _ in load(two).decisions] == [
            c.id for c in load(plain).survey.connections[:2]
        ]
        assert amending.take_back(opened) == decision(plain, 1)
        assert stored(opened).fingerprint == one.fingerprint
        assert amending.take_back(opened) == decision(plain, 0)
        assert stored(opened).fingerprint == plain.fingerprint
        assert amending.take_back(opened) is None
        versions = [d.version for d in opened.documents("option") if "corrections" in d.name]
        assert versions == [4]  # two more, two back: nothing of the history is lost


def test_options_and_corrections_do_not_take_each_others_place(project: Path) -> None:
    with Project.open(project) as opened:
        amending.add(opened, [decision(stored(opened), 0)])
        assert stored(opened).options == Options(liner_mm=6.0)
    again = on_top(project, Inputs((), None, None, Options()), 7.0, None)
    assert again.corrections is not None
    keep(project, again)
    with Project.open(project) as opened:
        assert stored(opened).options == Options(liner_mm=7.0)
        assert len(amending.corrections_of(stored(opened))) == 1


def test_kinds_of_documents_are_those_of_the_store() -> None:
    assert {giving.kept_as(kind, "x")[0] for kind in Kind} == {"survey", "kit", "site"}
    for kind in Kind:
        assert giving.known_as(*giving.kept_as(kind, "x")) == (kind.value, "x")


READINGS = (
    b"series;temperature_c;time_min;conversion\n"
    + b"\n".join(
        f"{t};{t};{minutes};{share}".encode()
        for t, pace in ((10, 2.0), (20, 1.0), (30, 0.5))
        for minutes, share in (
            (5 * pace, 0.02), (20 * pace, 0.20), (40 * pace, 0.55), (60 * pace, 0.80),
            (90 * pace, 0.93), (150 * pace, 0.98),
        )
    )
    + b"\n"
)  # fmt: skip
NAMING = demo.file(demo.KIT_FILE).replace(
    b'name = "Quick 20"', b'name = "Quick 20"\nreadings = "quick.csv"'
)


def with_readings() -> tuple[Given, Given]:
    beside = {"quick.csv": READINGS}
    kit = look_at(Document("kit.toml", NAMING), beside=beside)
    table = look_at(Document("quick.csv", READINGS))
    assert (kit.kind, kit.fault, table.kind, table.fault) == (Kind.KIT, "", Kind.READINGS, "")
    return kit, table


def test_a_kit_that_names_readings_is_not_read_without_them() -> None:
    assert "is not there" in look_at(Document("kit.toml", NAMING)).fault


def test_readings_go_and_come_with_the_kit_that_names_them(tmp_path: Path) -> None:
    plain = given("kit.toml")
    with Project.create(tmp_path / "job.tee") as project:
        put(project, with_readings())
        held = stored(project)
        assert [d.name for d in held.beside] == ["quick.csv"]
        assert held.kit is not None
        assert held.kit.data == NAMING
        put(project, [plain])
        assert stored(project).beside == ()
        put_back(project, Kind.KIT, "kit.toml")
        assert [d.data for d in stored(project).beside] == [READINGS]
        giving.remove(project, Kind.KIT, "kit.toml")
        assert (stored(project).kit, stored(project).beside) == (None, ())


def test_readings_are_replaced_alone_and_put_back(tmp_path: Path) -> None:
    more = READINGS + b"30;30;100;0.99\n"
    with Project.create(tmp_path / "job.tee") as project:
        put(project, with_readings())
        again = look_at(Document("quick.csv", more))
        assert [d.data for d in with_files(stored(project), [again]).beside] == [more]
        put(project, [again])
        held = stored(project)
        assert held.kit is not None
        assert [d.data for d in held.beside] == [more]
        put_back(project, Kind.READINGS, "quick.csv")
        assert [d.data for d in stored(project).beside] == [READINGS]


def test_a_survey_too_large_is_refused_by_its_lines(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(inputs, "MOST_LINES", 12)
    few, many = Document("few.csv", b"x\n" * 4), Document("many.csv", b"x\n" * 8)
    before = Inputs((few,), None, None, Options())
    giving.check_size(before, [many])
    more = Document("more.csv", b"\r\n" * 9)
    sentence = r"more\.csv: the survey files have 13 lines together, .* the most, 9; .* at most 12;"
    with pytest.raises(InputError, match=sentence):
        giving.check_size(before, [more])
    giving.check_size(before, [Document("few.csv", b"x\n" * 12)])  # takes the place of the other
    with pytest.raises(InputError, match="21 lines together"):
        load(Inputs((few, many, more), None, None, Options()))
