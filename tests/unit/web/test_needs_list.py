"""The needs of a town come in sheets, sorted and filtered over the whole list."""

import html
import re
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from teewright.bench.inputs import Document, Inputs, Options
from teewright.bench.keeping import keep
from teewright.web.app import make_app
from teewright.web.office import Office
from teewright.web.pages import needs_list
from teewright.web.pages.needs_list import ROOM, WHOLE, Asked, Row, rows, sheet_of
from teewright.web.quantities import System
from teewright.web.settings import Settings
from teewright.web.texts import text

HEAD = "upstream,downstream,chainage_m,clock,dn_mm,kind,open,defects,date,remark\n"
RUNS, EACH = 211, 10
COUNT = RUNS * EACH
SEEN, SIZES = ("", "BBFA", "BBFC"), (100, 150)


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Path:
    lines = [
        f"N{n},M{n},{4 * k}.00,{(n + k) % 13 or ''},{SIZES[k % 2]},junction,open,{SEEN[n % 3]},,"
        for n in range(RUNS)
        for k in range(1, EACH + 1)
    ]
    path = tmp_path_factory.mktemp("town") / "town.tee"
    survey = Document("town.csv", (HEAD + "\n".join(lines) + "\n").encode())
    keep(path, Inputs((survey,), None, None, Options(liner_mm=6.0)))
    return path


@pytest.fixture(scope="module")
def client(project: Path) -> Iterator[TestClient]:
    page = {"accept": "text/html"}
    with TestClient(make_app(Settings(project)), base_url="http://localhost", headers=page) as made:
        yield made


@pytest.fixture(scope="module")
def every(client: TestClient) -> tuple[Row, ...]:
    app = client.app
    assert isinstance(app, FastAPI)
    office: Office = app.state.office
    known = office.known()
    assert known.loaded is not None
    assert known.assessment is not None
    return rows(known.loaded, known.assessment, System.METRIC, frozenset())


