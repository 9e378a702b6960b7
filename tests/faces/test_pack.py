"""The printed pack: pages, sizes, words, room, and the same bytes for the same job."""

import io
import itertools
import re
import shutil
import subprocess
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from pypdf import PdfReader

from teewright.assess.values import Need
from teewright.findings import Finding, FindingKind, Place
from teewright.job.values import Designs, Job
from teewright.price.values import Quote
from teewright.programme.values import Programme
from teewright.report.pack import build_pdf, sheets
from unit.report.sample import MADE, make_job

A4 = (595.3, 841.9)


def unlined() -> Job:
    """A job in which everything is left as it is and nothing is planned."""
    job = make_job(logged=False)
    left = tuple(replace(v, need=Need.LEAVE) for v in job.assessment.verdicts)
    return replace(
        job,
        assessment=replace(job.assessment, verdicts=left),
        designs=Designs((), (), ()),
        programme=Programme((), (), 0, proved=True),
        quote=Quote("EUR", (), 0.0, 0.0, 0.0, 0.0),
    )


JOBS: dict[str, Callable[[], Job]] = {
    "usual": make_job,
    "no-connections": lambda: make_job((), ()),
    "unlined": unlined,
    "no-levels": lambda: make_job((3, 0, 1), (50.0, 5.0, 200.0), levels=False),
    "crowded": lambda: make_job((30, 2), (50.0, 200.0), per_shift=7),
    "town": lambda: make_job((6, 7, 5, 6, 6, 5), (52.1, 46.2, 61.4, 38.7, 80.0, 30.0)),
}
HOSTILE = (
    '#panic("no") $x$ *bold* _it_ `raw` @ref <label> = head\n- list // comment /* more */ \\ "q"'
)


def pages(pdf: bytes) -> list[str]:
    return [page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages]


@pytest.fixture(scope="module")
def texts(built: dict[str, bytes]) -> dict[str, list[str]]:
    return {name: pages(built[name]) for name in ("usual", "unlined", "no-connections", "crowded")}


@pytest.fixture(scope="module")
def built() -> dict[str, bytes]:
    return {name: build_pdf(make(), made=MADE) for name, make in JOBS.items()}


def test_the_usual_pack_has_its_sheets(texts: dict[str, list[str]]) -> None:
    text = texts["usual"]
    heads = ("Summary for the client", "Run sheet", "Pattern sheet", "Collar sheet", "Shift sheet")
    ends = ("Quantities and price", "Installation record", "Findings", "Calculation appendix")
    for head in heads + ends:
        assert any(page.startswith(head) for page in text), head
    assert sum(page.startswith("Collar sheet") for page in text) == 6
    assert "Harrowmere, Mill Lane" in text[0]


def test_a_job_without_collars_says_so_and_has_no_collar_sheets(
    texts: dict[str, list[str]],
) -> None:
    text = texts["unlined"]
    assert "12 connections are left as they are" in text[1]
    assert not any(page.startswith(("Collar sheet", "Shift sheet")) for page in text)
    assert "No shift is planned." in text[1]


@pytest.mark.parametrize("name", JOBS)
def test_every_page_is_a4(built: dict[str, bytes], name: str) -> None:
    for page in PdfReader(io.BytesIO(built[name])).pages:
        size = sorted((float(page.mediabox.width), float(page.mediabox.height)))
        assert size == pytest.approx(list(A4), abs=0.5)


def test_every_sheet_says_that_data_are_invented(texts: dict[str, list[str]]) -> None:
    sheets_seen = ("Summary for the client", "Collar sheet", "Shift sheet", "Run sheet")
    for text in (page for pack in texts.values() for page in pack):
        if text.startswith(sheets_seen):
            assert "INVENTED DATA" in text


def test_each_collar_takes_one_page(texts: dict[str, list[str]]) -> None:
    for name, text in texts.items():
        designs = JOBS[name]().designs.designs
        assert sum(t.startswith("Collar sheet") for t in text) == len(designs)
        after = [b for a, b in itertools.pairwise(text) if a.startswith("Collar sheet")]
        assert all(re.match(r"(Collar|Shift) sheet|Quantities", t) for t in after)


def test_every_page_has_its_number(texts: dict[str, list[str]]) -> None:
    text = texts["crowded"]
    for number, page in enumerate(text, 1):
        assert f"{number} / {len(text)}" in page


def test_the_contents_give_the_page_of_each_sheet(texts: dict[str, list[str]]) -> None:
    text = texts["usual"]
    first = next(k for k, page in enumerate(text, 1) if page.startswith("Collar sheet"))
    last = max(k for k, page in enumerate(text, 1) if page.startswith("Collar sheet"))
    assert f"How is each one made and set? {first}–{last}" in " ".join(text[0].split())


def test_the_same_job_gives_the_same_bytes(built: dict[str, bytes]) -> None:
    assert build_pdf(make_job(), made=MADE) == built["usual"]
    assert build_pdf(make_job(), made=date(2027, 5, 4)) != built["usual"]


def hostile(job: Job) -> Job:
    run, *others = job.survey.runs
    finding = Finding(FindingKind.DOUBT, "rule", HOSTILE, Place(HOSTILE, 3, HOSTILE), HOSTILE)
    return replace(
        job,
        site=replace(job.site, title=HOSTILE, client=HOSTILE, place="\x00\x1b\ud800"),
        survey=replace(job.survey, runs=(replace(run, material=HOSTILE), *others)),
        findings=(finding,),
        quote=replace(job.quote, currency="#{"),
    )


