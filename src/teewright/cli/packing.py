"""Write the pack into a folder."""

import re
from collections.abc import Container, Iterator
from pathlib import Path

from teewright.cli.common import cannot, out, print_json
from teewright.cli.tables import counted
from teewright.cli.workbench import Workbench
from teewright.collar.values import Collar
from teewright.formats.cutting_dxf import write_collar
from teewright.formats.cutting_svg import write_panel
from teewright.formats.lists import write_csv, write_xlsx
from teewright.job.values import Job
from teewright.report.pack import build_pdf

_CUTTING = re.compile(r"P\d+(?:\.dxf|-[a-z]+\.svg)")
"""Names of cutting files."""


def patterns(job: Job) -> tuple[Collar, ...]:
    """Each pattern once, in order of name."""
    found = {d.collar.pattern: d.collar for d in job.designs.designs}
    return tuple(found[name] for name in sorted(found, key=lambda name: (len(name), name)))


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


def write_pack(bench: Workbench, folder: Path, *, as_json: bool) -> None:
    """Write every file of the pack and say what is there, in words or as JSON."""
    made = dict(files(bench))  # all of it before the first is written: no half a pack
    try:
        for name, data in made.items():
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
        outdated = remove_outdated(folder, made)
    except OSError as error:
        raise cannot("be written", folder, error) from error
    if as_json:
        print_json(_told(bench.job, folder, list(made), outdated))
    else:
        _say(bench.job, folder, list(made), outdated)


def remove_outdated(folder: Path, made: Container[str]) -> list[str]:
    """Remove the cutting files of an earlier pack: nobody shall cut what is no longer designed.

    Args:
        folder: Of the pack; files of other names are left alone.
        made: Paths in the pack that were written now.

    Returns:
        Their paths in the pack.
    """
    cutting = sorted((folder / "cutting").glob("P*"))
    names = [f"cutting/{path.name}" for path in cutting if _CUTTING.fullmatch(path.name)]
    outdated = [name for name in names if name not in made]
    for name in outdated:
        (folder / name).unlink()
    return outdated


def _told(job: Job, folder: Path, written: list[str], outdated: list[str]) -> dict[str, object]:
    return {
        "folder": str(folder),
        "files": written,
        "removed": outdated,
        "counts": {
            "connections": len(job.survey.connections),
            "runs": len(job.survey.runs),
            "collars": len(job.designs.designs),
            "refused": len(job.designs.refusals),
            "shifts": len(job.programme.shifts),
            "not_planned": len(job.programme.unplanned),
            "findings": len(job.findings),
        },
        "invented": job.site.invented or job.kit.invented,
    }


def _say(job: Job, folder: Path, written: list[str], outdated: list[str]) -> None:
    console = out()
    cutting = sum(name.startswith("cutting/") for name in written)
    lists = sum(name.startswith("lists/") for name in written)
    console.print(
        f"{counted(len(job.survey.connections), 'connection')} in "
        f"{counted(len(job.survey.runs), 'run')}: "
        f"{counted(len(job.designs.designs), 'collar')}, {len(job.designs.refusals)} refused, "
        f"{counted(len(job.programme.shifts), 'shift')}, "
        f"{len(job.programme.unplanned)} not planned, {counted(len(job.findings), 'finding')}"
    )
    console.print(
        f"{folder / 'pack.pdf'}, {counted(lists, 'list')}, {counted(cutting, 'cutting file')}"
    )
    if outdated:
        console.print(f"removed from an earlier pack: {', '.join(outdated)}")
    if job.site.invented:
        console.print("All data of this job are invented.")
