"""Tests on a fabric as CSV: strips pulled, and thickness under pressure.

Delimiter `;`, `,` or tab; decimal comma or point where the delimiter is not the comma; lines
that begin with `#` are comments. Names of columns may be in any order; those in brackets are
optional, those after `/` are other names for the same column.

Strips, one reading a line, those of one strip in the order in which they were taken:
[`specimen` / `strip`], `direction` (along, across, bias), `width_mm` and `gauge_mm` /
`gauge_length_mm` not stretched, `force_n`, `extension_mm` of the gauge length,
[`stretched_width_mm`] in the middle of the strip.

Thickness, one reading a line: [`specimen`], `pressure_kpa` or `pressure_bar`, `thickness_mm`.
"""

from collections.abc import Iterable, Sequence

from teewright.errors import FileFormatError
from teewright.fabric.values import Direction, StripReading, ThicknessReading
from teewright.findings import Finding, FindingKind
from teewright.formats.csv_table import Line, Table, read_table
from teewright.formats.text import FindingLog
from teewright.units import BAR, KPA, MM

STRIP_COLUMNS = (
    "specimen",
    "direction",
    "width_mm",
    "gauge_mm",
    "force_n",
    "extension_mm",
    "stretched_width_mm",
)
THICKNESS_COLUMNS = ("specimen", "pressure_kpa", "thickness_mm")
STRIP_TEMPLATE = f"""# Strips of one fabric, pulled until the force falls: one reading a line.
# direction: along (the grain), across, bias (45 degrees); three strips of each are wanted.
# width and gauge length not stretched; extension 0 where the strip just comes tight.
# stretched_width_mm: in the middle, at that reading; may be left out where not measured.
{";".join(STRIP_COLUMNS)}
"""
THICKNESS_TEMPLATE = f"""# Dry thickness of one fabric under pressure: one reading a line.
# From the least pressure your gauge can do up to the highest of your packers (100 kPa = 1 bar).
{";".join(THICKNESS_COLUMNS)}
"""
_ALIASES = {
    "strip": "specimen",
    "gauge_length_mm": "gauge_mm",
    "cut": "direction",
}
_WORDS = {
    "along": Direction.ALONG,
    "0": Direction.ALONG,
    "across": Direction.ACROSS,
    "90": Direction.ACROSS,
    "bias": Direction.BIAS,
    "45": Direction.BIAS,
}
_ONE = "1"
_WIDTH_SHARE = (0.15, 1.3)
"""Width while stretched over width that a textile may have [-]."""
_MOST_EXTENSION = 2.0
"""Extension over gauge length that a textile may reach [-]."""
_MOST_TENSION = 2e5
"""Force per width that a textile for collars may carry [N/m]."""
_LEAST_EXTENSION = 0.005
"""A strip that is not pulled beyond this share of its gauge length is doubted [-]."""


def read_strips(data: bytes, *, file: str) -> tuple[tuple[StripReading, ...], tuple[Finding, ...]]:
    """Read strip tensile tests.

    Args:
        data: The file.
        file: Its name, for messages.

    Returns:
        (readings in SI units, in the order of the file; findings).

    Raises:
        FileFormatError: It is no such table, or holds no reading.
        InputError: A value is missing, not a number, or not of the size of its unit.
    """
    log = FindingLog(file)
    table = read_table(data, log=log, aliases=_ALIASES)
    _need(table, [c for c in STRIP_COLUMNS if c not in {"specimen", "stretched_width_mm"}], file)
    _unknown(table, STRIP_COLUMNS, log)
    if "specimen" not in table.columns:
        text = "there is no column specimen: all readings of a direction are taken as one strip"
        log.add(FindingKind.ASSUMED, "strips-not-named", text)
    readings = tuple(_strip(line) for line in table.lines)
    _same_strip(readings, table.lines)
    _small_extension(readings, log)
    return readings, log.findings()


