"""Writes surveys as EN 13508-2 text in any style, for tests; shares no code with the reader."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from teewright.formats.en13508 import read
from teewright.network.reconcile import reconcile
from teewright.network.values import Inspection, Survey


@dataclass(frozen=True)
class Style:
    """How the file is written."""

    separator: str = ","
    decimal: str = "."
    qualifier: str = '"'
    charset: str = "UTF-8"
    codec: str = "utf-8"
    newline: str = "\r\n"
    quote_all: bool = False
    turned: bool = False  # columns in the opposite order
    headers: int = 1  # number of #B lines


@dataclass(frozen=True)
class Shot:
    """One observation."""

    station: float
    code: str
    char1: str = ""
    char2: str = ""
    q1: str = ""
    clock: str = ""
    clock_to: str = ""
    remark: str = ""
    continuous: str = ""


@dataclass(frozen=True)
class Film:
    """One inspection."""

    shots: Sequence[Shot]
    start: str = "S1"
    nodes: tuple[str, str] = ("S1", "S2")
    direction: str = "A"
    length: float | None = None
    pipe: str = "P1"
    date: str = "2024-05-06"
    time: str = "09:00"
    height: str = "300"
    more: dict[str, str] = field(default_factory=dict)


PLAIN = Style()


def write(*films: Film, style: Style = PLAIN) -> bytes:
    """The films as the bytes of one file."""
    lines = [
        f"#A1={style.charset}",
        "#A2=en",
        f"#A3={style.separator}",
        f"#A4={style.decimal}",
        f"#A5={style.qualifier}",
        "#A6=2010",
    ]
    for film in films:
        lines += _header(film, style)
        lines += _shots(film, style)
        lines.append("#Z")
    return (style.newline.join(lines) + style.newline).encode(style.codec)


def inspections(*films: Film, style: Style = PLAIN, file: str = "a.txt") -> list[Inspection]:
    """The films written and read again."""
    return list(read(write(*films, style=style), file=file)[0])


def survey(*films: Film) -> Survey:
    """The films written, read again and reconciled."""
    return reconcile(inspections(*films))


def connection(station: float, clock: str = "3", *, kind: str = "A", q1: str = "150") -> Shot:
    """An open connection."""
    return Shot(station, "BCA", kind, "A", q1, clock)


def finish(station: float) -> Shot:
    """The far node."""
    return Shot(station, "BCE", "XP")


def rules(result: Survey) -> set[str]:
    """Names of the rules that found something."""
    return {finding.rule for finding in result.findings}


def _header(film: Film, style: Style) -> list[str]:
    fields = {
        "AAA": film.pipe,
        "AAB": film.start,
        "AAD": film.nodes[0],
        "AAF": film.nodes[1],
        "AAK": film.direction,
        "ABF": film.date,
        "ABG": film.time,
        "ACB": film.height,
        "ABQ": "" if film.length is None else _number(film.length, style),
        **film.more,
    }
    items = list(fields.items())
    if style.turned:
        items.reverse()
    lines: list[str] = []
    for n in range(style.headers):
        part = items[n :: style.headers]
        lines.append(f"#B{n + 1:02d}=" + style.separator.join(code for code, _ in part))
        lines.append(style.separator.join(_text(value, style) for _, value in part))
    return lines


def _shots(film: Film, style: Style) -> list[str]:
    columns = list("IJABCDFGH")
    if style.turned:
        columns.reverse()
    lines = ["#C=" + style.separator.join(columns)]
    for shot in film.shots:
        row = {
            "I": _number(shot.station, style),
            "J": shot.continuous,
            "A": shot.code,
            "B": shot.char1,
            "C": shot.char2,
            "D": shot.q1,
            "F": _text(shot.remark, style),
            "G": shot.clock,
            "H": shot.clock_to,
        }
        lines.append(style.separator.join(row[column] for column in columns))
    return lines


def _number(value: float, style: Style) -> str:
    return f"{value:.2f}".replace(".", style.decimal)


def _text(text: str, style: Style) -> str:
    sign = style.qualifier
    if sign and (style.quote_all or style.separator in text or sign in text):
        return sign + text.replace(sign, sign + sign) + sign
    return text
