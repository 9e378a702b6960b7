import json
import math
import os
import re
import signal
import threading
import time
from collections.abc import Iterator
from concurrent.futures import Future
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from axe_playwright_python.sync_playwright import Axe
from fastapi.testclient import TestClient
from playwright.sync_api import Browser, BrowserContext, Page, expect

from faces.web.conftest import FLAGS, OpenPage, chromium
from teewright.web.app import make_app
from teewright.web.collar_map import KEYS
from teewright.web.settings import Settings
from teewright.web.texts import text
from teewright.web.workshop import Tried, Workshop

WYE = "T01-T02/03"
"""A connection of the demo that leans 45 degrees and has a pattern of its own."""
REFUSED = "T06-T03/02"
"""A connection of the demo that no packer of the kit serves."""


@pytest.fixture(scope="module")
def client(demo_project_once: Path) -> Iterator[TestClient]:
    app = make_app(Settings(demo_project_once, quick=True))
    with TestClient(app, base_url="http://localhost") as made:
        yield made


class Late:
    """What a process makes, kept from its server until it may come."""

    def __init__(self, found: Future[Tried], go: threading.Event) -> None:
        self._found, self._go = found, go

    def result(self, timeout: float) -> Tried:
        if not self._go.wait(timeout):
            raise TimeoutError
        return self._found.result(timeout)

    def cancel(self) -> bool:
        return self._found.cancel()


@pytest.fixture
def may_come(monkeypatch: pytest.MonkeyPatch) -> threading.Event:
    """No collar on trial is done before this is set, however quick its process is."""
    go = threading.Event()
    submitted = Workshop._submitted

    def later(workshop: Workshop, *of: Any) -> Any:
        found, said = submitted(workshop, *of)
        return Late(found, go), said

    monkeypatch.setattr(Workshop, "_submitted", later)
    return go


@pytest.fixture
def no_bodies(browser: Browser) -> Iterator[BrowserContext]:
    """A browser that draws no bodies."""
    made = browser.browser_type.launch(
        executable_path=chromium(), args=[*FLAGS, "--disable-3d-apis"]
    )
    yield made.new_context(viewport={"width": 1440, "height": 900})
    made.close()


def made_body(page: Page) -> None:
    expect(page.locator("#solid")).to_have_attribute("data-state", "body", timeout=20_000)
    expect(page.locator(".stage")).to_have_attribute("data-drawn", re.compile(r"\d+"))


def slide(page: Page, name: str, value: float) -> None:
    page.locator(f"#try-{name}").fill(f"{value:g}")


def no_sideways_scroll(page: Page) -> None:
    wide = page.evaluate("[document.documentElement.scrollWidth, innerWidth]")
    assert wide[0] <= wide[1]


# the list


def test_the_list_says_what_serves_what_and_what_gets_none(
    demo_server: str, open_page: OpenPage
) -> None:
    page = open_page(demo_server, "/collars")
    expect(page.locator("h1")).to_contain_text("patterns serve 25 connections")
    expect(page.locator("h1")).to_contain_text("one connection gets none")
    expect(page.locator(".patterns .served a[href^='/collars/']")).to_have_count(25)
    expect(page.locator(".refused .finding")).to_contain_text("serves angles of 45 to 90")
    page.get_by_role("link", name=WYE).click()
    expect(page.locator("h1")).to_contain_text("lands within every limit")


@pytest.mark.parametrize("path", ["/collars", "/day"])
def test_an_empty_project_says_what_to_do(
    empty_server: str, open_page: OpenPage, path: str
) -> None:
    page = open_page(empty_server, path)
    expect(page.locator("main .act")).to_have_attribute("href", "/survey")


@pytest.mark.parametrize("width", [1440, 1024, 390])
@pytest.mark.parametrize("path", ["/collars", f"/collars/{WYE}", f"/collars/{REFUSED}"])
def test_nothing_is_wider_than_the_page(
    demo_server: str, open_page: OpenPage, path: str, width: int
) -> None:
    no_sideways_scroll(open_page(demo_server, path, width=width))


