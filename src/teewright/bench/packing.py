"""Every file of the pack, as bytes."""

from collections.abc import Iterator

from teewright.bench.cutting import PACK_PAPER, OnRoll, collar_files, nest_files, patterns
from teewright.bench.workbench import AnyShelf, Workbench
from teewright.formats.lists import write_csv, write_xlsx
from teewright.job.values import Job
from teewright.report.pack import build_pdf


def pack_files(bench: Workbench[AnyShelf], roll: OnRoll) -> Iterator[tuple[str, bytes]]:
    """(path in the pack, bytes) of every file."""
    job = bench.job_as_planned
    bench.progress("writing the cutting files")
    cutting = [(f"cutting/{name}", data) for name, data in _cutting(job, roll)]
    bench.progress("setting the sheets")
    drawings = [name for name, _ in cutting]
    yield "pack.pdf", build_pdf(job, made=bench.today, drawings=drawings, nest=roll.nest)
    bench.progress("writing the lists")
    yield "lists/job.xlsx", write_xlsx(job)
    for name, text in write_csv(job).items():
        yield f"lists/{name}", text.encode("utf-8-sig")
    yield from cutting


def _cutting(job: Job, roll: OnRoll) -> Iterator[tuple[str, bytes]]:
    collars = patterns(job)
    for collar in collars:
        yield from collar_files(collar, PACK_PAPER)
    if roll.nest is not None:
        yield from nest_files(roll.nest, collars)
