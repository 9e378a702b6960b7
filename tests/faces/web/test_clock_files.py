"""Photos, loggers and refusals at the manhole."""

import base64
import json
import struct
import zlib
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Route, expect

from faces.web.conftest import OpenPage
from faces.web.night import ONE, server_log, tablet
from teewright.errors import InputError
from teewright.formats.gauge_csv import read_gauge

CSV = "elapsed_s;pressure_mbar\n0;100,0\n60;99,5\n120;99,1\n"
READ = """async ([address, texts]) => {
  const { readGauge } = await import(address + "/static/clock/gauge.mjs");
  return texts.map((text) => {
    try { return readGauge(text); } catch (error) { return error.key; }
  });
}"""


def picture(width: int, height: int) -> bytes:
    """A PNG of one grey."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return (
            struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        )

    rows = (b"\0" + b"\x7f" * width) * height
    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    signature = b"\x89PNG\r\n\x1a\n"
    return (
        signature + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b"")
    )


def test_a_photo_is_made_smaller_and_kept_with_its_note(
    demo_server: str, browser: Browser, tmp_path: Path
) -> None:
    with tablet(browser, demo_server) as crew:
        page = crew.open()
        crew.offline()
        page.get_by_role("button", name="Note or photo").click()
        box = page.get_by_role("dialog")
        box.get_by_role("button", name="Log it").click()
        expect(box).to_contain_text("Type a note or take a photo.")
        (tmp_path / "no.jpg").write_bytes(b"no photo at all")
        box.get_by_label("Take a photo").set_input_files(tmp_path / "no.jpg")
        expect(box).to_contain_text("no photo that the browser can read")
        (tmp_path / "edge.png").write_bytes(picture(4000, 3000))
        box.get_by_label("Take a photo").set_input_files(tmp_path / "edge.png")
        expect(box).to_contain_text("take another instead")
        box.get_by_label("Note", exact=True).fill("edge cut\nby hand")
        box.get_by_role("button", name="Log it").click()
        expect(box).to_have_count(0)
        newest = page.locator(".log li").first
        expect(newest).to_contain_text("edge cut by hand")
        expect(newest).to_contain_text("photo, not sent")
        crew.offline(off=False)
        crew.until_sent()
        (note,) = server_log(page, demo_server)
        sha = dict(note["data"])["photo"]
        kept = page.request.get(f"{demo_server}/api/v1/attachments/{sha}")
        assert kept.headers["content-type"] == "image/jpeg"
        data = base64.b64encode(kept.body()).decode()
        size = page.evaluate(
            """async (data) => {
              const bytes = Uint8Array.from(atob(data), (c) => c.charCodeAt(0));
              const made = await createImageBitmap(new Blob([bytes], { type: "image/jpeg" }));
              return [made.width, made.height];
            }""",
            data,
        )
        assert size == [1600, 1200]


def test_readings_of_a_logger(demo_server: str, browser: Browser, tmp_path: Path) -> None:
    with tablet(browser, demo_server) as crew:
        page = crew.open()
        crew.up_to("At pressure")
        page.get_by_role("button", name="Logger file").click()
        box = page.get_by_role("dialog")
        (tmp_path / "bad.csv").write_text("elapsed_s;pressure_mbar\n0;much\n")
        box.get_by_label("File").set_input_files(tmp_path / "bad.csv")
        expect(box).to_contain_text("Line 2: pressure_mbar = 'much' is not allowed")
        expect(box.get_by_role("button", name="Log it")).to_be_disabled()
        (tmp_path / "good.csv").write_text("elapsed_s,pressure_bar\n0,1.00\n60,0.99\n")
        box.get_by_label("File").set_input_files(tmp_path / "good.csv")
        expect(box).to_contain_text("2 readings, 1.00 bar to 0.99 bar.")
        box.get_by_role("button", name="Log it").click()
        expect(page.locator(".log li").first).to_contain_text("0.99")
        crew.until_sent()
        readings = [e for e in server_log(page, demo_server) if e["kind"] == "reading"][1:]
        data = [dict(e["data"]) for e in readings]
        assert [float(d["pressure"]) for d in data] == pytest.approx([1e5, 0.99e5])
        kept = page.request.get(f"{demo_server}/api/v1/attachments/{data[0]['readings_file']}")
        assert kept.text().startswith("elapsed_s,pressure_bar")


def test_logger_files_are_read_as_the_server_reads_them(
    empty_server: str, open_page: OpenPage
) -> None:
    texts = [
        CSV, CSV.replace("\n", "\r\n"), "\ufeff" + CSV, CSV.replace(";", ",").replace(",0", ""),
        'elapsed_min,pressure_bar,"remark"\n0,0.1,"a, b"\n1.5,0.2,"say ""so"""\n',
        "elapsed_s;pressure_psi;temperature_c;volume_ml\n\n0;14;-5;30\n",
        "pressure\n1\n", "pressure_atm\n1\n", "elapsed_s;pressure_mbar\n0;-1\n",
        "elapsed_s;pressure_mbar\n0\n", "", "elapsed_s\n", "elapsed_s;pressure_mbar\n0;1;2;3\n",
        "elapsed_s;pressure_mbar\n1e3;nan\n",
        "test_volume_l;seal_distance_mm;pressure_kpa\n3;600;9\n",
        "test_volume_gal,seal_distance_ft,pressure_psi\n2.5,3,3.5\n",
        "test_volume_ft3;seal_distance_in;method\n0,35;36;F1417\n",
    ]  # fmt: skip
    page = open_page(empty_server, "/")
    for text, told in zip(texts, page.evaluate(READ, [empty_server, texts]), strict=True):
        try:
            wanted = read_gauge(text.encode(), file="logger.csv", common=[])
        except InputError:
            assert isinstance(told, str), text
            continue
        assert [[name for name, _ in row] for row in told] == [[n for n, _ in r] for r in wanted]
        for row, here in zip(told, wanted, strict=True):
            for (_, value), (name, same) in zip(row, here, strict=True):
                numeric = name not in {"remark", "method"}
                assert float(value) == pytest.approx(float(same)) if numeric else value == same