@pytest.mark.parametrize("width", [1440, 390])
@pytest.mark.parametrize("path", ["/collars", f"/collars/{WYE}", f"/collars/{REFUSED}"])
def test_nobody_is_shut_out(demo_server: str, open_page: OpenPage, path: str, width: int) -> None:
    page = open_page(demo_server, path, width=width)
    if path.endswith(WYE):
        made_body(page)
    found = Axe().run(page).response["violations"]
    assert [(each["id"], each["nodes"][0]["html"]) for each in found] == []


# the body and its pieces


def test_the_body_and_its_pieces_point_at_each_other(demo_server: str, open_page: OpenPage) -> None:
    page = open_page(demo_server, f"/collars/{WYE}")
    made_body(page)
    cursors = page.locator(".cursor[visibility=visible]")
    expect(cursors).to_have_count(0)

    page.locator(".flat[data-piece=main] .sheet-of").hover(position={"x": 60, "y": 40})
    expect(page.locator("[data-read=piece]")).to_have_text("Main")
    expect(page.locator(".stage .pointed")).to_be_visible()
    stretch = float(page.locator("[data-read=stretch]").inner_text())
    assert 0.9 < stretch < 1.25

    box = page.locator(".stage canvas").bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 0.33 * box["width"], box["y"] + 0.75 * box["height"])
    expect(page.locator("[data-read=piece]")).to_have_text("Main")
    expect(cursors).to_have_count(1)
    page.mouse.move(box["x"] + 0.67 * box["width"], box["y"] + 0.3 * box["height"])
    expect(page.locator("[data-read=piece]")).to_have_text("Branch")
    expect(page.locator(".flat[data-piece=branch] .cursor")).to_have_attribute(
        "visibility", "visible"
    )


def test_a_point_on_a_piece_is_the_same_point_on_the_body(
    demo_server: str, open_page: OpenPage
) -> None:
    # a triangle's flat middle must be found again as that triangle, on each piece of the map
    page = open_page(demo_server, f"/collars/{WYE}")
    made_body(page)
    wrong = page.evaluate(
        """async () => {
          const { fetchMap, flatOf, Finder } = await import("/static/collar_map.mjs");
          const map = await fetchMap(document.getElementById("solid").dataset.map);
          const finders = new Map(map.pieces.map((piece) => [piece, new Finder(piece)]));
          let wrong = 0;
          for (let face = 0; face < map.faces; face += 1) {
            const { piece, x, y } = flatOf(map, face);
            if (finders.get(piece).at(x, y) !== face) wrong += 1;
          }
          return [wrong, map.faces];
        }"""
    )
    assert wrong[0] == 0
    assert wrong[1] > 1000


def test_a_ray_meets_the_triangle_that_another_search_finds(
    demo_server: str, open_page: OpenPage
) -> None:
    page = open_page(demo_server, f"/collars/{WYE}")
    made_body(page)
    unlike, met, missed = page.evaluate(
        """async () => {
          const { fetchMap, middleOf, seenBy } = await import("/static/collar_map.mjs");
          const {
            BufferAttribute, BufferGeometry, Mesh, MeshBasicMaterial, Raycaster, Vector3,
          } = await import("/static/vendor/three.js");
          const map = await fetchMap(document.getElementById("solid").dataset.map);
          const geometry = new BufferGeometry();
          geometry.setAttribute("position", new BufferAttribute(map.points, 3));
          geometry.setIndex(new BufferAttribute(map.triangles, 1));
          const mesh = new Mesh(geometry, new MeshBasicMaterial());
          const ray = new Raycaster();
          let [unlike, met, missed] = [0, 0, 0];
          for (let k = 0; k < 400; k += 1) {
            const round = 2.4 * k;  // from all sides, and every fourth from within
            const reach = k % 4 ? 1.5 : 0.02;
            const from = new Vector3(Math.cos(round), Math.sin(round), Math.sin(0.7 * k));
            from.multiplyScalar(reach);
            const to = new Vector3(...middleOf(map, (k * 37) % map.faces));
            if (k % 10 === 9) to.addScalar(0.5);  // past it
            const way = to.sub(from).normalize();
            ray.set(from, way);
            const [other] = ray.intersectObject(mesh);
            const found = seenBy(map, from, way);
            if (found.face < 0) missed += 1; else met += 1;
            if (other ? Math.abs(other.distance - found.distance) > 1e-6 : found.face >= 0) {
              unlike += 1;
            }
          }
          return [unlike, met, missed];
        }"""
    )
    assert unlike == 0
    assert met > 100
    assert missed > 100