def test_user_text_is_never_markup() -> None:
    text = pages(build_pdf(hostile(make_job()), made=MADE))
    found = " ".join(next(page for page in text if page.startswith("Findings")).split())
    assert '#panic("no") $x$ *bold* _it_ `raw` @ref <label> = head' in found.replace("\u200b", "")


def test_long_names_do_not_run_out_of_their_cells() -> None:
    job = make_job()
    long = "Street-of-the-very-long-name/" * 4
    job = replace(job, site=replace(job.site, title=long, client=long))
    reader = PdfReader(io.BytesIO(build_pdf(job, made=MADE)))
    assert len(reader.pages) == len(PdfReader(io.BytesIO(build_pdf(make_job(), made=MADE))).pages)


def test_cutting_files_are_named_on_the_sheet_of_their_pattern() -> None:
    pdf = build_pdf(make_job(), made=MADE, drawings=("cutting/P1.dxf",))
    named = [page for page in pages(pdf) if "cutting/P1.dxf" in page]
    assert len(named) == 1
    assert "Pattern P1" in named[0]


def test_the_sheets_are_bound_in_order() -> None:
    kinds = [sheet.kind for sheet in sheets(make_job())]
    order = list(dict.fromkeys(kinds))
    assert order == [
        "cover", "summary", "unsealed", "connections", "run", "pattern", "landing", "collar",
        "shift", "price",
        "record", "installation", "findings", "appendix",
    ]  # fmt: skip


Box = tuple[float, float, float, float, str]


def words_by_page(pdf: bytes, folder: Path) -> list[tuple[float, float, list[Box]]]:
    source = folder / "pack.pdf"
    source.write_bytes(pdf)
    out = subprocess.run(
        ["pdftotext", "-bbox", str(source), "-"], capture_output=True, check=True
    ).stdout.decode("utf-8")
    found: list[tuple[float, float, list[Box]]] = []
    for line in out.splitlines():
        if page := re.search(r'<page width="([\d.]+)" height="([\d.]+)"', line):
            found.append((float(page[1]), float(page[2]), []))
        numbers = r'xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*?)</word'
        if word := re.search(numbers, line):
            x1, y1, x2, y2 = (float(v) for v in word.groups()[:4])
            found[-1][2].append((x1, y1, x2, y2, word[5]))
    return found


def neighbours(found: list[Box]) -> Iterator[tuple[Box, Box]]:
    """Pairs of words whose heights meet, by a sweep down the page."""
    ordered = sorted(found, key=lambda word: word[1])
    for k, one in enumerate(ordered):
        for other in ordered[k + 1 :]:
            if other[1] >= one[3]:
                break
            yield one, other


def overlap(a: Box, b: Box) -> bool:
    across = min(a[2], b[2]) - max(a[0], b[0])
    down = min(a[3], b[3]) - max(a[1], b[1])
    return across > 1.2 and down > 0.55 * min(a[3] - a[1], b[3] - b[1])


def flaws(pdf: bytes, folder: Path) -> list[tuple[int, str, str]]:
    """Words at the edge of the paper or on each other."""
    out = []
    for number, (wide, tall, found) in enumerate(words_by_page(pdf, folder), 1):
        out += [
            (number, "edge", word[4])
            for word in found
            if word[0] < 20 or word[2] > wide - 20 or word[1] < 15 or word[3] > tall - 15
        ]
        out += [(number, a[4], b[4]) for a, b in neighbours(found) if overlap(a, b)]
    return out


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="pdftotext is not installed")
@pytest.mark.parametrize("name", JOBS)
def test_no_word_lies_on_another_or_at_the_edge(
    built: dict[str, bytes], name: str, tmp_path: Path
) -> None:
    assert flaws(built[name], tmp_path) == []


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="pdftotext is not installed")
def test_no_word_of_the_demo_lies_on_another(demo_pack: Path, tmp_path: Path) -> None:
    assert flaws((demo_pack / "pack.pdf").read_bytes(), tmp_path) == []


def targets(reader: PdfReader, number: int) -> list[int]:
    """Pages to which the links of a page lead, from 1."""
    found = []
    for note in reader.pages[number - 1].get("/Annots") or []:
        one = note.get_object()
        place = one.get("/Dest") or one["/A"].get_object()["/D"]
        page = place.get_object()[0].get_object()
        found.append(next(k for k, p in enumerate(reader.pages, 1) if p.get_object() == page))
    return found


def test_each_number_of_a_collar_leads_to_its_row(
    built: dict[str, bytes], texts: dict[str, list[str]]
) -> None:
    text = texts["usual"]
    reader = PdfReader(io.BytesIO(built["usual"]))
    number = next(k for k, page in enumerate(text, 1) if page.startswith("Collar sheet"))
    named = re.findall(r"(?<!Part )A (\d+)", text[number - 1])
    led = targets(reader, number)
    assert len(led) == len(named) > 3
    for row, page in zip(named, led, strict=True):
        assert re.search(rf"A\s{row}\b", text[page - 1])
        assert text[page - 1].startswith("Calculation appendix")


def test_the_second_page_of_a_sheet_says_that_it_goes_on(texts: dict[str, list[str]]) -> None:
    text = texts["crowded"]
    more = [page for page in text if ", continued" in page.split("\n", 1)[0]]
    assert more
    assert all("INVENTED DATA" in page for page in more)
