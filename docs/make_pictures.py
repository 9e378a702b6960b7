"""Make the pictures of the README from the demo: `python docs/make_pictures.py`.

Needs the test extra (pypdf) and `pdftoppm` of poppler-utils. The day of issue is fixed, so that
the same code gives the same pictures.
"""

import subprocess
import tempfile
from datetime import date
from pathlib import Path

import typst
from pypdf import PdfReader

from teewright import demo
from teewright.bench.cutting import on_roll
from teewright.bench.inputs import Document, Inputs, Options
from teewright.bench.keeping import keep
from teewright.bench.packing import pack_files
from teewright.bench.workbench import Workbench
from teewright.report.letters import FONTS
from teewright.store.project import Project

PICTURES = Path(__file__).parent / "pictures"
MADE = date(2027, 4, 12)
DPI = 75
MOST = 150_000
"""Largest picture [bytes]."""
PAGES = {
    "summary": "Summary for the client",
    "run": "Run T02-T03",
    "collar": "T03-T04/02:",
    "shift": "Shift sheet 3",
    "pattern": "Pattern P6",
    "landing": "P6 lands",
}
"""Name of each picture, and words that its page has and no page before it."""
FONT = "Atkinson Hyperlegible Next"
CUTTING = "cutting/P6-branch.svg"
SHEET = """#set page(width: 150mm, height: auto, margin: 4mm, fill: white)
#image("/panel.svg", width: 100%)
"""


def demo_inputs() -> Inputs:
    """Everything that the demo is made from."""
    surveys = tuple(Document(name, demo.file(name)) for name in demo.SURVEY_FILES)
    kit = Document("kit.toml", demo.file(demo.KIT_FILE))
    return Inputs(surveys, kit, Document("site.toml", demo.file(demo.SITE_FILE)), Options())


def silent(_: str) -> None:
    """Show no progress."""


def make_pack(folder: Path) -> None:
    """Write the demo's pack, issued on the fixed day."""
    keep(folder / "job.tee", demo_inputs())
    with Project.open(folder / "job.tee") as project:
        bench = Workbench(project, progress=silent, today=MADE)
        for name, data in pack_files(bench, on_roll(bench.job_as_planned, project)):
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)


def page_numbers(pdf: Path) -> dict[str, int]:
    """Number of the page of each picture, from 1."""
    texts = [page.extract_text() for page in PdfReader(pdf).pages]
    inner = list(enumerate(texts, 1))[1:]
    return {
        name: next(number for number, text in inner if words in text)
        for name, words in PAGES.items()
    }


def draw_pages(folder: Path) -> None:
    """One picture for each page."""
    pdf = folder / "pack.pdf"
    for name, number in page_numbers(pdf).items():
        place = ["-f", str(number), "-l", str(number), "-singlefile"]
        command = ["pdftoppm", "-r", str(DPI), *place, "-png", str(pdf), str(PICTURES / name)]
        subprocess.run(command, check=True)


def draw_cutting(folder: Path) -> None:
    """The cutting file of one panel, small enough for a page of text."""
    svg = (folder / CUTTING).read_text(encoding="utf-8")
    (folder / "panel.svg").write_text(svg.replace("sans-serif", FONT), encoding="utf-8")
    (folder / "panel.typ").write_text(SHEET, encoding="utf-8")
    source = str(folder / "panel.typ")
    picture = typst.compile(
        source, root=str(folder), format="png", ppi=150.0, font_paths=[str(FONTS)]
    )
    if not isinstance(picture, bytes):
        raise TypeError("the drawing takes more than one page")
    (PICTURES / "cutting.png").write_bytes(picture)


def main() -> None:
    """Make every picture and say how large it is."""
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        make_pack(folder)
        draw_pages(folder)
        draw_cutting(folder)
    for picture in sorted(PICTURES.glob("*.png")):
        size = picture.stat().st_size
        print(f"{picture.name}: {size} bytes{', too large' if size > MOST else ''}")


if __name__ == "__main__":
    main()