@pytest.mark.parametrize(("card", "smooth"), [("", False), ("Some Graphics Card 9", True)])
def test_smooth_edges_are_asked_of_a_graphics_card_only(
    demo_server: str, open_page: OpenPage, browser: Browser, card: str, smooth: bool
) -> None:
    context = browser.new_context(viewport={"width": 1440, "height": 900}, device_scale_factor=2)
    named = json.dumps(card)
    context.add_init_script(
        f"""const asked = WebGL2RenderingContext.prototype.getParameter;
        WebGL2RenderingContext.prototype.getParameter = function (name) {{
          return name === 0x9246 && {named} ? {named} : asked.call(this, name);
        }};"""
    )
    page = open_page(demo_server, f"/collars/{WYE}", context=context)
    made_body(page)
    drawn, ratio, inside = page.locator(".stage canvas").evaluate(
        """canvas => {
          const attributes = canvas.getContext("webgl2").getContextAttributes();
          const ratio = canvas.width / canvas.clientWidth;
          return [attributes.antialias, ratio, document.querySelectorAll(".stage canvas").length];
        }"""
    )
    assert (drawn, inside) == (smooth, 1)
    assert ratio == pytest.approx(2.0 if smooth else 1.0, abs=0.02)


def test_arrow_keys_move_the_point(demo_server: str, open_page: OpenPage) -> None:
    page = open_page(demo_server, f"/collars/{WYE}")
    made_body(page)
    sheet = page.locator(".flat[data-piece=main] .sheet-of")
    sheet.focus()
    for _ in range(30):
        sheet.press("ArrowLeft")
    expect(page.locator("[data-read=piece]")).to_have_text("Main")
    before = page.locator(".flat[data-piece=main] .ring").get_attribute("cx")
    sheet.press("ArrowUp")
    sheet.press("ArrowRight")
    assert page.locator(".flat[data-piece=main] .ring").get_attribute("cx") != before


def test_another_quantity_paints_body_pieces_and_scale(
    demo_server: str, open_page: OpenPage
) -> None:
    page = open_page(demo_server, f"/collars/{WYE}")
    made_body(page)
    expect(page.locator(".scale:visible")).to_contain_text("formed length by cut length")
    expect(page.locator(".flat .drawn svg")).to_have_count(2)  # the others are not there yet
    page.get_by_role("link", name=text("collar.tab.wrinkle")).click()
    expect(page.locator(".scale:visible")).to_contain_text("it folds")
    expect(page.locator(".flat .map-wrinkle svg:visible")).to_have_count(2)
    expect(page.locator(".flat .drawn:visible")).to_have_count(2)
    expect(page.locator(".stage .mark-at:visible").first).to_contain_text("%")
    page.reload()
    expect(page.locator(".maps [aria-current]")).to_have_text(text("collar.tab.wrinkle"))


def test_the_pieces_of_a_quantity_are_brought_once_and_else_the_page_goes_there(
    demo_server: str, open_page: OpenPage
) -> None:
    page = open_page(demo_server, f"/collars/{WYE}", errors=("net::ERR_FAILED",))
    made_body(page)
    asked: list[str] = []
    page.on("request", lambda request: asked.append(urlsplit(request.url).path))
    tab = {key: page.get_by_role("link", name=text(f"collar.tab.{key}")) for key in KEYS}
    for key in ("wrinkle", "stretch", "wrinkle"):
        tab[key].click()
        expect(page.locator(f".flat .map-{key} svg:visible")).to_have_count(2)
    assert asked.count(f"/collars/{WYE}") == 1
    page.route(
        "**/*map=thickness",
        lambda route: (
            route.abort() if route.request.resource_type == "fetch" else route.continue_()
        ),
    )
    with page.expect_navigation():
        tab["thickness"].click()
    expect(page.locator(".flat .map-thickness svg:visible")).to_have_count(2)
    expect(page.locator(".maps [aria-current]")).to_have_text(text("collar.tab.thickness"))


