"""The flow on the sheets: hours, pumps, and the water behind the packer as planned."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from teewright.job.values import Job, PlannedHold
from teewright.report import letters
from teewright.report.index import JobIndex
from teewright.report.sheets import appendix, flow, shift
from teewright.units import LITRE
from unit.report.sample import make_job
from unit.report.test_hold import FLOW

START = datetime.fromisoformat("2027-05-11T23:10")
HOLD = PlannedHold(
    connection_id="A-B/1",
    start=START,
    duration=3600.0,
    times=(0.0, 1800.0, 3600.0),
    levels=(20.0, 20.1, 20.18),
    invert=20.0,
    greatest=20.18,
    greatest_at=3600.0,
    place="A-B/1",
    freeboard=0.12,
    kept=0.1,
    reached=7500.0,
    reached_place="A-B/2",
    looked=25200.0,
    pumped=0.0,
    places=(("A-B/1", 20.3), ("A-B/2", 20.35)),
)


def said(hold: PlannedHold | None) -> str:
    return " ".join(" ".join(text for part in parts(hold) for text in part).split())


def parts(hold: PlannedHold | None) -> list[list[str]]:
    found = flow.water(hold)
    assert all(isinstance(part, list) for part in found)
    return [[str(text) for text in part] for part in found if isinstance(part, list)]


def test_the_crew_reads_depth_room_and_the_time_to_give_up() -> None:
    text = said(HOLD)
    assert "Water up to 0.18 m" in text
    assert "120 mm below A-B/1" in text
    # 23:10 and 125 min
    assert "If it stays: A-B/2 reached at 01:15" in text
    assert "pump" not in text


def test_nothing_reached_is_said_with_the_time_until_which_it_was_looked() -> None:
    text = said(replace(HOLD, reached=None, reached_place=""))
    assert "If it stays: nothing reached by 06:10" in text


def test_a_pump_is_named_and_drowning_too() -> None:
    text = said(replace(HOLD, pumped=0.6 * LITRE, freeboard=-0.02))
    assert "pump 0.60 l/s" in text
    assert "20 mm above A-B/1" in text


def test_where_no_level_is_known_the_crew_is_told_to_watch() -> None:
    assert "not known" in said(None)


@pytest.mark.parametrize("name", ["A-B/1", "Manhole in the yard of the old dairy-T14/connection 7"])
def test_the_line_fits_the_sheet(name: str) -> None:
    hold = replace(HOLD, place=name, reached_place=name, pumped=12.345 * LITRE, freeboard=1.234)
    wide = sum(
        letters.width(before, 9.0) + letters.width(figure, 12.0, 700) + letters.width(after, 9.0)
        for before, figure, after in parts(hold)
    )
    # four parts with their gaps
    assert wide <= 178.0 - 4 * 2.4


def test_hours_that_need_a_pump_are_told_in_stretches() -> None:
    job = make_job((3,), (30.0,))
    hours = [(h, h in {6, 7, 18}, 1e-3 * h if h in {6, 7, 18} else 0.0) for h in range(24)]
    known = replace(
        FLOW,
        starts=tuple(3600.0 * h for h, _, _ in hours),
        allowed=tuple(not shut for _, shut, _ in hours),
        pumps=tuple(pump for _, _, pump in hours),
    )
    design = replace(job.designs.designs[0], flow=known)
    assert flow.pumps(design) == "06–08: 7.00 l/s; 18–19: 18.00 l/s"
    drowned = replace(known, pumps=(*known.pumps[:18], None, *known.pumps[19:]))
    assert flow.pumps(replace(design, flow=drowned)).endswith("18–19: no pump is enough")
    never = replace(known, allowed=(False,) * 24, pumps=(2e-3,) * 24)
    assert flow.pumps(replace(design, flow=never)) == "at all hours: 2.00 l/s"
    assert flow.pumps(replace(design, flow=None)) == ""


def planned(freeboard: float) -> tuple[Job, PlannedHold]:
    job = make_job((3,), (30.0,))
    visit = job.programme.shifts[0].visits[0]
    hold = replace(HOLD, connection_id=visit.connection_id, freeboard=freeboard)
    return replace(job, holds=(replace(hold, freeboard=1.0), hold)), hold


def test_each_visit_of_a_shift_tells_its_own_water() -> None:
    job, _ = planned(0.12)
    visits = shift.sheets(JobIndex(job))[0].body["visits"]
    assert isinstance(visits, list)
    first, second, *_ = (str(visit["water"]) for visit in visits if isinstance(visit, dict))
    assert "0.18 m" in first
    assert "not known" in second


def test_the_appendix_draws_the_plan_that_leaves_least() -> None:
    job, hold = planned(0.04)
    designs = tuple(replace(d, flow=FLOW) for d in job.designs.designs)
    job = replace(job, designs=replace(job.designs, designs=designs))
    index = JobIndex(job)
    (sheet,) = appendix.sheets(index, appendix.build(index))
    drawn = sheet.body["hold"]
    assert isinstance(drawn, dict)
    assert f"Connection {hold.connection_id}, as planned" in str(drawn["words"])
    assert "40 mm left; 100 mm are wanted" in str(drawn["words"])
    without = JobIndex(replace(job, holds=()))
    (plain,) = appendix.sheets(without, appendix.build(without))
    assert isinstance(plain.body["hold"], dict)
    assert "smallest pump" in str(plain.body["hold"]["words"])


def test_a_planned_hold_is_found_by_its_connection() -> None:
    job, hold = planned(0.04)
    assert JobIndex(job).holds[hold.connection_id].freeboard == 0.04
    assert hold.start + timedelta(seconds=hold.duration) < hold.start + timedelta(hours=2)
