"""Make the pictures of the pages: `python docs/make_screens.py [--project FILE] [--only NAME]`.

Serves the demo, with the log of some installations, and takes every page at three widths. Needs
the test extra, Chromium and Pillow. Data and times are fixed, so that the same code gives the
same pictures; `--project` takes a project that is made already (of the quick demo, not begun).
"""

import argparse
import io
import shutil
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser, Page, sync_playwright

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

from make_pictures import demo_inputs

from faces.web.conftest import FLAGS, chromium, served, serving
from faces.web.logged import begun
from faces.web.night import STEPS, Tablet, tablet
from faces.web.signing import with_people
from teewright.bench.keeping import keep
from teewright.bench.workbench import Workbench
from teewright.store.project import Project
from teewright.web.field.authority import Authority
from teewright.web.field.plain import make_plain_app, places
from teewright.web.settings import Settings

SCREENS = Path(__file__).parent / "screens"
WIDTHS = {1440: 900, 1024: 768, 390: 844}
"""Width and height of each screen [CSS px]."""
TALLEST = 2400
"""Longer pages are cut there [CSS px]."""
MOST, MOST_OF_ALL = 120_000, 5_000_000
"""Largest picture and largest folder [bytes]."""
TODAY = date(2027, 5, 3)
LATER = datetime(2027, 5, 5, 9, 0, tzinfo=UTC)
PAGES = {
    "job": "/",
    "survey": "/survey",
    "survey-run": "/survey/runs/T02-T03",
    "survey-file": "/survey/files/survey-mill-lane.txt",
    "needs": "/needs",
    "collars": "/collars",
    "collar": "/collars/T02-T03/03",
    "day": "/day",
    "day-one": "/day/T02-T03/03",
    "programme": "/programme",
    "clock-list": "/clock",
    "proof": "/proof",
    "proof-one": "/proof/T01-T02/02",
    "handover": "/handover",
    "price": "/price",
}


def silent(_: str) -> None:
    """Show no progress."""


def make_project(path: Path) -> None:
    """The demo, designed and planned."""
    keep(path, demo_inputs())
    with Project.open(path) as project:
        bench = Workbench(project, progress=silent, today=TODAY, quick=True)
        assert bench.programme.shifts


def begin_work(path: Path) -> None:
    """Log some installations."""
    with Project.open(path, clock=lambda: LATER) as project:
        bench = Workbench(project, progress=silent, today=TODAY, quick=True)
        begun(project, bench.designs.designs)


class Camera:
    """Takes pages at three widths.

    Args:
        browser: Takes them.
        folder: Where the pictures go.
        only: Only pictures whose name begins so.
    """

    def __init__(self, browser: Browser, folder: Path, only: str) -> None:
        self.browser, self.folder, self.only = browser, folder, only

    def take(self, name: str, address: str) -> None:
        """Take one page."""
        if not name.startswith(self.only):
            return
        for width, height in WIDTHS.items():
            context = self.browser.new_context(
                viewport={"width": width, "height": height},
                timezone_id="Europe/Vienna",
                reduced_motion="reduce",
            )
            page = context.new_page()
            page.clock.set_fixed_time(LATER)
            page.goto(address)
            self.snap(page, name, width)
            context.close()

    def take_clock(self, name: str, planned: Path, work: Callable[[Tablet], None]) -> None:
        """Take the clock after some work, each time from the beginning."""
        if not name.startswith(self.only):
            return
        for width, height in WIDTHS.items():
            copy = Path(shutil.copy(planned, planned.with_name(f"{name}-{width}.tee")))
            with (
                served(Settings(copy, quick=True)) as address,
                tablet(self.browser, address, width=width, height=height) as crew,
            ):
                crew.open()
                work(crew)
                self.snap(crew.page, name, width, whole=False)

    def snap(self, page: Page, name: str, width: int, *, whole: bool = True) -> None:
        """Keep what a page shows, with few colours."""
        page.wait_for_load_state("networkidle")
        page.evaluate("document.fonts.ready.then(() => true)")
        if whole:  # rows far below are drawn only where a window is tall enough to see them
            tall = int(page.evaluate("document.documentElement.scrollHeight"))
            page.set_viewport_size({"width": width, "height": min(tall, TALLEST)})
            page.wait_for_timeout(300)
        data = few_colours(page.screenshot())
        (self.folder / f"{name}-{width}.png").write_bytes(data)
        assert len(data) <= MOST, f"{name}-{width} has {len(data)} bytes"


