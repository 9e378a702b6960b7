import math
import re
from dataclasses import replace
from io import BytesIO

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from piece_shapes import all_collars
from teewright.collar.families import Family
from teewright.collar.nesting import shelves
from teewright.collar.values import Collar, Limit, Tolerance
from teewright.job.values import Job
from teewright.report.figures import limits
from teewright.report.index import JobIndex
from teewright.report.pack import build_pdf, pack_data
from teewright.report.sheets import (
    collar_pieces,
    families,
    landing,
    landing_maps,
    layouts,
    nesting,
    pattern,
    shift,
    tolerances,
)
from unit.report import landed
from unit.report.sample import MADE, make_job

NUMBER = re.compile(r"\d+(?:\.\d+)?")


def first_collar() -> Collar:
    return make_job().designs.designs[0].collar


def with_collars(job: Job, collars: dict[str, Collar]) -> Job:
    """The job with other collars under the names of its patterns."""
    designs = tuple(
        replace(d, collar=replace(collars[d.collar.pattern], pattern=d.collar.pattern))
        if d.collar.pattern in collars
        else d
        for d in job.designs.designs
    )
    return replace(job, designs=replace(job.designs, designs=designs))


def pages_of(job: Job) -> list[str]:
    pdf = build_pdf(job, made=MADE)
    return [page.extract_text() for page in PdfReader(BytesIO(pdf)).pages]


def test_the_heading_says_how_it_lands() -> None:
    good = first_collar()
    assert landing.answer(good) == "P1 lands smooth: fold 2.1 of 6.0, gap 0.6 of 2.0 mm"
    bad = replace(good, landing=landed.landing(fold=0.0071))
    assert landing.answer(bad) == "P1 does not land as it must: fold 7.1 of 6.0 mm"
    hollow = replace(good, landing=landed.landing(gap=0.0033))
    assert landing.answer(hollow) == "P1 does not land as it must: gap 3.3 of 2.0 mm"


def test_a_limit_with_two_ends_is_held_against_the_one_that_is_used_most() -> None:
    limit = Limit("stretch", 0.97, 0.95, 1.25, "-", "", 1.0)
    assert landing.nearer(limit) == 0.95
    assert landing.figure(limit) == "0.970 of 0.950"
    assert landing.figure(replace(limit, value=1.2)) == "1.200 of 1.250"
    assert landing.figure(replace(limit, low=None, high=None)) == "0.970 of –"


@pytest.mark.parametrize(
    ("name", "value", "text"),
    [
        ("along", 0.00637, "±6.3 mm"),
        ("along", 0.0126, "±12 mm"),
        ("along", 0.000396, "±0.39 mm"),
        ("along", 0.003, "±3 mm"),
        ("along", 0.0, "±0 mm"),
        ("angle", math.radians(2.05), "±2°"),
        ("round", math.radians(0.099), "±0.09°"),
    ],
)
def test_a_tolerance_is_written_with_its_unit(name: str, value: float, text: str) -> None:
    assert tolerances.amount(name, value) == text


@settings(max_examples=60, deadline=None)
@given(st.floats(0.0, 0.05), st.sampled_from(["along", "round"]))
def test_a_tolerance_is_never_rounded_up(value: float, name: str) -> None:
    per = 180.0 / math.pi if name == "round" else 1e3
    for text in (tolerances.amount(name, value), tolerances.whole(name, value)):
        found = NUMBER.search(text)
        assert found is not None
        assert float(found[0]) <= value * per + 2e-6
        assert float(found[0]) >= value * per - 1.0


def test_the_crew_is_told_what_it_can_act_on() -> None:
    assert tolerances.crew(landed.tolerance()) == "along ±6 mm, turn ±3°, edge ±2 mm"
    assert tolerances.crew(None) == tolerances.crew(landed.no_tolerance()) == "place it exactly"
    assert tolerances.brief(landed.tolerance()) == (
        "along ±6, edge ±2, branch ±2, main ±2 mm; turn ±3°, angle ±2°"
    )


def test_each_deviation_stands_beside_what_it_breaks() -> None:
    rows = tolerances.rows(landed.tolerance(), 0.2)
    assert rows[0] == ["Packer along the main", "±6.3 mm", "edge short of its place"]
    assert rows[1] == [
        "Packer turned about the main", "±3.1°, 5.5 mm on the wall", "height of wrinkles",
    ]  # fmt: skip
    assert rows[4] == ["Diameter of the main", "±2.9 mm", "nothing, as far as was tried"]
    assert tolerances.rows(None, 0.2) == tolerances.rows(landed.no_tolerance(), 0.2) == []


def test_the_share_of_cases_is_not_rounded_up_and_close_places_are_pointed_out() -> None:
    told = tolerances.told(landed.tolerance())
    assert "at least 92 % of all cases" in told
    assert "hardly" not in told
    close: Tolerance = replace(landed.tolerance(), along=0.0004)
    assert "hardly set so closely" in tolerances.told(close)
    assert "not computed" in tolerances.told(None)
    assert "No tolerance was found" in tolerances.told(landed.no_tolerance())


