"""Write the pack into a folder."""

from collections.abc import Iterator
from pathlib import Path

from teewright.cli.common import cannot, out
from teewright.cli.workbench import Workbench
from teewright.collar.values import Collar
from teewright.formats.cutting_dxf import write_collar
from teewright.formats.cutting_svg import write_panel
from teewright.formats.lists import write_csv, write_xlsx
from teewright.job.values import Job
from teewright.report.pack import build_pdf


def patterns(job: Job) -> tuple[Collar, ...]:
    """Each pattern once, in order of name."""
    return tuple({d.collar.pattern: d.collar for d in job.designs.designs}.values())


def files(bench: Workbench) -> Iterator[tuple[str, bytes]]:
    """(path in the pack, bytes) of every file."""
    job = bench.job
    bench.progress("setting the sheets")
    drawings = [f"cutting/{collar.pattern}.dxf" for collar in patterns(job)]
    yield "pack.pdf", build_pdf(job, made=bench.today, drawings=drawings)
    bench.progress("writing the lists")
    yield "lists/job.xlsx", write_xlsx(job)
    for name, text in write_csv(job).items():
        yield f"lists/{name}", text.encode("utf-8-sig")
    bench.progress("writing the cutting files")
    for collar in patterns(job):
        yield f"cutting/{collar.pattern}.dxf", write_collar(collar)
        for panel in collar.panels:
            text = write_panel(panel, collar)
            yield f"cutting/{collar.pattern}-{panel.name}.svg", text.encode()


def write_pack(bench: Workbench, folder: Path) -> None:
    """Write every file of the pack and say what is there."""
    written = []
    try:
        for name, data in files(bench):
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
            written.append(name)
    except OSError as error:
        raise cannot("be written", folder, error) from error
    _say(bench.job, folder, written)


def _say(job: Job, folder: Path, written: list[str]) -> None:
    console = out()
    cutting = sum(name.startswith("cutting/") for name in written)
    lists = sum(name.startswith("lists/") for name in written)
    console.print(
        f"{len(job.survey.connections)} connections in {len(job.survey.runs)} runs: "
        f"{len(job.designs.designs)} collars, {len(job.designs.refusals)} refused, "
        f"{len(job.programme.shifts)} shifts, {len(job.programme.unplanned)} not planned, "
        f"{len(job.findings)} findings"
    )
    console.print(f"{folder / 'pack.pdf'}, {lists} lists, {cutting} cutting files")
