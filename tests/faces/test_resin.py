"""`teewright resin`: from readings or a data sheet to the law of cure, and into a project."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from teewright import demo
from teewright.bench.inputs import stored
from teewright.resin.kinetics import Kinetics, conversion, rate, time_to
from teewright.resin.path import steady
from teewright.store.project import Project
from teewright.units import kelvin

Run = Callable[..., Any]
LAW = Kinetics(5e3, 50e3, 1.0e7, 55e3, 0.8, 1.6, 0.58, 0.9, 260e3, (kelvin(5.0), kelvin(30.0)))
WARMTHS = (5.0, 15.0, 30.0)


def table(*, heat_flow: bool) -> str:
    """Readings of that law, as a laboratory would write them."""
    name = "heat_flow_w_g" if heat_flow else "conversion"
    lines = [f"series;temperature_c;time_min;{name}"]
    for degrees in WARMTHS:
        T = kelvin(degrees)
        times = np.linspace(0.0, 1.4, 90 if heat_flow else 15) * float(time_to(LAW, 0.9, T))
        done = conversion(LAW, times, steady(T))
        values = rate(LAW, done, T) * LAW.heat / 1e3 if heat_flow else done
        lines += [
            f"S{degrees:g};{degrees:g};{t / 60.0:.4f};{v:.6f}".replace(".", ",")
            for t, v in zip(times, values, strict=True)
        ]
    return "\n".join(lines) + "\n"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("resin")
    (made / "done.csv").write_text(table(heat_flow=False), encoding="utf-8")
    (made / "flow.csv").write_text(table(heat_flow=True), encoding="utf-8")
    (made / "kit.toml").write_bytes(demo.file(demo.KIT_FILE))
    named = demo.file(demo.KIT_FILE).replace(
        b"sheet_mass_kg = 0.1\n", b'sheet_mass_kg = 0.1\nreadings = "done.csv"\n', 1
    )
    (made / "own.toml").write_bytes(named)
    return made


@pytest.mark.parametrize(("file", "close"), [("done.csv", 0.02), ("flow.csv", 0.04)])
def test_readings_give_their_law_back(
    teewright: Run, folder: Path, file: str, close: float
) -> None:
    done = teewright("resin", "--readings", folder / file, "--heat", 260, "--json")
    assert done.code == 0, done.err
    found = json.loads(done.out)
    values = {p["symbol"]: p["value"] for p in found["parameters"]}
    assert values["E_2"] == pytest.approx(55e3, rel=close)
    assert (values["m"], values["n"]) == pytest.approx((0.8, 1.6), rel=close)
    times = {round(t["temperature"] - 273.15, 1): t for t in found["times"]}
    assert sorted(times) == [5.0, 10.0, 15.0, 22.5, 30.0]
    for degrees, told in times.items():
        best, low, high = told["release"]
        assert best == pytest.approx(float(time_to(LAW, 0.9, kelvin(degrees))), rel=close)
        assert low <= high
        assert told["sheet_release"] is None


def test_the_data_sheet_stands_beside_and_what_is_chosen_is_told(
    teewright: Run, folder: Path
) -> None:
    done = teewright("resin", "--kit", folder / "kit.toml")
    assert done.code == 0, done.err
    for word in ("Quick 20", "the data sheet", "In the sheet's pot", "held", "as told"):
        assert word in done.out, word
    other = teewright("resin", "--kit", folder / "kit.toml", "--name", "Slow 45")
    assert "Slow 45" in other.out
    assert "chosen" in other.out


def test_the_readings_that_a_kit_names_are_used(teewright: Run, folder: Path) -> None:
    done = teewright("resin", "--kit", folder / "own.toml", "--json")
    assert done.code == 0, done.err
    found = json.loads(done.out)
    assert found["basis"] == "readings of conversion"
    assert len(found["parameters"]) == 6
    assert found["times"][0]["sheet_release"] == pytest.approx(85.0 * 60.0)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "--readings and --kit"),
        (("--name", "Quick 20", "--readings", "done.csv"), "--kit FILE beside it"),
        (("--kit", "kit.toml", "--name", "Nobody"), "Quick 20, Slow 45"),
        (("--readings", "flow.csv"), "heat of reaction"),
        (("--readings", "flow.csv", "--heat", "100"), "at most 100 kJ/kg"),
        (("--readings", "done.csv", "--gel", "0.9"), "below 0.9"),
    ],
)
def test_faults_end_in_one_sentence(
    teewright: Run, folder: Path, words: tuple[str, ...], said: str
) -> None:
    paths = [folder / w if w.endswith((".csv", ".toml")) else w for w in words]
    done = teewright("resin", *paths)
    assert done.code == 2
    assert said in done.err
    assert done.err.count("\n") == 1


def test_templates_are_written_once(teewright: Run, tmp_path: Path) -> None:
    done = teewright("resin", "--template", tmp_path / "new")
    assert done.code == 0, done.err
    names = sorted(p.name for p in (tmp_path / "new").iterdir())
    assert names == ["resin-conversion.csv", "resin-heat-flow.csv"]
    assert teewright("resin", "--template", tmp_path / "new").code == 2


def test_a_project_keeps_the_readings_that_its_kit_names(
    teewright: Run, folder: Path, demo_files: Path, tmp_path: Path
) -> None:
    job = tmp_path / "job.tee"
    runs = (demo_files / "runs.csv", demo_files / "connections.csv")
    done = teewright("read", *runs, "--project", job, "--kit", folder / "own.toml")
    assert done.code == 0, done.err
    with Project.open(job) as project:
        kept = stored(project)
    assert kept.kit is not None
    assert kept.kit.name == "own.toml"
    assert [d.name for d in kept.beside] == ["done.csv"]
    assert kept.beside[0].data == (folder / "done.csv").read_bytes()
    # what is not named now stays; another kit takes its own files along
    assert teewright("read", *runs, "--project", job).code == 0
    with Project.open(job) as project:
        again = stored(project)
    assert (again.beside, again.fingerprint) == (kept.beside, kept.fingerprint)
    assert teewright("read", "--project", job, "--kit", folder / "kit.toml").code == 0
    with Project.open(job) as project:
        bare = stored(project)
    assert bare.beside == ()
    assert bare.fingerprint != kept.fingerprint


def test_a_kit_whose_readings_are_not_there_is_refused(
    teewright: Run, folder: Path, demo_files: Path, tmp_path: Path
) -> None:
    lost = tmp_path / "own.toml"
    lost.write_bytes((folder / "own.toml").read_bytes())
    done = teewright(
        "read", demo_files / "runs.csv", "--project", tmp_path / "j.tee", "--kit", lost
    )
    assert done.code == 2
    assert "done.csv" in done.err
    assert not (tmp_path / "j.tee").exists()
