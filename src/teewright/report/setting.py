"""Data set by the templates of this room, as PDF."""

import json
from pathlib import Path

import typst

from teewright.report import letters
from teewright.report.sheets.sheet import Json

_TEMPLATES = Path(__file__).parent / "templates"


def set_pdf(template: str, data: Json, *, stamp: int = 0) -> bytes:
    """Set data with a template.

    Args:
        template: File of the template.
        data: What it prints; characters that no text can hold are set as `?`.
        stamp: Moment that the file says it was made at, seconds since 1970 [s].

    Returns:
        PDF; the same bytes for the same arguments.
    """
    text = json.dumps(data, ensure_ascii=False).encode("utf-8", "replace").decode("utf-8")
    return typst.compile(
        str(_TEMPLATES / template),
        root=str(_TEMPLATES),
        font_paths=[str(letters.FONTS)],
        ignore_system_fonts=True,
        format="pdf",
        sys_inputs={"data": text},
        timestamp=stamp,
    )
