"""Whether one collar cures, holds and passes the flow: verdicts and window bars for a page."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from markupsafe import Markup, escape

from teewright.findings import Finding
from teewright.hydraulics.values import blocked_hours, pump_wanted
from teewright.job.values import Design
from teewright.report import words
from teewright.report.sheets.flow import hour_ranges
from teewright.resin.values import Governs
from teewright.trace import TraceRow
from teewright.units import MINUTE
from teewright.wall.values import PartCheck
from teewright.web.quantities import System, quantity
from teewright.web.texts import text
from teewright.web.window_bars import WindowBar, drawn


class Part(StrEnum):
    """What is asked of a collar on its day."""

    CURE = "cure"
    HOLD = "hold"
    FLOW = "flow"


@dataclass(frozen=True, slots=True)
class Bar:
    """One quantity against its limits.

    Attributes:
        name: Of it.
        value: Large.
        note: Under the bar.
        bar: Drawn.
    """

    name: str
    value: str
    note: str
    bar: Markup


def troubles(design: Design) -> tuple[tuple[Part, str], ...]:
    """What stands against a collar, one plain sentence each."""
    return (*_cure_troubles(design), *_hold_troubles(design), *_flow_troubles(design))


def _cure_troubles(design: Design) -> Iterator[tuple[Part, str]]:
    found = design.forecast
    if found is not None and found.chance < found.wanted and not math.isfinite(found.sure):
        chance, wanted = (f"{100.0 * share:.0f}" for share in (found.chance, found.wanted))
        yield Part.CURE, text("day.trouble.release", chance=chance, wanted=wanted)


def _hold_troubles(design: Design) -> Iterator[tuple[Part, str]]:
    if design.pressure.set is None:
        yield Part.HOLD, text("day.trouble.pressure")
    if design.wall_too_thin:
        used = f"{100.0 * design.governing_wall.utilisation:.0f}"
        yield Part.HOLD, text("day.trouble.wall", used=used, case=design.wall_governs)
    if design.tight is not None and design.tight.utilisation > 1.0:
        yield Part.HOLD, text("day.trouble.tight", place=design.tight.governing)


def _flow_troubles(design: Design) -> Iterator[tuple[Part, str]]:
    if not blocked_hours(design.bypass, design.flow):
        yield Part.FLOW, text("day.trouble.flow")


def answer(design: Design, system: System) -> str:
    """Whether it cures, holds and passes the flow, one sentence."""
    found = dict(reversed(troubles(design)))
    if found:
        asked = [text(f"day.not.{part}") for part in Part if part in found]
        return text("day.answer_not", what=words.listed(asked))
    return text(
        "day.answer_this",
        pressure=quantity(design.pressure.set, "bar", system),
        by=words.span(design.cure.latest_inflation, up=False),
        release=words.span(design.cure.release_time, up=True),
    )


def hours_words(design: Design, system: System) -> str:
    """Hours in which the main may be blocked."""
    allowed = blocked_hours(design.bypass, design.flow)
    if not allowed and design.flow is not None:
        pump = pump_wanted(design.bypass, design.flow)
        if pump is not None:
            return text("day.pumped", flow=quantity(pump, "l/s", system))
    return hour_ranges(allowed)


def chance_words(design: Design) -> str:
    """How sure the release is."""
    found = design.forecast
    if found is None:
        return text("day.no_chance")
    return text("day.chance", chance=f"{math.floor(100.0 * found.chance + 1e-9)}")


def governs_words(design: Design, place: int) -> str:
    """What a deadline rests on, and what the other one says.

    Args:
        design: Of the collar.
        place: 0 for the latest inflation, 1 for the release.
    """
    cure = design.cure
    by = (cure.latest_by, cure.release_by)[place]
    if cure.sheet is None or cure.computed is None:
        return text("day.governs.alone" if design.forecast is None else "day.governs.sheet_only")
    other = (cure.computed if by is Governs.SHEET else cure.sheet)[place]
    if not math.isfinite(other):
        return text("day.governs.never")
    key = "sheet" if by is Governs.SHEET else "computed"
    return text(f"day.governs.{key}", other=(_until, _from)[place](other))


def _until(seconds: float) -> str:
    """A deadline, rounded down."""
    return f"{math.floor(seconds / MINUTE + 1e-9)}\u00a0min"


def _from(seconds: float) -> str:
    """An earliest time, rounded up."""
    return f"{math.ceil(seconds / MINUTE - 1e-9)}\u00a0min"


def cure_bars(design: Design) -> tuple[Bar, ...]:
    """Deadline of the inflation and earliest release, with what was computed for the day."""
    cure, found = design.cure, design.forecast
    sure = found is not None and math.isfinite(found.release[2])
    longest = max(cure.release_time, found.release[2] if found and sure else 0.0)
    by, release = (
        words.span(cure.latest_inflation, up=False),
        words.span(cure.release_time, up=True),
    )
    working = found.working if found is not None else None
    return (
        Bar(
            text("day.by"),
            by,
            text("day.by_note", gone=_until(cure.working_time), governs=governs_words(design, 0)),
            drawn(
                WindowBar(
                    name=f"{text('day.by')}: {by}",
                    ends=(0.0, 1.1 * max(cure.working_time, working[2] if working else 0.0)),
                    write=_until,
                    most=cure.latest_inflation,
                    spread=(working[0], working[2]) if working else None,
                    ticks=((cure.working_time, _until(cure.working_time)),),
                )
            ),
        ),
        Bar(
            text("day.release"),
            release,
            text(
                "day.release_note" if sure else "day.release_plain",
                chance=chance_words(design),
                governs=governs_words(design, 1),
            ),
            drawn(
                WindowBar(
                    name=f"{text('day.release')}: {release}",
                    ends=(0.0, 1.15 * longest),
                    write=_from,
                    least=cure.release_time,
                    spread=(found.release[0], found.release[2]) if found and sure else None,
                    at=found.sure if found is not None and math.isfinite(found.sure) else None,
                )
            ),
        ),
    )


def pressure_bar(design: Design, system: System) -> Bar:
    """The window of the pressure."""
    window = design.pressure

    def write(value: float) -> str:
        return quantity(value, "bar", system)

    value = text("day.no_pressure") if window.set is None else write(window.set)
    limits = tuple((p, name) for name, p in window.high_limits if p > window.high)[:2]
    end = 1.25 * max(window.high, window.low, *(p for p, _ in limits))
    bar = WindowBar(
        name=f"{text('day.pressure')}: {value}",
        ends=(0.0, end),
        write=write,
        least=window.low,
        most=window.high if window.is_open else None,
        at=window.set,
        ticks=tuple((p, write(p)) for p, _ in limits),
    )
    note = text(
        "day.pressure_note", low=write(window.low), low_by=window.low_governs,
        high=write(window.high), high_by=window.high_governs,
    )  # fmt: skip
    return Bar(text("day.pressure"), value, note, drawn(bar))


def wall_bars(design: Design, system: System) -> tuple[Bar, ...]:
    """Thickness of each part against what its governing case needs."""
    return tuple(_wall_bar(part, system) for part in design.walls.parts)


def _wall_bar(part: PartCheck, system: System) -> Bar:
    def write(value: float) -> str:
        return quantity(value, "mm", system)

    name = text("day.wall", part=part.name)
    used = f"{100.0 * part.utilisation:.0f}\u00a0%"
    needed, have = (quantity(v, "mm", system, digits=2) for v in (part.required, part.provided))
    bar = WindowBar(
        name=f"{name}: {used}",
        ends=(0.0, 1.4 * max(part.required, part.provided)),
        write=write,
        least=part.required,
        at=part.provided,
    )
    note = text("day.wall_note", have=have, needed=needed, case=part.governing)
    return Bar(name, text("day.used", share=used), note, drawn(bar))


def hours_bar(allowed: tuple[int, ...], name: str) -> Markup:
    """The hours of a day, those that are not allowed hatched."""
    marks = [
        f'<rect x="{hour / 0.24:.2f}%" y="8" width="{1 / 0.24:.2f}%" height="16"'
        ' fill="url(#hatch)"/>'
        for hour in range(24)
        if hour not in allowed
    ]
    for hour in range(25):
        foot = 28 if hour % 6 == 0 else 24
        x = f"{hour / 0.24:.2f}%"
        marks.append(
            f'<line class="thin" x1="{x}" x2="{x}" y1="{18 if hour % 6 else 8}" y2="{foot}"/>'
        )
    for hour in (0, 6, 12, 18, 24):
        anchor = {0: "", 24: " e"}.get(hour, " m")
        marks.append(f'<text class="n{anchor}" x="{hour / 0.24:.2f}%" y="42">{hour:02d}</text>')
    body = '<rect class="hairbox" x="0" y="8" width="100%" height="16"/>' + "".join(marks)
    return Markup(
        f'<svg class="window hours" width="100%" height="46" role="img"'
        f' aria-label="{escape(name)}">{body}</svg>'
    )


def traces(design: Design) -> tuple[tuple[str, tuple[TraceRow, ...]], ...]:
    """(name, rows) of each calculation, in the order to check them."""
    forecast, walls, flow = design.forecast, design.walls, design.flow
    found = (
        ("connection", design.trace),
        ("resin", design.resin.trace),
        ("times", design.cure.trace),
        ("cure", forecast.trace if forecast else ()),
        ("pressure", design.pressure.trace),
        ("wall", design.wall_trace),
        ("branch", walls.parts[1].trace if walls else ()),
        ("closed", walls.beside.trace if walls else ()),
        ("tight", design.tight.trace if design.tight else ()),
        ("bypass", design.bypass.trace),
        ("blocked", flow.trace if flow else ()),
    )
    return tuple((name, rows) for name, rows in found if rows)


_RULES = {
    Part.CURE: ("release", "cure", "gel", "hot", "batch", "work"),
    Part.HOLD: ("wall", "tight", "pressure", "overlap"),
    Part.FLOW: ("block", "flow", "level", "bypass", "pump"),
}


def part_of(finding: Finding) -> Part | None:
    """What a finding of a design speaks of, or None."""
    return next(
        (part for part, keys in _RULES.items() if any(key in finding.rule for key in keys)), None
    )
