"""Numbers, times and counts as they are written on a sheet."""

import math
from datetime import date, datetime

_COUNTS = [
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
]
_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def count(number: int, one: str, many: str = "") -> str:
    """`one collar`, `four collars`, `21 collars`."""
    word = _COUNTS[number] if number < len(_COUNTS) else str(number)
    return f"{word} {one if number == 1 else many or one + 's'}"


def figures(number: int, one: str, many: str = "") -> str:
    """`1 collar`, `4 collars`."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def capital(text: str) -> str:
    """The text with its first letter raised and the rest as it is."""
    return text[:1].upper() + text[1:]


def listed(items: list[str], most: int = 6) -> str:
    """`a, b and c`; after `most` the rest are counted."""
    if len(items) > most:
        return ", ".join(items[:most]) + f" and {len(items) - most} more"
    if len(items) < 2:
        return "".join(items)
    return ", ".join(items[:-1]) + " and " + items[-1]


def fixed(value: float | None, decimals: int = 2, unit: str = "") -> str:
    """A number with its decimals and unit, `–` where it is not known."""
    if value is None or not math.isfinite(value):
        return "–"
    text = f"{value:.{decimals}f}".replace("-", "−")
    return f"{text} {unit}" if unit else text


def money(value: float) -> str:
    """`36 640`, with narrow spaces that do not break."""
    return f"{value:,.0f}".replace(",", "\u202f").replace("-", "−")


def millimetres(value: float | None) -> str:
    """Metres written in whole millimetres, without the unit."""
    return "–" if value is None else f"{value * 1e3:.0f}"


def dn(diameter: float | None) -> str:
    """`DN 150`, or `DN –`."""
    return f"DN {millimetres(diameter)}"


def degrees(angle: float | None) -> str:
    """Radians written in whole degrees."""
    return "–" if angle is None else f"{math.degrees(angle):.0f}°"


def _whole_minutes(seconds: float, *, up: bool) -> int:
    minutes = seconds / 60.0
    return math.ceil(minutes - 1e-9) if up else math.floor(minutes + 1e-9)


def span(seconds: float, *, up: bool) -> str:
    """`35 min` or `3 h 40`.

    Args:
        seconds: [s].
        up: Round up to the minute (nothing before it), else down (nothing after it).

    Returns:
        The text.
    """
    minutes = _whole_minutes(seconds, up=up)
    if minutes < 120:
        return f"{minutes} min"
    return f"{minutes // 60} h {minutes % 60:02d}"


def hours_minutes(seconds: float, *, up: bool) -> str:
    """`3:40`, rounded as in `span`."""
    minutes = _whole_minutes(seconds, up=up)
    return f"{minutes // 60}:{minutes % 60:02d}"


def at(moment: datetime, *, up: bool = False) -> str:
    """Time of day, `20:55`; a deadline is cut down to the minute, an earliest time is raised."""
    seconds = moment.hour * 3600 + moment.minute * 60 + moment.second + moment.microsecond / 1e6
    minutes = _whole_minutes(seconds, up=up) % 1440
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def day(value: date) -> str:
    """`Tue 12 May`."""
    return f"{_DAYS[value.weekday()]} {value.day} {_MONTHS[value.month - 1]}"


def full_day(value: date) -> str:
    """`12 May 2027`."""
    return f"{value.day} {_MONTHS[value.month - 1]} {value.year}"


def rule_words(rule: str) -> str:
    """Name of a rule as words."""
    return rule.replace("-", " ")


def unbroken(name: str) -> str:
    """Keep a short name with hyphens in one line; a long one stays as it is."""
    return name.replace("-", "-\u2060") if len(name) <= 18 else breakable(name)


def breakable(text: str, longest: int = 18) -> str:
    """Let a long name break, after its own signs where it has some."""
    return " ".join(_loosened(word, longest) for word in text.split(" "))


def _loosened(word: str, longest: int) -> str:
    if len(word) <= longest:
        return word
    out, since = "", 0
    for character in word:
        out, since = out + character, since + 1
        if since >= longest or (character in "-_/.,;:#" and since > 3):
            out, since = out + "\u200b", 0
    return out
