"""The sheets of one collar without a project: what is cut, and how it lands."""

import json
from pathlib import Path

import typst

from teewright.collar.making import Made
from teewright.kit.values import Fabric, Kit
from teewright.report import letters
from teewright.report.sheets import landing, pattern

_UNDATED = [2000, 1, 1]
"""A collar without a project has no day: the same collar gives the same bytes."""
_TEMPLATES = Path(__file__).parent / "templates"


def collar_pdf(made: Made, kit: Kit, fabric: Fabric) -> bytes:
    """Set the sheets of one collar.

    Args:
        made: The collar and its picture.
        kit: Whose fabric it is.
        fabric: Its fabric.

    Returns:
        PDF: the pattern sheet and the landing sheet; the same bytes for the same arguments.
    """
    collar = made.collar
    sheets = [pattern.alone(made.collar), landing.sheet_of(collar, made.map, fabric)]
    data = {
        "title": f"Collar {collar.pattern}",
        "job": letters.clip(f"Collar {collar.pattern}", 47.0, 9.0, 600),
        "issue": "",
        "fingerprint": "",
        "invented": kit.invented,
        "made": _UNDATED,
        "sheets": [sheet.data(k) for k, sheet in enumerate(sheets, 1)],
    }
    text = json.dumps(data, ensure_ascii=False).encode("utf-8", "replace").decode("utf-8")
    return typst.compile(
        str(_TEMPLATES / "main.typ"),
        root=str(_TEMPLATES),
        font_paths=[str(letters.FONTS)],
        ignore_system_fonts=True,
        format="pdf",
        sys_inputs={"data": text},
        timestamp=0,
    )