def test_without_bodies_the_printed_figure_is_shown(
    demo_server: str, open_page: OpenPage, no_bodies: BrowserContext
) -> None:
    page = open_page(demo_server, f"/collars/{WYE}", context=no_bodies, errors=("WebGL",))
    expect(page.locator("#solid")).to_have_attribute("data-state", "still", timeout=20_000)
    expect(page.locator(".still svg")).to_be_visible()
    expect(page.locator(".stage")).to_be_hidden()
    expect(page.get_by_text(text("collar.still_note"))).to_be_visible()
    # pieces are read all the same, and another quantity is a plain link
    page.locator(".flat[data-piece=main] .sheet-of").hover(position={"x": 60, "y": 40})
    expect(page.locator("[data-read=piece]")).to_have_text("Main")
    page.get_by_role("link", name=text("collar.tab.thickness")).click()
    expect(page.locator(".still")).to_contain_text("Thickness")


def test_the_page_is_light_without_the_body(client: TestClient) -> None:
    import gzip  # noqa: PLC0415

    answer = client.get(f"/collars/{WYE}", headers={"accept": "text/html"})
    parts = re.findall(r'(?:href|src)="(/static/[^"]+)"', answer.text)
    assert any("collar.css" in part for part in parts)
    assert any(part.endswith("atkinson-next.woff2") for part in parts)
    solid = [part for part in parts if part.endswith("vendor/three.js")]
    assert len(solid) == 1
    sizes = [len(gzip.compress(answer.content))]
    sizes += [len(gzip.compress(client.get(part).content)) for part in parts if part not in solid]
    assert sum(sizes) < 94_000


# other sizes


def test_a_slider_is_answered_at_once_and_stays_after_a_reload(
    demo_server: str, open_page: OpenPage
) -> None:
    page = open_page(demo_server, f"/collars/{WYE}")
    at_once = page.locator("#instant")
    expect(at_once).to_contain_text("is made for this shape")
    slide(page, "angle", 60)
    expect(page.locator("label[for=try-angle] output")).to_have_text("60°")
    expect(at_once).to_contain_text("Another shape than")
    page.wait_for_url("**angle=60*")
    page.reload()
    expect(page.locator("#try-angle")).to_have_value("60")
    expect(at_once).to_contain_text("Another shape than")
    slide(page, "branch", 180)
    expect(at_once).to_contain_text("None of 4 packers fits")
    page.get_by_role("link", name=text("collar.back")).click()
    expect(page.locator("#try-angle")).to_have_value("45")


def test_a_collar_on_trial_is_made_and_formed_off_its_place(
    demo_server: str, open_page: OpenPage
) -> None:
    page = open_page(demo_server, f"/collars/{WYE}")
    slide(page, "along", 25)
    slide(page, "round", 12)
    expect(page.locator("#instant")).to_contain_text("not known at once")
    page.get_by_role("button", name=text("collar.make")).click()
    expect(page.locator("#instant")).to_contain_text(text("collar.made"), timeout=240_000)
    expect(page.locator("h1")).to_contain_text("does not land as it must")
    made_body(page)
    expect(page.locator("#solid")).to_have_attribute("data-map", re.compile("/tries/"))
    # the same after a reload, and the job is as it was
    page.reload()
    expect(page.locator("h1")).to_contain_text("does not land as it must")
    page.goto(f"{demo_server}/collars/{WYE}")
    expect(page.locator("h1")).to_contain_text("lands within every limit")


