"""collar.json: strict, whole, in the units of its names, and described in the documents."""

import json
import math
import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any, NoReturn

import pytest

from collar_shapes import FABRIC, QUICK, made, order, tee
from teewright.collar.made import Made
from teewright.collar.order import Order
from teewright.collar.values import Tolerance
from teewright.formats.collar_json import Told, collar_json, write_collar_json
from teewright.job.amounts import resin_of
from teewright.kit.values import Resin

PAGE = Path(__file__).parents[3] / "docs" / "collar-json.md"
RESIN = Resin(
    name="Invented resin",
    density_a=1150.0,
    density_b=1000.0,
    density=1100.0,
    ratio_mass=0.4,
    pack_mass=3.0,
    working_time=((278.15, 3600.0), (298.15, 1800.0)),
    release_time=((278.15, 18000.0), (298.15, 7200.0)),
    modulus=2.4e9,
    strength=45e6,
    long_term=0.5,
    hazards=(),
    price=0.0,
    source="invented",
)
TOLERANCE = Tolerance(
    along=0.006,
    round=math.radians(3.0),
    main=0.002,
    branch=0.001,
    angle=math.radians(1.5),
    fillet=0.0015,
    runs=40,
    share=0.928,
    confidence=0.95,
    breaks=("gap behind the fabric", "", "height of wrinkles", "", "", "no steady landing"),
)


def no_number(text: str) -> NoReturn:
    raise AssertionError(text)


def told(found: Made, **changed: Any) -> Told:
    mix = resin_of(found, FABRIC, RESIN, soaked=0.0044, loss=0.1)
    plain = Told(
        kit="Invented kit",
        invented=True,
        assumed=("pressure on the fabric: 0.5 bar",),
        shortfalls=(),
        resin=RESIN.name,
        loss=0.1,
        demand=mix,
    )
    return replace(plain, **changed)


@pytest.fixture(scope="module")
def given() -> Order:
    return order(tee(0.2, 0.1, 60.0, 0.008))


@pytest.fixture(scope="module")
def found(given: Order) -> Made:
    plain = made(given)
    return Made(replace(plain.collar, tolerance=TOLERANCE), plain.map)


@pytest.fixture(scope="module")
def text(given: Order, found: Made) -> str:
    return write_collar_json(collar_json(found, given, QUICK, told(found)))


@pytest.fixture(scope="module")
def value(text: str) -> Any:
    return json.loads(text, parse_constant=no_number)


def test_inputs_are_in_the_units_of_their_names(value: Any) -> None:
    assert value["schema"] == "teewright.collar/1"
    inputs = value["inputs"]
    assert (inputs["main_mm"], inputs["branch_mm"]) == (200.0, 100.0)
    assert (inputs["angle_deg"], inputs["edge_radius_mm"]) == (60.0, 8.0)
    assert (inputs["pressure_bar"], inputs["sleeve_mm"], inputs["lap_mm"]) == (0.5, 500.0, 30.0)
    assert inputs["layout"] is None
    assert value["fabric"]["stiffness_along_kn_m"] == 8.0
    assert value["fabric"]["shear_measured"] is False
    assert value["kept"] is True
    assert value["invented"] is True


def test_outlines_are_those_of_the_panels(value: Any, found: Made) -> None:
    panels = found.collar.panels
    assert [piece["name"] for piece in value["pieces"]] == [panel.name for panel in panels]
    for piece, panel in zip(value["pieces"], panels, strict=True):
        for read, ring in ((piece["cut_mm"], panel.cut), (piece["hole_mm"], panel.hole)):
            assert [[x / 1e3, y / 1e3] for x, y in read] == [
                pytest.approx(point, abs=1e-7) for point in ring
            ]
        assert [s["name"] for s in piece["seams"]] == [name for name, _ in panel.seams]
        assert [n["label"] for n in piece["notches"]] == [n.label for n in panel.notches]


def area(ring: list[list[float]]) -> float:
    around = zip(ring, [*ring[1:], *ring[:1]], strict=True)
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in around)) / 2.0


def test_areas_follow_from_the_outlines(value: Any) -> None:
    for piece in value["pieces"]:
        inside = 1e-6 * (area(piece["cut_mm"]) - area(piece["hole_mm"]))
        assert inside == pytest.approx(piece["area_m2"], rel=1e-4)
    whole = sum(piece["area_m2"] for piece in value["pieces"])
    assert whole == pytest.approx(value["panels"]["fabric_m2"], rel=1e-5)


def test_seam_edges_follow_from_the_seam_lines(value: Any) -> None:
    sums = [0.0, 0.0]
    for piece in value["pieces"]:
        for seam in piece["seams"]:
            if seam["name"] == "saddle":
                line = seam["line_mm"]
                length = sum(math.dist(a, b) for a, b in pairwise(line))
                sums[0 if piece["name"].startswith("main") else 1] += length
    assert value["seam"]["edges_mm"] == [pytest.approx(s, abs=0.01) for s in sums]
    assert value["seam"]["mismatch_mm"] <= 0.05


