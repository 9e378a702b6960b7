"""The form with what is known of a connection: filled in, read, and refused field by field."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from teewright.network.corrections import CLOSED, OPEN, RANGES, WORDS, Field
from teewright.network.values import Connection
from teewright.units import FOOT, INCH, MM
from teewright.web import correcting
from teewright.web.quantities import System
from teewright.web.texts import text

_UNITS: dict[tuple[Field, System], tuple[float, str, int]] = {
    (Field.CHAINAGE, System.METRIC): (1.0, "m", 2),
    (Field.CHAINAGE, System.US): (FOOT, "ft", 2),
    (Field.CLOCK, System.METRIC): (1.0, "h", 1),
    (Field.CLOCK, System.US): (1.0, "h", 1),
    (Field.DIAMETER, System.METRIC): (MM, "mm", 0),
    (Field.DIAMETER, System.US): (INCH, "in", 2),
    (Field.ANGLE, System.METRIC): (math.pi / 180.0, "°", 0),
    (Field.ANGLE, System.US): (math.pi / 180.0, "°", 0),
}
"""SI value of one, unit and decimals of each number."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One field of the form.

    Attributes:
        field: Which.
        shown: What stands in it.
        unit: Its unit, or `""`.
        options: What may be chosen, (word in the code, as it is said); empty for a number.
        fault: What is wrong with it, one sentence, or `""`.
    """

    field: Field
    shown: str
    unit: str
    options: tuple[tuple[str, str], ...]
    fault: str = ""


def entries(connection: Connection, system: System) -> tuple[Entry, ...]:
    """The form as the connection is."""
    state = {True: OPEN, False: CLOSED, None: ""}[connection.is_open]
    numbers = {
        Field.CHAINAGE: connection.chainage,
        Field.CLOCK: connection.clock,
        Field.DIAMETER: connection.diameter,
        Field.ANGLE: connection.angle,
    }
    return (
        *(_number(field, value, system) for field, value in numbers.items()),
        Entry(Field.STATE, state, "", _options(Field.STATE)),
        Entry(Field.KIND, connection.kind.value, "", _options(Field.KIND)),
    )


def read(
    connection: Connection, given: Mapping[str, str], system: System
) -> tuple[list[correcting.SetField], tuple[Entry, ...]]:
    """What a filled form changes.

    Args:
        connection: As it is.
        given: What stands in each field, by its name.
        system: Units of the form.

    Returns:
        What is to be set, and the form with its faults.
    """
    changes: list[correcting.SetField] = []
    form: list[Entry] = []
    for entry in entries(connection, system):
        words = given.get(entry.field.value, entry.shown).strip()
        if words == entry.shown:
            form.append(entry)
            continue
        value = _value(entry, words, system)
        if value is None:
            form.append(replace(entry, shown=words, fault=_fault(entry, words, system)))
            continue
        form.append(replace(entry, shown=words))
        changes.append(
            correcting.SetField(act="set", connection=connection.id, field=entry.field, value=value)
        )
    return changes, tuple(form)


def _number(field: Field, value: float | None, system: System) -> Entry:
    one, unit, digits = _UNITS[field, system]
    return Entry(field, "" if value is None else f"{value / one:.{digits}f}", unit, ())


def _options(field: Field) -> tuple[tuple[str, str], ...]:
    return tuple((word, said_word(field, word)) for word in WORDS[field])


def said_word(field: Field, word: str) -> str:
    """A word that a field may hold, as it is said."""
    key = word.replace(", ", "_")
    return text(f"survey.state.{key}" if field is Field.STATE else f"survey.kind_of.{key}")


def _value(entry: Entry, words: str, system: System) -> float | str | None:
    if entry.options:
        return words if words in WORDS[entry.field] else None
    try:
        number = float(words.replace(",", "."))
    except ValueError:
        return None
    value = number * _UNITS[entry.field, system][0]
    low, high = RANGES[entry.field]
    if entry.field is Field.CLOCK and number == 0.0:
        return None
    return value if low - 1e-9 <= value <= high + 1e-9 else None


def _fault(entry: Entry, words: str, system: System) -> str:
    name = text(f"survey.field.{entry.field.value}")
    if entry.options:
        return text("survey.hand.choose", field=name)
    one, unit, _ = _UNITS[entry.field, system]
    low, high = (f"{value / one:.4g}" for value in RANGES[entry.field])
    key = "survey.hand.empty" if not words else "survey.hand.out"
    return text(key, field=name, value=words, low=low, high=high, unit=unit)