def test_making_goes_on_over_a_reload_and_can_be_stopped(
    demo_server: str, open_page: OpenPage, may_come: threading.Event
) -> None:
    page = open_page(demo_server, f"/collars/{WYE}?angle=57")
    page.get_by_role("button", name=text("collar.make")).click()
    expect(page.locator("#task")).to_be_visible()
    page.reload()
    expect(page.locator("#task")).to_be_visible()
    page.get_by_role("button", name=text("collar.stop")).click()
    expect(page.get_by_role("button", name=text("collar.make"))).to_be_visible(timeout=30_000)
    expect(page.locator("#try-angle")).to_have_value("57")


def test_a_refused_connection_can_be_tried(demo_server: str, open_page: OpenPage) -> None:
    page = open_page(demo_server, f"/collars/{REFUSED}")
    expect(page.locator("h1")).to_have_text(text("collar.answer.refused"))
    expect(page.locator("main > .finding")).to_contain_text("one for a main of 238 mm")
    slide(page, "angle", 60)
    expect(page.locator("#instant")).to_contain_text("Tee 300")


# the interface of programs


def test_the_map_is_what_was_computed(client: TestClient) -> None:
    import json  # noqa: PLC0415
    import struct  # noqa: PLC0415

    import numpy as np  # noqa: PLC0415

    answer = client.get("/api/v1/collars/P1/map")
    data = answer.content
    assert data[:4] == b"TWM1"
    (size,) = struct.unpack("<I", data[4:8])
    head = json.loads(data[8 : 8 + size])
    known = client.app.state.office.known()  # type: ignore[attr-defined]
    found = dict(known.designs.maps)["P1"]
    assert head["triangles"] == len(found.triangles)
    points = np.frombuffer(data, "<f4", 3 * head["points"], 8 + size)
    assert np.allclose(points.reshape(-1, 3), found.points, atol=1e-6)
    at = 8 + size + 12 * head["points"]
    corners = np.frombuffer(data, "<u2", 3 * head["triangles"], at)
    assert corners.tolist() == [c for corner in found.triangles for c in corner]
    at += -(-6 * head["triangles"] // 4) * 4
    stretch = np.frombuffer(data, "<f4", head["triangles"], at)
    assert np.allclose(stretch, found.stretch, rtol=1e-6)
    classes = np.frombuffer(data, "u1", head["triangles"], at + 4 * head["triangles"])
    # a greater stretch never has a lower class
    order = np.argsort(stretch)
    assert (np.diff(classes[order].astype(int)) >= 0).all()


def test_the_map_is_kept_by_the_browser(client: TestClient) -> None:
    first = client.get("/api/v1/collars/P1/map")
    again = client.get("/api/v1/collars/P1/map", headers={"if-none-match": first.headers["etag"]})
    assert again.status_code == 304
    assert again.content == b""


@pytest.mark.parametrize(
    ("name", "begins"),
    [("P1.dxf", b"  0"), ("P1-main.svg", b"<svg"), ("P1-whole.pdf", b"%PDF"),
     ("P1-A3.pdf", b"%PDF")],
)  # fmt: skip
def test_cutting_files(client: TestClient, name: str, begins: bytes) -> None:
    answer = client.get(f"/api/v1/collars/P1/files/{name}")
    assert answer.status_code == 200
    assert answer.content.startswith(begins)
    assert name in answer.headers["content-disposition"]


@pytest.mark.parametrize(
    "path",
    ["P99", "P99/map", "P1/files/other.dxf", "P1/files/P1-A9.pdf", "tries/0123/map",
     "cutting.zip?paper=A9"],
)  # fmt: skip
def test_unknown_names_are_not_found(client: TestClient, path: str) -> None:
    answer = client.get(f"/api/v1/collars/{path}")
    assert answer.status_code == 404
    assert answer.headers["content-type"] == "application/problem+json"


def test_an_unknown_connection_is_not_found(client: TestClient) -> None:
    for path in ("/collars/nowhere", "/day/nowhere", f"/day/{REFUSED}"):
        assert client.get(path).status_code == 404


def tried(client: TestClient, **wish: object) -> dict[str, object]:
    headers = {"X-CSRF-Token": client.get("/api/v1/me").json()["csrf"]}
    answer = client.post("/api/v1/collars/try", json={"connection": WYE, **wish}, headers=headers)
    assert answer.status_code == 200, answer.text
    found: dict[str, object] = answer.json()
    return found


def test_a_try_of_what_is_known_is_the_design(client: TestClient) -> None:
    instant = tried(client)["instant"]
    assert isinstance(instant, dict)
    design = client.app.state.office.known().designs.of(WYE)  # type: ignore[attr-defined]
    assert instant["own"] is True
    assert instant["serves"] == 0.0
    window = design.pressure
    assert instant["pressure"] == pytest.approx([window.low, window.set, window.high])
    assert instant["packers"] == list(design.packers)
    assert instant["design"]["cure"]["release_time"] == pytest.approx(design.cure.release_time)
    assert instant["design"]["cure"]["latest_by"] == design.cure.latest_by
    assert [part["provided"] for part in instant["design"]["walls"]["parts"]] == (
        pytest.approx([part.provided for part in design.walls.parts])
    )


def test_a_try_that_cannot_be_says_why(client: TestClient) -> None:
    found = tried(client, fillet=0.1)
    instant = found["instant"]
    assert isinstance(instant, dict)
    assert "edge is rounded with 100.0 mm" in instant["reasons"][0]
    assert found["key"] is None


@pytest.mark.parametrize(
    "wish", [{"angle": -1.0}, {"main": "wide"}, {"along": 5.0}, {"colour": "red"}]
)
def test_a_bad_try_is_refused_with_the_field(client: TestClient, wish: dict[str, object]) -> None:
    headers = {"X-CSRF-Token": client.get("/api/v1/me").json()["csrf"]}
    answer = client.post("/api/v1/collars/try", json={"connection": WYE, **wish}, headers=headers)
    assert answer.status_code == 422
    assert next(iter(wish)) in answer.json()["detail"]


def begun(client: TestClient, wish: dict[str, object]) -> str:
    headers = {"X-CSRF-Token": client.get("/api/v1/me").json()["csrf"]}
    answer = client.post("/api/v1/collars/make", json=wish, headers=headers)
    assert answer.status_code == 202, answer.text
    return str(answer.json()["id"])


def ended(client: TestClient, task: str) -> dict[str, str]:
    deadline = time.monotonic() + 60.0
    while (found := client.get(f"/api/v1/tasks/{task}").json())["state"] == "running":
        assert time.monotonic() < deadline, "it did not end"
        time.sleep(0.05)
    return dict(found)


def test_a_killed_worker_is_told_in_one_sentence_and_replaced(client: TestClient) -> None:
    wish: dict[str, object] = {"connection": WYE, "angle": math.radians(52.0)}
    submitted = Workshop._submitted

    def killed(workshop: Workshop, *of: Any) -> Any:
        found = submitted(workshop, *of)
        assert workshop._pool is not None
        for pid in list(workshop._pool._processes):
            os.kill(pid, signal.SIGKILL)
        return found

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Workshop, "_submitted", killed)
        lost = ended(client, begun(client, wish))
    assert lost["state"] == "failed"
    assert "ended from outside" in lost["said"]
    assert ended(client, begun(client, wish))["state"] == "done"
    assert tried(client, angle=wish["angle"])["made"] is True


def test_a_try_that_is_stopped_can_be_made_after_all(
    client: TestClient, may_come: threading.Event
) -> None:
    headers = {"X-CSRF-Token": client.get("/api/v1/me").json()["csrf"]}
    wish: dict[str, object] = {"connection": WYE, "angle": math.radians(53.0)}
    task = begun(client, wish)
    assert client.post(f"/api/v1/tasks/{task}/cancel", headers=headers).status_code == 202
    assert ended(client, task)["state"] == "cancelled"
    may_come.set()
    assert ended(client, begun(client, wish))["state"] == "done"