def test_the_map_is_a_mesh_with_a_figure_for_each_triangle(value: Any, found: Made) -> None:
    mesh = value["map"]
    size = len(mesh["triangles"])
    for name in ("stretch", "least_stretch", "thickness_mm", "wrinkle_margin"):
        assert len(mesh[name]) == size, name
    assert {k for corners in mesh["triangles"] for k in corners} <= set(
        range(len(mesh["points_mm"]))
    )
    assert mesh["points_mm"][7] == [pytest.approx(1e3 * x, abs=1e-3) for x in found.map.points[7]]
    assert sorted(k for part in mesh["flat"] for k in part["of_triangle"]) == list(range(size))


def test_the_map_lies_inside_the_pipes(value: Any) -> None:
    """No point of the fabric's middle is farther from both axes than the pipe's wall."""
    cos, sin = math.cos(math.radians(60.0)), math.sin(math.radians(60.0))
    for x, y, z in value["map"]["points_mm"]:
        main = math.hypot(y, z)
        branch = math.hypot(y, z * cos - x * sin)
        edge = 8.0 * 2.0  # the rounded edge widens the opening
        assert main <= 100.0 or branch <= 50.0 + edge


def test_resin_is_held_by_the_area(value: Any) -> None:
    resin, panels = value["resin"], value["panels"]
    assert resin["least_l_m2"] <= resin["mean_l_m2"] <= resin["greatest_l_m2"]
    assert resin["held_l"] == pytest.approx(resin["mean_l_m2"] * panels["formed_m2"], rel=1e-4)
    as_cut = panels["fabric_m2"] * 4.4 * FABRIC.void_fraction / 0.9  # stretching keeps the voids
    assert resin["to_mix_l"] == pytest.approx(as_cut, rel=2e-3)
    parts = resin["part_a_kg"] + resin["part_b_kg"]
    assert parts == pytest.approx(resin["to_mix_l"] * 1.1, rel=1e-4)


def test_limits_and_tolerance_are_in_millimetres_and_degrees(value: Any, found: Made) -> None:
    for read, limit in zip(value["limits"], found.collar.landing.limits, strict=True):
        factor = 1e3 if limit.unit == "m" else 1.0
        assert read["value"] == pytest.approx(factor * limit.value, abs=1e-5)
        assert read["kept"] is limit.kept
        assert (read["margin"] >= 0.0) is read["kept"]
    t = value["tolerance"]
    assert (t["along_mm"], t["round_deg"], t["edge_radius_mm"]) == (6.0, 3.0, 1.5)
    assert t["breaks_first"]["along"] == "gap behind the fabric"
    assert t["breaks_first"]["round"] is None
    assert t["breaks_first"]["edge_radius"] == "no steady landing"


def test_what_is_not_known_is_null(given: Order, found: Made) -> None:
    collar = replace(
        found.collar,
        tolerance=None,
        landing=replace(found.collar.landing, pressure_landed=math.nan),
        offers=tuple(replace(offer, ratio=math.inf) for offer in found.collar.offers),
    )
    plain = collar_json(Made(collar, found.map), given, QUICK, told(found))
    read = json.loads(write_collar_json(plain), parse_constant=no_number)
    assert read["tolerance"] is None
    assert read["landing"]["lies_from_bar"] is None
    assert {offer["t_star"] for offer in read["offers"]} == {None}
    assert not any(offer["fits"] for offer in read["offers"])


def test_a_shortfall_is_told(given: Order, found: Made) -> None:
    broken = told(found, shortfalls=("The fold is too high.",))
    plain = collar_json(found, given, QUICK, broken)
    assert plain["kept"] is False
    assert plain["shortfalls"] == ["The fold is too high."]


def test_any_sign_survives_and_no_nan_is_written(text: str) -> None:
    hard = {"a": 'é "quoted" \\ \n', "empty": [], "none": {}, "rows": [[1.5, 2], ["ü", None]]}
    for plain in (False, True):
        written = write_collar_json(hard, ascii_only=plain)
        assert json.loads(written) == hard
        assert written.isascii() is plain
    with pytest.raises(ValueError, match="not JSON compliant"):
        write_collar_json({"a": [math.nan]})
    assert len(text.splitlines()) > 100


def names(value: Any) -> set[str]:
    if isinstance(value, dict):
        return set(value).union(*(names(v) for v in value.values()))
    if isinstance(value, list):
        return set().union(*(names(v) for v in value))
    return set()


def test_every_name_is_described(value: Any) -> None:
    page = PAGE.read_text(encoding="utf-8")
    described = set(re.findall(r"`([a-z_0-9]+)`", page))
    described |= set(re.findall(r"^## ([a-z]+)", page, flags=re.MULTILINE))
    assert names(value) <= described, names(value) - described
