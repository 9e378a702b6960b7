"""`teewright demo` and `teewright make`: the whole job, and the same on the open example."""

import csv
import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from openpyxl import load_workbook
from pypdf import PdfReader

Run = Callable[..., Any]


def connections(pack: Path) -> list[dict[str, str]]:
    text = (pack / "lists" / "connections.csv").read_text(encoding="utf-8-sig")
    delimiter = ";" if ";" in text.splitlines()[0] else ","
    return list(csv.DictReader(text.splitlines(), delimiter=delimiter))


def words(pdf: Path) -> str:
    return "\n".join(page.extract_text() for page in PdfReader(pdf).pages)


def test_the_demo_has_six_runs_and_35_connections(demo_pack: Path) -> None:
    assert len(connections(demo_pack)) == 35
    text = words(demo_pack / "pack.pdf")
    assert "35 connections" in text
    assert "INVENTED DATA" in text


def test_the_pack_has_every_part(demo_pack: Path) -> None:
    for name in ("pack.pdf", "job.tee", "lists/job.xlsx", "lists/connections.csv"):
        assert (demo_pack / name).stat().st_size > 0
    workbook = load_workbook(demo_pack / "lists" / "job.xlsx")
    assert len(workbook.sheetnames) >= 4
    patterns = sorted((demo_pack / "cutting").glob("P*.dxf"))
    assert patterns
    for path in patterns:
        assert not ezdxf.readfile(path).audit().has_errors
        assert len(list(path.parent.glob(f"{path.stem}-*.svg"))) >= 2


def test_every_need_occurs_in_the_demo(teewright: Run, demo_pack: Path) -> None:
    verdicts = json.loads(teewright("assess", demo_pack / "job.tee", "--json").out)["verdicts"]
    needs = {v["need"] for v in verdicts}
    assert needs == {"seal", "make ready first", "look again", "close off", "leave"}


def test_a_connection_too_far_for_the_resin_is_named(teewright: Run, demo_pack: Path) -> None:
    programme = json.loads(teewright("plan", demo_pack / "job.tee", "--json").out)
    assert [(u["connection_id"], u["rule"]) for u in programme["unplanned"]] == [
        ("T06-T03/04", "working-time")
    ]


def test_each_step_runs_alone_and_prints_a_table(teewright: Run, demo_pack: Path) -> None:
    project = demo_pack / "job.tee"
    for step, head in (
        ("assess", "Need"),
        ("design", "Needed,"),
        ("plan", "Release from"),
        ("quote", "Total without tax"),
        ("prove", "State"),
    ):
        done = teewright(step, project)
        assert done.code == 0, done.err
        assert head in done.out


def test_the_same_inputs_make_the_same_pack(
    teewright: Run, demo_pack: Path, tmp_path: Path
) -> None:
    copy = tmp_path / "job.tee"
    shutil.copy(demo_pack / "job.tee", copy)
    done = teewright("pack", copy, "--out", tmp_path, "--json")
    assert done.code == 0, done.err
    told = json.loads(done.out)
    assert told["counts"]["connections"] == 35
    assert told["invented"] is True
    assert all((tmp_path / name).is_file() for name in told["files"])
    for name in ("pack.pdf", "lists/connections.csv", "cutting/P1.dxf"):
        assert (tmp_path / name).read_bytes() == (demo_pack / name).read_bytes(), name


def test_the_open_example_is_not_lined_and_still_makes_a_pack(
    teewright: Run, open_example: Path, tmp_path: Path
) -> None:
    done = teewright("make", open_example, "--out", tmp_path)
    assert done.code == 0, done.err
    rows = connections(tmp_path)
    assert len(rows) == 42
    verdicts = json.loads(teewright("assess", tmp_path / "job.tee", "--json").out)["verdicts"]
    assert {v["reasons"][0]["rule"] for v in verdicts} == {"not-lined"}
    assert "not lined" in words(tmp_path / "pack.pdf") or "not-lined" in words(
        tmp_path / "pack.pdf"
    )


def test_the_open_example_declared_lined_gets_collars(
    teewright: Run, open_example: Path, tmp_path: Path
) -> None:
    done = teewright(
        "make", open_example, "--out", tmp_path, "--declare-liner", 6, "--declare-branch", 150
    )
    assert done.code == 0, done.err
    designs = json.loads(teewright("design", tmp_path / "job.tee", "--json").out)
    assert designs["designs"]
    assert len(PdfReader(tmp_path / "pack.pdf").pages) > len(designs["designs"])


def test_a_declaration_is_kept_in_the_project(
    teewright: Run, open_example: Path, tmp_path: Path
) -> None:
    project = tmp_path / "k.tee"
    assert teewright("read", open_example, "--project", project).code == 0
    assert teewright("assess", project, "--declare-liner", 6).code == 0
    verdicts = json.loads(teewright("assess", project, "--json").out)["verdicts"]
    assert "not-lined" not in {v["reasons"][0]["rule"] for v in verdicts}


def test_a_folder_that_cannot_be_written(teewright: Run, tmp_path: Path) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("in the way")
    done = teewright("demo", "--out", blocked)
    assert done.code == 2
    assert "file" in done.err


def test_the_starter_kit_is_not_written_over(teewright: Run, tmp_path: Path) -> None:
    path = tmp_path / "kit.toml"
    assert teewright("kit", "--out", path).code == 0
    path.write_text("mine")
    assert teewright("kit", "--out", path).code == 2
    assert path.read_text() == "mine"
    done = teewright("kit", "--out", tmp_path / "no" / "kit.toml")
    assert done.code == 2
    assert "cannot be written" in done.err


@pytest.mark.parametrize("command", [(), ("--help",), ("read", "--help"), ("doctor",)])
def test_help(teewright: Run, command: tuple[str, ...]) -> None:
    done = teewright(*command)
    assert (done.out + done.err).strip()
    assert "Traceback" not in done.err


@pytest.mark.parametrize("name", ["[/]", "[red]A", '=HYPERLINK("http://x")', "<b>&", "../../x"])
def test_names_that_look_like_something_else_are_only_names(
    teewright: Run, tmp_path: Path, name: str
) -> None:
    quoted = name.replace('"', '""')
    rows = f'upstream;downstream;length_m;dn_mm;lined\n"{quoted}";D;40;200;yes\n'
    (tmp_path / "runs.csv").write_text(rows)
    rows = (
        "upstream;downstream;chainage_m;clock;dn_mm;kind;open\n"
        f'"{quoted}";D;12.5;10;150;plain, drilled;open\n'
    )
    (tmp_path / "connections.csv").write_text(rows)
    out = tmp_path / "out"
    files = (tmp_path / "runs.csv", tmp_path / "connections.csv")
    done = teewright("make", *files, "--out", out)
    assert done.code == 0, done.err
    assert len(connections(out)) == 1
    assert {p.name for p in tmp_path.iterdir()} == {"runs.csv", "connections.csv", "out"}
    for step in ("assess", "design", "plan", "quote", "prove"):
        done = teewright(step, out / "job.tee")
        assert done.code == 0, done.err
        assert "Traceback" not in done.err
