"""The flow as the sheets tell it: hours, pumps, and how high the water stands as planned."""

from collections.abc import Sequence
from datetime import timedelta

from teewright.hydraulics.values import blocked_hours, pump_wanted, pumps_by_hour
from teewright.job.values import Design, PlannedHold
from teewright.report import letters, words
from teewright.report.figures import windows
from teewright.report.sheets.appendix import Appendix
from teewright.report.sheets.sheet import Json
from teewright.units import LITRE, MM

_WIDE, _SIZE, _FIGURE = 178.0, 9.0, 12.0
"""Width of the line of the shift sheet [mm], size of its words and of its figures [pt]."""
_GAPS = 4.5
"""Between the words of a part, and to the next one [mm]."""


def hour_ranges(hours: Sequence[int]) -> str:
    """Hours of the day as ranges, `22–06`; `any hour` and `never` at the ends."""
    if len(set(hours)) >= 24:
        return "any hour"
    return ", ".join(_range(stretch) for stretch in _stretches(hours)) or "never"


def _stretches(hours: Sequence[int]) -> list[list[int]]:
    """Hours that follow one another, over midnight too; fewer than all of a day."""
    known = set(hours)
    out = []
    for start in sorted(h for h in known if (h - 1) % 24 not in known):
        stretch = [start]
        while (stretch[-1] + 1) % 24 in known:
            stretch.append((stretch[-1] + 1) % 24)
        out.append(stretch)
    return out


def _range(stretch: Sequence[int]) -> str:
    return f"{stretch[0]:02d}–{(stretch[-1] + 1) % 24:02d}"


def hours_row(design: Design, trace: Appendix) -> windows.Hours:
    """Hours in which the main may be blocked, or what it takes where there is none.

    Args:
        design: Of the connection.
        trace: Numbered rows.

    Returns:
        Row of the collar sheet.
    """
    bypass, flow = design.bypass, design.flow
    allowed = blocked_hours(bypass, flow)
    answer = hour_ranges(allowed)
    if not allowed:
        pump = pump_wanted(bypass, flow)
        answer = answer if pump is None else f"needs {pump / LITRE:.2f} l/s pumped"
    name, note = "Main may be blocked", f"bypass {bypass.capacity / LITRE:.2f} l/s"
    number = trace.find(design, "Bypass", bypass.capacity)
    if flow is not None:
        name, note = "Hold may begin", f"water {flow.kept / MM:.0f} mm below drains"
        number = trace.find(design, "Blocked main", flow.kept)
    return windows.Hours(name, note, allowed, answer, number)


def pumps(design: Design) -> str:
    """Hours of which some start needs a pump, and the flow with which all of them may be made.

    Args:
        design: Of the connection.

    Returns:
        `05–22: 2.2 l/s`, stretches apart by semicolons; empty where no start needs one.
    """
    if design.flow is None:
        return ""
    needed = dict(pumps_by_hour(design.flow))
    stretches = _stretches(tuple(needed)) if len(needed) < 24 else [list(range(24))]
    told = []
    for stretch in stretches:
        flows = [needed[hour] for hour in stretch]
        known = [flow for flow in flows if flow is not None]
        most = f"{max(known) / LITRE:.2f} l/s" if len(known) == len(flows) else "no pump is enough"
        span = "at all hours" if len(stretch) == 24 else _range(stretch)
        told.append(f"{span}: {most}")
    return "; ".join(told)


def water(hold: PlannedHold | None) -> list[Json]:
    """How high the water stands behind the packer as planned, in few words for the crew.

    Args:
        hold: As planned, or None where no level is known.

    Returns:
        (words before, figure, words after) of each part; together they fit on one line.
    """
    if hold is None:
        return [["Water behind the packer:", "not known", "watch it"]]
    near, reached = f"{abs(hold.freeboard) / MM:.0f} mm", hold.start + timedelta(seconds=_end(hold))
    side = "below" if hold.freeboard >= 0.0 else "above"
    parts = [["Water up to", f"{max(hold.greatest - hold.invert, 0.0):.2f} m", ""]]
    if hold.pumped:
        parts.append(["pump", f"{hold.pumped / LITRE:.2f} l/s", ""])
    parts.append(["", near, side])
    end = "nothing reached by" if hold.reached is None else ""
    parts.append([f"If it stays: {end}".rstrip(), words.at(reached), ""])
    return [list(part) for part in _named(parts, hold)]


def _end(hold: PlannedHold) -> float:
    """When the first place is reached, or until when none is [s]."""
    return hold.looked if hold.reached is None else hold.reached


def _named(parts: list[list[str]], hold: PlannedHold) -> list[list[str]]:
    """The parts with their places, each as long as the line has room for."""
    names = [hold.place, *([hold.reached_place] if hold.reached is not None else [])]
    used = sum(
        letters.width(before, _SIZE)
        + letters.width(figure, _FIGURE, 700)
        + letters.width(after, _SIZE)
        + _GAPS
        for before, figure, after in parts
    )
    reaches = " reached at"
    used += letters.width(reaches, _SIZE) if hold.reached is not None else 0.0
    room = (_WIDE - used) / len(names)
    near, *others = [letters.shorten(name, room, _SIZE) for name in names]
    *front, left, last = parts
    left = [left[0], left[1], f"{left[2]} {near}"]
    if others:
        last = [f"{last[0]} {others[0]}{reaches}", last[1], last[2]]
    return [*front, left, last]