def few_colours(png: bytes) -> bytes:
    """The same picture with the fewest colours out of a few steps that keep it small enough."""
    picture = Image.open(io.BytesIO(png)).convert("RGB")
    data = b""
    for colours in (64, 32, 16):
        out = io.BytesIO()
        picture.quantize(colours, dither=Image.Dither.NONE).save(out, "PNG", optimize=True)
        data = out.getvalue()
        if len(data) <= MOST:
            break
    return data


def _steps(crew: Tablet, *minutes: float) -> None:
    """Log one step after the other, each so long after the one before [min]."""
    for step, pause in zip(STEPS, minutes, strict=False):
        crew.later(60.0 * pause)
        crew.act(step)
        if step == "At pressure":
            crew.gauge("1.05")


def mixed(crew: Tablet) -> None:
    """The batch is live; inflation comes next."""
    _steps(crew, 0.0, 4.0, 2.0, 4.0)
    crew.later(60.0)
    crew.until_sent()


def late(crew: Tablet) -> None:
    """The batch is past its latest inflation."""
    _steps(crew, 0.0, 5.0, 6.0)
    crew.later(600.0)
    crew.until_sent()


def held(crew: Tablet) -> None:
    """Under pressure, half way."""
    _steps(crew, 0.0, 4.0, 2.0, 4.0, 5.0)
    crew.later(crew.limit("release") / 2.0)
    crew.until_sent()


def hard(crew: Tablet) -> None:
    """It may be released."""
    _steps(crew, 0.0, 4.0, 2.0, 4.0, 5.0)
    crew.later(crew.limit("release") - 900.0 + 90.0)
    crew.until_sent()


CLOCKS: dict[str, Callable[[Tablet], None]] = {
    "clock-next": mixed,
    "clock-late": late,
    "clock-hold": held,
    "clock-release": hard,
}


class Shown(Authority):
    """A certificate that is none, with a fingerprint that stays the same."""

    @property
    def fingerprint(self) -> str:
        """32 bytes, hex, in pairs."""
        return " ".join(f"{(37 * n + 11) % 256:02X}" for n in range(32))


@contextmanager
def trusting(settings: Settings) -> Iterator[str]:
    """Address of the pages that tell a tablet how to trust this machine."""
    app = make_plain_app(settings, Shown(b"", b""), places(("192.0.2.17",), 8317, 8318))
    with serving(app) as address:
        yield address


def take_all(camera: Camera, planned: Path, folder: Path) -> None:
    """Every page."""
    new, peopled = folder / "new.tee", folder / "people.tee"
    with served(Settings(new, quick=True)) as address:
        camera.take("start", address + "/")
        camera.take("survey-none", address + "/survey")
    for name, work in CLOCKS.items():
        camera.take_clock(name, planned, work)
    started = Path(shutil.copy(planned, folder / "job.tee"))
    begin_work(started)
    with served(Settings(started, quick=True)) as address:
        for name, path in PAGES.items():
            camera.take(name, address + path)
    with served(Settings(with_people(peopled), sign_in=True)) as address:
        camera.take("sign-in", address + "/sign-in")
    with trusting(Settings(peopled)) as address:
        camera.take("field-codes", address + "/field")
        camera.take("field-trust", address + "/")


def main() -> None:
    """Make all."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--project", type=Path, help="the demo, designed and planned")
    parser.add_argument("--only", default="", help="only pictures whose name begins so")
    parser.add_argument("--folder", type=Path, default=SCREENS)
    asked = parser.parse_args()
    asked.folder.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as made, sync_playwright() as playwright:
        planned = Path(made) / "planned.tee"
        if asked.project:
            shutil.copy(asked.project, planned)
        else:
            make_project(planned)
        browser = playwright.chromium.launch(executable_path=chromium(), args=FLAGS)
        take_all(Camera(browser, asked.folder, asked.only), planned, Path(made))
        browser.close()
    whole = sum(path.stat().st_size for path in asked.folder.glob("*.png"))
    sys.stdout.write(f"{asked.folder}: {whole / 1e6:.1f} MB\n")
    assert whole <= MOST_OF_ALL, f"{whole} bytes in all"


if __name__ == "__main__":
    main()
