"""The pack: one PDF of a whole job."""

from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime

from teewright.collar.nesting import Nest
from teewright.job.values import Job
from teewright.report import letters, words
from teewright.report.index import JobIndex
from teewright.report.setting import set_pdf
from teewright.report.sheets import (
    appendix,
    collar,
    connections,
    cover,
    cure,
    day,
    families,
    findings,
    landing,
    nesting,
    pattern,
    price,
    record,
    run,
    savings,
    shift,
    summary,
    unsealed,
    walls,
)
from teewright.report.sheets.sheet import Json, Sheet


def sheets(job: Job, drawings: Sequence[str] = (), nest: Nest | None = None) -> list[Sheet]:
    """Every sheet of a job's pack, in the order in which it is bound.

    Args:
        job: The job.
        drawings: Names of the cutting files.
        nest: The whole order on its roll, or None where it was not nested.

    Returns:
        Cover first.
    """
    index = JobIndex(job)
    numbers = appendix.build(index)
    inner = [
        *summary.sheets(index),
        *unsealed.sheets(index),
        *connections.sheets(index),
        *run.sheets(index),
        *families.sheets(index),
        *_patterns(index, drawings),
        *nesting.sheets(index, nest),
        *collar.sheets(index, numbers),
        *walls.sheets(index),
        *day.sheets(index),
        *shift.sheets(index),
        *price.sheets(index),
        *savings.sheets(index),
        *record.sheets(index, numbers),
        *findings.sheets(index),
        *appendix.sheets(index, numbers, cure.curve(index)),
    ]
    return [cover.sheet(index, inner), *inner]


def _patterns(index: JobIndex, drawings: Sequence[str]) -> list[Sheet]:
    """What is cut of each pattern, and how it lands."""
    cut = zip(pattern.by_pattern(index), pattern.sheets(index, drawings), strict=True)
    return [sheet for name, first in cut for sheet in (first, landing.sheet(index, name))]


def pack_data(
    job: Job,
    *,
    made: date,
    issue: str = "A",
    drawings: Sequence[str] = (),
    nest: Nest | None = None,
) -> Mapping[str, Json]:
    """All that the templates set, as JSON.

    Args:
        job: The job.
        made: Day on which the pack is made.
        issue: Letter of the issue.
        drawings: Names of the cutting files, listed on the sheet of their pattern.
        nest: The whole order on its roll, or None where it was not nested.

    Returns:
        Data; no text in it is ever read as markup.
    """
    bound = sheets(job, drawings, nest)
    fingerprint = f"{job.fingerprint[:4]} {job.fingerprint[4:8]}".strip()
    return {
        "title": job.site.title,
        "job": letters.clip(job.site.title, 47.0, 9.0, 600),
        "issue": letters.shorten(f"{issue}, {words.full_day(made)}", 26.5, 9.0, 600),
        "fingerprint": fingerprint,
        "invented": JobIndex(job).invented,
        "made": [made.year, made.month, made.day],
        "sheets": [sheet.data(k) for k, sheet in enumerate(bound, 1)],
    }


def build_pdf(
    job: Job,
    *,
    made: date,
    issue: str = "A",
    drawings: Sequence[str] = (),
    nest: Nest | None = None,
) -> bytes:
    """Set the pack.

    Args:
        job: The job.
        made: Day on which the pack is made, printed on each sheet.
        issue: Letter of the issue.
        drawings: Names of the cutting files, listed on the sheet of their pattern.
        nest: The whole order on its roll, or None where it was not nested.

    Returns:
        PDF; the same bytes for the same arguments.
    """
    bound = pack_data(job, made=made, issue=issue, drawings=drawings, nest=nest)
    stamp = datetime(made.year, made.month, made.day, tzinfo=UTC)
    return set_pdf("main.typ", bound, stamp=int(stamp.timestamp()))
