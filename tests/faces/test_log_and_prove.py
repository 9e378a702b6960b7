"""`teewright log` and `teewright prove`: deadlines from events, leak tests from readings."""

import json
import shutil
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]
WHERE = "T01-T02/01"


@pytest.fixture
def project(demo_pack: Path, tmp_path: Path) -> Path:
    copy = tmp_path / "job.tee"
    shutil.copy(demo_pack / "job.tee", copy)
    return copy


def log(teewright: Run, project: Path, *words: object) -> dict[str, Any]:
    done = teewright("log", project, WHERE, *words, "--json")
    assert done.code == 0, done.err
    document: dict[str, Any] = json.loads(done.out)
    return document


def install(teewright: Run, project: Path, *, pressure_at: str = "21:12") -> None:
    day = "2026-05-04T"
    log(teewright, project, "mixed", "--at", f"{day}21:00", "--set", "batch=B-1")
    log(teewright, project, "wet-out", "--at", f"{day}21:08")
    log(teewright, project, "lowered", "--at", f"{day}21:09")
    log(teewright, project, "in-place", "--at", f"{day}21:11")
    log(teewright, project, "at-pressure", "--at", day + pressure_at, "--set", "pressure_bar=1.05")
    log(teewright, project, "released", "--at", "2026-05-04T23:30")
    log(teewright, project, "out", "--at", "2026-05-04T23:40")


def state_of(teewright: Run, project: Path) -> tuple[str, dict[str, Any]]:
    done = teewright("prove", project, "--json")
    assert done.code == 0, done.err
    records = {r["connection_id"]: r for r in json.loads(done.out)}
    return records[WHERE]["state"], records[WHERE]


def readings(folder: Path, *, last_mbar: float) -> Path:
    file = folder / "gauge.csv"
    file.write_text(f"elapsed_s;pressure_mbar\n0;100,0\n90;{last_mbar + 2}\n240;{last_mbar}\n")
    return file


def test_before_anything_the_connection_is_planned(teewright: Run, project: Path) -> None:
    assert state_of(teewright, project)[0] == "planned"


def test_deadlines_follow_from_the_mixing(teewright: Run, project: Path) -> None:
    found = log(teewright, project, "mixed", "--at", "2026-05-04T21:00:00+00:00")
    limits = json.loads(teewright("design", project, "--json").out)["designs"]
    cure = next(d for d in limits if d["connection_id"] == WHERE)["cure"]
    mixed = datetime.fromisoformat(found["events"][0]["at"])
    by = datetime.fromisoformat(found["state"]["inflate_by"])
    assert (by - mixed).total_seconds() == pytest.approx(cure["latest_inflation"], abs=1e-3)
    assert "full pressure by" in found["state"]["next_action"]
    told = dict(found["events"][0]["data"])  # held to it, whatever is designed later
    assert float(told["latest_inflation"]) == cure["latest_inflation"]
    assert float(told["release"]) == cure["release_time"]


def test_a_tight_collar(teewright: Run, project: Path, tmp_path: Path) -> None:
    install(teewright, project)
    assert state_of(teewright, project)[0] == "sealed, test still to come"
    # LC: 100 mbar, 15 mbar allowed in 3 min for DN 100 to 200
    file = readings(tmp_path, last_mbar=96.0)
    log(teewright, project, "test-reading", "--readings", file, "--set", "method=LC",
        "--at", "2026-05-04T23:50")  # fmt: skip
    log(teewright, project, "inspected", "--at", "2026-05-04T23:58")
    state, record = state_of(teewright, project)
    assert state == "sealed and tight"
    assert record["test"]["passed"] is True
    assert record["test"]["required_time"] == 180.0
    assert record["departures"] == []


def test_a_gauge_of_a_low_pressure_test_is_judged_by_its_standard(
    teewright: Run, project: Path, tmp_path: Path
) -> None:
    install(teewright, project)
    # filled to 4 psi, settled, then from 3.5 psi on; 3 ft between the seals, 10 gal of air
    file = tmp_path / "gauge.csv"
    file.write_text("elapsed_min,pressure_psi\n0,4.0\n2,3.5\n5,3.4\n20,3.1\n")
    log(teewright, project, "test-reading", "--readings", file, "--set", "method=F1417",
        "--set", "seal_distance_ft=3", "--set", "test_volume_gal=10",
        "--at", "2026-05-04T23:50")  # fmt: skip
    state, record = state_of(teewright, project)
    test = record["test"]
    assert (state, test["method"], test["passed"]) == ("sealed and tight", "F1417", True)
    assert test["limit"] == pytest.approx(6894.76, abs=0.01)
    rows = {row["symbol"]: row["value"] for row in test["trace"]}
    area = 3.141592653589793 / 4.0 * rows["D"] ** 2
    least = 0.085 * rows["D"] / 0.0254 / 0.0015
    share = 10 * 0.003785411784 / (area * 0.9144)
    assert test["required_time"] == pytest.approx(least * share)
    assert test["began"] == 120.0


