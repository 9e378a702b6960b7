"""The sheets of one collar without a project: what is cut, and how it lands."""

from teewright.collar.made import Made
from teewright.kit.values import Fabric, Kit
from teewright.report import letters
from teewright.report.setting import set_pdf
from teewright.report.sheets import landing, pattern
from teewright.report.sheets.sheet import Json

_UNDATED = [2000, 1, 1]
"""A collar without a project has no day: the same collar gives the same bytes."""


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
    data: dict[str, Json] = {
        "title": f"Collar {collar.pattern}",
        "job": letters.clip(f"Collar {collar.pattern}", 47.0, 9.0, 600),
        "issue": "",
        "fingerprint": "",
        "invented": kit.invented,
        "made": _UNDATED,
        "sheets": [sheet.data(k) for k, sheet in enumerate(sheets, 1)],
    }
    return set_pdf("main.typ", data)
