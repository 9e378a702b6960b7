"""The pack: one PDF of a whole job."""

import json
from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime
from pathlib import Path

import typst

from teewright.job.values import Job
from teewright.report import letters, words
from teewright.report.index import JobIndex
from teewright.report.sheets import (
    appendix,
    collar,
    connections,
    cover,
    findings,
    pattern,
    price,
    record,
    run,
    shift,
    summary,
    unsealed,
)
from teewright.report.sheets.sheet import Json, Sheet

_TEMPLATES = Path(__file__).parent / "templates"


def sheets(job: Job, drawings: Sequence[str] = ()) -> list[Sheet]:
    """Every sheet of a job's pack, in the order in which it is bound.

    Args:
        job: The job.
        drawings: Names of the cutting files.

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
        *pattern.sheets(index, drawings),
        *collar.sheets(index, numbers),
        *shift.sheets(index),
        *price.sheets(index),
        *record.sheets(index, numbers),
        *findings.sheets(index),
        *appendix.sheets(index, numbers),
    ]
    return [cover.sheet(index, inner), *inner]


def pack_data(
    job: Job, *, made: date, issue: str = "A", drawings: Sequence[str] = ()
) -> Mapping[str, Json]:
    """All that the templates set, as JSON.

    Args:
        job: The job.
        made: Day on which the pack is made.
        issue: Letter of the issue.
        drawings: Names of the cutting files, listed on the sheet of their pattern.

    Returns:
        Data; no text in it is ever read as markup.
    """
    bound = sheets(job, drawings)
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


def build_pdf(job: Job, *, made: date, issue: str = "A", drawings: Sequence[str] = ()) -> bytes:
    """Set the pack.

    Args:
        job: The job.
        made: Day on which the pack is made, printed on each sheet.
        issue: Letter of the issue.
        drawings: Names of the cutting files, listed on the sheet of their pattern.

    Returns:
        PDF; the same bytes for the same arguments.
    """
    text = json.dumps(pack_data(job, made=made, issue=issue, drawings=drawings), ensure_ascii=False)
    data = text.encode("utf-8", "replace").decode("utf-8")
    stamp = datetime(made.year, made.month, made.day, tzinfo=UTC)
    return typst.compile(
        str(_TEMPLATES / "main.typ"),
        root=str(_TEMPLATES),
        font_paths=[str(letters.FONTS)],
        ignore_system_fonts=True,
        format="pdf",
        sys_inputs={"data": data},
        timestamp=int(stamp.timestamp()),
    )
