"""The form with what is known of a run: filled in, read, and refused field by field."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from teewright.network.corrections import RUN_RANGES
from teewright.network.values import Run
from teewright.units import FOOT, INCH, MM
from teewright.web import correcting
from teewright.web.quantities import System
from teewright.web.texts import text

_UNITS = {
    ("length", System.METRIC): (1.0, "m", 2),
    ("length", System.US): (FOOT, "ft", 2),
    ("diameter", System.METRIC): (MM, "mm", 0),
    ("diameter", System.US): (INCH, "in", 2),
}
"""SI value of one, unit and decimals of each number."""


@dataclass(frozen=True, slots=True)
class Measure:
    """One field of the form.

    Attributes:
        name: `length` or `diameter`.
        shown: What stands in it.
        unit: Its unit.
        fault: What is wrong with it, one sentence, or `""`.
    """

    name: str
    shown: str
    unit: str
    fault: str = ""


def measures(run: Run, system: System) -> tuple[Measure, ...]:
    """The form as the run is."""
    return (
        _measure("length", run.length, system),
        _measure("diameter", run.diameter, system),
    )


def read(
    run: Run, given: Mapping[str, str], system: System
) -> tuple[list[correcting.SetRun], tuple[Measure, ...]]:
    """What a filled form changes.

    Args:
        run: As it is.
        given: What stands in each field, by its name.
        system: Units of the form.

    Returns:
        What is to be set, and the form with its faults.
    """
    changes: list[correcting.SetRun] = []
    form: list[Measure] = []
    for measure in measures(run, system):
        words = given.get(measure.name, measure.shown).strip()
        if words == measure.shown:
            form.append(measure)
            continue
        value = _value(measure.name, words, system)
        fault = _fault(measure.name, words, system) if value is None else ""
        form.append(replace(measure, shown=words, fault=fault))
        if value is not None:
            changes.append(_change(run, measure.name, value))
    return changes, tuple(form)


def _change(run: Run, name: str, value: float) -> correcting.SetRun:
    return correcting.SetRun.model_validate(
        {"act": "set run", "run": run.id, "field": name, "value": value}
    )


def _measure(name: str, value: float | None, system: System) -> Measure:
    one, unit, digits = _UNITS[name, system]
    return Measure(name, "" if value is None else f"{value / one:.{digits}f}", unit)


def _value(name: str, words: str, system: System) -> float | None:
    try:
        value = float(words.replace(",", ".")) * _UNITS[name, system][0]
    except ValueError:
        return None
    low, high = RUN_RANGES[name]
    return value if low - 1e-9 <= value <= high + 1e-9 else None


def _fault(name: str, words: str, system: System) -> str:
    one, unit, _ = _UNITS[name, system]
    low, high = (f"{value / one:.4g}" for value in RUN_RANGES[name])
    field = text(f"survey.hand.run_{name}")
    key = "survey.hand.out" if words else "survey.hand.empty"
    return text(key, field=field, value=words, low=low, high=high, unit=unit)
