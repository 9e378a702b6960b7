"""What was set on site stays what it is, whatever is given or designed afterwards."""

import re
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from xml.etree import ElementTree

import pytest

from faces.web.logged import Crew
from teewright import demo
from teewright.bench.inputs import Document, Inputs, Options
from teewright.bench.keeping import keep
from teewright.bench.workbench import Workbench
from teewright.job.proving import limits_of
from teewright.job.values import Job
from teewright.proof.values import HandoverState
from teewright.report.index import JobIndex
from teewright.report.sheets.installation import held_figure
from teewright.site.values import EventKind
from teewright.store.project import Project

RUNS = b"upstream,downstream,length_m,dn_mm,material,lined\nA,B,40,200,clay,yes\n"
HEAD = "upstream,downstream,chainage_m,clock,dn_mm,kind,open\n"
LIST = Document("list.csv", (HEAD + 'A,B,4.0,3,150,"plain, drilled",open\n').encode())
LATER = Document("later.csv", (HEAD + 'A,B,1.5,9,150,"plain, drilled",open\n').encode())
KIT = demo.file(demo.KIT_FILE)
GIVEN = Inputs(
    (Document("runs.csv", RUNS), LIST), Document("kit.toml", KIT), None, Options(liner_mm=5.5)
)
ONE = "A-B/01"


def bench(project: Project) -> Workbench[Project]:
    return Workbench(project, progress=lambda _: None, today=date(2027, 5, 3), quick=True)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A project with one collar, set and tight."""
    made = tmp_path / "job.tee"
    keep(made, GIVEN)
    with Project.open(made) as opened:
        design = bench(opened).designs.of(ONE)
        assert design is not None
        limits = limits_of(design)
        crew = Crew(opened)
        name, out = crew.set_collar(design)
        mixed = opened.events()[0]
        told = tuple((field, repr(getattr(limits, field))) for field in limits.__slots__)
        crew.log(name, EventKind.CORRECTED, out, ("event", mixed.id), *told)
        crew.test_air(name, out)
        crew.log(name, EventKind.INSPECTED, out)
        assert bench(opened).job.records[0].state is HandoverState.TIGHT
    return made


def without_packers_that_fit() -> Document:
    """The kit after the packer for this main was given away."""
    blocks = re.split(r"(?m)^(?=\[\[)", KIT.decode())
    kept = [block for block in blocks if not block.startswith('[[packers]]\nname = "Tee 200"')]
    return Document("kit.toml", "".join(kept).replace('"Tee 200", ', "").encode())


def test_a_collar_that_is_set_stays_in_the_record_without_a_design(path: Path) -> None:
    with Project.open(path) as project:
        (before,) = bench(project).job.records
    keep(path, replace(GIVEN, kit=without_packers_that_fit()))
    with Project.open(path) as project:
        job = bench(project).job
    assert job.designs.of(ONE) is None
    (after,) = job.records
    assert (after.state, after.installation) == (HandoverState.TIGHT, f"{ONE}#1")
    assert after.test == before.test
    assert after.departures == before.departures
    assert "No collar is designed here any more" in after.remarks[0]
    (told,) = [f for f in job.findings if f.rule == "set-without-design"]
    assert told.subject == ONE
    assert not [line for line in job.quote.lines if "Collar" in line.item]


def test_the_log_stays_with_its_connection_when_another_is_found_before_it(path: Path) -> None:
    keep(path, replace(GIVEN, surveys=(*GIVEN.surveys, LATER)))
    with Project.open(path) as project:
        found = {c.id: c.chainage for c in bench(project).loaded.survey.connections}
    assert found == {"A-B/02": 1.5, ONE: 4.0}


def test_work_at_a_connection_that_the_survey_lost_is_told(path: Path) -> None:
    other = Document("list.csv", LIST.data.replace(b"4.0", b"9.0"))
    keep(path, replace(GIVEN, surveys=(GIVEN.surveys[0], other)))
    with Project.open(path) as project:
        job = bench(project).job
    assert [(r.connection_id, r.installation) for r in job.records] == [("A-B/02", "")]
    (told,) = [f for f in job.findings if f.rule == "log-without-connection"]
    assert ONE in told.text


def marks(job: Job) -> list[float]:
    """Where the readings of the hold are drawn."""
    svg = ElementTree.fromstring(held_figure(JobIndex(job), f"{ONE}#1"))
    return [float(e.get("cx") or 0.0) for e in svg.iter() if e.tag.endswith("circle")]


def test_readings_of_a_logger_are_drawn_where_they_were_taken(path: Path) -> None:
    with Project.open(path) as project:
        before = bench(project).job
        mixed, crew = before.events[0].at, Crew(project, device="tablet 2")
        for minutes in (35, 40):
            taken = (mixed + timedelta(minutes=minutes)).isoformat()
            at = mixed + timedelta(hours=5)
            crew.log(f"{ONE}#1", EventKind.READING, at, ("pressure", "100000"), ("taken", taken))
        after = bench(project).job
    assert len(marks(after)) == len(marks(before)) + 2
    assert marks(after) == sorted(marks(after))
    assert max(marks(after)) == max(marks(before))
