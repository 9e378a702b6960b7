"""How far the job is: the way of its questions, from nothing to the last collar handed over."""

import re
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from faces.web.conftest import OpenPage
from teewright.bench.inputs import Inputs, Options
from teewright.proof.values import HandoverState
from teewright.web.drawings import track
from teewright.web.office import Known, Office
from teewright.web.render import ROOMS
from teewright.web.settings import Settings
from teewright.web.stages import FOLLOWS, Answered, Stage, stages
from teewright.web.texts import text


@pytest.fixture
def known(begun_project: Path) -> Iterator[Known]:
    office = Office(Settings(begun_project, quick=True))
    yield office.known()
    office.close()


def by_room(known: Known) -> dict[str, Stage]:
    return {stage.room: stage for stage in stages(known)}


def next_of(known: Known) -> list[str]:
    return [stage.room for stage in stages(known) if stage.next]


def test_each_question_waits_for_the_first_that_is_not_answered() -> None:
    found = by_room(Known(Inputs((), None, None, Options())))
    assert tuple(found) == ROOMS
    assert found["survey"].answered is Answered.OPEN
    assert found["survey"].next
    for room in ROOMS[1:]:
        assert found[room].answered is Answered.WAITS
        assert found[room].said == text(
            "job.waits", what=text(f"common.rooms.{FOLLOWS[room][0]}").lower()
        )


def test_the_next_act_moves_on_with_the_job(known: Known) -> None:
    read = replace(known, designs=None, programme=None, job=None)
    assert next_of(read) == ["collars"]
    assert by_room(read)["collars"].answered is Answered.OPEN
    assert by_room(read)["clock"].answered is Answered.WAITS
    assert next_of(replace(known, programme=None, job=None)) == ["programme"]
    assert next_of(known) == ["clock"]


def with_states(known: Known, state: HandoverState) -> Known:
    """As if each planned connection stood in that state."""
    assert known.job is not None
    planned = {v.connection_id for s in known.job.programme.shifts for v in s.visits}
    records = tuple(
        replace(r, state=state if r.connection_id in planned else HandoverState.NOT_SEALED)
        for r in known.job.records
    )
    return replace(known, job=replace(known.job, records=records))


def test_after_the_last_collar_come_proof_and_hand_over(known: Known) -> None:
    untested = with_states(known, HandoverState.UNTESTED)
    assert by_room(untested)["clock"].answered is Answered.WHOLE
    assert next_of(untested) == ["proof"]
    tight = with_states(known, HandoverState.TIGHT)
    assert by_room(tight)["handover"].answered is Answered.WHOLE


def test_shares_are_those_of_the_project(known: Known) -> None:
    found = by_room(known)
    assert known.designs is not None
    assert known.job is not None
    made, refused = len(known.designs.designs), len(known.designs.refusals)
    assert found["collars"].share == made / (made + refused)
    assert found["collars"].answered is Answered.PART
    planned = sum(len(shift.visits) for shift in known.job.programme.shifts)
    sealed = [r for r in known.job.records if r.test is not None]
    assert 0 < len(sealed) < planned
    assert 0.0 < found["clock"].share < 1.0
    assert not found["price"].counted


def test_the_lines_of_the_drawing_are_what_follows_what() -> None:
    drawn = {(before, after) for before, after, _ in track._LINKS}
    assert drawn == {(before, after) for after, befores in FOLLOWS.items() for before in befores}


def test_a_station_is_told_in_words_and_by_form(known: Known) -> None:
    pieces = dict(zip(ROOMS, track.pieces(stages(known)), strict=True))
    clock = text("job.answered.next", state=text("job.answered.part"))
    assert f'aria-label="{clock}"' in pieces["clock"]
    assert 'class="ring"' in pieces["clock"]
    assert sum('class="ring"' in piece for piece in pieces.values()) == 1
    assert "dash" not in pieces["clock"]
    waiting = track.pieces(stages(Known(Inputs((), None, None, Options()))))
    assert all("dash" in piece for piece in waiting)


@pytest.mark.parametrize("width", [1440, 1024, 390])
def test_the_lines_run_on_from_row_to_row(
    width: int, begun_server: str, browser: Browser, open_page: OpenPage
) -> None:
    context = browser.new_context(viewport={"width": width, "height": 900})
    page = open_page(begun_server, "/", context=context)
    boxes = page.locator(".way .piece").evaluate_all(
        "all => all.map((e) => [e.getBoundingClientRect().top, e.getBoundingClientRect().bottom])"
    )
    assert len(boxes) == len(ROOMS)
    for (_, foot), (top, _) in pairwise(boxes):
        assert abs(top - foot) < 1.0
    answers = page.locator(".way td:last-child").all_inner_texts()
    assert any(re.search(r"\d+ tight of \d+ tested", said) for said in answers)