def test_the_number_of_a_batch_by_the_camera(
    demo_server: str, browser: Browser, tmp_path: Path
) -> None:
    with tablet(browser, demo_server) as crew:
        crew.context.add_init_script(
            """globalThis.BarcodeDetector = class {
              async detect(picture) { return picture.width > 10 ? [{ rawValue: " B-99 " }] : []; }
            };"""
        )
        page = crew.open()
        (tmp_path / "blank.png").write_bytes(picture(4, 4))
        page.get_by_label("Read it with the camera").set_input_files(tmp_path / "blank.png")
        expect(page.locator(".before")).to_contain_text("No number was found in the picture")
        (tmp_path / "label.png").write_bytes(picture(40, 40))
        page.get_by_label("Read it with the camera").set_input_files(tmp_path / "label.png")
        expect(page.get_by_label("Batch number")).to_have_value("B-99")
        page.reload()
        expect(page.get_by_label("Batch number")).to_have_value("B-99")  # nothing typed is lost
        crew.act("Mixed")
        crew.until_sent()
        assert dict(server_log(page, demo_server)[0]["data"])["batch"] == "B-99"


def test_a_refused_entry_is_told_and_kept(demo_server: str, browser: Browser) -> None:
    with tablet(browser, demo_server) as crew:
        page = crew.open()

        def refuse(route: Route) -> None:
            if route.request.method != "POST":
                route.fallback()
                return
            sent = json.loads(route.request.post_data or "{}")["events"]
            answers = [
                {"id": e["id"], "kept": False, "status": 422, "said": "It cannot be read."}
                for e in sent
            ]
            told = {"project": "", "server_time": crew.now().isoformat(), "answers": answers}
            route.fulfill(json=told)

        crew.context.route("**/api/v1/events", refuse)
        crew.act("Mixed")
        for _ in range(10):
            crew.run(1000)
        expect(page.locator("#unsent")).to_have_text("All entries sent, 1 entry refused")
        expect(page.locator(".warns")).to_contain_text("refused by the server: It cannot be read.")
        # it counts on the tablet: the resin is mixed, whatever the server says of the entry
        expect(page.locator(".acts .act").first).to_have_text("Wet-out done")
        assert abs(crew.seconds() - (crew.limit("latest_inflation") - 10)) < 8
        (line,) = crew.lines(ONE)
        assert "refused: It cannot be read." in line


def test_readings_of_a_logger_stand_where_they_were_taken(
    demo_server: str, browser: Browser, tmp_path: Path
) -> None:
    with tablet(browser, demo_server) as crew:
        page = crew.open()
        crew.up_to("At pressure")
        crew.later(1800)
        page.get_by_role("button", name="Logger file").click()
        box = page.get_by_role("dialog")
        at, log = box.get_by_label("File"), box.get_by_role("button", name="Log it")
        file = tmp_path / "night.csv"

        def given(*times: str) -> None:
            rows = [f"{time};1,{20 + n}" for n, time in enumerate(times)]
            file.write_text("\n".join(["time;pressure_bar", *rows]) + "\n")
            at.set_input_files(file)

        given("20:35:00", "twenty to nine")
        expect(box).to_contain_text("Line 3: 'twenty to nine' is no time")
        given("18:35:00", "18:50:00")  # a logger on UTC that does not say so
        expect(box).to_contain_text("Taken from 18:35 to 18:50: that is not while this collar")
        expect(log).to_be_disabled()
        given("2027-05-03T18:35:00Z", "03.05.2027 20:38:00", "20:52")
        expect(box).to_contain_text("Taken from 20:35 to 20:52, the longest pause 14:00")
        log.click()
        expect(page.locator(".log li").first).to_contain_text("1.22 bar")
        crew.until_sent()
        data = [dict(e["data"]) for e in server_log(page, demo_server) if e["kind"] == "reading"]
        taken = [one.get("taken", "")[:16] for one in data]
        assert taken == ["", *(f"2027-05-03T20:{minute}" for minute in (35, 38, 52))]
        assert [one.get("elapsed") for one in data[1:]] == ["0", "180", "1020"]
        assert all("time" not in one for one in data)