@pytest.mark.parametrize(
    ("chosen", "fold", "reasons"),
    [
        ("saddle seam", 0.002, ["taken: first to keep every limit", "would fit; not needed"]),
        ("four pieces", 0.002, ["formed, it broke a limit", "taken: first to keep every limit"]),
        (
            "four pieces",
            0.009,
            ["formed, it broke its limits by more", "taken: breaks its limits least"],
        ),
    ],
)
def test_each_layout_says_why(chosen: str, fold: float, reasons: list[str]) -> None:
    made = replace(first_collar(), offers=landed.offers(chosen), landing=landed.landing(fold=fold))
    said = [layouts.why(offer, made) for offer in made.offers]
    assert said[:2] == reasons
    assert said[2:] == [
        "flat it fits; cut only where asked for",
        "more stretch than the fabric allows",
        "no flat pieces were found for it",
    ]
    ratios = [row["ratio"] for row in layouts.table(made)["layouts"]]  # type: ignore[index,union-attr,call-overload]
    assert ratios[-1] == "–"


def test_bars_of_limits_are_as_long_as_what_is_used() -> None:
    shares = (0.0, 0.25, 0.5, 1.0, 3.0, math.nan, math.inf)
    svg = limits.bars([limits.Row(f"n{k}", "", s, "", "") for k, s in enumerate(shares)])
    black = re.findall(r'<path d="M([\d.]+) [\d.]+L([\d.]+) [^"]*" fill="#15171c"', svg)
    lengths = [float(b) - float(a) for a, b in black]
    assert lengths[1] == pytest.approx(2.0 * lengths[0], abs=0.02)
    assert lengths[2] == pytest.approx(4.0 * lengths[0], abs=0.02)
    assert lengths[3] > lengths[2]
    assert len(lengths) == 4


def test_maps_leave_out_a_hundredth_of_the_area_and_keep_the_rest() -> None:
    area = np.full(1000, 1e-4)
    values = np.linspace(0.0, 1.0, 1000)
    drawn = landing_maps.clipped(values, area)
    assert drawn.min() == pytest.approx(0.01, abs=1e-3)
    assert drawn.max() == pytest.approx(0.99, abs=1e-3)
    inside = (values > 0.011) & (values < 0.989)
    assert np.array_equal(drawn[inside], values[inside])


def test_scales_hold_what_is_drawn() -> None:
    values = np.array([0.961, 1.0, 1.0731])
    stretch = landing_maps.stretch_scale(values, None)
    assert (stretch.low, stretch.high) == (0.96, 1.08)
    flat = landing_maps.stretch_scale(np.array([1.02, 1.02]), None)
    assert flat.low == 1.0
    assert flat.high >= 1.05
    folds = landing_maps.wrinkle_scale(np.array([-5.4, 2.0]))
    assert (folds.low, folds.limit, folds.high) == (-6.0, 0.0, 6.0)
    assert folds.beyond(np.array([-5.4, -0.5, 2.0])).tolist() == [True, False, False]
    assert landing_maps.thickness_scale(np.array([4.2, 4.2])).high > 4.2