def test_a_leak_and_a_late_inflation_are_told(
    teewright: Run, project: Path, tmp_path: Path
) -> None:
    install(teewright, project, pressure_at="21:40")
    file = readings(tmp_path, last_mbar=60.0)
    log(teewright, project, "test-reading", "--readings", file, "--set", "method=LC",
        "--at", "2026-05-04T23:50")  # fmt: skip
    state, record = state_of(teewright, project)
    assert state == "sealed, not tight"
    assert any("after the latest" in text for text in record["departures"])


def test_a_correction_keeps_the_original(teewright: Run, project: Path) -> None:
    found = log(teewright, project, "mixed", "--at", "2026-05-04T21:00:00+00:00")
    mixed = found["events"][0]["id"]
    words = ("--set", f"event={mixed}", "--set", "at=2026-05-04T21:02:00+00:00")
    at = ("--at", "2026-05-04T21:05:00+00:00")
    after = log(teewright, project, "corrected", *words, *at)
    assert len(after["events"]) == 2
    assert after["events"][0]["at"] == found["events"][0]["at"]
    assert after["state"]["inflate_by"] > found["state"]["inflate_by"]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("released",), "allowed"),
        (("mixed", "--at", "yesterday"), "--at"),
        (("mixed", "--set", "pressure=3"), "pressure_bar"),
        (("mixed", "--set", "pressure_bar=high"), "a number from 0"),
        (("mixed", "--at", "0001-01-01T00:00"), "--at"),
        (("mixed", "--set", "batch=\x1b[31m"), "batch"),
        (("mixed", "--set", "nonsense"), "NAME=VALUE"),
    ],
)
def test_what_cannot_be_logged_is_refused(
    teewright: Run, project: Path, words: tuple[str, ...], told: str
) -> None:
    done = teewright("log", project, WHERE, *words)
    assert done.code == 2
    assert told in done.err
    assert log(teewright, project)["events"] == []


def test_a_line_of_a_gauge_file_is_named(teewright: Run, project: Path, tmp_path: Path) -> None:
    install(teewright, project)
    file = tmp_path / "gauge.csv"
    file.write_text("elapsed_s,pressure_mbar\n0,100\n60,none\n")
    before = len(log(teewright, project)["events"])
    done = teewright("log", project, WHERE, "test-reading", "--readings", file)
    assert done.code == 2
    assert "gauge.csv, line 3" in done.err
    assert len(log(teewright, project)["events"]) == before


def test_tables_for_people(teewright: Run, project: Path) -> None:
    log(teewright, project, "mixed", "--at", "2026-05-04T21:00", "--set", "temperature_c=14")
    shown = teewright("log", project, WHERE)
    assert "full pressure by" in shown.out
    assert "temperature 14 degC" in shown.out
    assert "in work" in teewright("prove", project).out


def entries(count: int) -> bytes:
    events = [
        {"id": f"e-{n}", "installation": f"{WHERE}#1", "kind": "note", "device": "tablet-1",
         "at": f"2026-05-04T21:0{n}:00+00:00", "sequence": n, "person": "AB",
         "data": [["text", f"note {n}"]]}
        for n in range(1, count + 1)
    ]  # fmt: skip
    return json.dumps({"project": "", "count": count, "events": events}).encode()


def test_a_saved_file_is_taken_also_where_it_is_cut_off(
    teewright: Run, project: Path, tmp_path: Path
) -> None:
    file, whole = tmp_path / "entries.json", entries(4)
    file.write_bytes(whole[: whole.index(b'"e-3"') + 9])
    done = teewright("log", project, "--from", file)
    assert done.code == 0, done.err
    said = " ".join(done.out.split())
    assert "2 entries kept, 0 refused." in said
    assert "cut off in entry 3: the 2 before it are whole; of 4 that were saved 2 are lost." in said
    file.write_bytes(whole)
    told = json.loads(teewright("log", project, "--from", file, "--json").out)
    assert told == {"kept": 4, "refused": [], "whole": True, "said": ""}
    assert [e["id"] for e in log(teewright, project)["events"]] == ["e-1", "e-2", "e-3", "e-4"]


def test_a_file_of_another_job_or_with_a_connection_is_refused(
    teewright: Run, project: Path, tmp_path: Path
) -> None:
    file = tmp_path / "entries.json"
    file.write_bytes(entries(1).replace(b'"project": ""', b'"project": "0123"'))
    done = teewright("log", project, "--from", file)
    assert done.code != 0
    assert "belongs to another job" in done.err
    done = teewright("log", project, WHERE, "--from", file)
    assert "cannot be given with --from" in done.err
    assert "is missing" in teewright("log", project).err
