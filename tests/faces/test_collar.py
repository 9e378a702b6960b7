"""`teewright collar`: one junction without a project, from numbers to files."""

import json
import math
from collections.abc import Callable
from dataclasses import astuple
from pathlib import Path
from typing import Any, NoReturn

import ezdxf
import pytest
from ezdxf.entities import LWPolyline
from pypdf import PdfReader

from teewright import demo
from teewright.cli.collar_inputs import Wish, asked

Run = Callable[..., Any]

SIZES = ("--main", 200, "--branch", 100, "--angle", 90, "--fillet", 10)
ROUGH = ("--quick", "--fineness", 2)


def no_number(text: str) -> NoReturn:
    raise AssertionError(text)


def read(path: Path) -> Any:
    return json.loads(path.read_text(encoding="utf-8"), parse_constant=no_number)


@pytest.fixture(scope="module")
def good(teewright: Run, tmp_path_factory: pytest.TempPathFactory) -> tuple[Any, Path]:
    folder = tmp_path_factory.mktemp("collar") / "new" / "folder"
    words = (*SIZES, *ROUGH, "--fabric", "knit 4 mm", "--name", "odd-1", "--paper", "a3")
    return teewright("collar", *words, "--out", folder), folder


@pytest.fixture(scope="module")
def broken(teewright: Run, tmp_path_factory: pytest.TempPathFactory) -> tuple[Any, Path]:
    """A thick felt, hardly pressed, bridges at 45 degrees; and no packer of the kit carries it."""
    folder = tmp_path_factory.mktemp("broken")
    kit = tmp_path_factory.mktemp("kit") / "own.toml"
    kit.write_bytes(demo.plain_kit())
    for stale in ("T200-100-45-edge-strip.svg", "T200-100-45-A3.pdf", "mine.svg"):
        (folder / stale).write_text("old")
    words = ("--main", 200, "--branch", 100, "--angle", 45, "--fillet", 10, "--kit", kit)
    cloth = ("--layout", "mirror halves", "--fabric", "felt 6 mm", "--pressure", 0.01)
    more = (*cloth, *ROUGH, "--sleeve", 460, "--json")
    return teewright("collar", *words, *more, "--out", folder), folder


def test_every_file_is_written(good: tuple[Any, Path]) -> None:
    done, folder = good
    assert done.code == 0, done.out + done.err
    assert {path.name for path in folder.iterdir()} == {
        "odd-1.dxf", "odd-1-main.svg", "odd-1-branch.svg", "odd-1-whole.pdf", "odd-1-A3.pdf",
        "sheet.pdf", "collar.json",
    }  # fmt: skip
    assert not ezdxf.readfile(folder / "odd-1.dxf").audit().has_errors
    assert len(PdfReader(folder / "odd-1-whole.pdf").pages) == 2
    tiles = PdfReader(folder / "odd-1-A3.pdf").pages
    sides = sorted((float(tiles[0].mediabox.width), float(tiles[0].mediabox.height)))
    assert sides == pytest.approx([841.9, 1190.6], abs=0.5)
    assert len(PdfReader(folder / "sheet.pdf").pages) >= 1


def test_the_answer_is_in_words(good: tuple[Any, Path]) -> None:
    done, _ = good
    first = done.out.splitlines()[0]
    assert first.startswith("odd-1 lands within every limit")
    for words in ("height of wrinkles", "gap behind the fabric", "l/m2", "was not computed"):
        assert words in done.out, words
    assert "its figures are invented" in done.out
    assert "Assumed: sleeve: 450 mm, what packer to DN 200" in done.out


def test_json_tells_what_the_dxf_draws(good: tuple[Any, Path]) -> None:
    _, folder = good
    value = read(folder / "collar.json")
    assert value["name"] == "odd-1"
    assert value["inputs"]["fabric"] == "knit 4 mm"
    assert value["kept"] is True
    assert value["invented"] is True
    drawn = ezdxf.readfile(folder / "odd-1.dxf").modelspace()
    sizes = []
    for line in drawn:
        if isinstance(line, LWPolyline) and line.dxf.layer == "CUT":
            xs, ys = zip(*[(p[0], p[1]) for p in line.get_points()], strict=True)
            sizes.append((max(xs) - min(xs), max(ys) - min(ys)))
    for piece in value["pieces"]:
        size = (piece["across_mm"], piece["along_mm"])
        assert any(size == pytest.approx(found, abs=1e-3) for found in sizes), piece["name"]


def test_the_thickness_is_that_of_the_table_stretched(good: tuple[Any, Path]) -> None:
    inputs = read(good[1] / "collar.json")["inputs"]
    in_table = 3.9 + (3.7 - 3.9) * (0.5 - 0.3) / (0.6 - 0.3)  # plain kit, knit 4 mm, 0.5 bar
    assert inputs["thickness_mm"] == pytest.approx(in_table / inputs["stretch"] ** 2, abs=1e-3)


def test_a_broken_limit_is_told_and_the_files_are_there(broken: tuple[Any, Path]) -> None:
    done, folder = broken
    assert done.code == 1, done.err
    value = json.loads(done.out, parse_constant=no_number)
    assert value == read(folder / "collar.json")
    assert value["kept"] is False
    lost = {limit["name"] for limit in value["limits"] if not limit["kept"]}
    assert lost
    for name in lost:
        assert any(name in sentence for sentence in value["shortfalls"]), name
    assert all(limit["would_help"] for limit in value["limits"])
    assert (folder / "T200-100-45.dxf").is_file()


