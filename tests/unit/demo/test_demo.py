import math
from collections import Counter
from pathlib import Path

import pytest

from teewright import demo
from teewright.assess.rules import assess
from teewright.assess.values import Assessment, GapEntry, Need
from teewright.formats.detect import read_survey_file
from teewright.formats.kit_toml import read_kit
from teewright.formats.site_toml import read_site
from teewright.network.conditions import Site
from teewright.network.levels import connection_levels, node_levels
from teewright.network.reconcile import reconcile
from teewright.network.values import Survey


@pytest.fixture(scope="module")
def survey() -> Survey:
    files = [read_survey_file(demo.file(name), file=name) for name in demo.SURVEY_FILES]
    return reconcile(
        [i for f in files for i in f.inspections],
        runs=[r for f in files for r in f.runs],
        sightings=[s for f in files for s in f.sightings],
        findings=[x for f in files for x in f.findings],
    )


@pytest.fixture(scope="module")
def site() -> Site:
    return read_site(demo.file(demo.SITE_FILE), file=demo.SITE_FILE)[0]


@pytest.fixture(scope="module")
def assessment(survey: Survey, site: Site) -> Assessment:
    heads = {}
    for c in survey.connections:
        levels = connection_levels(survey, site, c)
        assert levels.groundwater is not None
        assert levels.invert is not None
        heads[c.id] = max(0.0, levels.groundwater - levels.invert - 0.15)
    return assess(survey, site, heads=heads, gap_flow=lambda *_: GapEntry(None, None, None))


def test_every_shipped_file_is_named() -> None:
    folder = Path(str(demo.__file__)).parent
    shipped = {p.name for p in folder.iterdir() if p.suffix in {".toml", ".txt", ".csv"}}
    assert shipped == {*demo.files(), demo.PLAIN_KIT_FILE}
    assert sum(len(data) for data in demo.files().values()) < 40_000


def test_everything_says_that_it_is_invented() -> None:
    kit, _ = read_kit(demo.file(demo.KIT_FILE), file="kit.toml")
    site_, _ = read_site(demo.file(demo.SITE_FILE), file="site.toml")
    assert kit.invented
    assert site_.invented
    for name in (demo.KIT_FILE, demo.SITE_FILE, demo.README):
        assert b"invented" in demo.file(name).split(b"\n\n")[0].lower()


def test_six_runs_and_35_connections(survey: Survey) -> None:
    assert Counter(c.run_id for c in survey.connections) == {
        "T01-T02": 6, "T02-T03": 7, "T06-T03": 6, "T03-T04": 7, "T05-T06": 5, "T04-T07": 4,
    }  # fmt: skip
    assert {r.id for r in survey.runs} == {c.run_id for c in survey.connections}


# run, chainage from the upstream node, clock in flow view, as the town was drawn
DRAWN = [
    ("T01-T02", [(4.35, 10), (11.8, 2), (17.25, 9), (23.9, 3), (31.1, 10), (38.7, 1)]),
    ("T06-T03", [(8.7, 10), (22.4, 2), (35.15, 9), (46.85, 3), (61.3, 10), (84.2, 2)]),
    ("T03-T04", [(5.2, 10), (12.6, 2), (19.75, 9), (34.1, 3), (37.6, 10), (45.3, 2), (56.9, 0)]),
    ("T05-T06", [(6.1, 10), (13.55, 2), (20.2, 9), (27.85, 2), (33.4, 10)]),
    ("T04-T07", [(7.5, 10), (18.9, 2), (29.3, 9), (41.0, 10)]),
]


@pytest.mark.parametrize(("run_id", "places"), DRAWN)
def test_connections_stand_where_the_town_was_drawn(
    survey: Survey, run_id: str, places: list[tuple[float, int]]
) -> None:
    found = survey.of_run(run_id)
    assert [c.clock or 0 for c in found] == [clock for _, clock in places]
    assert [c.chainage for c in found] == pytest.approx([x for x, _ in places], abs=0.01)