def read_thickness(
    data: bytes, *, file: str
) -> tuple[tuple[ThicknessReading, ...], tuple[Finding, ...]]:
    """Read thickness under pressure.

    Args:
        data: The file.
        file: Its name, for messages.

    Returns:
        (readings in SI units, in the order of the file; findings).

    Raises:
        FileFormatError: It is no such table, or holds no reading.
        InputError: A value is missing, not a number, or not of the size of its unit.
    """
    log = FindingLog(file)
    table = read_table(data, log=log, aliases=_ALIASES)
    in_bar = "pressure_bar" in table.columns
    if in_bar and "pressure_kpa" in table.columns:
        raise FileFormatError(
            "has both pressure_kpa and pressure_bar", file=file, allowed="one of them"
        )
    pressure = "pressure_bar" if in_bar else "pressure_kpa"
    _need(table, (pressure, "thickness_mm"), file)
    _unknown(table, ("specimen", pressure, "thickness_mm"), log)
    unit, most = (BAR, 10.0) if in_bar else (KPA, 1000.0)
    readings = tuple(
        ThicknessReading(
            pressure=_amount(line, pressure, 0.0, most) * unit,
            thickness=_amount(line, "thickness_mm", 0.1, 30.0) * MM,
            specimen=line.text("specimen"),
        )
        for line in table.lines
    )
    return readings, log.findings()


def _need(table: Table, needed: Iterable[str], file: str) -> None:
    for name in needed:
        if name not in table.columns:
            raise FileFormatError(
                f"has no column {name}", file=file, value=", ".join(table.columns),
                allowed="columns with the unit in their name, as --template writes them",
            )  # fmt: skip
    if not table.lines:
        raise FileFormatError("holds no reading", file=file, allowed="a line for each reading")


def _unknown(table: Table, known: Sequence[str], log: FindingLog) -> None:
    for name in table.columns:
        if name not in known:
            text = f"the column {name} is not used"
            log.add(FindingKind.NOTE, "column-not-used", text, field=name)


def _amount(line: Line, field: str, low: float, high: float) -> float:
    found = line.amount(field, low=low, high=high)
    if found is None:
        raise line.error("is empty", field, f"{low:g} to {high:g}")
    return found


def _strip(line: Line) -> StripReading:
    word = line.text("direction", required=True).lower().rstrip("° ")
    if word not in _WORDS:
        raise line.error("is no direction of a strip", "direction", "along, across or bias")
    width = _amount(line, "width_mm", 5.0, 500.0)
    gauge = _amount(line, "gauge_mm", 10.0, 2000.0)
    # what the unit of a column makes implausible is told with the range that it leaves
    force = _amount(line, "force_n", 0.0, _MOST_TENSION * width * MM)
    extension = _amount(line, "extension_mm", -0.02 * gauge, _MOST_EXTENSION * gauge)
    low, high = (share * width for share in _WIDTH_SHARE)
    narrow = line.amount("stretched_width_mm", low=low, high=high)
    return StripReading(
        specimen=line.text("specimen") or _ONE,
        direction=_WORDS[word],
        width=width * MM,
        gauge=gauge * MM,
        force=force,
        extension=extension * MM,
        stretched_width=None if narrow is None else narrow * MM,
    )


def _same_strip(readings: Sequence[StripReading], lines: Sequence[Line]) -> None:
    """A strip keeps its width and gauge length from its first reading on."""
    first: dict[tuple[Direction, str], StripReading] = {}
    for reading, line in zip(readings, lines, strict=True):
        begun = first.setdefault((reading.direction, reading.specimen), reading)
        for field, value, kept in (
            ("width_mm", reading.width, begun.width),
            ("gauge_mm", reading.gauge, begun.gauge),
        ):
            if abs(value - kept) > 1e-9:
                problem = f"changes within strip {reading.specimen} {reading.direction.words}"
                allowed = f"{kept / MM:g}, as in its first reading; extension has its own column"
                raise line.error(problem, field, allowed)


def _small_extension(readings: Sequence[StripReading], log: FindingLog) -> None:
    reached: dict[tuple[Direction, str], float] = {}
    for r in readings:
        key = (r.direction, r.specimen)
        reached[key] = max(reached.get(key, 0.0), r.extension / r.gauge)
    for (direction, name), most in reached.items():
        if most < _LEAST_EXTENSION:
            text = (
                f"strip {name} {direction.words} was pulled by {100.0 * most:.2g} % only: "
                "the extension may not be in mm"
            )
            log.add(FindingKind.DOUBT, "strip-extension", text, field="extension_mm")
