"""A job that is planned stays planned overnight, though its site names no first day of work."""

from datetime import date
from pathlib import Path

from teewright.bench.inputs import Document, Inputs, Options
from teewright.bench.keeping import keep
from teewright.bench.workbench import Workbench
from teewright.store.project import Project

HEAD = "upstream,downstream,chainage_m,clock,dn_mm,kind,open,defects,date,remark\n"
MONDAY, FRIDAY = date(2027, 5, 3), date(2027, 5, 7)


def bench(project: Project, today: date) -> Workbench[Project]:
    return Workbench(project, progress=lambda _: None, today=today, quick=True)


def given(path: Path, chainage: str) -> None:
    survey = Document("list.csv", f"{HEAD}A,B,{chainage},3,150,junction,open,,,\n".encode())
    keep(path, Inputs((survey,), None, None, Options()))


def test_the_day_that_was_assumed_is_kept_with_what_was_planned(tmp_path: Path) -> None:
    path = tmp_path / "job.tee"
    given(path, "4.0")
    with Project.open(path) as project:
        assert bench(project, MONDAY).loaded.site.first_day == "2027-05-04"
        # nothing is planned yet, so the day still moves on
        planned = bench(project, date(2027, 5, 4))
        assert not planned.designs_are_kept
        assert planned.programme.shifts == ()
        later = bench(project, FRIDAY)
        assert later.loaded.site.first_day == "2027-05-05"
        assert later.designs_are_kept
        assert later.programme_is_kept
        assert "2027-05-05 assumed" in later.loaded.findings[-1].text
    given(path, "5.0")
    with Project.open(path) as project:  # another survey is planned from the day it is given
        later = bench(project, FRIDAY)
        assert later.loaded.site.first_day == "2027-05-10"
        assert not later.designs_are_kept