def test_the_rows_are_made_once_and_not_for_each_page(
    client: TestClient, every: tuple[Row, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    made: list[int] = []

    def counted(*args: object) -> object:
        made.append(1)
        return real(*args)  # type: ignore[arg-type]

    real = needs_list._maker
    monkeypatch.setattr(needs_list, "_maker", counted)
    for asked in ("sort=clock", "words=N7", "sheet=4"):
        assert shown(client.get(f"/needs?{asked}").text)
    assert made == []


def shown(page: str) -> list[str]:
    return re.findall(r'<tr role="row" data-id="([^"]+)"', page)


def test_all_sheets_together_are_the_list_once(client: TestClient, every: tuple[Row, ...]) -> None:
    assert len(every) == COUNT > WHOLE
    sheets = -(-COUNT // ROOM)
    found = [shown(client.get(f"/needs?sheet={n}").text) for n in range(1, sheets + 1)]
    assert [len(each) for each in found] == [ROOM] * (sheets - 1) + [COUNT - ROOM * (sheets - 1)]
    assert [name for each in found for name in each] == [row.id for row in every]


@pytest.mark.parametrize("sheet", ["-3", "0", "abc", "99999999999999999999", "²"])
def test_a_sheet_that_cannot_be_is_the_nearest_or_the_first(
    client: TestClient, every: tuple[Row, ...], sheet: str
) -> None:
    answer = client.get("/needs", params={"sheet": sheet})
    assert answer.status_code == 200
    assert shown(answer.text)[0] == every[0].id
    beyond = shown(client.get("/needs?sheet=99").text)
    assert beyond[-1] == every[-1].id


@pytest.mark.parametrize("column", ["need", "entry", "chainage", "clock", "size", "seen", "reason"])
@pytest.mark.parametrize("down", [False, True])
def test_a_column_sorts_the_whole_list_and_not_its_sheet(
    every: tuple[Row, ...], column: str, down: bool
) -> None:
    sheets = [
        sheet_of(every, Asked(sort=column, down=down, sheet=n)) for n in range(1, COUNT // ROOM + 2)
    ]
    together = [row for sheet in sheets for row in sheet.rows]
    assert sorted(row.order for row in together) == list(range(COUNT))
    numbers = column in needs_list.NUMBERS
    values = [float(dict(r.sorts)[column]) if numbers else getattr(r, column) for r in together]
    steps = list(zip(values, values[1:], together, together[1:], strict=False))
    assert len(set(values)) > 1
    for before, after, one, other in steps:
        in_order = before >= after if down else before <= after
        assert in_order
        assert before != after or one.order < other.order  # else as the survey has them


def test_numbers_in_words_are_sorted_by_their_size() -> None:
    told = ["run 10", "Run 9", "run 100 b", "run 100 A", "", "9"]
    assert sorted(told, key=needs_list._natural) == [
        "", "9", "Run 9", "run 10", "run 100 A", "run 100 b",
    ]  # fmt: skip


def test_the_search_looks_through_the_whole_list(
    client: TestClient, every: tuple[Row, ...]
) -> None:
    page = client.get("/needs", params={"words": " n210-  /1"}).text
    assert shown(page) == ["N210-M210/10"]
    need = every[0].need
    fitting = [row.id for row in every if row.need == need]
    assert 0 < len(fitting) < COUNT
    page = client.get("/needs", params={"need": need}).text
    assert shown(page) == fitting[:ROOM]
    said = text("needs.sheet_found", first=1, last=ROOM, found=len(fitting), all=COUNT)
    assert said in html.unescape(page)


def test_what_nothing_fits_says_so_and_how_to_go_on(client: TestClient) -> None:
    page = client.get("/needs", params={"words": "<nothing>"}).text
    assert shown(page) == []
    assert re.search(r'<p id="none">[^<]+<a href="/needs">', page)
    assert 'value="&lt;nothing&gt;"' in page  # what was looked for can be mended
    assert "<table" not in page


def test_a_chosen_connection_is_on_the_sheet_that_is_shown(
    client: TestClient, every: tuple[Row, ...]
) -> None:
    name = every[-1].id
    assert shown(client.get("/needs", params={"at": name}).text)[-1] == name
    by_clock = client.get("/needs", params={"at": name, "sort": "clock", "down": "1"}).text
    assert name in shown(by_clock)
    assert shown(client.get("/needs?at=none").text)[0] == every[0].id


def test_the_addresses_keep_what_is_asked(client: TestClient) -> None:
    page = html.unescape(client.get("/needs?sort=clock&down=1&words=N1&sheet=2&at=N1-M1/01").text)
    after = re.search(r'<a href="(/needs\?[^"]+)" rel="next"', page)
    assert after is not None
    assert parse_qs(urlsplit(after[1]).query) == {
        "sort": ["clock"], "down": ["1"], "words": ["N1"], "sheet": ["3"],
    }  # fmt: skip
    heads = dict(re.findall(r'<a href="([^"]+)" data-sort="(\w+)"', page))
    asked = {column: parse_qs(urlsplit(to).query) for to, column in heads.items()}
    assert asked["clock"] == {"sort": ["clock"], "words": ["N1"]}  # the other way round
    assert asked["entry"] == {"sort": ["entry"], "down": ["1"], "words": ["N1"]}
    assert asked["order"] == {"words": ["N1"]}
    assert re.search(r'<th [^>]*c-clock[^>]*aria-sort="descending"', page)
    assert page.count("aria-sort") == 1


def test_a_sheet_is_light_however_long_the_list(client: TestClient) -> None:
    assert len(client.get("/needs").content) < 300_000


def test_up_to_two_thousand_are_sent_at_once(every: tuple[Row, ...]) -> None:
    whole = sheet_of(every[:WHOLE], Asked(sort="clock", words="x", sheet=2))
    assert whole.whole
    assert whole.rows == every[:WHOLE]  # the browser sorts and filters
    assert not sheet_of(every[: WHOLE + 1], Asked()).whole


def test_a_decision_is_answered_with_its_row(client: TestClient, every: tuple[Row, ...]) -> None:
    name = every[ROOM + 7].id
    token = re.search(r'data-csrf="([^"]+)"', client.get("/needs").text)
    assert token is not None
    form = {"connection": name, "need": "look again", "why": "not sure", "csrf": token[1]}
    answer = client.post(
        "/needs/decide", data=form, headers={"HX-Request": "true", "accept": "application/json"}
    )
    assert answer.status_code == 200, answer.text
    assert shown(answer.json()["row"]) == [name]
    fresh = client.get("/needs", params={"at": name}).text
    assert answer.json()["row"].strip() in fresh
