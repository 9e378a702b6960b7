"""`teewright fabric`: from two tables of readings to a fabric of the kit."""

import csv
import io
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from teewright import demo
from teewright.formats.kit_toml import read_kit
from teewright.formats.strip_csv import STRIP_COLUMNS
from unit.fabric.made import LAW, three

Run = Callable[..., Any]


@pytest.fixture(scope="module")
def tables(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    folder = tmp_path_factory.mktemp("fabric")
    text = io.StringIO()
    writer = csv.writer(text, delimiter=",")
    writer.writerow(STRIP_COLUMNS)
    for r in three():
        writer.writerow(
            [r.specimen, r.direction, f"{1e3 * r.width:g}", f"{1e3 * r.gauge:g}",
             f"{r.force:.6f}", f"{1e3 * r.extension:.6f}", f"{1e3 * (r.stretched_width or 0):.6f}"]
        )  # fmt: skip
    strips, thickness = folder / "strips.csv", folder / "thickness.csv"
    strips.write_text(text.getvalue(), encoding="utf-8")
    thickness.write_text("pressure_bar;thickness_mm\n0;6,0\n1;5,2\n3;4,8\n", encoding="utf-8")
    return strips, thickness


def words(tables: tuple[Path, Path]) -> tuple[object, ...]:
    return ("fabric", "--strips", tables[0], "--thickness", tables[1], "--name", "Felt 6")


def test_the_fit_is_printed_with_residuals_and_range(
    teewright: Run, tables: tuple[Path, Path]
) -> None:
    done = teewright(*words(tables))
    assert done.code == 0, done.err
    for word in ("15.00", "9.00", "4.00", "0.350", "Residual", "Poisson", "wrinkles", "5.200"):
        assert word in done.out, word


def test_json_holds_every_figure(teewright: Run, tables: tuple[Path, Path]) -> None:
    done = teewright(*words(tables), "--json")
    assert done.code == 0, done.err
    found = json.loads(done.out)
    assert found["fabric"]["name"] == "Felt 6"
    assert found["strips"]["shear"] == pytest.approx(LAW.shear, rel=1e-4)
    assert found["strips"]["directions"][0]["rms"] == pytest.approx(0.0, abs=1e-2)
    assert found["thickness"]["points"][1] == pytest.approx([1e5, 0.0052])
    assert found["window"]["low"] < 1.0 < found["window"]["high"]
    assert "price" in found["to_fill_in"]


def test_what_is_not_known_is_null_in_json(
    teewright: Run, tables: tuple[Path, Path], tmp_path: Path
) -> None:
    bare = tmp_path / "bare.csv"
    lines = tables[0].read_text(encoding="utf-8").splitlines()
    bare.write_text("\n".join(line.rpartition(",")[0] for line in lines), encoding="utf-8")
    done = teewright(*words((bare, tables[1])), "--json")
    assert done.code == 0, done.err
    assert json.loads(done.out)["strips"]["poisson_rms"] is None


def test_the_table_is_pasted_into_a_kit(
    teewright: Run, tables: tuple[Path, Path], tmp_path: Path
) -> None:
    file = tmp_path / "felt.toml"
    done = teewright(*words(tables), "--out", file)
    assert done.code == 0, done.err
    assert "fill in" in done.out
    kit, _ = read_kit(demo.file(demo.KIT_FILE) + b"\n" + file.read_bytes(), file="kit.toml")
    assert kit.fabrics[-1].name == "Felt 6"
    assert kit.fabrics[-1].stiffness_along == pytest.approx(LAW.stiffness_along, rel=1e-4)

    again = teewright(*words(tables), "--out", file)
    assert again.code == 2
    assert "is there already" in again.err


def test_one_reading_a_strip_is_told_without_nan(
    teewright: Run, tables: tuple[Path, Path], tmp_path: Path
) -> None:
    scant = tmp_path / "scant.csv"
    scant.write_text(
        "direction,width_mm,gauge_mm,force_n,extension_mm\nalong,50,200,40,10\n", encoding="utf-8"
    )
    file = tmp_path / "scant.toml"
    done = teewright(*words((scant, tables[1])), "--out", file)
    assert done.code == 0, done.err
    assert "nan" not in done.out
    assert "nan" not in file.read_text(encoding="utf-8")
    for rule in ("fabric-few-readings", "fabric-direction-missing", "fabric-shear"):
        assert rule in done.out


def test_the_range_of_the_fit_is_the_users(teewright: Run, tables: tuple[Path, Path]) -> None:
    done = teewright(*words(tables), "--most", "20", "--share", "0.5", "--json")
    found = json.loads(done.out)["strips"]
    assert found["directions"][0]["used"] == 10
    assert found["stretch_along"] == pytest.approx(1.24**0.5, rel=1e-6)


def test_empty_tables_to_begin_with(teewright: Run, tmp_path: Path) -> None:
    done = teewright("fabric", "--template", tmp_path / "new")
    assert done.code == 0, done.err
    files = sorted((tmp_path / "new").iterdir())
    assert [f.name for f in files] == ["fabric-strips.csv", "fabric-thickness.csv"]
    done = teewright("fabric", "--strips", files[0], "--thickness", files[1])
    assert done.code == 2
    assert done.err == (
        "teewright: fabric-strips.csv: holds no reading; allowed: a line for each reading\n"
    )
    assert teewright("fabric", "--template", tmp_path / "new").code == 2


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (("--name", "a # b"), "name"),
        (("--most", "900"), "--most"),
        (("--strips", "none.csv"), "none.csv"),
    ],
)
def test_bad_input_ends_in_one_sentence(
    teewright: Run, tables: tuple[Path, Path], more: tuple[str, ...], said: str
) -> None:
    done = teewright(*words(tables), *more)
    assert done.code == 2
    assert said in done.err
    assert "Traceback" not in done.err


def test_both_tables_are_needed(teewright: Run, tables: tuple[Path, Path]) -> None:
    done = teewright("fabric", "--strips", tables[0])
    assert done.code == 2
    assert "both needed" in done.err
