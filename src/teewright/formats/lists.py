"""The lists of a job as CSV and XLSX, one list for each kind of thing.

Numbers stay numbers, in the unit that their column's head names. Text that a spreadsheet might
run as a formula is kept as text: in CSV by an apostrophe before it, in XLSX by the cell's type.
"""

import csv
import io
import math
import re
import zipfile
from collections.abc import Sequence
from datetime import datetime

from openpyxl import Workbook
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE
from openpyxl.cell.cell import Cell as SheetCell
from openpyxl.styles import Alignment, Border, Font, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.worksheet import Worksheet

from teewright.formats.list_values import Cell, Column, Listed
from teewright.formats.lists_rows import LISTS
from teewright.job.values import Job

_FORMULA = ("=", "+", "-", "@", "\t", "\r")
_STAMP = (1980, 1, 1, 0, 0, 0)
_CREATED = datetime(2000, 1, 1)  # noqa: DTZ001 - the workbook format knows no time zone
_CHANGED = re.compile(rb"(<dcterms:modified[^>]*>)[^<]*(</dcterms:modified>)")
_LONGEST = 60
_CELL_LIMIT = 32767


def lists(job: Job) -> tuple[Listed, ...]:
    """Every list of a job, in the order of the work; a list may be empty."""
    return tuple(make(job) for make in LISTS)


def write_csv(job: Job) -> dict[str, str]:
    """Every list as CSV text.

    Args:
        job: The job.

    Returns:
        Text by file name, e.g. `connections.csv`; comma, point, quotes where needed, CRLF.
    """
    return {f"{one.name}.csv": _csv(one) for one in lists(job)}


def _csv(one: Listed) -> str:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([column.head for column in one.columns])
    for row in one.rows:
        cells = zip(row, one.columns, strict=True)
        writer.writerow([_csv_cell(value, column) for value, column in cells])
    return out.getvalue()


def _csv_cell(value: Cell, column: Column) -> str:
    if value is None or (isinstance(value, float) and not math.isfinite(value)):
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return value.isoformat(sep=" ", timespec="seconds")
    if isinstance(value, float):
        return f"{value:.{column.decimals}f}"
    if isinstance(value, int):
        return str(value)
    text = _encodable(value.replace("\x00", "\ufffd"))
    return f"'{text}" if text.startswith(_FORMULA) else text


def write_xlsx(job: Job) -> bytes:
    """Every list as one sheet of a workbook.

    Args:
        job: The job.

    Returns:
        XLSX; the same bytes for the same job.
    """
    book = Workbook()
    book.properties.created = _CREATED
    book.properties.creator = "Teewright"
    book.properties.title = _plain(job.site.title)
    first = book.active
    if first is not None:
        book.remove(first)
    for one in lists(job):
        _fill(book.create_sheet(one.name), one)
    out = io.BytesIO()
    book.save(out)
    return _same_bytes(out.getvalue())


def _fill(sheet: Worksheet, one: Listed) -> None:
    """Write one list with a frozen head, widths and number formats."""
    rule = Border(bottom=Side(style="medium"))
    for k, column in enumerate(one.columns, 1):
        cell = sheet.cell(row=1, column=k, value=column.head)
        cell.font, cell.border = Font(bold=True), rule
        cell.alignment = Alignment(wrap_text=True, vertical="bottom")
        sheet.column_dimensions[get_column_letter(k)].width = _width(column, one.rows, k - 1)
    for r, row in enumerate(one.rows, 2):
        for k, (value, column) in enumerate(zip(row, one.columns, strict=True), 1):
            target = sheet.cell(row=r, column=k)
            if isinstance(target, SheetCell):  # no cell is ever merged here
                _set(target, value, column)
    sheet.freeze_panes = "B2"
    if one.rows:
        last = get_column_letter(len(one.columns))
        sheet.auto_filter.ref = f"A1:{last}{len(one.rows) + 1}"
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.fitToHeight = 0
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    sheet.print_title_rows = "1:1"


def _set(cell: SheetCell, value: Cell, column: Column) -> None:
    if value is None or (isinstance(value, float) and not math.isfinite(value)):
        return
    if isinstance(value, bool):
        cell.value = "yes" if value else "no"
    elif isinstance(value, str):
        cell.value = _plain(value)
        cell.data_type = "s"
        cell.quotePrefix = value.startswith(_FORMULA)
    elif isinstance(value, datetime):
        cell.value = value.replace(tzinfo=None)
        cell.number_format = "yyyy-mm-dd hh:mm"
    else:
        cell.value = value
        decimals = column.decimals if isinstance(value, float) else 0
        cell.number_format = "0." + "0" * decimals if decimals else "0"


def _encodable(text: str) -> str:
    """The text without halves of surrogate pairs, which no file can hold."""
    return text.encode("utf-8", "replace").decode("utf-8")


def _plain(text: str) -> str:
    """Text that a workbook can hold: no control characters, no more than a cell's limit."""
    clean = _encodable(ILLEGAL_CHARACTERS_RE.sub("\ufffd", text))
    return clean if len(clean) <= _CELL_LIMIT else clean[: _CELL_LIMIT - 1] + "…"


def _width(column: Column, rows: Sequence[Sequence[Cell]], k: int) -> float:
    longest = max((len(_csv_cell(row[k], column)) for row in rows), default=0)
    word = max(len(part) for part in column.head.split())
    return float(min(max(longest, word) + 2, _LONGEST))


def _same_bytes(data: bytes) -> bytes:
    """Pack a workbook again with fixed dates, so that equal jobs give equal bytes."""
    out = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(data)) as source,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as target,
    ):
        for item in source.infolist():
            body = source.read(item)
            if item.filename == "docProps/core.xml":
                body = _CHANGED.sub(rb"\g<1>2000-01-01T00:00:00Z\g<2>", body)
            entry = zipfile.ZipInfo(item.filename, _STAMP)
            entry.compress_type = zipfile.ZIP_DEFLATED
            target.writestr(entry, body)
    return out.getvalue()
