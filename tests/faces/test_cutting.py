"""Cutting files of a pack: every pattern in every form, and the whole order on the roll."""

import csv
import json
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from pypdf import PdfReader

from teewright.bench import cutting
from teewright.bench.cutting import is_of_a_pack, on_roll, order_of, patterns
from teewright.collar.nesting import check_nest
from teewright.job.values import Job
from teewright.kit.values import Kit
from teewright.store.project import Project
from unit.report.sample import make_job

Run = Callable[..., Any]


@pytest.fixture(scope="module")
def job() -> Job:
    return make_job(logged=False)


@pytest.fixture
def project(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Project]:
    monkeypatch.setattr(cutting, "SECONDS", 1)
    with Project.create(tmp_path / "job.tee") as opened:
        yield opened


def narrow(kit: Kit, width: float) -> Kit:
    return replace(kit, fabrics=tuple(replace(f, roll_width=width) for f in kit.fabrics))


def test_every_design_is_cut_once(job: Job) -> None:
    cut = sum(count for _, count in order_of(job))
    assert cut == sum(len(d.collar.panels) for d in job.designs.designs)
    assert [c.pattern for c in patterns(job)] == sorted({c.pattern for c in patterns(job)})


def test_a_nest_is_kept_with_the_project(job: Job, project: Project) -> None:
    first = on_roll(job, project).nest
    assert first is not None
    check_nest(first, order_of(job))
    area = sum(d.collar.fabric_area for d in job.designs.designs)
    assert first.utilisation == pytest.approx(area / (first.length * first.roll_width), rel=1e-6)
    kept = project.result("nest")
    assert on_roll(job, project).nest == first
    assert project.result("nest") == kept


def test_another_order_is_nested_anew(job: Job, project: Project) -> None:
    first = on_roll(job, project).nest
    fewer = replace(job, designs=replace(job.designs, designs=job.designs.designs[:2]))
    second = on_roll(fewer, project).nest
    assert first is not None
    assert second is not None
    assert len(second.placements) < len(first.placements)


def test_a_piece_wider_than_the_roll_is_said(job: Job, project: Project) -> None:
    found = on_roll(replace(job, kit=narrow(job.kit, 0.3)), project)
    assert found.nest is None
    assert "wider than the roll" in found.problem


def test_nothing_to_cut_is_no_problem(job: Job, project: Project) -> None:
    found = on_roll(replace(job, designs=replace(job.designs, designs=())), project)
    assert (found.nest, found.problem) == (None, "")


@pytest.mark.parametrize(
    "name",
    ["P1.dxf", "P12-main.svg", "P3-branch-front.svg", "P3-whole.pdf", "P3-A4.pdf",
     "P3-Letter.pdf", "order-nested.dxf", "order-nested.svg"],
)  # fmt: skip
def test_files_of_a_pack_are_known(name: str) -> None:
    assert is_of_a_pack(name)


@pytest.mark.parametrize(
    "name",
    ["Plan.dxf", "P.dxf", "P1.pdf", "P1-main.dxf", "P1-B5.pdf", "order.dxf", "P1-my own.svg"],
)
def test_files_of_others_are_left_alone(name: str) -> None:
    assert not is_of_a_pack(name)


@pytest.fixture(scope="module")
def pack(teewright: Run, tmp_path_factory: pytest.TempPathFactory) -> tuple[Any, Path]:
    """A pack of two like connections."""
    folder = tmp_path_factory.mktemp("cutting")
    (folder / "runs.csv").write_text("upstream;downstream;length_m;dn_mm;lined\nA;B;40;250;yes\n")
    (folder / "connections.csv").write_text(
        "upstream;downstream;chainage_m;clock;dn_mm;kind;open\n"
        "A;B;12.5;12;150;plain, drilled;open\nA;B;22.5;12;150;plain, drilled;open\n"
    )
    stale = folder / "out" / "cutting" / "P9-main-left.svg"
    stale.parent.mkdir(parents=True)
    stale.write_text("old")
    files = (folder / "runs.csv", folder / "connections.csv")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(cutting, "SECONDS", 1)
        done = teewright("make", *files, "--quick", "--out", folder / "out", "--json")
    return done, folder / "out"


def test_a_pack_has_cutting_files_of_all_kinds(pack: tuple[Any, Path]) -> None:
    done, folder = pack
    assert done.code == 0, done.err
    told = json.loads(done.out)
    names = {path.name for path in (folder / "cutting").iterdir()}
    assert names == {
        "P1.dxf", "P1-main.svg", "P1-branch.svg", "P1-whole.pdf", "P1-A4.pdf",
        "order-nested.dxf", "order-nested.svg",
    }  # fmt: skip
    assert {f"cutting/{name}" for name in names} <= set(told["files"])
    assert told["removed"] == ["cutting/P9-main-left.svg"]
    assert len(PdfReader(folder / "cutting" / "P1-whole.pdf").pages) == 2
    assert not ezdxf.readfile(folder / "cutting" / "order-nested.dxf").audit().has_errors


def test_the_nest_is_told_in_metres(pack: tuple[Any, Path]) -> None:
    told = json.loads(pack[0].out)["nest"]
    assert told["pieces"] == 4
    assert told["problem"] is None
    assert 0.5 < told["utilisation"] <= 1.0


def test_the_list_of_pieces_has_their_sizes_and_counts(pack: tuple[Any, Path]) -> None:
    done, folder = pack
    text = (folder / "lists" / "pieces.csv").read_text(encoding="utf-8-sig")
    rows = list(csv.DictReader(text.splitlines()))
    assert [(r["pattern"], r["piece"], r["count"]) for r in rows] == [
        ("P1", "main", "2"), ("P1", "branch", "2"),
    ]  # fmt: skip
    told = json.loads(done.out)["nest"]
    area = sum(int(r["count"]) * float(r["area, m2"]) for r in rows)
    roll = told["length_m"] * told["roll_width_m"]
    assert area == pytest.approx(told["utilisation"] * roll, rel=1e-3)