def test_pieces_of_an_earlier_collar_are_removed(broken: tuple[Any, Path]) -> None:
    names = {path.name for path in broken[1].iterdir()}
    assert "T200-100-45-edge-strip.svg" not in names
    assert "T200-100-45-A3.pdf" not in names
    assert "mine.svg" in names


def test_a_packer_of_your_own_must_carry_it(broken: tuple[Any, Path]) -> None:
    sentences = read(broken[1] / "collar.json")["shortfalls"]
    assert any("carries 450 mm along the main, the collar is 460 mm" in s for s in sentences)


BAD = {
    "main": (("--main", 20), "--main = '20.0' is out of range; allowed: 80 to 1000 mm"),
    "nan": (("--branch", "nan"), "--branch = 'nan' is out of range; allowed: 60 to 350 mm"),
    "angle": (("--angle", 120), "--angle = '120.0' is out of range; allowed: 30 to 90 degrees"),
    "fillet": (("--fillet", -1), "--fillet = '-1.0' is out of range; allowed: 0 to 50 mm"),
    "lap": (("--lap", "inf"), "--lap = 'inf' is out of range; allowed: 0 to 200 mm"),
    "fabric": (("--fabric", "silk"), "allowed: felt 4 mm, felt 6 mm, knit 4 mm"),
    "layout": (("--layout", "five"), "allowed: saddle seam, four pieces, mirror halves"),
    "paper": (("--paper", "B5"), "--paper = 'B5' is not a paper for tiles; allowed: A4, A3, "),
    "name": (("--name", "../x"), "--name = '../x' is no name for files"),
    "pressure": (("--pressure", 9), "allowed: 0.01 to 3 bar"),
    "stretch": (("--stretch", 1.5), "allowed: 1 to 1.22, formed over cut"),
    "wider": (("--branch", 300), "the branch of 300 mm is wider than the main of 200 mm"),
    "offset": (("--offset", 90), "passes 90.0 mm beside the main's"),
    "packer": (("--main", 1000), "--sleeve is missing, and no packer of the kit"),
    "kit": (("--kit", "none.toml"), "none.toml: cannot be read"),
    "word": (("--main", "wide"), "--main"),
}


@pytest.mark.parametrize("name", BAD)
def test_bad_numbers_and_names_end_in_one_sentence(
    teewright: Run, tmp_path: Path, name: str
) -> None:
    words, said = BAD[name]
    done = teewright("collar", *SIZES, *ROUGH, *words, "--out", tmp_path / "out")
    assert done.code == 2
    assert said in done.err
    assert "Traceback" not in done.err
    assert not (tmp_path / "out").exists()
    if name != "word":
        assert len(done.err.splitlines()) == 1


def test_every_option_reaches_the_order() -> None:
    wish = Wish(
        main_mm=300, branch_mm=150, angle_deg=60, fillet_mm=8, offset_mm=-5, ovality_percent=2,
        short_axis_deg=90, fabric="felt 6 mm", stretch=1.05, sleeve_mm=600, branch_length_mm=120,
        lap_mm=20, pressure_bar=1.0, layout="four pieces", name="K-7", quick=True, fineness=1.5,
    )  # fmt: skip
    found = asked(wish)
    o = found.order
    assert astuple(o.junction) == pytest.approx(
        (0.3, 0.15, math.pi / 3.0, 0.008, -0.005, 0.02, math.pi / 2.0)
    )
    sizes = (o.sleeve_length, o.branch_length, o.lap, o.stretch, o.pressure)
    assert sizes == pytest.approx((0.6, 0.12, 0.02, 1.05, 1e5))
    assert o.thickness == pytest.approx(0.0052 / 1.05**2)  # 5.2 mm in the plain kit at 1 bar
    assert (o.pattern, o.layout, o.fabric.name) == ("K-7", "four pieces", "felt 6 mm")
    assert (found.effort.fineness, found.effort.tolerance) == (1.5, False)
    assert not any(text.startswith(("sleeve", "lap", "pressure")) for text in found.assumed)


def test_what_is_left_out_is_taken_from_the_kit_and_said() -> None:
    found = asked(Wish(main_mm=200, branch_mm=100, angle_deg=90, fillet_mm=10))
    o, rules = found.order, found.kit.rules
    assert (o.stretch, o.branch_length, o.lap) == (rules.stretch, rules.branch_length, rules.lap)
    assert (o.pattern, o.fabric.name, o.pressure) == ("T200-100-90", rules.fabric, 5e4)
    said = " ".join(found.assumed)
    for words in ("invented", "fabric: felt 4 mm", "0.5 bar", "stretch", "450 mm", "lap", "round"):
        assert words in said, words


def test_a_folder_that_cannot_be_made(teewright: Run, tmp_path: Path) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("in the way")
    done = teewright("collar", *SIZES, *ROUGH, "--out", blocked)
    assert done.code == 2
    assert "file" in done.err
    assert blocked.read_text() == "in the way"
