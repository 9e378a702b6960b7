"""Write the pack into a folder."""

from collections.abc import Container
from pathlib import Path

from teewright.bench.cutting import OnRoll, is_of_a_pack, on_roll
from teewright.bench.packing import pack_files
from teewright.bench.workbench import Workbench
from teewright.cli.common import cannot, out, print_json
from teewright.cli.tables import counted
from teewright.job.values import Job
from teewright.store.project import Project


def write_pack(bench: Workbench[Project], folder: Path, *, as_json: bool) -> None:
    """Write every file of the pack and say what is there, in words or as JSON."""
    job = bench.job_as_planned
    bench.progress("nesting the order on the roll")
    roll = on_roll(job, bench.project)
    made = dict(pack_files(bench, roll))  # all of it before the first is written: no half a pack
    try:
        for name, data in made.items():
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
        outdated = remove_outdated(folder, made)
    except OSError as error:
        raise cannot("be written", folder, error) from error
    if as_json:
        print_json(_told(job, roll, folder, list(made), outdated))
    else:
        _say(job, roll, folder, list(made), outdated)


def remove_outdated(folder: Path, made: Container[str]) -> list[str]:
    """Remove the cutting files of an earlier pack: nobody shall cut what is no longer designed.

    Args:
        folder: Of the pack; files of other names are left alone.
        made: Paths in the pack that were written now.

    Returns:
        Their paths in the pack.
    """
    found = sorted(path.name for path in (folder / "cutting").glob("*"))
    names = [f"cutting/{name}" for name in found if is_of_a_pack(name)]
    outdated = [name for name in names if name not in made]
    for name in outdated:
        (folder / name).unlink()
    return outdated


def _told(
    job: Job, roll: OnRoll, folder: Path, written: list[str], outdated: list[str]
) -> dict[str, object]:
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
        "nest": _nest_told(roll),
        "invented": job.site.invented or job.kit.invented,
    }


def _nest_told(roll: OnRoll) -> dict[str, object] | None:
    """The nest for programs; null where nothing is to be cut."""
    if roll.nest is None:
        return {"problem": roll.problem} if roll.problem else None
    return {
        "pieces": len(roll.nest.placements),
        "roll_width_m": round(roll.nest.roll_width, 4),
        "length_m": round(roll.nest.length, 4),
        "utilisation": round(roll.nest.utilisation, 4),
        "gap_mm": round(1e3 * roll.nest.gap, 3),
        "method": roll.nest.method,
        "problem": None,
    }


def _say(job: Job, roll: OnRoll, folder: Path, written: list[str], outdated: list[str]) -> None:
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
    if roll.nest or roll.problem:
        console.print(_nest_words(roll))
    if outdated:
        console.print(f"removed from an earlier pack: {', '.join(outdated)}")
    if job.site.invented:
        console.print("All data of this job are invented.")


def _nest_words(roll: OnRoll) -> str:
    if roll.nest is None:
        return f"the order is not nested: {roll.problem}"
    return (
        f"{counted(len(roll.nest.placements), 'piece')} nested on {roll.nest.length:.2f} m of a "
        f"roll of {roll.nest.roll_width:.2f} m, {100.0 * roll.nest.utilisation:.0f} % of it used"
    )
