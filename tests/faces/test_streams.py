"""What is printed, where to, and how wide."""

import json
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from rich.console import Console

from teewright.cli.tables import counted, table

Run = Callable[..., Any]
LIST = "upstream;downstream;chainage_m;clock;remark\nGröße;Ж1;7,5;3;“steam”\n"


@pytest.fixture(scope="module")
def survey(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("streams") / "list.csv"
    path.write_text(LIST, encoding="utf-8")
    return path


def started(*words: object, encoding: str, out: int | None = None) -> tuple[int, bytes, str]:
    """The command line in a process of its own: exit code, output, complaints."""
    done = subprocess.run(
        [sys.executable, "-m", "teewright", *map(str, words)],
        stdout=subprocess.PIPE if out is None else out,
        stderr=subprocess.PIPE,
        env={**os.environ, "PYTHONIOENCODING": encoding},
        timeout=60,
        check=False,
    )
    return done.returncode, done.stdout or b"", done.stderr.decode()


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "utf-8"])
def test_json_is_whole_whatever_the_terminal_can_show(survey: Path, encoding: str) -> None:
    code, out, err = started("read", survey, "--json", encoding=encoding)
    assert (code, err) == (0, "")
    (run,) = json.loads(out.decode(encoding))["runs"]
    assert (run["upstream"], run["downstream"]) == ("Größe", "Ж1")


def test_tables_do_not_fail_on_signs_that_the_terminal_lacks(survey: Path) -> None:
    code, out, err = started("read", survey, encoding="ascii")
    assert (code, err) == (0, "")
    assert b"Chainage, m" in out


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_an_output_that_cannot_be_written_is_one_sentence(survey: Path) -> None:
    full = os.open("/dev/full", os.O_WRONLY)
    try:
        code, _, err = started("read", survey, "--json", encoding="utf-8", out=full)
    finally:
        os.close(full)
    assert code == 2
    assert err.startswith("teewright: ")
    assert len(err.splitlines()) == 1


@pytest.mark.skipif(os.name != "posix", reason="pipes that close are a matter of that system")
def test_a_reader_that_goes_away_is_no_fault(survey: Path) -> None:
    gone, out = os.pipe()
    os.close(gone)
    try:
        _, _, err = started("read", survey, "--json", encoding="utf-8", out=out)
    finally:
        os.close(out)
    assert "Traceback" not in err


def lines(width: int, heads: tuple[str, ...], *rows: tuple[str, ...]) -> Iterator[str]:
    console = Console(width=width, no_color=True)
    with console.capture() as caught:
        console.print(table("", heads, rows))
    return iter(caught.get().splitlines())


@pytest.mark.parametrize("width", [40, 80, 160])
def test_names_are_whole_however_narrow_the_terminal(width: int) -> None:
    row = ("T01-T02/03", "plain, chiselled", "a long reason that runs on " * 4)
    text = "\n".join(lines(width, ("Connection", "Kind", "Why"), row))
    assert "T01-T02/03" in text
    assert "plain, chiselled" in text
    assert "…" not in text


def test_a_very_long_name_is_folded_and_not_cut() -> None:
    name = "N" * 300
    text = "".join(lines(60, ("Connection", "Why"), (name, "because")))
    assert text.count("N") == 300


def test_an_empty_table_has_no_heads() -> None:
    assert "Connection" not in "".join(lines(80, ("Connection", "Why")))


@pytest.mark.parametrize(("number", "text"), [(0, "0 runs"), (1, "1 run"), (2, "2 runs")])
def test_counted(number: int, text: str) -> None:
    assert counted(number, "run") == text


def test_cutting_files_of_an_earlier_pack_are_removed(
    teewright: Run, survey: Path, tmp_path: Path
) -> None:
    cutting = tmp_path / "cutting"
    cutting.mkdir()
    for name in ("P7.dxf", "P7-main.svg", "Plan of the yard.dxf", "mine.dxf"):
        (cutting / name).write_bytes(b"old")
    done = teewright("make", survey, "--out", tmp_path)
    assert done.code == 0, done.err
    assert {p.name for p in cutting.iterdir()} == {"Plan of the yard.dxf", "mine.dxf"}
    assert "cutting/P7.dxf" in done.out