def test_both_firms_saw_the_repeated_run(survey: Survey) -> None:
    assert [len(c.sightings) for c in survey.of_run("T02-T03")] == [2] * 7
    drawn = [3.9, 9.45, 16.7, 24.15, 30.6, 39.8, 47.05]
    found = [c.chainage for c in survey.of_run("T02-T03")]
    assert found == pytest.approx(drawn, abs=0.3)
    doubts = {f.rule for f in survey.findings if f.subject.startswith("T02-T03/")}
    assert {"clock-differs", "state-differs", "diameter-differs"} <= doubts


def test_the_dirt_is_told(survey: Survey) -> None:
    assert {"charset", "missing-terminator", "date", "clock-zero"} <= {
        f.rule for f in survey.findings
    }


def test_needs_are_mixed(assessment: Assessment) -> None:
    assert Counter(v.need for v in assessment.verdicts) == {
        Need.SEAL: 20, Need.MAKE_READY: 6, Need.LOOK_AGAIN: 4, Need.CLOSE_OFF: 2, Need.LEAVE: 3,
    }  # fmt: skip
    works = Counter(kind for v in assessment.verdicts for kind in v.make_ready)
    assert works == {"re-cut": 3, "remove intrusion": 1, "cut roots": 1, "descale": 1}


def test_one_verdict_and_one_rank_for_each(survey: Survey, assessment: Assessment) -> None:
    assert [v.connection_id for v in assessment.verdicts] == [c.id for c in survey.connections]
    assert sorted(v.rank for v in assessment.verdicts) == list(range(1, 36))
    first = next(v for v in assessment.verdicts if v.rank == 1)
    assert first.entry.coded.value == "gushing"


def test_the_town_drains_downhill_under_cover(survey: Survey, site: Site) -> None:
    for run in survey.runs:
        up, down = node_levels(site, run.upstream), node_levels(site, run.downstream)
        assert run.length is not None
        assert up.invert is not None
        assert down.invert is not None
        assert 0.002 < (up.invert - down.invert) / run.length < 0.05
    for node in site.nodes:
        assert node.ground is not None
        assert node.invert is not None
        assert 2.0 < node.ground - node.invert < 4.5


def test_a_packer_on_a_van_fits_each_main_and_branch(survey: Survey, site: Site) -> None:
    kit, _ = read_kit(demo.file(demo.KIT_FILE), file="kit.toml")
    carried = {name for crew in kit.crews for name in crew.packers}
    packers = [p for p in kit.packers if p.name in carried]
    liners = {r.upstream + "-" + r.downstream: r.liner_thickness for r in site.runs}
    for c in survey.connections:
        main = (survey.run(c.run_id).diameter or math.nan) - 2 * (liners[c.run_id] or math.nan)
        branch = c.diameter or 0.15
        assert any(
            p.main_min <= main <= p.main_max and p.branch_min <= branch <= p.branch_max
            for p in packers
        ), c.id


def test_the_quick_resin_reaches_most_connections_but_not_all() -> None:
    kit, _ = read_kit(demo.file(demo.KIT_FILE), file="kit.toml")
    shifts = kit.shifts
    fixed = shifts.mix + shifts.wet_out + shifts.lower + shifts.position + shifts.inflate
    times = dict(kit.resin.working_time)
    longest = (1.0 - shifts.spare_share) * times[283.15] - fixed
    assert 35.0 < longest * shifts.travel_speed < 60.0


def test_the_slow_resin_doubles_its_times_for_ten_kelvin() -> None:
    kit, _ = read_kit(demo.file(demo.KIT_FILE), file="kit.toml")
    slow = next(r for r in kit.resins if r.name != kit.rules.resin)
    for points in (slow.working_time, slow.release_time):
        times = dict(points)
        assert times[283.15] / times[293.15] == pytest.approx(2.0)
        assert times[293.15] / times[303.15] == pytest.approx(2.0)