def test_seams_of_the_flat_pieces_are_told_from_free_edges() -> None:
    found = landed.collar_map(first_collar().junction)
    on_seam = {found.points.index(p) for p in found.seams[0]}
    faces = tuple(
        k for k, corners in enumerate(found.triangles) if len(on_seam.intersection(corners)) == 2
    )
    corners = tuple((3 * k, 3 * k + 1, 3 * k + 2) for k in range(len(faces)))
    points = tuple((0.1 * (k // 3), 0.05 * (k % 3)) for k in range(3 * len(faces)))
    alone = replace(found, flats=(("main", points, corners, faces),))
    (flat,) = landing_maps._flats(alone, np.ones(len(found.triangles)))
    seams = [line for name, line in flat.lines if name == "seam"]
    assert len(seams) == len(faces)
    assert all(len(line) == 2 for line in seams)


def served_by_another(job: Job) -> Job:
    """The first connection is 2 degrees off the shape of its pattern, the rest are as made."""
    first, *others = job.designs.designs
    j = first.collar.junction
    leaning = replace(j, angle=j.angle - math.radians(2.0))
    return replace(
        job, designs=replace(job.designs, designs=(replace(first, junction=leaning), *others))
    )


def test_a_connection_of_another_shape_says_what_it_uses_of_the_tolerance() -> None:
    job = served_by_another(make_job())
    first, second, *_ = job.designs.designs
    assert tolerances.used_share(first) == pytest.approx(2.0 / 2.05)
    assert tolerances.served(first) == "98 % of the tolerance used"
    assert tolerances.served(second) == "own shape"
    alone = replace(first, collar=replace(first.collar, tolerance=None))
    assert tolerances.used_share(alone) == math.inf
    assert "unknown" in tolerances.served(alone)


def chosen_of(count: int) -> tuple[Family, ...]:
    names = tuple(f"P{k}" for k in range(1, count + 3))
    return tuple(
        Family(names[:n], (), 0.4 + 0.1 * n / count, 0.8, count, 0.9, proved=n == count)
        for n in (count, count + 1, count + 2)
    )


def test_a_choice_of_patterns_has_a_sheet_and_no_choice_has_none() -> None:
    job = served_by_another(make_job())
    assert families.sheets(JobIndex(job)) == []
    wide = replace(job, designs=replace(job.designs, families=chosen_of(3)))
    (sheet,) = families.sheets(JobIndex(wide))
    rows = sheet.body["rows"]
    assert isinstance(rows, list)
    index = JobIndex(wide)
    assert [row["pattern"] for row in rows] == list(pattern.by_pattern(index))
    first = job.designs.designs[0]
    assert rows[0]["others"][0].replace("\u2060", "").startswith(first.connection_id)
    served = sum(int(row["own"]) + len(row["others"]) for row in rows)
    assert served == len(job.designs.designs)
    choices = sheet.body["choices"]
    assert isinstance(choices, list)
    assert [c[3] for c in choices] == ["chosen", "", ""]


def test_the_order_on_its_roll_has_a_sheet_with_its_metres() -> None:
    index = JobIndex(make_job())
    assert nesting.sheets(index, None) == []
    pieces = [(panel, 2) for panel in first_collar().panels]
    nest = shelves(pieces, roll_width=1.5, gap=0.006)
    (sheet,) = nesting.sheets(index, nest)
    assert f"{nest.length:.2f} m of roll" in sheet.answer
    facts = sheet.body["facts"]
    assert isinstance(facts, list)
    assert ["Pieces", "4"] in facts
    kinds = [s["kind"] for s in pack_data(index.job, made=MADE, nest=nest)["sheets"]]  # type: ignore[index,union-attr,call-overload]
    assert kinds.count("nest") == 1


def test_every_pattern_is_followed_by_how_it_lands() -> None:
    data = pack_data(make_job(), made=MADE)["sheets"]
    assert isinstance(data, list)
    kinds = [s["kind"] for s in data if s["kind"] in {"pattern", "landing"}]
    assert kinds == ["pattern", "landing"] * (len(kinds) // 2)
    assert kinds


def test_the_shift_sheet_tells_the_crew_the_tolerance() -> None:
    (first, *_) = shift.sheets(JobIndex(make_job()))
    visits = first.body["visits"]
    assert isinstance(visits, list)
    assert visits[0]["made"].endswith("along ±6 mm, turn ±3°, edge ±2 mm")


@pytest.mark.parametrize("key", ["four", "strip", "halves"])
def test_all_pieces_of_a_collar_are_on_its_sheet_and_find_room(key: str) -> None:
    made = all_collars()[key]
    for height in (100.0, 130.0):
        drawn = collar_pieces.drawing(made, 10.0, height)
        rows = drawn["pieces"]
        assert isinstance(rows, list)
        assert [p["name"] for row in rows for p in row] == [p.name for p in made.panels]
        assert all(sum(p["width"] + 4.0 for p in row) - 4.0 <= 116.0 for row in rows)


def test_landings_of_every_kind_are_set_on_two_pages_each() -> None:
    job = make_job()
    collar = first_collar()
    six = (*all_collars()["four"].panels, *all_collars()["strip"].panels[1:])
    odd = {
        "P1": replace(collar, panels=six, tolerance=landed.no_tolerance()),
        "P2": replace(
            collar, landing=landed.unsteady(), tolerance=None, offers=landed.offers("one piece")
        ),
    }
    made = with_collars(job, odd)
    found = landed.collar_map(collar.junction)
    made = replace(made, designs=replace(made.designs, maps=(("P1", found), ("P2", found))))
    text = pages_of(made)
    starts = [k for k, page in enumerate(text) if page.startswith("How pattern P")]
    continued = [k for k in starts if "continued" in text[k].splitlines()[0]]
    names = {d.collar.pattern for d in made.designs.designs}
    assert len(starts) - len(continued) == len(names)
    assert len(continued) <= len(names)
    whole = "\n".join(text)
    assert "P2 does not land as it must" in whole
    assert "nan" not in re.split(r"[^a-z]+", whole)
    assert "inf" not in re.split(r"[^a-z]+", whole)
    assert "never" in whole
    assert "No tolerance was found" in whole
    assert "tolerance was not computed" in whole


def test_a_long_name_leaves_the_heading_on_one_line() -> None:
    odd = replace(first_collar(), pattern="T200-100-60")
    assert landing.answer(odd).startswith("It ")
    sheet = landing.sheet_of(odd, None, None)
    assert "T200-100-60" in sheet.title
